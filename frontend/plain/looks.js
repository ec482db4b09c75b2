// The answers of a condition check: words and texts are those of `tuckline conditions`, in the same order,
// from the leanest to the most covered. Drawings for them: parts/drawn_looks.js.

/** @typedef {{word: string, text: string}} Answer */

/** @type {Answer[]} */
export const RIBS = [
  { word: "bony", text: "Ribs stand out from afar, with nothing over them" },
  { word: "sharp", text: "Several ribs show; to the fingers they are like the knuckles of a fist" },
  { word: "thin_cover", text: "Each rib is felt at once under a thin layer, like the back of a flat hand" },
  { word: "pressed", text: "Ribs are felt only when the fingers press" },
  { word: "buried", text: "No rib is felt, however firmly the fingers press" },
];

/** @type {Answer[]} */
export const WAIST = [
  { word: "hollow", text: "From above: a deep hollow behind the ribs, the hip bones stand out" },
  { word: "clear", text: "From above: the sides curve in clearly behind the ribs" },
  { word: "slight", text: "From above: the sides curve in a little" },
  { word: "straight", text: "From above: the sides run straight" },
  { word: "bulging", text: "From above: the sides bulge out behind the ribs" },
];

/** @type {Answer[]} */
export const TUCK = [
  { word: "steep", text: "From the side: the belly climbs steeply from the ribs to the loin" },
  { word: "rising", text: "From the side: the belly climbs clearly" },
  { word: "slight", text: "From the side: the belly climbs a little" },
  { word: "level", text: "From the side: the belly runs level" },
  { word: "hanging", text: "From the side: the belly hangs lower than the chest" },
];

/** @type {Answer[]} muscle is felt apart from fat: a fat dog can lack muscle */
export const MUSCLE = [
  { word: "normal", text: "Spine, shoulder blades and hips are felt, with full muscle over them" },
  { word: "mild", text: "A little hollow beside the spine or over the hips" },
  { word: "moderate", text: "Clearly hollow: the bones of spine and hips are easy to feel" },
  { word: "severe", text: "Bones of spine, skull, shoulders and hips stand out with hardly any muscle" },
];

/** The question above each look. */
export const ASKED = {
  ribs: "Feel the ribs",
  waist: "Look from above",
  tuck: "Look from the side",
  muscle: "Feel the muscle",
};

/** A text under its own question needs no "From above:" before it. @param {Answer} answer */
export function underQuestion(answer) {
  const rest = answer.text.replace(/^From (above|the side): /, "");
  return rest.charAt(0).toUpperCase() + rest.slice(1);
}
