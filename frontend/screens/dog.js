// One dog: the sentence, the trend, the review, the ration, what was felt, and every weigh-in.

import { html } from "../parts/html.js";
import { checkInWords } from "../parts/check_words.js";
import { fullAnswers } from "../parts/check_words.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";
import { readDog } from "../parts/read_dog.js";
import { Ration } from "../parts/ration.js";
import { fedSince } from "../parts/ration.js";
import { rationRests } from "../parts/ration.js";
import { reviewStands } from "../parts/ration.js";
import { ReviewCard } from "../parts/review_card.js";
import { todayHere } from "../parts/speech.js";
import { useRole } from "../parts/speech.js";
import { TrendChart } from "../parts/trend_chart.js";
import { drawnFrom } from "../parts/trend_data.js";
import { inWordsFor } from "../parts/trend_data.js";
import { WeighIns } from "../parts/weigh_ins.js";
import { coveredBy } from "../plain/covers.js";
import { sayDate } from "../plain/say.js";
import { sayDay } from "../plain/say.js";
import { tellDog } from "../plain/tell.js";

/** @param {string} text */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** @param {{facts: any, role: any, today: string}} props */
function Fed({ facts, role, today }) {
  const { dog, inForce, asked } = facts;
  const plan = `#/dogs/${dog.id}/plan`;
  if (!inForce) {
    return html`<div class="sheet"><div class="row"><div><h2>Plan</h2><p>${asked ? "One was asked for." : "None yet. It needs a weight and a condition check."}</p></div>
      ${((role.records && !dog.closed && !dog.paused) || asked) && html`<a class="link" href=${asked ? plan : `#/dogs/${dog.id}/ask`}>Plan</a>`}</div></div>`;
  }
  const stopped = rationRests(inForce, dog);
  return html`<section aria-label="Ration">
    <div class="sheet"><div class="row"><div><h2>Ration</h2><p>${stopped ? "stopped for now" : `since ${sayDate(fedSince(inForce, today), today)}${inForce.kcal_per_day ? ` · ${Math.round(inForce.kcal_per_day)} kcal a day` : ""}`}</p></div><a class="link" href=${plan}>Plan</a></div>
    ${!stopped && html`<${Ration} rows=${inForce.ration} treatKcalMax=${inForce.treat_kcal_max} />`}</div>
  </section>`;
}

/** @param {{facts: any, role: any, today: string}} props */
function Felt({ facts, role, today }) {
  const { store, tell } = useApp();
  const { dog, checks } = facts;
  const last = checks[checks.length - 1];
  const takeBack = async () => {
    await store.act("check.void", { entityId: last.id, dogId: dog.id, data: {} });
    tell({ undo: () => store.act("check.void", { entityId: last.id, dogId: dog.id, data: { void: false } }) });
  };
  return html`<section class="sheet" aria-label="Condition">
    <div class="row"><div><h2>Condition</h2><p>${last ? `${capital(sayDay(last.local_date, today))}${last.by?.name ? `, ${last.by.name}` : ""}: ${checkInWords(last)}` : "Never checked. The hand on the ribs decides."}</p></div>
      ${role.records && !dog.closed && html`<a class="link" href=${`#/dogs/${dog.id}/check`}>Check condition</a>`}</div>
    ${last && html`<details class="more pad"><summary>What was answered</summary><ul class="list">
      ${fullAnswers(last).map((text) => html`<li class="small">${text}</li>`)}${last.score && html`<li class="small">Score ${last.score} of 9${last.note ? `: ${last.note}` : ""}</li>`}</ul>
      ${checks.length > 1 && html`<h3>Before</h3><ul class="list">${[...checks].reverse().slice(1, 7).map((check) => html`<li class="small">${sayDate(check.local_date, today)}: ${checkInWords(check)}</li>`)}</ul>`}
      ${role.records && !dog.closed && html`<button type="button" class="link" onClick=${takeBack}>Take back this check</button>`}</details>`}
  </section>`;
}

