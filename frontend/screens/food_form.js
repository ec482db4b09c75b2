// A food from its label: printed energy in whatever unit, or the analysis where no energy is printed.

import { useEffect } from "../vendor/hooks.js";
import { useRef } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { Chips } from "../parts/fields.js";
import { TextField } from "../parts/fields.js";
import { showFirstError } from "../parts/fields.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";
import { parseNumber } from "../plain/units.js";

const KJ_PER_KCAL = 4.184; // the thermochemical calorie, exact by definition
const LEAST_KCAL_PER_KG = 100;
const MOST_KCAL_PER_KG = 9500;
const LIGHTEST_CUP = 20;
const HEAVIEST_CUP = 400;

/** How much of one printed unit is one kcal per kg. */
const PRINTED = /** @type {Record<string, {text: string, factor: number}>} */ ({
  kcal_kg: { text: "kcal per kg", factor: 1 },
  kcal_100g: { text: "kcal per 100 g", factor: 10 },
  kj_100g: { text: "kJ per 100 g", factor: 10 / KJ_PER_KCAL },
  kj_kg: { text: "kJ per kg", factor: 1 / KJ_PER_KCAL },
});
const ANALYSIS = /** @type {[string, string, boolean][]} */ ([
  ["protein_pct", "Protein", true], ["fat_pct", "Fat", true], ["fibre_pct", "Fibre", true],
  ["moisture_pct", "Moisture", true], ["ash_pct", "Ash", false],
]);
const EMPTY = { name: "", role: "meal", purpose: "maintenance", unit: "kcal_kg", energy: "", form: "dry", cup: "" };

/** @param {any} food */
function typedFrom(food) {
  const label = food.label ?? {};
  const parts = Object.fromEntries(ANALYSIS.map(([key]) => [key, label[key] === null || label[key] === undefined ? "" : String(label[key])]));
  return {
    ...EMPTY, ...parts, name: food.name, role: food.role, purpose: food.purpose, form: label.form ?? "dry",
    unit: food.kcal_per_kg ? "kcal_kg" : "analysis", energy: food.kcal_per_kg ? String(food.kcal_per_kg) : "",
    cup: food.grams_per_cup ? String(food.grams_per_cup) : "",
  };
}

/** @param {any} typed */
function read(typed) {
  /** @type {Record<string, string>} */
  const errors = {};
  /** @type {Record<string, any>} */
  const data = { name: typed.name.trim(), role: typed.role, purpose: typed.role === "meal" ? typed.purpose : "maintenance", grams_per_cup: null };
  if (!data["name"]) errors["name"] = "Give the food's name as on the bag.";
  if (typed.unit === "analysis") {
    /** @type {Record<string, unknown>} */
    const label = { form: typed.form };
    let sum = 0;
    for (const [key, name, needed] of ANALYSIS) {
      const value = parseNumber(typed[key] ?? "");
      if (value === null && (needed || typed[key]?.trim())) errors[key] = `${name}: give percent as printed, 0 to 100.`;
      else if (value !== null && value > 100) errors[key] = `${name} cannot be over 100%.`;
      label[key] = value;
      sum += value ?? 0;
    }
    if (sum > 100) errors["moisture_pct"] = `Together these make ${Math.round(sum)}%; more than 100% cannot be. Look at the label again.`;
    data["label"] = label;
  } else {
    const printed = parseNumber(typed.energy);
    const kcal = printed === null ? null : Math.round(printed * (PRINTED[typed.unit]?.factor ?? 1) * 10) / 10;
    if (kcal === null) errors["energy"] = "Give the energy as printed, a number.";
    else if (kcal < LEAST_KCAL_PER_KG || kcal > MOST_KCAL_PER_KG) {
      errors["energy"] = `That would be ${Math.round(kcal)} kcal per kg; foods have ${LEAST_KCAL_PER_KG} to ${MOST_KCAL_PER_KG}. Is the unit right?`;
    }
    data["kcal_per_kg"] = kcal;
  }
  if (typed.cup.trim()) {
    const cup = parseNumber(typed.cup);
    if (cup === null || cup < LIGHTEST_CUP || cup > HEAVIEST_CUP) errors["cup"] = `Give ${LIGHTEST_CUP} to ${HEAVIEST_CUP} g, or leave it empty.`;
    else data["grams_per_cup"] = cup;
  }
  return { data, errors };
}

