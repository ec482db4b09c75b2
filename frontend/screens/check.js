// Condition check: the ribs by hand first, then from above, then from the side, then the muscle. Or a
// score that a vet gave. Nothing is kept until "Save check".

import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { Muscle } from "../parts/drawn_looks.js";
import { Ribs } from "../parts/drawn_looks.js";
import { Tuck } from "../parts/drawn_looks.js";
import { Waist } from "../parts/drawn_looks.js";
import { Screen } from "../parts/frame.js";
import { Reading } from "../parts/frame.js";
import { TextField } from "../parts/fields.js";
import { useApp } from "../parts/live.js";
import { NoDog } from "../parts/no_dog.js";
import { OnlyLook } from "../parts/no_dog.js";
import { mayNotRecord } from "../parts/no_dog.js";
import { useDog } from "../parts/no_dog.js";
import { useRole } from "../parts/speech.js";
import { ASKED } from "../plain/looks.js";
import { MUSCLE } from "../plain/looks.js";
import { RIBS } from "../plain/looks.js";
import { TUCK } from "../plain/looks.js";
import { WAIST } from "../plain/looks.js";
import { underQuestion } from "../plain/looks.js";

/** @import {Answer} from "../plain/looks.js" */
/** @typedef {"ribs"|"waist"|"tuck"|"muscle"} Look */

/** @type {Record<Look, Answer[]>} */
const ANSWERS = { ribs: RIBS, waist: WAIST, tuck: TUCK, muscle: MUSCLE };
/** @type {Look[]} */
const STEPS = ["ribs", "waist", "tuck", "muscle"];

/** How to look; a long coat hides the waist, so there the hands do it. @param {Look} look @param {boolean} longCoat */
function howTo(look, longCoat) {
  if (look === "ribs") return "Flat hand, light strokes along the side, just behind the elbow. Through a thick coat, work the fingers down to the skin.";
  if (look === "waist") {
    return longCoat
      ? "A long coat hides the waist. Run both hands along the body, from the ribs to the hips, and feel how the sides go."
      : "Stand over the dog, all four feet on the ground. Look at the sides behind the ribs.";
  }
  if (look === "tuck") return "Kneel beside the standing dog, eyes at the height of its belly. Look at the line from the chest to the thigh.";
  return "Feel along the spine, over the shoulder blades and the hips. This is about muscle, not fat: a fat dog can lack muscle. The picture is the back cut across, the spine in its middle.";
}

/** @param {{look: Look, value: string|undefined, onPick: (word: string) => void}} props */
function Picks({ look, value, onPick }) {
  const drawing = (/** @type {number} */ i, /** @type {string} */ word) => {
    if (look === "muscle") return html`<${Muscle} word=${word} />`;
    const Drawn = { ribs: Ribs, waist: Waist, tuck: Tuck }[look];
    return html`<${Drawn} level=${i + 1} />`;
  };
  return html`<fieldset class="stack tight">
    <legend class="unseen">${ASKED[look]}</legend>
    ${ANSWERS[look].map((answer, i) => html`<label class="pick" key=${answer.word}>
      <input type="radio" name=${look} checked=${value === answer.word} onChange=${() => onPick(answer.word)} />
      ${drawing(i, answer.word)}<span>${underQuestion(answer)}</span></label>`)}
  </fieldset>`;
}

const BIAS = html`<div class="note">Most owners judge their dog too lean: of 110 owners nearly two in three were off, almost all of them too low,
  and a chart hardly helped. Trust the fingers, not the eye. <span class="small">Eastland-Jones et al. 2014, Journal of Nutritional Science 3:e45</span></div>`;

