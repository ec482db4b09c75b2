// What refusals, cautions and reasons say to a person. Codes and values come from the server's science;
// an unknown code falls back to a general sentence with the code, never to nothing.

import { coveredBy } from "./covers.js";
import { illness } from "./covers.js";
import { FOOD_CAUTIONS } from "./words_food.js";
import { GROWTH_CAUTIONS } from "./words_growth.js";
import { ALERTS } from "./words_review.js";
import { REASONS } from "./words_review.js";
import { REVIEW_CAUTIONS } from "./words_review.js";
import { SET_ASIDE } from "./words_review.js";

/**
 * @typedef {{code: string, values?: Record<string, any>, source?: string}} Finding
 * @typedef {{mass: (kg: number) => string, day: (iso: string) => string, name: string}} Speech how this phone says weights and days; name: the dog's
 * @typedef {"vet"|"attention"|""} Tone
 * @typedef {{tone?: Tone, text: (v: any, say: Speech) => string, todo?: (v: any, say: Speech) => string}} Entry
 * @typedef {{text: string, todo: string, tone: Tone, source: string}} Words
 */

const NUTRIENT = /** @type {Record<string, string>} */ ({
  linoleic_acid: "linoleic acid", vitamin_e: "vitamin E", vitamin_b12: "vitamin B12", omega_3: "omega-3 fats",
});
/** @param {string[]} items */
export function listed(items) {
  return items.length < 2 ? (items[0] ?? "") : `${items.slice(0, -1).join(", ")} and ${items[items.length - 1]}`;
}

/** @param {string} word */
const nutrient = (word) => NUTRIENT[word] ?? word.replace(/_/g, " ");

/** @param {any} reason */
function vetReason(reason) {
  if (reason.why === "condition") return illness(reason.word);
  if (reason.why === "muscle") return `${reason.muscle} loss of muscle was felt`;
  if (reason.why === "score") return `a score of ${reason.score} of 9`;
  if (reason.why === "belly") return "a big belly over ribs that are seen, which can be illness";
  if (reason.why === "target_below_70pct") return `the target would be ${reason.target_pct}% of today's weight, and below 70% is far to go`;
  return String(reason.why ?? "").replace(/_/g, " ");
}

/** @type {Record<string, Entry>} */
export const refusals = {
  growing: {
    tone: "vet",
    text: (v, say) => v.age_known
      ? `${say.name} still grows: ${v.age_months} months old, grown at about ${v.until_months} (${say.day(v.until)}). A growing dog's food is not cut.`
      : v.grown === "no" ? `${say.name} still grows. A growing dog's food is not cut.`
      : `Nobody knows whether ${say.name} is fully grown, so no food is cut.`,
    todo: (v) => v.age_known ? "A vet can slow the growth of a heavy young dog safely." : "A vet can tell the age from the teeth; then add it to the dog.",
  },
  pregnant: { tone: "vet", text: (_, say) => `${say.name} is pregnant. No food is cut now.`, todo: () => "Feed as the vet says; ask for a plan once the puppies are weaned." },
  nursing: { tone: "vet", text: (_, say) => `${say.name} is nursing and needs far more food than usual. No food is cut now.`, todo: () => "Ask for a plan some weeks after the puppies are weaned." },
  underweight: { tone: "vet", text: (v, say) => `${say.name} is too lean${v.score ? ` (${v.score} of 9)` : ""}, so there is no plan to lose weight.`, todo: () => "Let a vet look for the reason. Loss that nobody planned can be an illness." },
  not_overweight: { text: (v, say) => `${say.name} is at a right weight${v.score ? ` (${v.score} of 9)` : ""}: nothing to lose.`, todo: () => "Below is a ration that usually holds a weight. Weigh once a week; the scale has the last word." },
  already_low: {
    tone: "vet",
    text: (v, say) => `${say.name} holds its weight on ${v.intake_kcal} kcal a day, which is no more than resting energy at the target (${v.resting_kcal}). Less is not given without a vet.`,
    todo: () => "First look for food that was not counted: treats, other people, other bowls. Then ask a vet, also about the thyroid.",
  },
  vet_first: {
    tone: "vet",
    text: (v, say) => `A vet comes first: ${(v.reasons ?? []).map(vetReason).filter(Boolean).join("; ") || `something about ${say.name} needs one`}.`,
    todo: () => "Talk to the vet. When the vet agrees, a lead records the vet's word on the dog's page and asks for the plan again.",
  },
};