/** @param {{food: any|null, homes: any[]}} props food: the one to change, or null for a new one */
function Form({ food, homes }) {
  const { store, go, tell } = useApp();
  const [typed, setTyped] = useState(() => (food ? typedFrom(food) : /** @type {any} */ (EMPTY)));
  const [home, setHome] = useState(food?.household_id ?? homes[0]?.id);
  const [tried, setTried] = useState(false); // errors show after the first try, and go as they are mended
  const element = useRef(/** @type {HTMLFormElement|null} */ (null));
  const { data, errors: found } = read(typed);
  /** @type {Record<string, string>} */
  const errors = tried ? found : {};
  const set = (/** @type {string} */ name) => (/** @type {any} */ value) => setTyped({ ...typed, [name]: value });

  async function submit(/** @type {Event} */ event) {
    event.preventDefault();
    setTried(true);
    if (Object.keys(found).length) return showFirstError(element.current);
    if (food) await store.act("food.version", { data: { ...data, household_id: home, replaces: food.id } });
    else await store.act("food.add", { data: { ...data, household_id: home } });
    go("#/foods");
    tell({});
  }
  async function retire() {
    await store.act("food.retire", { entityId: food.id, data: { retired: true } });
    go("#/foods");
    tell({ undo: () => store.act("food.retire", { entityId: food.id, data: { retired: false } }) });
  }
  const shown = PRINTED[typed.unit];
  const kcal = shown && parseNumber(typed.energy);
  return html`<form ref=${element} class="stack" onSubmit=${submit} novalidate>
    ${!food && homes.length > 1 && html`<${Chips} legend="Household" value=${home} onPick=${setHome} options=${homes.map((h) => ({ value: h.id, text: h.name }))} />`}
    <${TextField} label="Name" value=${typed.name} onValue=${set("name")} error=${errors["name"]} maxlength="80" autocomplete="off" />
    <${Chips} legend="Fed as" value=${typed.role} onPick=${set("role")} options=${[{ value: "meal", text: "Meal" }, { value: "treat", text: "Treat" }, { value: "extra", text: "Extra" }]} />
    <${Chips} legend="Energy on the label" value=${typed.unit} onPick=${set("unit")}
      options=${[...Object.entries(PRINTED).map(([value, { text }]) => ({ value, text })), { value: "analysis", text: "Not printed" }]} />
    ${shown ? html`<${TextField} label="Energy" unit=${shown.text} inputmode="decimal" value=${typed.energy} onValue=${set("energy")} error=${errors["energy"]}
        hint=${kcal && typed.unit !== "kcal_kg" ? `= ${Math.round(kcal * shown.factor)} kcal per kg` : "Look for “metabolisable energy”, ME or kcal."} />`
      : html`<p class="small">The analysis stands on the bag in small print, in percent as fed. The energy worked out from it is approximate.</p>
        <${Chips} legend="Form" value=${typed.form} onPick=${set("form")} options=${[{ value: "dry", text: "Dry" }, { value: "wet", text: "Wet" }]} />
        ${ANALYSIS.map(([key, name, needed]) => html`<${TextField} key=${key} label=${name} unit="%" inputmode="decimal" value=${typed[key] ?? ""} onValue=${set(key)} error=${errors[key]}
          hint=${needed ? undefined : "Leave empty if not printed."} />`)}`}
    ${typed.role === "meal" && html`<${Chips} legend="Made for" value=${typed.purpose} onPick=${set("purpose")}
      options=${[{ value: "maintenance", text: "Ordinary feeding" }, { value: "weight_loss", text: "Weight loss" }, { value: "prescription", text: "Prescribed by a vet" }]} />`}
    <${TextField} label="Grams in one level cup" unit="g" inputmode="decimal" value=${typed.cup} onValue=${set("cup")} error=${errors["cup"]}
      hint="Weigh one level cup of this food on a kitchen scale; leave empty if you weigh every meal, which is better." />
    <button class="button main wide">Save food</button>
    ${food && html`<p class="small">A change makes a new version; plans in force keep the one they were made with.</p>
      <button type="button" class="button quiet wide" onClick=${retire}>No longer fed</button>`}
  </form>`;
}

/** @param {{id?: string}} props */
export function FoodForm({ id }) {
  const { households } = useApp();
  const homes = households.filter((home) => home.role === "lead");
  const stored = useLive(async (store) => (id ? ((await store.get("food", id)) ?? null) : null), [id]);
  const [food, setFood] = useState(/** @type {any} */ (undefined)); // as first read: a pull must not move the form
  useEffect(() => { if (stored !== undefined && food === undefined) setFood(stored); }, [stored]);
  return html`<${Screen} title=${id ? "Change a food" : "Add a food"} back=${{ href: "#/foods", text: "Foods" }}>
    ${food === undefined || households.length === 0 ? html`<${Reading} />`
      : id && food === null ? html`<p class="note pad">This food is not on this phone.</p>`
      : food && !homes.some((home) => home.id === food.household_id) ? html`<p class="note pad">Only a lead of its household changes a food.</p>`
      : food?.retired || food?.replaced_by ? html`<p class="note pad">This food is no longer fed, or has a newer version in the list of foods.</p>`
      : homes.length ? html`<${Form} food=${food} homes=${homes} />`
      : html`<p class="note pad">Only a lead of a household adds foods.</p>`}
  <//>`;
}