/** @param {{dog: any}} props */
function Looks({ dog }) {
  const { store, go, tell } = useApp();
  const [step, setStep] = useState(0);
  const [found, setFound] = useState(/** @type {Partial<Record<Look, string>>} */ ({}));
  const [missing, setMissing] = useState(false);
  const look = STEPS[step];
  const home = `#/dogs/${dog.id}`;

  async function save() {
    const { entityId } = await store.act("check.add", { dogId: dog.id, data: { ...found } });
    go(home);
    tell({ undo: () => store.act("check.void", { entityId, dogId: dog.id, data: {} }) });
  }
  function next() {
    if (look && !found[look]) return setMissing(true);
    setMissing(false);
    setStep(step + 1);
  }
  const goBack = step > 0 && html`<button type="button" class="button quiet" onClick=${() => { setMissing(false); setStep(step - 1); }}>Back</button>`;

  if (!look) {
    return html`<${Screen} title=${`${dog.name}: what you found`} back=${{ href: home, text: dog.name }}>
      <dl class="sheet">${STEPS.map((name, i) => html`<div class="row">
        <div><dt class="small">${ASKED[name]}</dt><dd>${underQuestion(/** @type {Answer} */ (ANSWERS[name].find((a) => a.word === found[name])))}</dd></div>
        <button type="button" class="link" onClick=${() => setStep(i)}>Change<span class="unseen">: ${ASKED[name]}</span></button>
      </div>`)}</dl>
      <div class="stack">
        ${found.muscle !== "normal" && html`<p class="note vet">Muscle that is less than normal can come from illness. Let a vet look at ${dog.name} before it gets less food.</p>`}
        <button type="button" class="button main wide" onClick=${save}>Save check</button>
        ${goBack}
      </div>
    <//>`;
  }
  return html`<${Screen} title=${ASKED[look]} back=${{ href: home, text: dog.name }} aside=${html`<span class="small">${step + 1} of ${STEPS.length}</span>`}>
    <p class="tell small">${howTo(look, dog.coat === "long")}</p>
    <${Picks} look=${look} value=${found[look]} onPick=${(/** @type {string} */ word) => { setMissing(false); setFound({ ...found, [look]: word }); }} />
    <div class="stack">
      ${step === 0 && BIAS}
      ${missing && html`<p class="error" role="alert">Choose the picture that comes closest.</p>`}
      <button type="button" class="button main wide" onClick=${next}>Next</button>
      ${goBack}
      ${step === 0 && html`<a class="link" href=${`#/dogs/${dog.id}/score`}>I have a score from a vet</a>`}
    </div>
  <//>`;
}

/** @param {{id: string}} props */
export function Check({ id }) {
  const dog = useDog(id);
  const role = useRole(dog);
  if (dog === undefined || !role.known) return html`<${Screen} title="Condition check"><${Reading} /><//>`;
  if (dog === null) return html`<${NoDog} />`;
  const no = mayNotRecord(dog, role);
  return no ? html`<${OnlyLook} dog=${dog} title="Condition check" text=${no} />` : html`<${Looks} dog=${dog} />`;
}

/** A score from 1 to 9 that a vet gave. @param {{id: string}} props */
export function VetScore({ id }) {
  const dog = useDog(id);
  const role = useRole(dog);
  if (dog === undefined || !role.known) return html`<${Screen} title="A score from a vet"><${Reading} /><//>`;
  if (dog === null) return html`<${NoDog} />`;
  const no = mayNotRecord(dog, role);
  return no ? html`<${OnlyLook} dog=${dog} title="A score from a vet" text=${no} />` : html`<${Scored} id=${id} />`;
}

/** @param {{id: string}} props */
function Scored({ id }) {
  const { store, go, tell } = useApp();
  const [score, setScore] = useState(/** @type {number|null} */ (null));
  const [muscle, setMuscle] = useState("normal");
  const [note, setNote] = useState("");
  const [missing, setMissing] = useState(false);
  async function save() {
    if (score === null) return setMissing(true);
    const data = { score, muscle, ...(note.trim() ? { note: note.trim() } : {}) };
    const { entityId } = await store.act("check.add", { dogId: id, data });
    go(`#/dogs/${id}`);
    tell({ undo: () => store.act("check.void", { entityId, dogId: id, data: {} }) });
  }
  return html`<${Screen} title="A score from a vet" back=${{ href: `#/dogs/${id}/check`, text: "Condition check" }}>
    <div class="stack">
      <fieldset class="group"><legend>Body condition score, 1 to 9</legend>
        <p class="hint">1–3 lean · 4–5 right · 6–8 too heavy · 9 far too heavy. A score out of 5 is another scale: ask which one it was.</p>
        <div class="chips">${[1, 2, 3, 4, 5, 6, 7, 8, 9].map((n) => html`<label class="chip"><input type="radio" name="score" checked=${score === n}
          onChange=${() => { setScore(n); setMissing(false); }} /><span>${n}</span></label>`)}</div>
        ${missing && html`<p class="error" role="alert">Choose the score that the vet gave.</p>`}
      </fieldset>
      <fieldset class="group"><legend>Muscle</legend>
        <div class="chips">${MUSCLE.map(({ word }) => html`<label class="chip"><input type="radio" name="muscle" checked=${muscle === word}
          onChange=${() => setMuscle(word)} /><span>${word === "normal" ? word : `${word} loss`}</span></label>`)}</div>
      </fieldset>
      <${TextField} label="Vet or note" value=${note} onValue=${setNote} maxlength="200" />
      <button type="button" class="button main wide" onClick=${save}>Save check</button>
    </div>
  <//>`;
}
