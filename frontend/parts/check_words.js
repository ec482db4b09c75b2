// A condition check in a few words.

import { MUSCLE } from "../plain/looks.js";
import { RIBS } from "../plain/looks.js";
import { TUCK } from "../plain/looks.js";
import { WAIST } from "../plain/looks.js";

const SHORT = /** @type {Record<string, Record<string, string>>} */ ({
  ribs: { bony: "ribs stand out", sharp: "ribs show", thin_cover: "ribs under a thin layer", pressed: "ribs felt only by pressing", buried: "ribs not felt" },
  waist: { hollow: "deep hollow at the waist", clear: "clear waist", slight: "slight waist", straight: "no waist", bulging: "sides bulge" },
  tuck: { steep: "steep tuck", rising: "clear tuck", slight: "slight tuck", level: "no tuck", hanging: "belly hangs" },
});

/** @param {any} check */
export function checkInWords(check) {
  const muscle = check.muscle && check.muscle !== "normal" ? `, muscle: ${check.muscle} loss` : "";
  if (check.score) return `${check.score} of 9, from a vet${muscle}`;
  const words = ["ribs", "waist", "tuck"].map((look) => SHORT[look]?.[check[look]] ?? check[look]).filter(Boolean).join(", ");
  return words.charAt(0).toUpperCase() + words.slice(1) + muscle;
}

/** All answers of one check, for whoever wants the full words. @param {any} check */
export function fullAnswers(check) {
  return [[RIBS, check.ribs], [WAIST, check.waist], [TUCK, check.tuck], [MUSCLE, check.muscle]]
    .map(([answers, word]) => answers.find((/** @type {any} */ answer) => answer.word === word)?.text).filter(Boolean);
}
