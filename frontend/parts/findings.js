// Cautions, refusals and reasons in words, each with its bar, what to do, and its source.

import { html } from "./html.js";
import { inWords } from "../plain/words.js";

/** @import {Finding, Speech} from "../plain/words.js" */

/** @param {{kind: "refusal"|"caution"|"reason"|"alert", finding: Finding, say: Speech}} props */
export function FindingNote({ kind, finding, say }) {
  const words = inWords(kind, finding, say);
  return html`<div class=${`note ${words.tone}`}><p><b>${words.text}</b></p>${words.todo && html`<p>${words.todo}</p>`}
    ${words.source && html`<p class="small">${capital(words.source)}</p>`}</div>`;
}

/** @param {string} text */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** Weighty ones open, the rest folded under one line.
 * @param {{cautions: Finding[], say: Speech, only?: "weighty"|"rest"}} props only: one part, where what must be
 *   read before a yes stands above the figures and the rest below them */
export function Cautions({ cautions, say, only }) {
  const worded = cautions.map((finding) => ({ finding, words: inWords("caution", finding, say) }));
  const weighty = only === "rest" ? [] : worded.filter(({ words }) => words.tone);
  const rest = only === "weighty" ? [] : worded.filter(({ words }) => !words.tone);
  if (!weighty.length && !rest.length) return null;
  return html`<section class="stack tight" aria-label=${only === "rest" ? "More to know" : "Cautions"}>
    ${weighty.map(({ finding }) => html`<${FindingNote} key=${finding.code} kind="caution" finding=${finding} say=${say} />`)}
    ${rest.length > 0 && html`<details class="more" open=${weighty.length === 0 && rest.length < 3}><summary>${rest.length === 1 ? "One thing more to know" : `${rest.length} things more to know`}</summary>
      <ul class="list">${rest.map(({ finding, words }) => html`<li class="marked" key=${finding.code}>${words.text} ${words.todo}<br /><span class="small">${capital(words.source)}</span></li>`)}</ul></details>`}
  </section>`;
}
