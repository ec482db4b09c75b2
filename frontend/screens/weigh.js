// Weighing: one thumb, two taps from Today. Last dog and last scale are chosen already.

import { useEffect } from "../vendor/hooks.js";
import { useRef } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { Chips } from "../parts/fields.js";
import { TextField } from "../parts/fields.js";
import { Keypad } from "../parts/keypad.js";
import { tidied } from "../parts/keypad.js";
import { typed } from "../parts/keypad.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";
import { lookedAfter } from "../parts/read_dog.js";
import { roleTowards } from "../parts/read_dog.js";
import { SavedNote } from "../parts/frame.js";
import { WeightQuestion } from "../parts/weight_question.js";
import { daysBetween } from "../plain/dates.js";
import { instantOf } from "../plain/dates.js";
import { isoWithOffset } from "../plain/dates.js";
import { localDate } from "../plain/dates.js";
import { phoneZone } from "../plain/dates.js";
import { oddWeight } from "../plain/units.js";
import { otherUnit } from "../plain/say.js";
import { plainWeight } from "../plain/say.js";
import { sayDay } from "../plain/say.js";
import { sayMass } from "../plain/say.js";
import { sayThan } from "../plain/say.js";
import { parseNumber } from "../plain/units.js";
import { parseWeight } from "../plain/units.js";

const USUAL_SCALES = ["Home", "Clinic"];
const MOST_CHIPS = 4;
const OTHER = "\u0000other";

/** Scales this dog stood on, the last one first, then the usual ones. @param {any[]} weighIns oldest first */
function scalesOf(weighIns) {
  const used = [...weighIns].reverse().map((row) => row.scale).filter((name) => name);
  return [...new Set([...used, ...USUAL_SCALES])].slice(0, MOST_CHIPS);
}

/** @param {any[]} rows */
const counting = (rows) => rows.filter((row) => !row.voided && !row.replaced_by)
  .sort((a, b) => (a.local_date + a.measured_at < b.local_date + b.measured_at ? -1 : 1));

/** @param {string} text @param {"kg"|"lb"} unit */
function gramsIn(text, unit) {
  const weight = parseWeight(text, unit);
  return "grams" in weight ? weight.grams : null;
}

/** Person with the dog, less the person; people are heavier than any dog that may be entered.
 * @param {string} both @param {string} person @param {"kg"|"lb"} unit */
function heldGrams(both, person, unit) {
  const [more, less] = [parseNumber(both), parseNumber(person)];
  if (more === null || less === null) return null;
  return gramsIn(String(Math.round((more - less) * 100) / 100), unit);
}

/** The line under the number. @param {number|null} grams @param {any} last @param {"kg"|"lb"} unit @param {string} today */
function said(grams, last, unit, today) {
  if (grams === null) return last ? `Last: ${sayMass(last.weight_g, unit)}, ${sayDay(last.local_date, today)}` : "The first weight of this dog";
  const apart = last ? grams - last.weight_g : 0;
  const change = !last ? "" : apart === 0 ? `Same as ${sayThan(last.local_date, today)}` : `${sayMass(Math.abs(apart), unit)} ${apart < 0 ? "less" : "more"} than ${sayThan(last.local_date, today)}`;
  return [change, otherUnit(grams, unit)].filter(Boolean).join(" · ");
}

