// The line from above: the outline, nose up, that stands for a dog before its first photo.

import { html } from "./html.js";
import { bothSides } from "./smooth.js";
import { smooth } from "./smooth.js";

/** @import {Point} from "./smooth.js" */

/** @type {Point[]} half widths of a neutral dog along its spine, in the drawing's units */
const NEUTRAL = [
  [1.1, 0.7], [3.4, 2.6], [7.6, 3.4], [10.6, 5.6], [14.4, 6.2], [18.2, 5.4], [22, 4.9], [25.8, 6.6],
  [31.2, 10], [38, 11.3], [44.8, 10.6], [52.4, 8.4], [60, 9.3], [66.1, 9.4], [70.7, 6.6], [73.7, 2],
];
const BODY = smooth(bothSides(24, NEUTRAL), true);
/** @type {Point[]} */
const EAR = [[5, 10.3], [8.4, 11.8], [9.6, 16], [8, 20.5], [6.4, 18.6], [5.6, 14.4]];
const EARS = [1, -1].map((side) =>
  smooth(EAR.map(([x, y]) => /** @type {Point} */ ([24 + side * x, y])), true));
const TAIL = smooth([[24, 74.1], [24.8, 76.9], [27.4, 79.7], [27, 83.3], [25.4, 84.9]]);

/** The neutral outline; a picture beside words, so hidden from screen readers. */
export function DogFigure() {
  return html`<svg class="figure drawn" viewBox="10 0 28 87" width="28" height="87" aria-hidden="true" focusable="false">
    <path class="body" d=${BODY} />
    ${EARS.map((ear) => html`<path class="soft" d=${ear} />`)}
    <path d=${TAIL} />
  </svg>`;
}