/** @type {Record<string, Entry>} */
export const cautions = {
  ...REVIEW_CAUTIONS,
  ...FOOD_CAUTIONS,
  ...GROWTH_CAUTIONS,
  vet_check: { tone: "vet", text: (_, say) => `Let a vet examine ${say.name} before it gets less food.` },
  vet_word_used: { text: (v, say) => `This rests on the word of ${v.by} for ${coveredBy(v.covers)}${v.until ? `, until ${say.day(v.until)}` : ""}.` },
  floor_lowered: { tone: "vet", text: (v) => `By the word of ${v.by} the ration may go down to ${v.share} of resting energy instead of ${v.usual}. This is policy, not science: no safe minimum is proven.` },
  at_floor: { tone: "attention", text: (v) => `${v.kcal_per_day} kcal is the least this tool gives. If the weight does not move on it, the vet is next, not less food.` },
  deep_cut_in_steps: { text: (v) => `The food goes down by more than 30%, so it goes in ${v.steps} steps, ${v.days_apart} days apart. Publications start at 80% of what is eaten; this plan keeps to their band.` },
  intake_unknown: { text: () => "What is eaten now is not known, so the ration is the middle of the usual band. Weigh the food for a week and ask again for a closer start." },
  intake_not_used: { text: (v) => v.why === "unweighed" ? "Today's food was not weighed, so it did not set the start: cups and guesses are often far off." : "The weight is moving, so today's food says little about the need and did not set the start." },
  intake_below_plan: { tone: "attention", text: (v) => `Today's food (${v.intake_kcal} kcal) is no more than the plan (${v.kcal_per_day}). Something may be eaten uncounted; look for it before changing anything.` },
  lean_weight_not_used: { text: (v, say) => `The weight on record (${say.mass(v.lean_weight_kg)}) is too close to today's to be the target of a dog that feels too heavy; the hands decide.` },
  outside_breed_range: { text: (v, say) => `Breed tables give ${[v.breed_min_kg, v.breed_max_kg].filter((kg) => typeof kg === "number").map((kg) => say.mass(kg)).join(" to ")} for the ${v.breed}; this target is ${say.mass(v.target_low_kg)} to ${say.mass(v.target_high_kg)}. Many healthy pets are bigger than their table. Feel the ribs again at the first goal.` },
  looks_disagree: { tone: "attention", text: (v) => `The looks disagree: anything from ${v.low} to ${v.high} of 9. Have someone else feel the ribs, or ask the vet for a score.` },
  belly_without_fat: { tone: "vet", text: (_, say) => `The belly of ${say.name} bulges or hangs although the ribs are easily felt. That can be illness or puppies rather than fat.`, todo: () => "Let a vet look before the food is changed." },
  owners_score_low: { text: () => "Most people score their own dog too lean, even with a chart. If in doubt, the ribs are right." },
  coat_hides_waist: { text: () => "This coat hides the waist, so the look from above counts for almost nothing. Run two hands from behind the forelegs to the hind legs: at a right weight they come together at the loin." },
  sighthound_ribs: { text: () => "A sighthound may show its last ribs at a right weight; the score allows for it." },
  holding_varies: { text: (v) => `Dogs of this weight hold it on anything from ${v.low} to ${v.high} kcal. Start with ${v.kcal_per_day} and let the weigh-ins decide.` },
  measured_intake_holds: { text: (v) => `The weight is steady on a weighed ${v.kcal_per_day} kcal. That beats any formula: keep it.` },
  nutrients_short: { tone: "attention", text: (v) => `By its label this ration gives less than the allowance of ${listed((v.nutrients ?? []).map(nutrient))}. Ask the vet for a food made for weight loss.` },
  below_design: { tone: "attention", text: (v) => `So little of a food made for full portions gives about ${v.low_pct === v.high_pct ? v.low_pct : `${v.low_pct} to ${v.high_pct}`}% of the nutrients it was designed to give.` },
  nutrients_not_named: { text: (v) => `The label says nothing of ${listed((v.nutrients ?? []).map(nutrient))}; they were not checked.` },
  food_for_loss: { text: (v) => `A food made for weight loss gives more nutrients per calorie. Change over ${v.days_low} to ${v.days_high} days.` },
  treats_capped: { text: (v) => `${v.asked_kcal} kcal of treats is more than a tenth of the day; ${v.most_kcal} are planned.` },
  prescription_diet: { tone: "vet", text: () => "The food is prescribed: change it, or add treats to it, only with the vet who prescribed it." },
  energy_from_label_parts: { text: (v) => `The energy of ${listed(v.foods ?? [])} was worked out from the analysis and is approximate${v.may_read_low?.length ? `; with much fibre it may read low (${listed(v.may_read_low)})` : ""}.` },
  cup_energy_odd: { tone: "attention", text: (v) => `${v.food}: ${v.kcal_per_cup} kcal a cup is unusual. Look at the grams of a cup and the energy again.` },
  weigh_grams: { text: (v) => `Weigh in grams: cups were off by ${v.low_pct}% to +${v.high_pct}% when people were tested.` },
};

export const reasons = REASONS;
export const setAside = SET_ASIDE;
export const alerts = ALERTS;

/** @type {Record<string, Record<string, Entry>[]>} a caution may name a gate, so refusals are asked last */
const CATALOGUE = {
  refusal: [refusals],
  caution: [cautions, refusals, REASONS],
  reason: [REASONS, refusals, cautions],
  alert: [ALERTS, REASONS],
};

/**
 * One finding in words.
 * @param {"refusal"|"caution"|"reason"|"alert"} kind @param {Finding} finding @param {Speech} say
 * @returns {Words}
 */
export function inWords(kind, finding, say) {
  const entry = CATALOGUE[kind]?.map((part) => part[finding.code]).find(Boolean);
  const values = finding.values ?? {};
  const source = finding.source ?? "";
  if (!entry) {
    return { text: `There is something to know about ${say.name} that this version of the app has no words for (${finding.code}).`, todo: "Update the app; until then, ask a vet before changing food.", tone: "attention", source };
  }
  return { text: entry.text(values, say), todo: entry.todo?.(values, say) ?? "", tone: entry.tone ?? "", source };
}

/** Why a reading was set aside. @param {unknown} reason */
export function asideInWords(reason) {
  const code = typeof reason === "object" && reason ? String(/** @type {any} */ (reason).code) : String(reason);
  return SET_ASIDE[code] ?? (code || "does not fit the others");
}
