"""The weekly decision. Every threshold is named here, and whether it is a finding or a policy."""

import math
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Literal

from server.science.condition import RIGHT_TO
from server.science.findings import Finding
from server.science.loss_rate import LOSS_HIGH_PCT, LOSS_LOW_PCT
from server.science.review_case import PlanKind

Action = Literal[
    "stay",
    "feed_less",
    "feed_more",
    "step_up",
    "reached",
    "regaining",
    "weigh_again",
    "log_food",
    "see_vet",
    "suspended",
]

# 5 to 10% for a small change: AAHA guideline texts (from memory). Step up of 10% at goal: a
# veterinary hospital's published programme, 2013; agrees with German et al. 2011.
SMALL_STEP, LARGE_STEP = 0.05, 0.10
# Policies of this project, from design: what a change of ration needs.
WEIGH_INS_TO_JUDGE, DAYS_TO_JUDGE = 4, 21
DAYS_BETWEEN_CHANGES = 14
FIRST_DAYS = 7
SURE = 0.90  # for protection and for "beyond noise"
SURE_ENOUGH = 0.80  # that the loss is too slow, before food is cut
STALE_DAYS = 14  # the newest weigh-in is too old to judge by
LOG_DAYS, LOG_LEAST = 14, 10  # complete days among the last fourteen
FED_ABOVE = 1.10  # logged food against the ration: above this the ration was not tried
WORTH_CUTTING = 0.02  # a cut smaller than this is no cut: the floor is reached


@dataclass(frozen=True)
class Standing:
    """How a dog stands on the day of its review. Energy [kcal/day], weights [kg], rates [%/week].

    kcal: ration in force. kcal_before: the ration accepted before it, None if there was none.
    floor_kcal, ceiling_kcal: least energy allowed, and most without a vet's word.
    trend_kg: None without a weigh-in that counts. rate: None before two weigh-ins 5 days apart.
    fast_now, fast_before: loss above 2% a week with 90% certainty, by all weigh-ins, and by all
    but those of the last day. newest_aside: the newest reading was set aside as a fall.
    logged_kcal: mean of the completely logged days, None without any.
    """

    as_of: date
    kind: PlanKind
    started_on: date
    changed_on: date | None
    kcal: float
    kcal_before: float | None
    floor_kcal: float
    ceiling_kcal: float
    target_low_kg: float
    target_mid_kg: float
    target_high_kg: float
    score: int | None
    weighed_days: int
    span_days: int
    last_weighed_on: date | None
    trend_kg: float | None
    trend_sd_pct: float
    rate: float | None
    rate_sd: float
    fast_now: bool
    fast_before: bool
    newest_aside: bool
    complete_days: int
    logged_kcal: float | None


@dataclass(frozen=True)
class Decision:
    """What to do. kcal_per_day: energy from now on, None where no number may be given."""

    action: Action
    kcal_per_day: int | None
    reason: Finding

    def as_json(self) -> dict[str, Any]:
        """Return the decision as a JSON object; the reason as code and values."""
        return {
            "action": self.action,
            "kcal_per_day": self.kcal_per_day,
            "reason": self.reason.as_json(),
        }


def suspended(hit: Finding) -> Decision:
    """Return the decision that stops a plan because a gate was hit."""
    return Decision("suspended", None, hit)


def decide(now: Standing) -> Decision:
    """Return the decision for a dog that hits no gate: protection first, then patience."""
    for look in (_protect, _too_little, _at_target, _by_kind):
        if decision := look(now):
            return decision
    # Nothing speaks for a change; whether the dog is on its way is another question.
    rate, values = now.rate, _rate_values(now)
    if now.kind == "reduce" and rate is not None and -LOSS_HIGH_PCT <= rate <= -LOSS_LOW_PCT:
        return _stay(now, "on_course", values)
    return _stay(now, "not_clear_yet", values)


