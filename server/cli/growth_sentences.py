"""The English sentences about growing, pregnant and nursing dogs, by code."""

from collections.abc import Callable
from typing import Any


def _needs_more(values: dict[str, Any]) -> str:
    when = (
        "late in pregnancy"
        if values["state"] == "pregnant"
        else "when nursing a large litter, in the fourth week"
    )
    return (
        f"She needs more, not less: up to about {values['times']} times her usual food {when}. "
        "See a vet for what to feed."
    )


GROWTH_CAUTIONS: dict[str, str | Callable[[dict[str, Any]], str]] = {
    "needs_more": _needs_more,
    "growth_energy": (
        "A growing dog of this size needs about {kcal_per_day} kcal a day on average, or "
        "{kcal_by_stage} by stage of growth, for an adult weight of {adult_kg} kg. That is for the "
        "talk with your vet, not a ration."
    ),
    "growth_adult_unknown": (
        "How heavy this dog will be is not known, so nothing can be said of what it needs. Ask a "
        "vet for the adult weight to expect."
    ),
    "growth_above_adult": (
        "{weight_kg} kg is more than the adult weight to expect ({adult_kg} kg), and it is still "
        "growing. See a vet, who can steer the growth."
    ),
    "growth_loses": (
        "A growing dog should not lose weight ({pct_per_week}% a week since the last reading). "
        "Weigh again tomorrow; if it is true, see a vet."
    ),
    "growth_speeds_up": (
        "It gains faster than before ({pct_per_week}% a week after {before_pct_per_week}%), where "
        "growth should slow down. Ask a vet whether it grows or grows fat."
    ),
}
