// Energy, grams and cups of one food, into each other. It converts what it is given; how much
// energy a dog gets in a day is never decided on the phone. Rounds as the server does, so that
// both print the same: halves go to the even neighbour.

const EIGHTHS = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];

/** @param {number} value */
function toEven(value) {
  const low = Math.floor(value);
  if (value - low !== 0.5) return Math.round(value);
  return low % 2 === 0 ? low : low + 1;
}

/** Whole grams of a food that hold this energy. @param {number} kcal @param {number} kcalPerKg */
export function gramsOf(kcal, kcalPerKg) {
  return toEven((1000 * kcal) / kcalPerKg);
}

/** Energy in so many grams, whole kcal. @param {number} grams @param {number} kcalPerKg */
export function kcalOf(grams, kcalPerKg) {
  return toEven((grams * kcalPerKg) / 1000);
}

/** Level cups; null where the mass of a cup is unknown. @param {number} grams @param {number | null} gramsPerCup */
export function cupsOf(grams, gramsPerCup) {
  return gramsPerCup ? grams / gramsPerCup : null;
}

/** Cups in words, to the nearest level eighth. @param {number} cups */
export function cupsLabel(cups) {
  const count = toEven(cups * 8);
  const whole = Math.floor(count / 8);
  if (count === 0) return "less than ⅛ cup, level";
  return `${whole || ""}${EIGHTHS[count % 8]} ${count <= 8 ? "cup" : "cups"}, level`;
}
