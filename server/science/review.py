"""The weekly review: trend, rate, need, forecast, decision."""

import math
from datetime import timedelta

from server.science import review_cautions
from server.science.condition import score_distribution, score_range
from server.science.decision import (
    LOG_DAYS,
    SURE,
    Standing,
    decide,
    probability_below,
    suspended,
)
from server.science.energy import HOLDING_HIGH, RESTING, resting_kcal_per_day
from server.science.findings import Finding
from server.science.forecast import Span, days_to_reach, seed_from
from server.science.gates import (
    CEILING_WITHOUT_VET,
    check_gates,
    floor_of_band,
    target_gate,
)
from server.science.loss_rate import LOSS_HIGH_PCT
from server.science.need import Need, need_kcal
from server.science.review_case import (
    Change,
    Feeding,
    PlanFacts,
    ReviewCase,
    WeighIn,
)
from server.science.review_result import ReviewResult
from server.science.slips import SetAside, sort_out
from server.science.target import TargetRange
from server.science.trend import LEAST_SPAN_DAYS, Z90, Trend, TrendDay, weight_trend
from server.science.vet_words import PLAN, word_for

__all__ = ["Change", "Feeding", "PlanFacts", "ReviewCase", "ReviewResult", "WeighIn", "review_week"]

FORECAST_WEIGHED, FORECAST_SPAN_DAYS = 3, 14  # our choice: fewer say no date


def review_week(case: ReviewCase) -> ReviewResult:
    """Return the weekly review of one dog. Nothing in it depends on chance or on a clock."""
    plan = case.plan
    kept, aside = sort_out(case.weigh_ins, plan.start_kg)
    rations = _rations(plan)
    trend = weight_trend(kept, [ration.on for ration in rations])
    rate = _rate(trend)
    score = _score(case)
    gates = _gates(case, trend.days[-1] if trend.days else None, score)
    standing = _standing(case, trend, aside, rations, rate, score)
    first_goal_on, target_on = _forecast(case, trend, standing.kcal) if rate else (None, None)
    return ReviewResult(
        trend=trend,
        rate=rate and (rate[0] - Z90 * rate[1], rate[0], rate[0] + Z90 * rate[1]),
        need=_need(case, trend, kept),
        first_goal_on=first_goal_on,
        target_on=target_on,
        set_aside=aside,
        decision=suspended(gates[0]) if gates else decide(standing),
        cautions=review_cautions.of_review(case, trend, score, aside, gates),
    )


def _score(case: ReviewCase) -> int | None:
    if case.condition is None:
        return None
    dog = case.dog
    distribution = score_distribution(case.condition, coat=dog.coat, sighthound=dog.sighthound)
    return score_range(distribution).mid


def _rate(trend: Trend) -> tuple[float, float] | None:
    """Return the present rate and its SD [% per week], or None before two days far enough apart."""
    if len(trend.days) < 2 or trend.span_days < LEAST_SPAN_DAYS:
        return None
    return trend.days[-1].rate, trend.days[-1].rate_sd


def _gates(case: ReviewCase, last: TrendDay | None, score: int | None) -> tuple[Finding, ...]:
    """Return the gates that stop the plan. A right weight is no gate here: it is the aim."""
    plan = case.plan
    weight_kg = last.kg if last else plan.start_kg
    gates = check_gates(
        as_of=case.as_of,
        dog=case.dog,
        weight_kg=weight_kg,
        muscle=case.muscle,
        score=score,
        vet_words=case.vet_words,
        condition=case.condition,
    )
    hits = [hit for hit in gates.hits if hit.code != "not_overweight"]
    target = TargetRange(plan.target_low_kg, plan.target_mid_kg, plan.target_high_kg)
    late = target_gate(
        target=target, weight_kg=weight_kg, vet_words=case.vet_words, as_of=case.as_of
    )
    if late and plan.kind == "reduce":
        hits.append(late)
    return tuple(hits)


