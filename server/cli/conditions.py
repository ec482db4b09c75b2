"""`tuckline conditions`: the words that plans and reviews accept, with their meaning."""

import json
import sys

from server.science.condition import RIBS, TUCK, WAIST
from server.science.energy_levels import LEVELS
from server.science.extras import EXTRAS
from server.science.nutrients import ALLOWANCES
from server.science.unsafe_foods import UNSAFE
from server.science.vet_first import CONDITIONS

HELP = """Prints the conditions that need a vet first, and the answers to the three looks (ribs,
waist, tuck), common extras, printed levels of need and foods that harm dogs, each with its text and
source, as JSON."""


def run(argv: list[str]) -> int:
    """Run the command. Returns the exit status."""
    if argv in (["-h"], ["--help"]):
        print(f"usage: tuckline conditions\n\n{HELP}")
        return 0
    if argv:
        print("tuckline conditions: arguments: must be none", file=sys.stderr)
        return 2
    lists = {"conditions": CONDITIONS, "ribs": RIBS, "waist": WAIST, "tuck": TUCK}
    document: dict[str, object] = {
        name: [item.as_json() for item in items] for name, items in lists.items()
    }
    document["nutrients"] = [
        {"word": word, "unit": f"{allowance.unit} per kg of food"}
        for word, allowance in ALLOWANCES.items()
    ]
    document["common_extras"] = [extra.as_json() for extra in EXTRAS]
    document["energy_levels"] = [level.as_json() for level in LEVELS]
    document["unsafe_foods"] = [food.as_json() for food in UNSAFE]
    sys.stdout.buffer.write(json.dumps(document, ensure_ascii=False).encode() + b"\n")
    return 0
