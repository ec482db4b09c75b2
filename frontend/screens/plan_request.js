// Ask for a plan: the latest weight and check, what is eaten now, and which foods it is made of.

import { useRef } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { Chips } from "../parts/fields.js";
import { TextField } from "../parts/fields.js";
import { Tick } from "../parts/fields.js";
import { showFirstError } from "../parts/fields.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";
import { NoDog } from "../parts/no_dog.js";
import { readDog } from "../parts/read_dog.js";
import { todayHere } from "../parts/speech.js";
import { useRole } from "../parts/speech.js";
import { daysBetween } from "../plain/dates.js";
import { kcalOf } from "../plain/portions.js";
import { sayDay } from "../plain/say.js";
import { sayMass } from "../plain/say.js";
import { checkInWords } from "../parts/check_words.js";
import { parseNumber } from "../plain/units.js";
import { inUse } from "./foods.js";

const OLD_DAYS = 14; // an older weight or check is asked about: this project's choice
const MOST_KCAL = 10_000;

const NEW = { chosen: /** @type {Record<string, string>} */ ({}), extras: /** @type {string[]} */ ([]), how: "grams", eaten: /** @type {Record<string, string>} */ ({}), kcal: "", weighed: null, steady: null, treats: "tenth", treatKcal: "" };

/** Energy eaten now, from the grams of each food; a conversion, not a ration. @param {any} form @param {any[]} foods */
function eatenKcal(form, foods) {
  if (form.how === "unknown") return null;
  if (form.how === "kcal") return parseNumber(form.kcal);
  const parts = foods.filter((food) => (form.eaten[food.id] ?? "").trim()).map((food) => {
    const grams = parseNumber(form.eaten[food.id]);
    const energy = food.kcal_per_kg_used ?? food.kcal_per_kg;
    return grams === null || !energy ? null : kcalOf(grams, energy);
  });
  return parts.length && parts.every((part) => part !== null) ? parts.reduce((sum, part) => sum + (part ?? 0), 0) : null;
}

/** @param {any} form @param {any[]} foods */
function read(form, foods) {
  /** @type {Record<string, string>} */
  const errors = {};
  const meals = Object.keys(form.chosen);
  const shares = meals.map((id) => (meals.length === 1 ? 100 : parseNumber(form.chosen[id] ?? "")));
  if (!meals.length) errors["foods"] = "Choose at least one food for the meals.";
  else if (shares.some((share) => share === null || share <= 0)) errors["foods"] = "Give each food's part of the meals in percent, above 0.";
  else if (Math.abs(shares.reduce((/** @type {number} */ sum, share) => sum + (share ?? 0), 0) - 100) > 1) errors["foods"] = "The parts of the meals must make 100% together.";
  const kcal = eatenKcal(form, foods);
  if (form.how !== "unknown") {
    if (kcal === null || kcal < 1 || kcal > MOST_KCAL) errors["eaten"] = form.how === "kcal" ? `Give kcal a day, 1 to ${MOST_KCAL}, or choose “Not known”.` : "Give the grams a day of each food that is fed, or choose “Not known”.";
    if (form.weighed === null) errors["weighed"] = "Choose one.";
    if (form.steady === null) errors["steady"] = "Choose one.";
  }
  const treats = form.treats === "own" ? parseNumber(form.treatKcal) : form.treats === "none" ? 0 : null;
  if (form.treats === "own" && (treats === null || treats > MOST_KCAL)) errors["treats"] = "Give the kcal of treats a day, a number.";
  const whole = shares.reduce((/** @type {number} */ sum, share) => sum + (share ?? 0), 0) || 100;
  return { errors, part: {
    foods: [...meals.map((id, i) => ({ food_id: id, share: (shares[i] ?? 0) / whole })), ...form.extras.map((/** @type {string} */ id) => ({ food_id: id, share: 0 }))],
    intake: form.how === "unknown" ? null : { kcal_per_day: kcal, weighed: form.weighed, weight_steady: form.steady },
    treat_kcal: treats,
  } };
}

