"""The English sentences, by code. Braces hold the values that the science gives with the code."""

from collections.abc import Callable
from typing import Any

from server.cli.food_sentences import FOOD_CAUTIONS
from server.cli.growth_sentences import GROWTH_CAUTIONS
from server.science.vet_first import CONDITIONS

Values = dict[str, Any]

_CONDITIONS = {item.word: item.text for item in CONDITIONS}


SET_ASIDE = {
    "looks_like_pounds": "looks like pounds",
    "looks_like_kilograms": "looks like kilograms taken for pounds",
    "decimal_point_slipped": "decimal point slipped",
    "implausible_jump": "implausible jump",
}


def _growing(values: Values) -> str:
    if values["age_known"]:
        return (
            "Still growing: {age_months} months old, and a dog of this size grows until about "
            "{until_months} months ({until}). A growing dog's food is not cut; a vet can steer "
            "its growth."
        ).format_map(values)
    if values["grown"] == "unknown":
        return (
            "The age is not known, so this dog is treated as growing. Ask a vet for its age; "
            "with that, a plan can be made."
        )
    return "Still growing. A growing dog's food is not cut; a vet can steer its growth."


def _vet_reason(reason: Values) -> str:
    if reason["why"] == "condition":
        return _CONDITIONS[reason["word"]].lower()
    if reason["why"] == "muscle":
        return f"muscle loss ({reason['muscle']})"
    if reason["why"] == "score":
        return "a body condition score of 9"
    if reason["why"] == "belly":
        return "a big belly over ribs that are seen, which can be illness"
    return f"a target of {reason['target_pct']}% of today's weight"


def _vet_first(values: Values) -> str:
    reasons = "; ".join(_vet_reason(reason) for reason in values["reasons"])
    return (
        f"See a vet first: {reasons}. No plan is made without the vet's word; record it when "
        "you have it."
    )


def _not_used(values: Values) -> str:
    why = "it was not weighed" if values["why"] == "unweighed" else "the weight is not steady on it"
    return (
        f"The present food is not used for the start, because {why}. Weighing all food for seven "
        "days would make the plan fit this dog better."
    )


def _vet_word(values: Values) -> str:
    until = f" until {values['until']}" if values["until"] else ""
    return f"Rests on the word of {values['by']} ({values['covers']}){until}."


REFUSALS: dict[str, str | Callable[[Values], str]] = {
    "pregnant": "Pregnant: food is not cut. Ask a vet what to feed.",
    "nursing": "Nursing: food is not cut. Ask a vet what to feed.",
    "growing": _growing,
    "vet_first": _vet_first,
    "underweight": (
        "Underweight (score {score} of 9): this dog must not lose weight. A vet should look for "
        "the cause."
    ),
    "not_overweight": (
        "At its right weight (score {score} of 9): nothing to lose. The ration given holds the "
        "weight of an average dog of this size; weigh weekly and adjust."
    ),
    "already_low": (
        "Holds its weight on {intake_kcal} kcal a day, no more than the {resting_kcal} kcal of "
        "rest at the target weight. Food is not cut further here. See a vet: go through all that "
        "is eaten, and have the thyroid checked."
    ),
}

