// Drawings that explain touch and looks. Ribs are ovals, the cover over them is straw, the skin is the
// green line: more cover, flatter line. Level 1 is the leanest answer, 5 the most covered.

import { html } from "./html.js";
import { bothSides } from "./smooth.js";
import { smooth } from "./smooth.js";

/** @import {Point} from "./smooth.js" */
/** @typedef {1|2|3|4|5} Level */

const RIBS = [22, 40, 58, 76, 94]; // x of each rib's middle
const RIB_TOP = 38;

/** Height of the skin above the ribs, over a rib and between two, per level. */
const COVER = { 1: [0.5, -9], 2: [3.5, -2.5], 3: [9, 6.5], 4: [18, 17], 5: [30, 30] };

/** @param {{level: Level}} props */
export function Ribs({ level }) {
  const [over, between] = /** @type {[number, number]} */ (COVER[level]);
  /** @type {Point[]} */
  const skin = [[4, RIB_TOP - between]];
  RIBS.forEach((x, i) => {
    skin.push([x, RIB_TOP - over]);
    if (i < RIBS.length - 1) skin.push([x + 9, RIB_TOP - between]);
  });
  skin.push([112, RIB_TOP - between]);
  const line = smooth(skin);
  return html`<svg class="drawn" viewBox="0 0 116 64" aria-hidden="true" focusable="false">
    <path class="straw" d=${`${line}L112 60L4 60Z`} />
    ${RIBS.map((x) => html`<ellipse class="ink sheetfill" cx=${x} cy="48.5" rx="5.6" ry="10" />`)}
    <path class="skin" d=${line} />
  </svg>`;
}

/** Half widths at shoulder, ribs, waist and hips, per level. */
const ABOVE = { 1: [12.5, 15, 7, 9.5], 2: [14, 17.5, 11, 13], 3: [15, 19.5, 15, 16], 4: [16, 22, 21.5, 20], 5: [17.5, 25, 29, 25] };

/** @param {{level: Level}} props */
export function Waist({ level }) {
  const [shoulder, ribs, waist, hips] = /** @type {[number, number, number, number]} */ (ABOVE[level]);
  /** @type {Point[]} */
  const stations = [[2, 8], [8, 8.5], [17, shoulder], [28, ribs],
    [36, ribs * 0.72 + waist * 0.28], [51, waist], [62, hips], [71, hips * 0.95], [79, hips * 0.55], [82, 1.5]];
  return html`<svg class="drawn" viewBox="0 0 116 88" aria-hidden="true" focusable="false">
    <path class="soft" d=${smooth(bothSides(58, stations), true)} />
    <path class="ink" stroke-dasharray="2 3" d=${`M${58 - waist} 51H${58 + waist}M${58 - ribs} 28H${58 + ribs}`} />
    <path d="M58 82c0 2 1 3 2.5 4" />
    ${level === 1 && html`<path class="ink" d="M58 32v34M51 66l2.5-3.5M65 66l-2.5-3.5" />`}
  </svg>`;
}

/** Height of the belly in its middle and at the groin, per level (larger is lower). */
const BELLY = { 1: [33, 24.5], 2: [37.5, 30], 3: [41, 35], 4: [46, 44.5], 5: [51.5, 49.5] };
const FRONT_LEG = "M33 38c1 8 .5 14 .5 20h-3.5v2.5h8.5V58c0-7 1.5-12 3.5-18";
const HEAD = "C33 40 30 33 26 25C22 26 12 25 6 23C3 22 2.5 19 4 17.5";

/** @param {{level: Level}} props */
export function Tuck({ level }) {
  const [middle, groin] = /** @type {[number, number]} */ (BELLY[level]);
  /** @type {Point[]} */
  const top = [[4, 17.5], [10, 12.5], [16, 10], [22, 6.5], [27, 9.5], [33, 15], [42, 17.5], [62, 18], [80, 17.5], [91, 20], [95, 26]];
  /** @type {Point[]} */
  const belly = [[37, 42], [46, 43], [62, middle], [74, groin + (middle - groin) * 0.3], [82, groin]];
  const back = smooth(top);
  const under = smooth([...belly].reverse()).replace(/^M[^C]*/, "");
  const thigh = `M95 26C97 34 91 38 92.5 44C93 49 92 54 92 58v2.5h-8.5V58h3C86 54 87 49 86.5 46C83 42 79 38 80 ${Math.min(groin, 31)}`;
  return html`<svg class="drawn" viewBox="0 0 116 64" aria-hidden="true" focusable="false">
    <path class="soft" d=${FRONT_LEG} />
    <path class="soft bare" d=${`${back}L90 38L82 ${groin}${under}${HEAD}Z`} />
    <path d=${back} />
    <path d=${`M37 42${HEAD}`} />
    <path class="soft" d=${thigh} />
    <path d="M93 21c6 0 10 4 15 12" />
    <path class="soft" d="M22 7c4 1 6 6 5 12-3-1-5-3-6-6" />
    <path class="skin" d=${smooth(belly)} />
  </svg>`;
}

/** How full the muscle stands beside the spine: height of its top, per answer. */
const MUSCLE = { normal: 15, mild: 22, moderate: 30, severe: 39 };

/** The back cut across: the spine's tip in the middle, the muscle on both sides. @param {{word: keyof typeof MUSCLE}} props */
export function Muscle({ word }) {
  const top = MUSCLE[word];
  /** @type {Point[]} */
  const back = [[8, 58], [14, 46], [27, Math.max(top + 3, 20)], [42, top], [54, Math.min(top + 1, 17)], [58, 13.5],
    [62, Math.min(top + 1, 17)], [74, top], [89, Math.max(top + 3, 20)], [102, 46], [108, 58]];
  return html`<svg class="drawn" viewBox="0 0 116 64" aria-hidden="true" focusable="false">
    <path class="soft" d=${smooth(back) + "Z"} />
    <path class="ink sheetfill" d="M55.5 18c1-3 4-3 5 0l2 18c4 1 6 4 6 8 0 5-4.5 9-10.5 9s-10.5-4-10.5-9c0-4 2-7 6-8z" />
    <path class="skin" d=${smooth(back)} />
  </svg>`;
}
