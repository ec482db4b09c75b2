// Let a dog rest (pause), or close its record: one tap each, a way back, and no reminders after.

import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { NoDog } from "../parts/no_dog.js";
import { useDog } from "../parts/no_dog.js";
import { todayHere } from "../parts/speech.js";
import { useRole } from "../parts/speech.js";

const PAUSES = [["illness", "Ill"], ["surgery", "Surgery"], ["boarding", "Away, boarding"], ["heat", "In heat"], ["lost", "Lost"], ["other", "Something else"]];
const CLOSINGS = [["rehomed", "Has a new home"], ["died", "Has died"], ["other", "Something else"]];

/** @param {{id: string}} props */
export function Rest({ id }) {
  const { store, go, tell } = useApp();
  const today = todayHere();
  const dog = useDog(id);
  const { lead, records, known } = useRole(dog);
  const [closing, setClosing] = useState(false);
  const put = async (/** @type {string} */ kind, /** @type {object} */ data, /** @type {object} */ back, /** @type {string} */ text) => {
    await store.act(kind, { entityId: id, dogId: id, data });
    go(kind === "dog.archive" ? "#/dogs" : `#/dogs/${id}`);
    tell({ text, undo: () => store.act(kind, { entityId: id, dogId: id, data: back }) });
  };
  if (dog === undefined) return html`<${Screen} title="Pause or close"><${Reading} /><//>`;
  if (dog === null) return html`<${NoDog} />`;
  return html`<${Screen} title=${`Pause or close: ${dog.name}`} back=${{ href: `#/dogs/${id}`, text: dog.name }}>
    ${records && html`<section class="stack"><h2>Pause</h2><p>Plan, reviews and reminders rest. Nothing is lost, and one tap goes on.</p>
      <div class="chips">${PAUSES.map(([reason, text]) => html`<button type="button" class="button slim quiet" key=${reason}
        onClick=${() => put("dog.pause", { paused: { reason, since: today } }, { paused: null }, `${dog.name} is paused. Saved on this phone.`)}>${text}</button>`)}</div></section>`}
    ${lead && html`<section class="stack"><h2>Close the record</h2>
      ${closing ? html`<p>The history stays and can be read. There will be no reminders.</p>
        <div class="chips">${CLOSINGS.map(([reason, text]) => html`<button type="button" class="button slim quiet" key=${reason}
          onClick=${() => put("dog.archive", { closed: { reason, on: today } }, { closed: null }, reason === "died" ? `We are sorry. ${dog.name}'s record is closed and kept. Saved on this phone.` : `${dog.name}'s record is closed and kept. Saved on this phone.`)}>${text}</button>`)}</div>`
        : html`<p>When ${dog.name} is no longer looked after here.</p><button type="button" class="button quiet" onClick=${() => setClosing(true)}>Close the record</button>`}
    </section>`}
    ${known && !records && html`<p class="note pad">A carer or a lead does this.</p>`}
  <//>`;
}
