// Every weigh-in of a dog in a table: correct it, take it back, use a set-aside one after all.

import { useState } from "../vendor/hooks.js";
import { asideInWords } from "../plain/words.js";
import { sayDay } from "../plain/say.js";
import { sayMass } from "../plain/say.js";
import { html } from "./html.js";
import { useApp } from "./live.js";
import { setAside } from "./trend_data.js";

const SHOWN_FIRST = 8;

/** @param {{facts: any, role: any, today: string}} props */
export function WeighIns({ facts, role, today }) {
  const { store, settings, user, tell } = useApp();
  const [all, setAll] = useState(false);
  const [open, setOpen] = useState(""); // the row whose actions are shown
  const { dog, allWeighIns, review } = facts;
  const rows = allWeighIns.filter((/** @type {any} */ row) => !row.replaced_by);
  const shown = all ? rows : rows.slice(0, SHOWN_FIRST);
  if (!rows.length) return null;
  const act = async (/** @type {any} */ row, /** @type {string} */ kind, /** @type {object} */ data, /** @type {object} */ back) => {
    await store.act(kind, { entityId: row.id, dogId: dog.id, data });
    setOpen("");
    tell({ undo: () => store.act(kind, { entityId: row.id, dogId: dog.id, data: back }) });
  };
  return html`<section class="sheet" aria-label="Weigh-ins">
    <div class="row"><h2>Weigh-ins</h2><span class="small">${rows.length}</span></div>
    <div class="scroll"><table>
      <thead class="unseen"><tr><th scope="col">Day, scale, by</th><th scope="col">Weight</th><th scope="col">Change</th></tr></thead>
      ${shown.map((/** @type {any} */ row) => {
        const when = sayDay(row.local_date, today);
        const aside = row.voided ? null : setAside(row, review);
        const mine = !dog.closed && (role.lead || (role.records && row.by?.id === user.id));
        const named = html`<span class="unseen"> ${sayMass(row.weight_g, settings.unit)}, ${when}</span>`;
        const about = [row.scale, row.method === "held" && !/held/i.test(row.scale) ? "held" : "", row.by?.name, row.pending ? "not sent yet" : "", row.flagged_future ? "dated ahead" : "", row.replaces ? "corrected" : ""];
        return html`<tbody key=${row.id}><tr>
          <td><span class=${row.voided ? "gone" : ""}>${when.charAt(0).toUpperCase() + when.slice(1)}</span><br /><span class="small">${about.filter(Boolean).join(" · ")}</span>
            ${row.voided && html`<br /><span class="small">Taken back</span>`}
            ${aside && html`<p class="small marked attention">Set aside: ${asideInWords(aside)}</p>`}
            ${row.use === true && html`<br /><span class="small">Used, on someone's word</span>`}</td>
          <td class=${`num ${row.voided || aside ? "gone" : ""}`}>${sayMass(row.weight_g, settings.unit)}</td>
          <td class="num tight">${(mine || aside) && role.records && !dog.closed && html`<button type="button" class="link" aria-expanded=${open === row.id} onClick=${() => setOpen(open === row.id ? "" : row.id)}>Change${named}</button>`}</td>
        </tr>${open === row.id && html`<tr class="more"><td colspan="3"><div class="chips">
          ${aside && html`<button type="button" class="button slim" onClick=${() => act(row, "weigh_in.use", { use: true }, { use: false })}>Use it after all</button>`}
          ${mine && !row.voided && html`<a class="button slim" href=${`#/weigh?dog=${dog.id}&correct=${row.id}`}>Correct</a><button type="button" class="button slim" onClick=${() => act(row, "weigh_in.void", { void: true }, { void: false })}>Take back</button>`}
          ${mine && row.voided && html`<button type="button" class="button slim" onClick=${() => act(row, "weigh_in.void", { void: false }, { void: true })}>Bring back</button>`}
        </div></td></tr>`}</tbody>`;
      })}
    </table></div>
    ${rows.length > shown.length && html`<div class="pad"><button type="button" class="button quiet wide" onClick=${() => setAll(true)}>Show all ${rows.length}</button></div>`}
  </section>`;
}
