// Add a dog, or change what is known of one.

import { useEffect } from "../vendor/hooks.js";
import { useRef } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { BreedField } from "../parts/breed_field.js";
import { Chips } from "../parts/fields.js";
import { TextField } from "../parts/fields.js";
import { Tick } from "../parts/fields.js";
import { showFirstError } from "../parts/fields.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { NoDog } from "../parts/no_dog.js";
import { useDog } from "../parts/no_dog.js";
import { CONDITIONS } from "../plain/conditions.js";
import { localDate } from "../plain/dates.js";
import { phoneZone } from "../plain/dates.js";
import { plainWeight } from "../plain/say.js";
import { parseWeight } from "../plain/units.js";

const NEW_DOG = {
  household_id: null, name: "", sex: null, neutered: null, birth_date: null, grown: null, breed: null, frame: null,
  coat: "short", reproduction: "none", conditions: [], lean_weight_g: null, adult_weight_g: null,
};
const FIELDS = Object.keys(NEW_DOG).filter((name) => name !== "household_id");

/** What the form holds besides the dog: texts still being typed. @param {any} dog @param {"kg"|"lb"} unit */
function typedFrom(dog, unit) {
  const text = (/** @type {number|null} */ grams) => (grams ? plainWeight(grams, unit) : "");
  return { lean: text(dog.lean_weight_g), adult: text(dog.adult_weight_g), known: dog.grown === null ? "date" : "guess", kind: dog.breed ? "breed" : "mixed" };
}

/** @param {any} dog @param {any} typed @param {"kg"|"lb"} unit @param {string} today */
function read(dog, typed, unit, today) {
  /** @type {Record<string, string>} */
  const errors = {};
  const data = { ...dog };
  data.name = dog.name.trim();
  if (!data.name) errors["name"] = "Give the dog's name.";
  if (!dog.sex) errors["sex"] = "Choose female or male.";
  if (dog.neutered === null) errors["neutered"] = "Choose yes or no.";
  if (typed.known === "date") {
    data.grown = null;
    if (!dog.birth_date) errors["birth_date"] = "Give the day of birth, or choose “Not known”.";
    else if (dog.birth_date > today) errors["birth_date"] = "This day has not come yet.";
  } else {
    data.birth_date = null;
    if (dog.grown === null) errors["grown"] = "Choose what you know; “don't know” is an answer too.";
  }
  if (typed.kind === "mixed") data.breed = null;
  else if (!dog.breed) errors["breed"] = "Choose a breed from the list, or “Mixed or not known”.";
  if (dog.sex === "male") data.reproduction = "none";
  for (const [text, field] of [[typed.lean, "lean_weight_g"], [typed.adult, "adult_weight_g"]]) {
    const weight = parseWeight(text, unit);
    if ("grams" in weight) data[field] = weight.grams;
    else if (weight.code === "empty") data[field] = null;
    else errors[field] = `Give a weight from ${weight.low.toFixed(1)} to ${weight.high.toFixed(0)} ${unit}, or leave it empty.`;
  }
  return { data, errors };
}