/** @param {{dogs: any[], first: any, correct: any|null}} props first: the dog chosen; correct: the weigh-in to put right */
function WeighDog({ dogs, first, correct }) {
  const { store, settings, change, tell, go, note, undo } = useApp();
  const { unit } = settings;
  const tz = phoneZone();
  const today = localDate(Date.now(), tz);
  const [dog, setDog] = useState(first);
  const [text, setText] = useState(correct ? plainWeight(correct.weight_g, unit) : "");
  const [both, setBoth] = useState(/** @type {string|null} */ (null)); // person with the dog; null: the dog stands alone
  const [heldTurn, setHeldTurn] = useState(false); // which of the two readings the keys go to
  const [scale, setScale] = useState(/** @type {string|null} */ (correct?.scale ?? null));
  const [ownScale, setOwnScale] = useState("");
  const [day, setDay] = useState(correct?.local_date ?? today);
  const [more, setMore] = useState(false);
  const [ask, setAsk] = useState(/** @type {number|null} */ (null));
  const [error, setError] = useState("");
  const field = useRef(/** @type {HTMLInputElement|null} */ (null));
  const rows = useLive((from) => from.byDog("weigh_in", dog.id), [dog.id]);
  const weighIns = counting(rows ?? []).filter((row) => row.id !== correct?.id);
  const last = weighIns[weighIns.length - 1] ?? null;
  const scales = scalesOf(weighIns);
  const chosen = scale ?? scales[0];
  const below = useRef(/** @type {HTMLElement|null} */ (null));
  useEffect(() => { if (note) below.current?.scrollIntoView({ block: "nearest" }); }, [note]);
  useEffect(() => { setAsk(null); setError(""); }, [text, dog.id, unit, both]);
  useEffect(() => { if (matchMedia("(hover: hover)").matches) field.current?.focus(); }, []);

  const grams = both === null ? gramsIn(text, unit) : heldGrams(both, text, unit);

  async function save(/** @type {number|null} */ wanted, sure = false) {
    if (wanted === null) {
      const range = parseWeight("", unit);
      const span = "low" in range ? `from ${range.low.toFixed(1)} to ${range.high.toFixed(0)} ${unit}` : "";
      return setError(both !== null && both && text ? `You with the dog, less you alone, must be ${span}.` : `Give a weight ${span}.`);
    }
    if (!sure && oddWeight(wanted, last)) {
      tell(null); // the note about the entry before would lie under the question
      return setAsk(wanted);
    }
    const name = (chosen === OTHER ? ownScale : chosen)?.trim();
    if (!name) return setError("Name the scale, so that weigh-ins on it can be compared.");
    const data = { weight_g: wanted, scale: name.slice(0, 40), method: both === null ? "platform" : "held" };
    const instant = day === today ? Date.now() : instantOf(day, "12:00", tz);
    const when = correct && day === correct.local_date
      ? { measuredAt: correct.measured_at, localDate: correct.local_date, tz: correct.tz ?? tz }
      : { measuredAt: isoWithOffset(instant, tz), localDate: day, tz };
    const { entityId } = correct
      ? await store.act("weigh_in.replace", { dogId: dog.id, data: { ...data, replaces: correct.id }, ...when })
      : await store.act("weigh_in.add", { dogId: dog.id, data, ...when });
    await store.meta.set("last_dog", dog.id);
    setText(""); setBoth(null); setScale(name); setDay(today); setAsk(null); setMore(false);
    if (correct) go(`#/dogs/${dog.id}`);
    tell({
      text: `${dog.name}, ${sayMass(wanted, unit)}. Saved on this phone.`,
      undo: correct ? undefined : () => store.act("weigh_in.void", { entityId, dogId: dog.id, data: { reason: "undone" } }),
    });
  }
  const press = (/** @type {string} */ key) => (heldTurn && both !== null ? setBoth(typed(both, key)) : setText(typed(text, key)));
  const name = (/** @type {string} */ what) => `${what} in ${unit === "kg" ? "kilograms" : "pounds"}`;
  const entry = (/** @type {string} */ label, /** @type {string} */ value, /** @type {(text: string) => void} */ put, /** @type {boolean} */ turn) => html`
    <input ref=${turn ? null : field} aria-label=${name(label)} inputmode="none" autocomplete="off" enterkeyhint="done" placeholder="0" value=${value}
      style=${{ width: `${Math.max(1, value.length) + 0.15}ch` }} onFocus=${() => setHeldTurn(turn)}
      onInput=${(/** @type {any} */ e) => { const tidy = tidied(e.target.value); put(tidy); e.target.value = tidy; }} />`;

  return html`<${Screen} title=${correct ? `Correct ${dog.name}` : `Weigh ${dog.name}`} ownNote back=${correct ? { href: `#/dogs/${dog.id}`, text: dog.name } : undefined}>
    <form onSubmit=${(/** @type {Event} */ e) => { e.preventDefault(); save(grams); }} novalidate>
      ${!correct && dogs.length > 1 && (dogs.length <= MOST_CHIPS
        ? html`<div class="pad oneline"><${Chips} legend="Dog" value=${dog.id} onPick=${(/** @type {string} */ id) => { setDog(dogs.find((d) => d.id === id)); setScale(null); }} options=${dogs.map((d) => ({ value: d.id, text: d.name }))} /></div>`
        : html`<div class="field which"><select aria-label="Dog" value=${dog.id} onChange=${(/** @type {any} */ e) => { setDog(dogs.find((d) => d.id === e.target.value)); setScale(null); }}>
            ${dogs.map((d) => html`<option value=${d.id} selected=${d.id === dog.id}>${d.name}</option>`)}</select></div>`)}
      ${both !== null && html`<p class="said">You with ${dog.name}</p><div class="entry">${entry("You with the dog", both, setBoth, true)}<span class="unit" aria-hidden="true">${unit}</span></div><p class="said">You alone</p>`}
      <div class="entry">${entry(both === null ? "Weight" : "You alone", text, setText, false)}
        <button type="button" class="unit link" aria-label=${`Unit: ${unit}. Change to ${unit === "kg" ? "lb" : "kg"}`} onClick=${() => change({ unit: unit === "kg" ? "lb" : "kg" })}>${unit}</button></div>
      <p class="said" aria-live="polite">${both !== null && grams !== null ? html`<b>${dog.name}: ${sayMass(grams, unit)}</b> · ` : ""}${said(grams, last, unit, today)}</p>
      <div class="pad oneline">
        <${Chips} legend="Which scale?" value=${chosen} onPick=${setScale} options=${[...scales.map((s) => ({ value: s, text: s })), { value: OTHER, text: "Other" }]} />
        ${chosen === OTHER && html`<${TextField} label="Name of the scale" value=${ownScale} onValue=${setOwnScale} maxlength="40" />`}
      </div>
      <${Keypad} onKey=${press} />
      <div class="stack">
        ${error && html`<p class="error" role="alert">${error}</p>`}
        ${ask !== null ? html`<${WeightQuestion} grams=${ask} typed=${text} last=${last} unit=${unit} today=${today} direct=${both === null}
            onSave=${(/** @type {number} */ sure) => save(sure, true)} onChange=${() => { setAsk(null); field.current?.focus(); }} />`
          : html`<button class="button main wide">Save</button>`}
        <div ref=${below}>${note && html`<${SavedNote} note=${note} onUndo=${undo} />`}</div>
        <details class="more" open=${more} onToggle=${(/** @type {any} */ e) => setMore(e.target.open)}><summary>${day === today && both === null ? "Another day, or held in your arms" : "Day and way of weighing"}</summary>
          <div class="stack tight">
            <${TextField} label="Day of the weigh-in" type="date" max=${today} value=${day} onValue=${(/** @type {string} */ v) => v && daysBetween(v, today) >= 0 && setDay(v)} />
            <${Chips} legend="Way of weighing" value=${both === null ? "alone" : "held"} onPick=${(/** @type {string} */ how) => { setBoth(how === "held" ? "" : null); setHeldTurn(how === "held"); setText(""); }}
              hint="Held: weigh yourself with the dog, then yourself alone. It is less exact, most of all for small dogs."
              options=${[{ value: "alone", text: "Dog alone" }, { value: "held", text: "Held" }]} />
          </div></details>
      </div>
    </form>
  <//>`;
}