def probability_below(limit: float, mean: float, sd: float) -> float:
    """Return the probability that a normal value lies below a limit."""
    return 0.5 * (1 + math.erf((limit - mean) / (sd * math.sqrt(2))))


def _protect(now: Standing) -> Decision | None:
    """Return what cannot wait: food below the floor, a fast loss, a sudden fall."""
    if now.kcal < math.floor(now.floor_kcal):
        values = {"floor_kcal": round(now.floor_kcal)}
        return Decision("feed_more", round(now.floor_kcal), Finding("below_floor", values))
    tomorrow = {"on": (now.as_of + timedelta(days=1)).isoformat()}
    if now.newest_aside:
        return Decision("weigh_again", round(now.kcal), Finding("sudden_fall", tomorrow))
    if not now.fast_now:
        return None
    values = _rate_values(now) | {"limit_pct": LOSS_HIGH_PCT}
    if not now.fast_before:
        return Decision("weigh_again", round(now.kcal), Finding("fast_loss", values | tomorrow))
    if now.kcal_before is not None and now.kcal_before > now.kcal:
        reason = Finding("fast_loss_confirmed", values)
        return Decision("feed_more", round(now.kcal_before), reason)
    kcal = _raised(now, LARGE_STEP) if _may_change(now) else round(now.kcal)
    return Decision("see_vet", kcal, Finding("fast_loss_confirmed", values))


def _too_little(now: Standing) -> Decision | None:
    """Return a request for a weigh-in where there is too little to say anything."""
    if now.trend_kg is None or now.last_weighed_on is None:
        return _weigh_again(now, "no_weigh_in", {})
    if (now.as_of - now.last_weighed_on).days > STALE_DAYS:
        return _weigh_again(now, "weigh_in_old", {"on": now.last_weighed_on.isoformat()})
    if now.rate is None:
        return _weigh_again(now, "too_few", _judging_values(now))
    return None


def _at_target(now: Standing) -> Decision | None:
    """Return the end of a reduction: the target is reached by scale, or by the hand."""
    assert now.trend_kg is not None
    if now.kind != "reduce":
        return None
    right_by_hand = now.score is not None and now.score <= RIGHT_TO
    in_range = now.trend_kg <= now.target_high_kg
    if not right_by_hand and now.trend_kg > now.target_mid_kg:
        return None
    kcal = _raised(now, LARGE_STEP) if _may_change(now) else round(now.kcal)
    values = {"trend_kg": round(now.trend_kg, 2), "target_mid_kg": now.target_mid_kg}
    code = "target_reached" if in_range else "right_by_hand"
    return Decision("reached", kcal, Finding(code, values))


def _by_kind(now: Standing) -> Decision | None:
    return _reducing(now) if now.kind == "reduce" else _keeping(now)


def _reducing(now: Standing) -> Decision | None:
    assert now.rate is not None
    if not _enough(now):
        return _weigh_again(now, "too_few", _judging_values(now))
    values = _rate_values(now)
    if now.rate < -LOSS_HIGH_PCT:
        if not _may_change(now):
            return _stay(now, "change_settling", _settling_values(now))
        step = LARGE_STEP if now.rate < -1.25 * LOSS_HIGH_PCT else SMALL_STEP
        return Decision("feed_more", _raised(now, step), Finding("too_fast", values))
    if 1 - probability_below(-LOSS_LOW_PCT, now.rate, now.rate_sd) < SURE_ENOUGH:
        return None
    if now.complete_days < LOG_LEAST:
        gaps = {"complete_days": now.complete_days, "of_days": LOG_DAYS}
        return Decision("log_food", round(now.kcal), Finding("log_has_gaps", values | gaps))
    if now.logged_kcal is not None and now.logged_kcal > FED_ABOVE * now.kcal:
        fed = {"logged_kcal": round(now.logged_kcal), "kcal_per_day": round(now.kcal)}
        return _stay(now, "fed_above_ration", values | fed)
    if not _may_change(now):
        return _stay(now, "change_settling", _settling_values(now))
    step = LARGE_STEP if now.rate >= 0 else SMALL_STEP
    cut = max(now.kcal * (1 - step), now.floor_kcal)
    if cut > now.kcal * (1 - WORTH_CUTTING):
        floor = {"floor_kcal": round(now.floor_kcal)}
        return Decision("see_vet", round(now.kcal), Finding("stalled_at_floor", values | floor))
    return Decision("feed_less", round(cut), Finding("too_slow", values))


