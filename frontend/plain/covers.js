// What a vet's word may cover, in words.

import { CONDITIONS } from "./conditions.js";

export const COVERS = /** @type {Record<string, string>} */ ({
  plan: "the plan", floor_0_7: "a lower floor of food", target_below_70pct: "a target below 70% of today's weight",
});

/** An illness as it stands within a sentence. @param {string} word */
export function illness(word) {
  const found = CONDITIONS.find((item) => item.word === word);
  return found ? found.text.charAt(0).toLowerCase() + found.text.slice(1) : word.replace(/_/g, " ");
}

/** @param {string} covers */
export function coveredBy(covers) {
  return covers.startsWith("condition:") ? illness(covers.slice("condition:".length)) : (COVERS[covers] ?? covers);
}
