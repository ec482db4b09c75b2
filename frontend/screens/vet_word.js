// A vet's word: what a vet allowed, recorded by a lead. It opens one gate, and only until it ends.

import { useRef } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { TextField } from "../parts/fields.js";
import { showFirstError } from "../parts/fields.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { NoDog } from "../parts/no_dog.js";
import { useDog } from "../parts/no_dog.js";
import { todayHere } from "../parts/speech.js";
import { useRole } from "../parts/speech.js";
import { COVERS } from "../plain/covers.js";
import { coveredBy } from "../plain/covers.js";

const WHAT = /** @type {Record<string, string>} */ ({
  plan: "A weight plan for this dog as it is", floor_0_7: "Less food than the usual floor, down to 0.7 of resting energy", target_below_70pct: "A target below 70% of today's weight",
});

/** @param {{id: string}} props */
export function VetWord({ id }) {
  const { store, go, tell } = useApp();
  const today = todayHere();
  const dog = useDog(id);
  const { lead, known } = useRole(dog);
  const [form, setForm] = useState({ by: "", on: today, until: "", covers: "" });
  const [errors, setErrors] = useState(/** @type {Record<string, string>} */ ({}));
  const element = useRef(/** @type {HTMLFormElement|null} */ (null));
  const set = (/** @type {string} */ name) => (/** @type {string} */ value) => setForm({ ...form, [name]: value });
  async function submit(/** @type {Event} */ event) {
    event.preventDefault();
    /** @type {Record<string, string>} */
    const found = {};
    if (!form.by.trim()) found["by"] = "Give the vet's name.";
    if (!form.covers) found["covers"] = "Choose what the vet allowed.";
    if (!form.on || form.on > today) found["on"] = "Give the day, today or before.";
    if (form.until && form.until < form.on) found["until"] = "The end cannot be before the day it was given.";
    setErrors(found);
    if (Object.keys(found).length) return showFirstError(element.current);
    const { entityId } = await store.act("vet_word.add", { dogId: id, data: { on: form.on, by: form.by.trim(), covers: form.covers, until: form.until || null } });
    go(`#/dogs/${id}`);
    tell({ undo: () => store.act("vet_word.end", { entityId, dogId: id, data: { on: today } }) });
  }
  if (dog === null) return html`<${NoDog} />`;
  const choices = [...Object.keys(COVERS).map((word) => ({ word, text: WHAT[word] ?? word })),
    ...(dog?.conditions ?? []).map((/** @type {string} */ word) => ({ word: `condition:${word}`, text: `A plan although noted: ${coveredBy(`condition:${word}`)}` }))];
  return html`<${Screen} title="A vet's word" back=${{ href: `#/dogs/${id}`, text: dog?.name ?? "Dog" }}>
    ${dog?.closed ? html`<p class="note pad">The record of ${dog.name} is closed. A lead can reopen it.</p>` : dog && known && !lead ? html`<p class="note pad">Only a lead of the household records a vet's word.</p>` : html`<form ref=${element} class="stack" onSubmit=${submit} novalidate>
      <p>Record only what a vet who knows ${dog?.name ?? "the dog"} has said. It opens this one gate, and the weekly review asks again when it ends.</p>
      <${TextField} label="Name of the vet" value=${form.by} onValue=${set("by")} error=${errors["by"]} maxlength="80" />
      <fieldset class="group"><legend>What the vet allowed</legend>${choices.map(({ word, text }) => html`<label class="pick text" key=${word}>
        <input type="radio" name="covers" checked=${form.covers === word} onChange=${() => set("covers")(word)} /><span>${text}</span></label>`)}
        ${errors["covers"] && html`<p class="error" tabindex="-1">${errors["covers"]}</p>`}</fieldset>
      <${TextField} label="Said on" type="date" max=${today} value=${form.on} onValue=${set("on")} error=${errors["on"]} />
      <${TextField} label="Holds until" type="date" value=${form.until} onValue=${set("until")} error=${errors["until"]} hint="Leave empty if the vet named no end." />
      <button class="button main wide">Save the vet's word</button>
    </form>`}
  <//>`;
}
