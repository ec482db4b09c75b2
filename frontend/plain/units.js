// Mass: stored as whole grams, typed and shown in kilograms or pounds. Factors are exact.

// international avoirdupois pound, exact by definition (1959)
export const KG_PER_LB = 0.45359237;
export const LIGHTEST_G = 300;
export const HEAVIEST_G = 120_000;

/** @typedef {"kg" | "lb"} MassUnit */

/** @param {number} grams @param {MassUnit} unit */
export function fromGrams(grams, unit) {
  return unit === "lb" ? grams / (KG_PER_LB * 1000) : grams / 1000;
}

/** A plain number as people type it, with point or comma: "12,4", " 12.4 ". Null when it is none.
 * Grouped thousands are refused rather than guessed: "1.234" is one and a bit.
 * @param {string} text */
export function parseNumber(text) {
  const match = /^\s*(\d+)(?:[.,](\d*))?\s*$|^\s*[.,](\d+)\s*$/.exec(text);
  if (!match) return null;
  return Number(`${match[1] ?? "0"}.${match[2] || match[3] || "0"}`);
}

/** Whole grams from what was typed, rounded half up; the typed decimals are taken exactly.
 * A unit may stand behind the number ("34 lb") and then wins over the chosen one.
 * @param {string} text @param {MassUnit} unit
 * @returns {{grams: number} | {code: "empty" | "not_a_number" | "out_of_range", low: number, high: number}} */
export function parseWeight(text, unit) {
  const range = { low: fromGrams(LIGHTEST_G, unit), high: fromGrams(HEAVIEST_G, unit) };
  if (!text.trim()) return { code: "empty", ...range };
  const match = /^\s*(?:(\d{1,4})(?:[.,](\d{0,6}))?|[.,](\d{1,6}))\s*(kg|lbs?)?\s*$/i.exec(text);
  if (!match) return { code: "not_a_number", ...range };
  const millionths = Number(match[1] ?? 0) * 1_000_000 + Number((match[2] ?? match[3] ?? "").padEnd(6, "0"));
  const typed = match[4] ? (/^k/i.test(match[4]) ? "kg" : "lb") : unit;
  // 1 lb is 453.59237 g, so a millionth of a pound is 45359237 / 10^11 g: whole numbers until the end.
  const grams = typed === "kg"
    ? Math.floor((millionths + 500) / 1000)
    : Number((BigInt(millionths) * 45_359_237n + 50_000_000_000n) / 100_000_000_000n);
  if (grams < LIGHTEST_G || grams > HEAVIEST_G) return { code: "out_of_range", ...range };
  return { grams };
}

// A weight far from the last one is asked about, never refused: a mistyped unit is likelier than a lost tenth.
const ODD_SHARE = 0.1; // of the last weight: this project's choice

/** @param {number} grams @param {{weight_g: number}|null} last */
export function oddWeight(grams, last) {
  return last !== null && Math.abs(grams - last.weight_g) > ODD_SHARE * last.weight_g;
}
