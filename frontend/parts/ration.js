// A ration in words: grams first, cups second. Figures are the server's; nothing is computed here.

import { html } from "./html.js";

/** @param {{rows: any[], treatKcalMax: number|null|undefined}} props */
export function Ration({ rows, treatKcalMax }) {
  return html`<ul>${rows.map((row) => html`<li class="row" key=${row.food}>
      <div><h3>${row.food}</h3><p>${row.cups_label ? `about ${row.cups_label} · ` : ""}${row.kcal} kcal</p></div>
      <span class="weight">${row.grams}<small>g a day</small></span></li>`)}
    ${treatKcalMax !== null && treatKcalMax !== undefined && html`<li class="row"><div><h3>Treats and extras</h3><p>${treatKcalMax ? "everything beside the meals, chews too" : "none"}</p></div>
      <span class="weight">${treatKcalMax}<small>kcal at most</small></span></li>`}
  </ul>`;
}
