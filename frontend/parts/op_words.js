// An entry that is not sent yet, in words: what it is and of which dog.

import { sayMass } from "../plain/say.js";

const KIND = /** @type {Record<string, string>} */ ({
  "dog.add": "New dog", "dog.edit": "Change of a dog", "dog.pause": "Pause", "dog.archive": "Closing of a record",
  "weigh_in.add": "Weigh-in", "weigh_in.replace": "Corrected weigh-in", "weigh_in.void": "Weigh-in taken back", "weigh_in.use": "Weigh-in used after all",
  "check.add": "Condition check", "check.replace": "Corrected check", "check.void": "Check taken back",
  "food.add": "New food", "food.version": "Changed food", "food.retire": "Food no longer fed",
  "plan.request": "Question for a plan", "plan.accept": "Yes to a plan", "plan.decline": "No to a plan", "plan.end": "End of a plan",
  "vet_word.add": "Vet's word", "vet_word.end": "End of a vet's word",
});

/** @param {any} op @param {Map<string, string>} names of dogs by id @param {"kg"|"lb"} unit */
export function opInWords(op, names, unit) {
  const whose = names.get(op.dog_id) ?? op.data?.name ?? "";
  const much = op.data?.weight_g ? ` ${sayMass(op.data.weight_g, unit)}` : "";
  return `${KIND[op.kind] ?? op.kind}${much}${whose ? `, ${whose}` : ""}`;
}