def _standing(
    case: ReviewCase,
    trend: Trend,
    aside: tuple[SetAside, ...],
    rations: tuple[Change, ...],
    rate: tuple[float, float] | None,
    score: int | None,
) -> Standing:
    plan, last = case.plan, trend.days[-1] if trend.days else None
    resting = resting_kcal_per_day(plan.target_mid_kg)
    in_plan = [day.on for day in trend.days if day.on >= plan.started_on]
    kcal = rations[-1].kcal_per_day
    since = max(case.as_of - timedelta(days=LOG_DAYS), rations[-1].on)
    logged = [f.kcal for f in case.feedings if f.complete and since <= f.on < case.as_of]
    fast = [_is_fast(trend, index) for index in range(len(trend.days))]
    return Standing(
        as_of=case.as_of,
        kind=plan.kind,
        started_on=plan.started_on,
        changed_on=max((change.on for change in plan.changes), default=None),
        kcal=kcal,
        kcal_before=rations[-2].kcal_per_day if len(rations) > 1 else None,
        floor_kcal=floor_of_band(case.vet_words, case.as_of) * resting,
        ceiling_kcal=_ceiling(case, kcal / resting) * resting,
        target_low_kg=plan.target_low_kg,
        target_mid_kg=plan.target_mid_kg,
        target_high_kg=plan.target_high_kg,
        score=score,
        weighed_days=len(in_plan),
        span_days=(in_plan[-1] - in_plan[0]).days if in_plan else 0,
        last_weighed_on=last.on if last else None,
        trend_kg=last.kg if last else None,
        trend_sd_pct=last.level_sd if last else 0.0,
        rate=rate and rate[0],
        rate_sd=rate[1] if rate else 0.0,
        fast_now=bool(fast) and fast[-1],
        fast_before=len(fast) > 1 and fast[-2],
        newest_aside=_sudden_fall(case, aside, last),
        complete_days=len(logged),
        logged_kcal=math.fsum(logged) / len(logged) if logged else None,
    )


def _rations(plan: PlanFacts) -> tuple[Change, ...]:
    """Return the rations that were in force, oldest first, each once."""
    accepted = sorted((c for c in plan.changes if c.answer == "accepted"), key=lambda c: c.on)
    rations = [Change(plan.started_on, plan.kcal_per_day, "accepted")]
    for change in accepted:
        if change.kcal_per_day == rations[-1].kcal_per_day:
            rations[-1] = change
        else:
            rations.append(change)
    return tuple(rations)


def _ceiling(case: ReviewCase, now: float) -> float:
    """Return the most energy a review may offer, as a part of resting energy at target."""
    never_reduced = case.plan.kind == "hold" and now > CEILING_WITHOUT_VET
    if never_reduced or word_for(PLAN, case.vet_words, case.as_of):
        return HOLDING_HIGH / RESTING
    return CEILING_WITHOUT_VET


def _is_fast(trend: Trend, index: int) -> bool:
    """Say whether, by the readings up to a day, the loss was above 2% a week with 90% certainty."""
    day = trend.days[index]
    if (day.on - trend.days[0].on).days < LEAST_SPAN_DAYS:
        return False
    return probability_below(-LOSS_HIGH_PCT, day.rate, day.rate_sd) >= SURE


def _sudden_fall(case: ReviewCase, aside: tuple[SetAside, ...], last: TrendDay | None) -> bool:
    """Say whether the newest reading was set aside as a fall that nobody has confirmed yet."""
    newest = max((weigh_in.on for weigh_in in case.weigh_ins), default=None)
    before_kg = last.kg if last else case.plan.start_kg
    return any(
        item.reason == "implausible_jump"
        and item.weigh_in.on == newest
        and item.weigh_in.kg < before_kg
        for item in aside
    )


def _need(case: ReviewCase, trend: Trend, kept: tuple[WeighIn, ...]) -> Need | None:
    offsets = dict(trend.offsets_pct)
    return need_kcal(
        [weigh_in.on for weigh_in in kept],
        [weigh_in.kg * math.exp(-offsets.get(weigh_in.scale, 0.0) / 100) for weigh_in in kept],
        trend.noise_pct,
        case.feedings,
        case.plan.started_on,
    )


def _forecast(case: ReviewCase, trend: Trend, kcal: float) -> tuple[Span | None, Span | None]:
    plan, last = case.plan, trend.days[-1]
    enough = len(trend.days) >= FORECAST_WEIGHED and trend.span_days >= FORECAST_SPAN_DAYS
    if plan.kind != "reduce" or not enough:
        return None, None
    seed = seed_from([case.as_of, plan, *case.weigh_ins])
    goals = (plan.first_goal_kg or plan.target_mid_kg, plan.target_mid_kg)
    ahead = days_to_reach(last, goals, kcal, seed)
    first, target = (
        _already(trend, plan, goal) or span for goal, span in zip(goals, ahead, strict=True)
    )
    return first if plan.first_goal_kg else None, target


def _already(trend: Trend, plan: PlanFacts, goal_kg: float) -> Span | None:
    """Return the day a goal was reached, where the trend stands at or below it now."""
    if trend.days[-1].kg > goal_kg:
        return None
    on = next(day.on for day in trend.days if day.kg <= goal_kg)
    return Span(on, on, on)
