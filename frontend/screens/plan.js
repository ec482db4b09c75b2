// The plan of a dog: what waits for an answer first, then what is fed now.

import { html } from "../parts/html.js";
import { Cautions } from "../parts/findings.js";
import { FindingNote } from "../parts/findings.js";
import { PlanResult } from "../parts/plan_result.js";
import { HoldingRation } from "../parts/plan_result.js";
import { ReviewCard } from "../parts/review_card.js";
import { Ration } from "../parts/ration.js";
import { fedSince } from "../parts/ration.js";
import { rationRests } from "../parts/ration.js";
import { reviewStands } from "../parts/ration.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";
import { NoDog } from "../parts/no_dog.js";
import { readDog } from "../parts/read_dog.js";
import { todayHere } from "../parts/speech.js";
import { useRole } from "../parts/speech.js";
import { useSpeech } from "../parts/speech.js";
import { sayDate } from "../plain/say.js";

/** @param {{plan: any, dog: any}} props */
function Waiting({ plan, dog }) {
  if (plan.problem) {
    return html`<div class="stack"><div class="note attention" role="alert"><p><b>The plan could not be worked out.</b></p><p>${plan.problem}</p></div>
      <a class="button main wide" href=${`#/dogs/${dog.id}/ask`}>Ask again</a></div>`;
  }
  return html`<div class="stack" role="status">
    <p class="tell flush">The plan is being worked out.</p>
    <progress class="working" aria-label="Working out the plan"></progress>
    <p>${plan.pending ? "Your question is saved on this phone and goes out when there is signal." : "It mostly takes a few seconds."} You can close the app; the answer will be here.</p>
  </div>`;
}

/** @param {{plan: any, dog: any, role: any}} props */
function Proposed({ plan, dog, role }) {
  const { store, go, tell } = useApp();
  const answer = async (/** @type {string} */ kind) => {
    await store.act(kind, { entityId: plan.id, dogId: dog.id, data: { review_id: null } });
    if (kind === "plan.decline") go(`#/dogs/${dog.id}`);
    tell({});
  };
  return html`<${PlanResult} plan=${plan} dog=${dog} />
    ${dog.paused || dog.closed ? html`<p class="note pad">${dog.closed ? "The record is closed, so this plan is not answered." : `${dog.name} is paused. This plan can be answered when the pause ends.`}</p>`
      : role.accepts ? html`<div class="actions sticky">
        <button type="button" class="button main" onClick=${() => answer("plan.accept")}>Accept plan</button>
        <button type="button" class="button" onClick=${() => answer("plan.decline")}>Not now</button></div>`
      : html`<p class="note pad">A lead of the household says yes or no to this plan.</p>`}`;
}

