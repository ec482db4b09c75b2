"""What a person must hear beside a weekly decision."""

from datetime import timedelta

from server.science.decision import LOG_DAYS
from server.science.findings import Finding
from server.science.review_case import ReviewCase
from server.science.slips import SetAside
from server.science.trend import Trend

SCALES_DIFFER_PCT = 1.0  # our choice: from here on it is worth telling


def of_review(
    case: ReviewCase,
    trend: Trend,
    score: int | None,
    aside: tuple[SetAside, ...],
    gates: tuple[Finding, ...],
) -> tuple[Finding, ...]:
    """Return the cautions of a review. gates: all that were hit, the first of which decides."""
    plan, last = case.plan, trend.days[-1] if trend.days else None
    cautions = list(gates[1:])
    recently = case.as_of - timedelta(days=LOG_DAYS)
    for word in case.vet_words:
        if word.ended(case.as_of) and word.until and word.until >= recently:
            values = {"by": word.by, "covers": word.covers, "until": word.until.isoformat()}
            cautions.append(Finding("vet_word_ended", values))
    if score is None:
        cautions.append(Finding("score_missing", {}))
    elif last and plan.kind == "reduce" and plan.first_goal_kg and last.kg <= plan.first_goal_kg:
        reached = next(day.on for day in trend.days if day.kg <= plan.first_goal_kg)
        if case.condition_on is None or case.condition_on < reached:
            cautions.append(Finding("score_again", {"first_goal_kg": plan.first_goal_kg}))
    for item in aside:
        if item.weigh_in.on >= recently:
            odd = {
                "on": item.weigh_in.on.isoformat(),
                "kg": item.weigh_in.kg,
                "reason": item.reason,
            }
            cautions.append(Finding("reading_set_aside", odd))
    for scale, offset in trend.offsets_pct:
        if abs(offset) >= SCALES_DIFFER_PCT:
            differ = {
                "scale": scale,
                "against": trend.offsets_pct[0][0],
                "offset_pct": round(offset, 1),
            }
            cautions.append(Finding("scales_differ", differ))
    return tuple(cautions)