/** @param {{start: any, leadOf: any[], editing: boolean}} props */
function Form({ start, leadOf, editing }) {
  const { store, settings, go, tell } = useApp();
  const today = localDate(Date.now(), phoneZone());
  const [dog, setDog] = useState({ ...start, household_id: start.household_id ?? leadOf[0]?.id ?? null });
  const [typed, setTyped] = useState(() => typedFrom(start, settings.unit));
  const [tried, setTried] = useState(false); // errors show after the first try, and go as they are mended
  const element = useRef(/** @type {HTMLFormElement|null} */ (null));
  const { data, errors: found } = read(dog, typed, settings.unit, today);
  /** @type {Record<string, string>} */
  const errors = tried ? found : {};
  const set = (/** @type {string} */ name) => (/** @type {any} */ value) => setDog({ ...dog, [name]: value });
  const type = (/** @type {string} */ name) => (/** @type {any} */ value) => setTyped({ ...typed, [name]: value });

  async function submit(/** @type {Event} */ event) {
    event.preventDefault();
    setTried(true);
    if (Object.keys(found).length) return showFirstError(element.current);
    if (!editing) {
      const { entityId } = await store.act("dog.add", { data });
      go(`#/dogs/${entityId}`);
      return tell({});
    }
    const keys = [...FIELDS, "carer_may_accept"].filter((name) => JSON.stringify(data[name] ?? null) !== JSON.stringify(start[name] ?? null));
    if (keys.length) {
      const change = Object.fromEntries(keys.map((name) => [name, data[name]]));
      await store.act("dog.edit", { entityId: start.id, dogId: start.id, data: change });
      tell({});
    }
    go(`#/dogs/${start.id}`);
  }

  const options = (/** @type {[unknown, string][]} */ ...pairs) => pairs.map(([value, text]) => ({ value, text }));
  return html`<form ref=${element} onSubmit=${submit} novalidate class="stack">
    ${!editing && leadOf.length > 1 && html`<${Chips} legend="Household" value=${dog.household_id} onPick=${set("household_id")}
      options=${leadOf.map((home) => ({ value: home.id, text: home.name }))} />`}
    <${TextField} label="Name" value=${dog.name} onValue=${set("name")} error=${errors["name"]} maxlength="60" autocomplete="off" />
    <${Chips} legend="Sex" value=${dog.sex} onPick=${set("sex")} error=${errors["sex"]} options=${options(["female", "Female"], ["male", "Male"])} />
    <${Chips} legend="Neutered" value=${dog.neutered} onPick=${set("neutered")} error=${errors["neutered"]} options=${options([true, "Yes"], [false, "No"])} />
    <${Chips} legend="Birthday" value=${typed.known} onPick=${type("known")} options=${options(["date", "Known"], ["guess", "Not known"])} />
    ${typed.known === "date"
      ? html`<${TextField} label="Born on" type="date" max=${today} value=${dog.birth_date ?? ""} onValue=${set("birth_date")} error=${errors["birth_date"]} hint="A guess at the month is good enough for a grown dog." />`
      : html`<${Chips} legend="Fully grown?" value=${dog.grown} onPick=${set("grown")} error=${errors["grown"]}
          hint="A growing dog gets no reduced ration. If nobody knows, a vet can tell the age." options=${options([true, "Yes"], [false, "No"], ["unknown", "Don't know"])} />`}
    <${Chips} legend="Breed" value=${typed.kind} onPick=${type("kind")} options=${options(["mixed", "Mixed or not known"], ["breed", "A breed"])} />
    ${typed.kind === "breed" && html`<${BreedField} value=${dog.breed} sex=${dog.sex} onPick=${set("breed")} error=${errors["breed"]} />`}
    <${Chips} legend="Frame" value=${dog.frame} onPick=${set("frame")} hint="The bones, not the fat." options=${options(["small", "Small"], ["medium", "Medium"], ["large", "Large"], [null, "Don't know"])} />
    <${Chips} legend="Coat" value=${dog.coat} onPick=${set("coat")} options=${options(["short", "Short"], ["medium", "Medium"], ["long", "Long"])} />
    ${dog.sex === "female" && html`<${Chips} legend="Puppies" value=${dog.reproduction} onPick=${set("reproduction")}
      options=${options(["none", "None"], ["pregnant", "Pregnant"], ["nursing", "Nursing"])} />`}
    <details class="more" open=${dog.conditions.length > 0}>
      <summary>Illness, medicine or a prescribed diet${dog.conditions.length ? ` (${dog.conditions.length})` : ""}</summary>
      <p class="small">Tick what is so. Each of these needs a vet's word before a ration changes.</p>
      ${CONDITIONS.map(({ word, text }) => html`<${Tick} key=${word} label=${text} checked=${dog.conditions.includes(word)}
        onTick=${(/** @type {boolean} */ on) => setDog({ ...dog, conditions: on ? [...dog.conditions, word] : dog.conditions.filter((/** @type {string} */ w) => w !== word) })} />`)}
    </details>
    <details class="more" open=${Boolean(typed.lean || typed.adult)}>
      <summary>Weights from the past</summary>
      <div class="stack tight">
        <${TextField} label="Weight while in good shape" unit=${settings.unit} inputmode="decimal" value=${typed.lean} onValue=${type("lean")} error=${errors["lean_weight_g"]}
          hint="From a vet's record, when ribs and waist were right. It beats every formula." />
        <${TextField} label="Weight when just grown" unit=${settings.unit} inputmode="decimal" value=${typed.adult} onValue=${type("adult")} error=${errors["adult_weight_g"]}
          hint="Tells how long a dog of this size grows." />
      </div>
    </details>
    ${editing && html`<${Tick} label="Carers may accept ration changes" checked=${Boolean(dog.carer_may_accept)} onTick=${set("carer_may_accept")}
      hint="Otherwise only a lead of the household says yes." />`}
    <button class="button main wide">Save dog</button>
  </form>`;
}

export function AddDog() {
  const { households, settings } = useApp();
  const leadOf = households.filter((home) => home.role === "lead");
  return html`<${Screen} title="Add a dog" back=${{ href: "#/dogs", text: "Dogs" }}>
    ${households.length === 0 ? html`<${Reading} />` : leadOf.length
      ? html`<${Form} key=${settings.unit} start=${NEW_DOG} leadOf=${leadOf} editing=${false} />`
      : html`<p class="note pad">Only a lead of a household adds dogs. Ask the person who invited you.</p>`}
  <//>`;
}

/** @param {{id: string}} props */
export function EditDog({ id }) {
  const { households, go } = useApp();
  const dog = useDog(id);
  const [start, setStart] = useState(/** @type {any} */ (null)); // as first read: a pull must not move the form
  useEffect(() => { if (dog && !start) setStart(dog); }, [dog]);
  if (dog === null) return html`<${NoDog} />`;
  const mayEdit = dog && households.some((home) => home.id === dog.household_id && home.role === "lead");
  return html`<${Screen} title=${dog ? `About ${dog.name}` : "Dog"} back=${{ href: `#/dogs/${id}`, text: dog?.name ?? "Back" }}>
    ${!start || households.length === 0 ? html`<${Reading} />`
      : dog?.closed ? html`<p class="note pad">The record of ${dog.name} is closed. A lead can reopen it.</p>`
      : mayEdit ? html`<${Form} start=${start} leadOf=${[]} editing=${true} />`
      : html`<div class="stack"><p class="note">Only a lead of the household changes this.</p>
          <button class="button" onClick=${() => go(`#/dogs/${id}`)}>Back</button></div>`}
  <//>`;
}