/** @param {{plan: any, dog: any, role: any}} props */
function Refused({ plan, dog, role }) {
  const say = useSpeech(dog);
  const { refused, cautions } = plan.result;
  return html`<div class="stack">
    <${FindingNote} kind="refusal" finding=${refused} say=${say} />
    ${role.lead && refused.code === "vet_first" && html`<a class="button wide" href=${`#/dogs/${dog.id}/vet`}>Record a vet's word</a>`}
    ${role.lead && ["growing", "pregnant", "nursing", "vet_first"].includes(refused.code) && html`<a class="button quiet wide" href=${`#/dogs/${dog.id}/edit`}>Correct what is known of ${dog.name}</a>`}
  </div>
  <${Cautions} cautions=${cautions ?? []} say=${say} only="weighty" />
  ${plan.result.kcal_per_day && html`<${HoldingRation} plan=${plan} />`}
  <${Cautions} cautions=${cautions ?? []} say=${say} only="rest" />
  ${role.records && html`<div class="stack"><a class="button wide" href=${`#/dogs/${dog.id}/ask`}>Ask again</a></div>`}`;
}

/** @param {{plan: any, dog: any, role: any}} props */
function InForce({ plan, dog, role }) {
  const { store, tell } = useApp();
  const today = todayHere();
  const coming = plan.changes.filter((/** @type {any} */ change) => change.answer === "accepted" && change.on > today);
  const rests = Boolean(dog.paused || dog.closed);
  const stopped = rationRests(plan, dog);
  const end = async () => {
    await store.act("plan.end", { entityId: plan.id, dogId: dog.id, data: {} });
    tell({ text: "The plan is ended. Saved on this phone." });
  };
  return html`<section>
    <h2 class="section">${stopped ? "Stopped for now" : plan.pending ? "Your answer waits to be sent" : `Fed since ${sayDate(fedSince(plan, today), today)}`}</h2>
    <div class="sheet">
      ${stopped && html`<p class="row plain">${rests ? `The plan rests while ${dog.closed ? "the record is closed" : `${dog.name} is paused`}.` : `The ration of the plan is not to be fed now. Ask the vet what ${dog.name} gets until then.`}</p>`}
      ${plan.kcal_per_day === null ? html`<p class="row plain">The ration comes once the yes has been sent.</p>` : !stopped && html`<div class="row"><h3>Energy</h3><span class="weight">${Math.round(plan.kcal_per_day)} <small>kcal a day</small></span></div>
      <${Ration} rows=${plan.ration} treatKcalMax=${plan.treat_kcal_max} />`}
      ${!stopped && coming.map((/** @type {any} */ change) => html`<div class="row plain" key=${change.on}><p>From ${sayDate(change.on, today)}: ${Math.round(change.kcal_per_day)} kcal a day. The grams follow then by themselves.</p></div>`)}
    </div>
    ${stopped && plan.kcal_per_day !== null && html`<details class="more pad"><summary>What was fed before, ${Math.round(plan.kcal_per_day)} kcal a day</summary><${Ration} rows=${plan.ration} treatKcalMax=${plan.treat_kcal_max} /></details>`}
    <details class="more pad"><summary>The plan as it was made</summary><${PlanResult} plan=${plan} dog=${dog} folded=${true} /></details>
    ${role.lead && !dog.closed && html`<details class="more pad"><summary>End this plan</summary><div class="stack tight"><p>${dog.name} then has no ration here. Weigh-ins stay.</p>
      <button type="button" class="button" onClick=${end}>End the plan</button></div></details>`}
  </section>`;
}

/** @param {{id: string}} props */
export function PlanScreen({ id }) {
  const facts = useLive(async (store) => {
    const dog = await store.get("dog", id);
    return dog ? readDog(store, dog) : null;
  }, [id]);
  const dog = facts?.dog;
  const role = useRole(dog);
  const asked = facts?.asked;
  const inForce = facts?.inForce;
  const title = dog ? `${dog.name}'s plan` : "Plan";
  if (facts === null) return html`<${NoDog} />`;
  const rests = Boolean(dog?.paused || dog?.closed);
  const Part = asked && { waiting: Waiting, proposed: Proposed, refused: Refused }[/** @type {"waiting"|"proposed"|"refused"} */ (asked.state)];
  return html`<${Screen} title=${title} back=${{ href: `#/dogs/${id}`, text: dog?.name ?? "Dog" }}>
    ${!facts ? html`<${Reading} />` : html`
      ${Part && html`<${Part} plan=${asked} dog=${dog} role=${role} />`}
      ${facts.review && inForce && !asked && reviewStands(facts.review, dog) && html`<${ReviewCard} review=${facts.review} plan=${inForce} dog=${dog} />`}
      ${inForce && html`<${InForce} plan=${inForce} dog=${dog} role=${role} />`}
      ${!asked && !inForce && html`<div class="stack"><p class="tell flush">There is no plan now.</p>
        <p>A plan takes the newest weight and condition check and what is eaten today, and gives a ration in grams with the doubt shown.</p>
        ${rests ? (dog.closed ? "The record is closed." : "One can be asked for when the pause ends.") : role.records ? html`<a class="button main wide" href=${`#/dogs/${id}/ask`}>Ask for a plan</a>` : "A carer or a lead asks for one."}</div>`}
      ${inForce && !asked && !rests && role.records && html`<div class="stack"><a class="button wide" href=${`#/dogs/${id}/ask`}>Ask for a new plan</a></div>`}`}
  <//>`;
}