CAUTIONS: dict[str, str | Callable[[Values], str]] = {
    **FOOD_CAUTIONS,
    **GROWTH_CAUTIONS,
    "vet_check": "Have a vet examine the dog before it loses weight, to find illness behind it.",
    "vet_word_used": _vet_word,
    "vet_word_ended": (
        "The word of {by} ({covers}) ended on {until}. Ask the vet again and record the answer."
    ),
    "floor_lowered": (
        "{by} allowed energy down to {share} of resting energy at the target instead of {usual}. "
        "The limit is this project's policy; no study gives a safe least intake."
    ),
    "at_floor": (
        "{kcal_per_day} kcal is the least this project offers. The limit is its policy; no study "
        "gives a safe least intake."
    ),
    "intake_unknown": (
        "What the dog eats now is not known, so the plan starts in the middle of the usual band. "
        "Weighing all food for seven days would make it fit this dog better."
    ),
    "intake_not_used": _not_used,
    "intake_below_plan": (
        "The food noted ({intake_kcal} kcal) is no more than this plan ({kcal_per_day} kcal). "
        "Weigh everything for a week before starting; if it is true, see a vet (thyroid)."
    ),
    "lean_weight_not_used": (
        "The lean weight on record ({lean_weight_kg} kg) is not used: for a dog that feels too "
        "fat the target is at most {highest_kg} kg. The hand on the ribs decides."
    ),
    "outside_breed_range": (
        "The target ({target_low_kg} to {target_high_kg} kg) is outside the printed range of the "
        "{breed}. That is a question, not a mistake: many dogs at their right weight are."
    ),
    "looks_disagree": (
        "The three looks disagree (score {low} to {high}). Look again, or have someone else look."
    ),
    "owners_score_low": (
        "People score their own dog too low far more often than too high: {wrong_pct}% were wrong "
        "with a chart in hand, and {too_low_pct}% of those too low. Nothing is shifted for it "
        "here. Have a second person or a vet feel the ribs."
    ),
    "coat_hides_waist": (
        "This coat hides the waist, so the look from above counts for almost nothing. Run two "
        "hands from behind the forelegs to the hind legs: they come together at the loin of a dog "
        "at its right weight."
    ),
    "deep_cut_in_steps": (
        "The food goes down in {steps} steps, {days_apart} days apart, because it goes down by "
        "more than 30%. A cut that deep at once is common practice; publications start at 80% of "
        "what is eaten, and this plan keeps to their band."
    ),
    "sighthound_ribs": "A sighthound may show its last ribs at its right weight.",
    "belly_without_fat": (
        "A big belly over ribs that are easily felt can be illness or pregnancy. See a vet first."
    ),
    "below_design": (
        "Meals of {fed_per_metabolic_kg} kcal per kg^0.75: a food made for 95 to 110 gives "
        "{low_pct} to {high_pct}% of its design amount of every nutrient."
    ),
    "nutrients_short": (
        "At this ration the food gives less than the allowance of: {nutrients}. Choose a food "
        "made for weight loss, or ask a vet."
    ),
    "nutrients_not_named": "Not checked, because the label does not give them: {nutrients}.",
    "treats_capped": (
        "{asked_kcal} kcal of treats was asked for; {most_kcal} kcal, a tenth of the day, is "
        "the most."
    ),
    "prescription_diet": (
        "A prescription diet: do not swap it and add no treats without the vet who prescribed it."
    ),
    "holding_varies": (
        "{kcal_per_day} kcal holds an average dog; single dogs need {low} to {high}. Weigh weekly."
    ),
    "measured_intake_holds": (
        "Your dog holds its weight on the {kcal_per_day} kcal you weighed. Trust that more than "
        "the average given here."
    ),
    "score_missing": "No one has felt the ribs yet. Do a condition check.",
    "score_again": (
        "The first goal of {first_goal_kg} kg is reached. Feel the ribs and score again before "
        "going on."
    ),
    "reading_set_aside": lambda values: (
        f"{values['kg']} kg on {values['on']} was set aside: {SET_ASIDE[values['reason']]}. "
        "If it is right, weigh again."
    ),
    "scales_differ": (
        "{scale} differs from {against} by {offset_pct}%. It was evened out; one scale is better."
    ),
}

REASONS: dict[str, str | Callable[[Values], str]] = {
    "below_floor": (
        "The ration is below the least this project allows ({floor_kcal} kcal) and no vet's word "
        "covers it: feed {floor_kcal} kcal."
    ),
    "sudden_fall": (
        "The newest weight is far below the others. Weigh again tomorrow ({on}); if it is true, "
        "see a vet."
    ),
    "fast_loss": (
        "Losing faster than {limit_pct}% a week ({rate_pct_per_week}%). Weigh again tomorrow "
        "({on}) to be sure."
    ),
    "fast_loss_confirmed": (
        "Losing faster than {limit_pct}% a week ({rate_pct_per_week}%), confirmed. Too fast costs "
        "muscle."
    ),
    "no_weigh_in": "There is no weigh-in to judge by. Weigh the dog.",
    "weigh_in_old": "The last weigh-in is from {on}, too long ago to judge by. Weigh the dog.",
    "too_few": (
        "Too early to judge: {weighed_days} weigh-ins over {span_days} days; {needed} over "
        "{needed_days} days are needed. Keep the ration and weigh weekly."
    ),
    "target_reached": (
        "The trend ({trend_kg} kg) has reached the target. One step up, then weigh and watch."
    ),
    "right_by_hand": (
        "The hand says right weight, at {trend_kg} kg. One step up, then weigh and watch."
    ),
    "too_fast": "Losing faster than 2% a week ({rate_pct_per_week}%). Feed a little more.",
    "too_slow": (
        "Losing too slowly ({rate_pct_per_week}% a week) on a well-kept ration. Feed a little less."
    ),
    "log_has_gaps": (
        "The weight is not moving enough ({rate_pct_per_week}% a week), and only {complete_days} "
        "of the last {of_days} days are logged completely. Log everything eaten before the "
        "ration is changed."
    ),
    "fed_above_ration": (
        "The log says {logged_kcal} kcal a day against a ration of {kcal_per_day}. Feed the "
        "ration first; cutting it would not help."
    ),
    "stalled_at_floor": (
        "Not losing ({rate_pct_per_week}% a week) at the least ration this project allows "
        "({floor_kcal} kcal). See a vet: diet history, thyroid."
    ),
    "change_settling": "The ration changed on {changed_on}. It is judged again from {until}.",
    "on_course": "On course: {rate_pct_per_week}% a week. Keep the ration.",
    "not_clear_yet": (
        "{rate_pct_per_week}% a week, which is not yet clear enough to change the ration. "
        "Keep it and keep weighing."
    ),
    "steady": "Steady at {trend_kg} kg. Keep the ration.",
    "above_target": (
        "The trend ({trend_kg} kg) is above the target range (up to {target_high_kg} kg)."
    ),
    "still_losing": "Still losing ({rate_pct_per_week}% a week): one step up.",
    "losing_at_ceiling": (
        "Still losing ({rate_pct_per_week}% a week) at {ceiling_kcal} kcal, the most this project "
        "offers without a vet's word. See a vet."
    ),
}
