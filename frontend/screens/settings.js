// Settings of this phone, and everything about entries that the server does not have yet.

import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { Chips } from "../parts/fields.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";
import { useStatus } from "../parts/live.js";
import { saveFile } from "../parts/save_file.js";
import { opInWords } from "../parts/op_words.js";
import { counted } from "../plain/say.js";
import { TONGUE } from "../plain/say.js";
import { inWords } from "../plain/words.js";
import { activateUpdate } from "../store/worker.js";

const WHEN = new Intl.DateTimeFormat(TONGUE, { dateStyle: "medium", timeStyle: "short" });
const SIGNAL = /** @type {Record<string, string>} */ ({
  all_sent: "The server answers.", waiting: "Entries are on their way.", no_signal: "The server does not answer now; it is tried again by itself.",
  signed_out: "The server asks to sign in again.", update_needed: "The server needs a newer version of this app.",
});

/** @param {{item: any, names: Map<string, string>}} props */
function Attention({ item, names }) {
  const { store, settings } = useApp();
  const say = { name: names.get(item.dog_id) ?? "this dog", mass: String, day: String };
  const words = inWords("alert", { code: item.code, values: {} }, say);
  return html`<li class="row plain">
    <h3>${opInWords(item, names, settings.unit)}</h3>
    <p class="marked attention">${item.text || words.text} ${words.todo}</p>
    <button type="button" class="link" onClick=${() => store.retry(item.seq)}>Try again</button>
    <button type="button" class="link spaced" onClick=${() => store.dismiss(item.seq)}>Remove<span class="unseen">: ${opInWords(item, names, settings.unit)}</span></button>
  </li>`;
}

export function Settings() {
  const { store, settings, change, user, updateReady } = useApp();
  const status = useStatus();
  const [asked, setAsked] = useState(false);
  const read = useLive(async (from) => ({
    waiting: await from.waitingOps(), attention: await from.attention(),
    names: new Map((await from.list("dog")).map((/** @type {any} */ dog) => [dog.id, dog.name])),
  }), []);
  const unsent = (read?.waiting.length ?? 0) + (read?.attention.length ?? 0);
  const name = status?.signal === "signed_out" ? html`<a class="link" href="#/signin">Sign in again</a>` : null;
  return html`<${Screen} title="Settings">
    <div class="stack">
      <${Chips} legend="Unit of weight" value=${settings.unit} onPick=${(/** @type {string} */ unit) => change({ unit })} options=${[{ value: "kg", text: "kg" }, { value: "lb", text: "lb" }]} />
      <${Chips} legend="Light and dark" value=${settings.theme} onPick=${(/** @type {string} */ theme) => change({ theme })} options=${[{ value: "auto", text: "As the phone" }, { value: "light", text: "Light" }, { value: "dark", text: "Dark" }]} />
    </div>
    <h2 class="section">Entries and the server</h2>
    <div class="sheet">
      <div class="row"><div><h3>${status?.syncing ? "Talking to the server…" : SIGNAL[status?.signal ?? ""] ?? ""}</h3><p>Last answer: ${status?.lastContact ? WHEN.format(status.lastContact) : "none yet"}</p></div>
        ${name ?? html`<button type="button" class="link" onClick=${() => store.syncNow().catch(() => {})}>Try now</button>`}</div>
      ${read && unsent === 0 && html`<p class="row plain">Everything is sent.</p>`}
      ${read && read.waiting.length > 0 && html`<details class="more pad" open><summary>${counted(read.waiting.length, "entry waits", "entries wait")} to be sent</summary>
        <ul class="list">${read.waiting.map((/** @type {any} */ op) => html`<li class="small" key=${op.op_id}>${opInWords(op, read.names, settings.unit)}, ${WHEN.format(op.saved_at)}</li>`)}</ul></details>`}
      ${unsent > 0 && html`<div class="row"><p>A file of what is unsent, to be safe.</p><button type="button" class="link" onClick=${async () => saveFile(await store.exportUnsent())}>Save a file</button></div>`}
    </div>
    ${read && read.attention.length > 0 && html`<h2 class="section">Needs you: the server did not take these</h2><ul class="sheet">${read.attention.map((/** @type {any} */ item) => html`<${Attention} key=${item.seq} item=${item} names=${read.names} />`)}</ul>`}
    <h2 class="section">This phone</h2>
    <div class="sheet">
      <div class="row"><div><h3>Storage</h3><p>${status?.persisted === true ? "The browser promised to keep entries." : status?.persisted === false ? "The browser may clear entries when space is short. Adding Tuckline to the Home Screen helps." : "The browser is asked after the first entry."}</p></div></div>
      ${updateReady && html`<div class="row"><div><h3>A new version is ready</h3><p>Nothing typed is lost if you wait.</p></div><button type="button" class="link" onClick=${activateUpdate}>Update</button></div>`}
      <a class="row" href="#/cautions"><h3>Cautions and sources</h3></a>
      <details class="more pad" onToggle=${() => setAsked(true)}><summary>The app does not start right?</summary>${asked && html`<p>This fetches the app anew. Entries on this phone stay.</p><a class="link" href="/reset-app">Fetch the app anew</a>`}</details>
    </div>
    <h2 class="section">Account</h2>
    <div class="sheet"><div class="row"><div><h3>${user.name}</h3><p>${user.email}</p></div><a class="link" href="#/signout">Sign out</a></div></div>
  <//>`;
}
