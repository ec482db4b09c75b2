// "Why?" beside a figure: the rule and its source, shown when asked.

import { WHY } from "../plain/sources.js";
import { html } from "./html.js";

/** @param {{of: keyof typeof WHY, about: string, more?: unknown}} props about: what it explains, for whoever hears and does not see; more: figures of this dog */
export function Why({ of, about, more }) {
  const { rule, source } = WHY[of];
  return html`<details class="why"><summary>Why?<span class="unseen"> ${about}</span></summary>
    <div>${more && html`<p>${more}</p>`}<p>${rule}</p><p class="small">Source: ${source}</p></div></details>`;
}
