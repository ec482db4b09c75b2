// A weight far from the last one is asked about, never refused: a mistyped unit is likelier than a lost tenth.

const ODD_SHARE = 0.1; // of the last weight: this project's choice

/** @param {number} grams @param {{weight_g: number}|null} last */
export function oddWeight(grams, last) {
  return last !== null && Math.abs(grams - last.weight_g) > ODD_SHARE * last.weight_g;
}
