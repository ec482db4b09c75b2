// A ration in words: grams first, cups second. Figures are the server's; nothing is computed here.

import { html } from "./html.js";

/** The day since which this ration is fed: of its last change that was accepted. @param {any} plan @param {string} today */
export function fedSince(plan, today) {
  const days = (plan.changes ?? []).filter((/** @type {any} */ c) => c.answer === "accepted" && c.on <= today).map((/** @type {any} */ c) => c.on).sort();
  return days[days.length - 1] ?? plan.accepted_on ?? plan.local_date;
}

/** Whether a ration rests: the server stopped it, or it will as soon as it hears what is noted of the dog here.
 * @param {any} plan @param {any} dog */
export function rationRests(plan, dog) {
  return plan.state !== "active" || Boolean(dog.paused || dog.closed) || (dog.reproduction ?? "none") !== "none";
}

/** A review of before the pause, or of before puppies were noted, is no advice now. @param {any} review @param {any} dog */
export function reviewStands(review, dog) {
  if (dog.paused || dog.closed) return false;
  return (dog.reproduction ?? "none") === "none" || review.result.decision.action === "suspended";
}

/** @param {{rows: any[], treatKcalMax: number|null|undefined}} props */
export function Ration({ rows, treatKcalMax }) {
  return html`<ul>${rows.map((row) => html`<li class="row" key=${row.food}>
      <div><h3>${row.food}</h3><p>${row.cups_label ? `about ${row.cups_label} · ` : ""}${row.kcal} kcal</p></div>
      <span class="weight">${row.grams} <small>g a day</small></span></li>`)}
    ${treatKcalMax !== null && treatKcalMax !== undefined && html`<li class="row"><div><h3>Treats and extras</h3><p>${treatKcalMax ? "everything beside the meals, chews too" : "none"}</p></div>
      <span class="weight">${treatKcalMax} <small>kcal at most</small></span></li>`}
  </ul>`;
}
