"""`tuckline review`: the weekly review of one dog's plan."""

from typing import Any

from server.breed_facts import breed_facts
from server.cli import lines, wording
from server.science.cases import review_case
from server.science.review import review_week

HELP = """Reads one JSON document with a dog, its plan, weigh-ins and feedings; writes the trend,
the rate, the need, forecast days and the decision as JSON. With --lines: one document per line.
Exit status 0; 1 if a line was bad; 2 if the document was bad (standard error names the field)."""


def run(argv: list[str]) -> int:
    """Run the command. Returns the exit status."""
    return lines.run("review", HELP, argv, answer)


def answer(document: object) -> dict[str, Any]:
    """Return the worded review for one document. Raises BadInput."""
    result = review_week(review_case(document, breed_facts)).as_json()
    decision = result["decision"]
    reason = decision["reason"]
    decision["reason_code"] = reason["code"]
    decision["reason"] = wording.reason(reason)
    for item in result["set_aside"]:
        item["reason"] = wording.set_aside(item["reason"])
    for caution in result["cautions"]:
        caution["message"] = wording.caution(caution)
    return result
