// What is said of dogs that grow, carry puppies or nurse: for the talk with the vet, never a ration.

/** @import {Entry} from "./words.js" */

/** @type {Record<string, Entry>} */
export const GROWTH_CAUTIONS = {
  needs_more: {
    tone: "vet",
    text: (v, say) => `${say.name} needs more, not less: up to about ${v.times} times the usual food ${v.state === "pregnant" ? "late in pregnancy" : "when nursing a large litter, in the fourth week"}.`,
    todo: () => "Ask the vet what to feed.",
  },
  growth_energy: { text: (v, say) => `A growing dog of this size needs about ${v.kcal_per_day} kcal a day on average, or ${v.kcal_by_stage} by stage of growth, for an adult weight of ${say.mass(v.adult_kg)}. That is for the talk with the vet, not a ration.` },
  growth_adult_unknown: { text: (_, say) => `How heavy ${say.name} will be is not known, so nothing can be said of what it needs.`, todo: () => "Ask a vet for the adult weight to expect." },
  growth_above_adult: { tone: "vet", text: (v, say) => `${say.mass(v.weight_kg)} is more than the adult weight to expect (${say.mass(v.adult_kg)}), and ${say.name} still grows.`, todo: () => "See a vet, who can steer the growth." },
  growth_loses: { tone: "vet", text: (v) => `A growing dog should not lose weight: ${Math.abs(v.pct_per_week)}% a week since the last weigh-in.`, todo: () => "Weigh again tomorrow. If it is true, see a vet." },
  growth_speeds_up: { tone: "attention", text: (v, say) => `${say.name} gains faster than before (${v.pct_per_week}% a week after ${v.before_pct_per_week}%), where growth should slow down.`, todo: () => "Ask a vet whether it grows or grows fat." },
};
