"""`tuckline plan`: a plan for one dog, or the reason why there is none."""

from typing import Any

from server.breed_facts import breed_facts
from server.cli import lines, wording
from server.science.cases import plan_case
from server.science.plan import make_plan

HELP = """Reads one JSON document with a dog, its weight, condition, intake and foods; writes its
target, energy, ration and cautions as JSON. With --lines: one document per line.
Exit status 0; 1 if a line was bad; 2 if the document was bad (standard error names the field)."""


def run(argv: list[str]) -> int:
    """Run the command. Returns the exit status."""
    return lines.run("plan", HELP, argv, answer)


def answer(document: object) -> dict[str, Any]:
    """Return the worded plan for one document. Raises BadInput."""
    result = make_plan(plan_case(document, breed_facts)).as_json()
    if result["refused"]:
        result["refused"]["message"] = wording.refusal(result["refused"])
    for caution in result["cautions"]:
        caution["message"] = wording.caution(caution)
    return result
