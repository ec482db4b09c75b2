// The question about a weight that is far from the last one: pounds, a slip, or true?

import { useEffect } from "../vendor/hooks.js";
import { useRef } from "../vendor/hooks.js";
import { oddWeight } from "../plain/units.js";
import { sayThan } from "../plain/say.js";
import { sayMass } from "../plain/say.js";
import { parseWeight } from "../plain/units.js";
import { html } from "./html.js";

/** @import {MassUnit} from "../plain/units.js" */

/** @param {{grams: number, typed: string, last: any, unit: MassUnit, today: string, direct: boolean, onSave: (grams: number) => void, onChange: () => void}} props */
export function WeightQuestion({ grams, typed, last, unit, today, direct, onSave, onChange }) {
  const box = useRef(/** @type {HTMLElement|null} */ (null));
  useEffect(() => box.current?.scrollIntoView({ block: "center" }), []);
  const other = unit === "kg" ? "lb" : "kg";
  const swapped = direct ? parseWeight(typed, other) : null;
  const fits = swapped && "grams" in swapped && !oddWeight(swapped.grams, last) ? swapped.grams : null;
  const apart = grams - last.weight_g;
  return html`<div class="note attention" role="alert" ref=${box}>
    <p><b>${sayMass(Math.abs(apart), unit)} ${apart < 0 ? "less" : "more"} than ${sayThan(last.local_date, today)}.</b> ${fits !== null ? `Is that ${other === "lb" ? "pounds" : "kilograms"}?` : "Is that right?"}</p>
    <div class="list">
      ${fits !== null && html`<button type="button" class="button main" onClick=${() => onSave(fits)}>Yes, ${other}: save ${sayMass(fits, unit)}</button>`}
      <button type="button" class=${`button ${fits === null ? "main" : ""}`} onClick=${() => onSave(grams)}>Save ${sayMass(grams, unit)}</button>
      <button type="button" class="button quiet" onClick=${onChange}>Change it</button>
    </div>
  </div>`;
}