def _keeping(now: Standing) -> Decision | None:
    """Return what a dog that holds its weight, or steps up to hold it, needs."""
    assert now.rate is not None
    assert now.trend_kg is not None
    values = _rate_values(now) | {"trend_kg": round(now.trend_kg, 2)}
    above = probability_below(
        0.0, 100 * math.log(now.target_high_kg / now.trend_kg), max(now.trend_sd_pct, 1e-9)
    )
    gaining = 1 - probability_below(0.0, now.rate, now.rate_sd) >= SURE
    losing = probability_below(0.0, now.rate, now.rate_sd) >= SURE
    if above >= SURE or (above >= 0.5 and gaining):
        kcal = round(now.kcal)
        if _may_change(now):
            kcal = round(max(now.kcal * (1 - SMALL_STEP), min(now.floor_kcal, now.kcal)))
        high = {"target_high_kg": now.target_high_kg}
        return Decision("regaining", kcal, Finding("above_target", values | high))
    if not losing:
        return _stay(now, "steady", values) if _enough(now) else None
    if not _may_change(now):
        return _stay(now, "change_settling", _settling_values(now))
    step = LARGE_STEP if now.rate < -LOSS_LOW_PCT else SMALL_STEP
    kcal = _raised(now, step)
    if kcal <= round(now.kcal):
        ceiling = {"ceiling_kcal": round(now.ceiling_kcal)}
        return Decision("see_vet", round(now.kcal), Finding("losing_at_ceiling", values | ceiling))
    action: Action = "step_up" if now.kind == "step_up" else "feed_more"
    return Decision(action, kcal, Finding("still_losing", values))


def _raised(now: Standing, step: float) -> int:
    """Return the energy a step higher, held under the ceiling, but never below today's."""
    return round(max(min(now.kcal * (1 + step), now.ceiling_kcal), now.kcal))


def _enough(now: Standing) -> bool:
    return now.weighed_days >= WEIGH_INS_TO_JUDGE and now.span_days >= DAYS_TO_JUDGE


def _may_change(now: Standing) -> bool:
    if not _enough(now) or (now.as_of - now.started_on).days < FIRST_DAYS:
        return False
    return now.changed_on is None or (now.as_of - now.changed_on).days >= DAYS_BETWEEN_CHANGES


def _stay(now: Standing, code: str, values: dict[str, Any]) -> Decision:
    return Decision("stay", round(now.kcal), Finding(code, values))


def _weigh_again(now: Standing, code: str, values: dict[str, Any]) -> Decision:
    return Decision("weigh_again", round(now.kcal), Finding(code, values))


def _rate_values(now: Standing) -> dict[str, Any]:
    if now.rate is None:
        return {}
    return {"rate_pct_per_week": round(now.rate, 2)}


def _judging_values(now: Standing) -> dict[str, Any]:
    return {
        "weighed_days": now.weighed_days,
        "span_days": now.span_days,
        "needed": WEIGH_INS_TO_JUDGE,
        "needed_days": DAYS_TO_JUDGE,
    }


def _settling_values(now: Standing) -> dict[str, Any]:
    start = now.changed_on or now.started_on
    return {
        "changed_on": start.isoformat(),
        "until": (start + timedelta(days=DAYS_BETWEEN_CHANGES)).isoformat(),
    }