/** @param {{dog?: string, correct?: string}} props dog: the one asked for */
export function Weigh({ dog, correct }) {
  const { households } = useApp();
  const read = useLive(async (from) => {
    const may = (/** @type {any} */ d) => roleTowards(d, households).records;
    const asked = correct ? ((await from.get("weigh_in", correct))?.dog_id ?? null) : dog;
    const place = (/** @type {any} */ d) => households.findIndex((home) => home.id === d.household_id) + (d.paused ? 99 : 0);
    const here = lookedAfter(await from.list("dog"));
    const dogs = here.filter(may).sort((a, b) => place(a) - place(b));
    const wanted = dog ?? (await from.meta.get("last_dog"));
    const wrong = correct ? await from.get("weigh_in", correct) : null;
    // Never another dog than the one asked for: its weight would be kept under the wrong name.
    if (asked !== undefined && !dogs.some((d) => d.id === asked)) return { dogs, wrong, here, first: null, lost: true };
    return { dogs, wrong, here, lost: false, first: dogs.find((d) => d.id === (wrong?.dog_id ?? wanted)) ?? dogs[0] ?? null };
  }, [households, dog, correct]);
  if (!read || (read.here.length > 0 && households.length === 0)) return html`<${Screen} title="Weigh"><${Reading} /><//>`;
  if (!read.first) {
    return html`<${Screen} title="Weigh"><div class="stack"><p>${read.lost ? "The dog or weigh-in that was asked for is not here, its record is closed, or you may only look at it."
      : read.here.length ? "You may look at the dogs here, not weigh them: a carer or a lead of the household does." : "There is no dog here to weigh yet."}</p><a class="button main wide" href="#/dogs">Dogs</a></div><//>`;
  }
  return html`<${WeighDog} key=${(dog ?? "") + (correct ?? "")} dogs=${read.dogs} first=${read.first} correct=${read.wrong} />`;
}
