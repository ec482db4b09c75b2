// What Tuckline is not, what it warns of, where its rules come from, and what nobody knows.

import { html } from "../parts/html.js";
import { Screen } from "../parts/frame.js";
import { CAUTIONS } from "../plain/sources.js";
import { NOT_KNOWN } from "../plain/sources.js";
import { WHY } from "../plain/sources.js";

const NAMES = /** @type {Record<keyof typeof WHY, string>} */ ({
  score: "The score", target: "The target", first_goal: "The first goal", energy: "Energy a day", resting: "Resting energy", holding: "A ration that holds",
  steps: "Two steps down", weeks: "How many weeks", treats: "Treats", ration: "Grams and cups", rate: "The trend", need: "What a dog seems to need",
  forecast: "When the target may come", change: "Changes of the ration", after: "After the target",
});

export function Cautions() {
  return html`<${Screen} title="Cautions and sources" back=${{ href: "#/settings", text: "Settings" }}>
    <ul class="sheet">${CAUTIONS.map(({ text, source }) => html`<li class="row plain"><p class="ink">${text}</p><p class="small">${source}</p></li>`)}</ul>
    <h2 class="section">What nobody knows</h2>
    <ul class="sheet">${NOT_KNOWN.map((text) => html`<li class="row plain">${text}</li>`)}</ul>
    <h2 class="section">Where each figure comes from</h2>
    <div class="sheet">${(/** @type {[keyof typeof WHY, any][]} */ (Object.entries(WHY))).map(([key, { rule, source }]) => html`<div class="row plain"><h3>${NAMES[key]}</h3><p>${rule}</p><p class="small">${source}</p></div>`)}</div>
  <//>`;
}