/** @param {{facts: any, role: any, today: string}} props */
function VetWords({ facts, role, today }) {
  const { store, tell } = useApp();
  const { dog, vetWords } = facts;
  if (!vetWords.length && (!role.lead || dog.closed)) return null;
  const end = async (/** @type {any} */ word) => {
    await store.act("vet_word.end", { entityId: word.id, dogId: dog.id, data: { on: today } });
    tell({ text: "Ended. Saved on this phone." });
  };
  return html`<section class="sheet" aria-label="Vet's words">
    <div class="row"><div><h2>Vet's words</h2>${vetWords.length === 0 && html`<p>None recorded.</p>`}</div>${role.lead && !dog.closed && html`<a class="link" href=${`#/dogs/${dog.id}/vet`}>Add<span class="unseen"> a vet's word</span></a>`}</div>
    ${vetWords.map((/** @type {any} */ word) => html`<div class="row" key=${word.id}><div><h3>${coveredBy(word.covers)}</h3><p>${word.by}, ${sayDate(word.on, today)}${word.until ? `, until ${sayDate(word.until, today)}` : ""}</p></div>
      ${role.lead && !dog.closed && html`<button type="button" class="link" onClick=${() => end(word)}>End<span class="unseen">: ${coveredBy(word.covers)}</span></button>`}</div>`)}
  </section>`;
}

/** @param {{dog: any, role: any, today: string}} props */
function Resting({ dog, role, today }) {
  const { store, tell } = useApp();
  const goOn = async () => {
    await store.act(dog.closed ? "dog.archive" : "dog.pause", { entityId: dog.id, dogId: dog.id, data: dog.closed ? { closed: null } : { paused: null } });
    tell({});
  };
  if (!dog.paused && !dog.closed) return null;
  const may = dog.closed ? role.lead : role.records;
  return html`<div class="note"><p>${dog.closed ? `This record is closed since ${sayDate(dog.closed.on, today)}. It stays to be read.` : `Paused since ${sayDate(dog.paused.since, today)}. Plan, reviews and reminders rest.`}</p>
    ${may && html`<button type="button" class="link" onClick=${goOn}>${dog.closed ? "Reopen" : "Go on"}</button>`}</div>`;
}

/** @param {{id: string}} props */
export function Dog({ id }) {
  const { settings } = useApp();
  const facts = useLive(async (store) => {
    const dog = await store.get("dog", id);
    return dog ? readDog(store, dog) : null;
  }, [id]);
  const role = useRole(facts?.dog);
  const today = todayHere();
  if (facts === undefined) return html`<${Screen} title="Dog"><${Reading} /><//>`;
  if (facts === null) {
    return html`<${Screen} title="No such dog here" back=${{ href: "#/dogs", text: "Dogs" }}><p class="pad">This dog is not on this phone. It may no longer be shared with you.</p><//>`;
  }
  const { dog, review, inForce } = facts;
  const told = tellDog(facts, { today, unit: settings.unit, role });
  const drawn = drawnFrom(facts, today);
  return html`<${Screen} title=${dog.name} back=${{ href: "#/dogs", text: "Dogs" }}>
    ${!dog.closed && html`<div class="tell"><p class=${told.tone ? `marked ${told.tone}` : ""}>${told.text}</p></div>`}
    <${Resting} dog=${dog} role=${role} today=${today} />
    ${role.known && !role.records && html`<p class="small pad">You may look at ${dog.name}, not change anything: a carer or a lead of the household does.</p>`}
    ${!dog.closed && role.records && html`<div class="actions">
      ${told.next && !told.next.href.startsWith("#/weigh") && html`<a class="button main" href=${told.next.href}>${told.next.text}</a>`}
      <a class="button" href=${`#/weigh?dog=${dog.id}`}>Weigh ${dog.name}</a></div>`}
    ${drawn && html`<section class="sheet pad" aria-label="Trend"><${TrendChart} drawn=${drawn} unit=${settings.unit} label=${inWordsFor(facts, drawn, settings.unit, today)} /></section>`}
    ${review && inForce && reviewStands(review, dog) && html`<${ReviewCard} review=${review} plan=${inForce} dog=${dog} />`}
    <div class="gap"></div>
    <${Fed} facts=${facts} role=${role} today=${today} />
    <${Felt} facts=${facts} role=${role} today=${today} />
    <${VetWords} facts=${facts} role=${role} today=${today} />
    <${WeighIns} facts=${facts} role=${role} today=${today} />
    <nav class="sheet" aria-label=${`More about ${dog.name}`}>
      ${role.lead && !dog.closed && html`<a class="row" href=${`#/dogs/${id}/edit`}><h3>What is known of ${dog.name}</h3></a>`}
      ${role.records && !dog.closed && html`<a class="row" href=${`#/dogs/${id}/rest`}><h3>Pause or close the record</h3></a>`}
    </nav>
  <//>`;
}