/** @param {{facts: any, foods: any[]}} props */
function Ask({ facts, foods }) {
  const { store, settings, go, tell } = useApp();
  const { dog } = facts;
  const { lead } = useRole(dog);
  const today = todayHere();
  const weighIn = facts.weighIns[facts.weighIns.length - 1];
  const check = facts.checks[facts.checks.length - 1];
  const meals = foods.filter((food) => food.role === "meal");
  const others = foods.filter((food) => food.role !== "meal");
  const [form, setForm] = useState(() => ({ ...NEW, chosen: meals.length === 1 ? { [meals[0].id]: "100" } : {} }));
  const [tried, setTried] = useState(false); // errors show after the first try, and go as they are mended
  const element = useRef(/** @type {HTMLFormElement|null} */ (null));
  const { errors: found, part } = read(form, foods);
  /** @type {Record<string, string>} */
  const errors = tried ? found : {};
  const set = (/** @type {string} */ name) => (/** @type {any} */ value) => setForm({ ...form, [name]: value });
  const chosen = meals.filter((food) => food.id in form.chosen);
  const kcal = eatenKcal(form, foods);

  /** @param {string} id @param {boolean} on */
  function choose(id, on) {
    const ids = [...Object.keys(form.chosen).filter((each) => each !== id), ...(on ? [id] : [])];
    const even = Math.floor(100 / (ids.length || 1));
    setForm({ ...form, chosen: Object.fromEntries(ids.map((each, i) => [each, String(i ? even : 100 - even * (ids.length - 1))])) });
  }
  async function submit(/** @type {Event} */ event) {
    event.preventDefault();
    setTried(true);
    if (Object.keys(found).length) return showFirstError(element.current);
    await store.act("plan.request", { dogId: dog.id, data: { weigh_in_id: weighIn.id, check_id: check.id, ...part } });
    go(`#/dogs/${dog.id}/plan`);
    tell({});
  }
  const old = (/** @type {string} */ day) => daysBetween(day, today) > OLD_DAYS;
  const yes = [{ value: true, text: "Yes" }, { value: false, text: "No" }];
  return html`<form ref=${element} onSubmit=${submit} novalidate>
    <div class="sheet">
      <div class="row"><div><h2>Weight</h2><p>${sayMass(weighIn.weight_g, settings.unit)}, ${sayDay(weighIn.local_date, today)}${old(weighIn.local_date) ? ". That is a while ago; weigh again for a better plan." : ""}</p></div><a class="link" href=${`#/weigh?dog=${dog.id}`}>Weigh again</a></div>
      <div class="row"><div><h2>Condition</h2><p>${checkInWords(check)}, ${sayDay(check.local_date, today)}${old(check.local_date) ? ". Feel again for a better plan." : ""}</p></div><a class="link" href=${`#/dogs/${dog.id}/check`}>Check again</a></div>
    </div>
    <div class="stack">
      <fieldset class="group"><legend>Foods the ration is made of</legend>
        ${meals.length === 0 && html`<p class="note attention">${lead ? html`No food yet. <a class="link" href="#/foods/new">Add a food</a>` : "No food yet. A lead of the household adds it."}</p>`}
        ${meals.map((food) => html`<div key=${food.id}><${Tick} label=${food.name} checked=${food.id in form.chosen} onTick=${(/** @type {boolean} */ on) => choose(food.id, on)} />
          ${chosen.length > 1 && food.id in form.chosen && html`<${TextField} id=${`share-${food.id}`} label=${`Part of ${food.name}`} unit="%" inputmode="decimal" value=${form.chosen[food.id] ?? ""} onValue=${(/** @type {string} */ v) => setForm({ ...form, chosen: { ...form.chosen, [food.id]: v } })} />`}</div>`)}
        ${errors["foods"] && html`<p class="error" tabindex="-1">${errors["foods"]}</p>`}
      </fieldset>
      ${others.length > 0 && html`<fieldset class="group"><legend>Treats and extras that are given</legend>
        ${others.map((food) => html`<${Tick} key=${food.id} label=${food.name} checked=${form.extras.includes(food.id)}
          onTick=${(/** @type {boolean} */ on) => setForm({ ...form, extras: on ? [...form.extras, food.id] : form.extras.filter((/** @type {string} */ id) => id !== food.id) })} />`)}</fieldset>`}
      <${Chips} legend="What is eaten now, a day" value=${form.how} onPick=${set("how")} hint="Everything: meals, treats, what others give. It makes the best start if it was weighed."
        options=${[{ value: "grams", text: "In grams" }, { value: "kcal", text: "In kcal" }, { value: "unknown", text: "Not known" }]} />
      ${form.how === "grams" && foods.map((food) => html`<${TextField} key=${food.id} id=${`eaten-${food.id}`} label=${`${food.name} now`} unit="g a day" inputmode="decimal" value=${form.eaten[food.id] ?? ""}
        onValue=${(/** @type {string} */ v) => setForm({ ...form, eaten: { ...form.eaten, [food.id]: v } })} />`)}
      ${form.how === "kcal" && html`<${TextField} label="Energy now" unit="kcal a day" inputmode="decimal" value=${form.kcal} onValue=${set("kcal")} />`}
      ${errors["eaten"] && html`<p class="error" tabindex="-1">${errors["eaten"]}</p>`}
      ${form.how === "grams" && kcal !== null && html`<p class="small">That is ${kcal} kcal a day.</p>`}
      ${form.how !== "unknown" && html`
        <${Chips} legend="Was it weighed on a scale?" value=${form.weighed} onPick=${set("weighed")} options=${yes} error=${errors["weighed"]} />
        <${Chips} legend="Is the weight steady on it?" value=${form.steady} onPick=${set("steady")} options=${yes} error=${errors["steady"]} hint="Neither up nor down for a month." />`}
      <${Chips} legend="Treats in the plan" value=${form.treats} onPick=${set("treats")} options=${[{ value: "tenth", text: "Up to a tenth" }, { value: "none", text: "None" }, { value: "own", text: "So many kcal" }]} />
      ${form.treats === "own" && html`<${TextField} label="Treats a day" unit="kcal" inputmode="decimal" value=${form.treatKcal} onValue=${set("treatKcal")} error=${errors["treats"]} hint="More than a tenth of the day is not planned." />`}
      <button class="button main wide">Ask for a plan</button>
    </div>
  </form>`;
}

/** @param {{id: string}} props */
export function PlanRequest({ id }) {
  const read = useLive(async (store) => {
    const dog = await store.get("dog", id);
    if (!dog) return null;
    const [facts, foods] = await Promise.all([readDog(store, dog), store.list("food")]);
    return { facts, foods: inUse(foods.filter((/** @type {any} */ food) => food.household_id === dog.household_id)) };
  }, [id]);
  const dog = read?.facts.dog;
  const { records, known } = useRole(dog);
  if (read === null) return html`<${NoDog} />`;
  const rests = dog?.closed ? `The record of ${dog.name} is closed. A lead can reopen it.` : dog?.paused ? `${dog.name} is paused: end the pause first, on the page of the dog.` : "";
  const lacks = read && (!read.facts.weighIns.length ? { text: "A plan needs a weight first.", href: `#/weigh?dog=${id}`, name: "Weigh" }
    : !read.facts.checks.length ? { text: "A plan needs a condition check first: the hand on the ribs decides.", href: `#/dogs/${id}/check`, name: "Check condition" } : null);
  return html`<${Screen} title=${dog ? `A plan for ${dog.name}` : "A plan"} back=${{ href: `#/dogs/${id}`, text: dog?.name ?? "Dog" }}>
    ${!read || !known ? html`<${Reading} />`
      : !records ? html`<p class="note pad">You may look, not ask: a carer or a lead asks for plans.</p>`
      : rests ? html`<p class="note pad">${rests}</p>`
      : lacks ? html`<div class="stack"><p>${lacks.text}</p><a class="button main wide" href=${lacks.href}>${lacks.name}</a></div>`
      : html`<${Ask} facts=${read.facts} foods=${read.foods} />`}
  <//>`;
}
