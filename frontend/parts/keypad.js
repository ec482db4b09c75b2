// The keypad for a weight: one hand, big keys, and the phone's own keyboard stays away.

import { plainWeight } from "../plain/say.js";
import { html } from "./html.js";

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];
const MOST_DIGITS = 6;

/** The decimal mark of this phone's language. */
export const POINT = plainWeight(1500, "kg").charAt(1) === "," ? "," : ".";

/**
 * The text after one more key. Keeps at most one point and two places after it.
 * @param {string} text
 * @param {string} key a digit, "point" or "delete"
 */
export function typed(text, key) {
  if (key === "delete") return text.slice(0, -1);
  if (key === "point") return text.includes(POINT) ? text : (text || "0") + POINT;
  const [, places] = text.split(POINT);
  if (text.length >= MOST_DIGITS || (places !== undefined && places.length >= 2)) return text;
  return text === "0" ? key : text + key;
}

/** What someone typed on a real keyboard, kept to the same form. @param {string} text */
export function tidied(text) {
  const kept = text.replace(/[.,]/g, POINT).replace(new RegExp(`[^0-9${POINT}]`, "g"), "");
  return [...kept].reduce((sofar, key) => typed(sofar, key === POINT ? "point" : key), "");
}

/** @param {{onKey: (key: string) => void}} props */
export function Keypad({ onKey }) {
  const key = (/** @type {string} */ name, /** @type {unknown} */ face) =>
    html`<button type="button" aria-label=${name} onClick=${() => onKey(name)}>${face}</button>`;
  return html`<div class="keys" role="group" aria-label="Keypad">
    ${DIGITS.map((digit) => key(digit, digit))}
    ${key("point", POINT)}
    ${key("0", "0")}
    ${key("delete", html`<svg width="30" height="22" viewBox="0 0 30 22" aria-hidden="true"><path d="M9 2h18v18H9L2 11zM14 7l8 8M22 7l-8 8" fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round" /></svg>`)}
  </div>`;
}
