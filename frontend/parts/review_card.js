// The weekly review: the decision in words, why, and what waits for a yes.

import { html } from "./html.js";
import { Cautions } from "./findings.js";
import { FindingNote } from "./findings.js";
import { useApp } from "./live.js";
import { Ration } from "./ration.js";
import { todayHere } from "./speech.js";
import { useRole } from "./speech.js";
import { useSpeech } from "./speech.js";
import { Why } from "./why.js";
import { sayDate } from "../plain/say.js";
import { sayWeekRate } from "../plain/say.js";

const ACTION = /** @type {Record<string, string>} */ ({
  stay: "Keep the ration", feed_less: "Feed less", feed_more: "Feed more", step_up: "A little more food", reached: "Target reached",
  regaining: "Gaining again", weigh_again: "Weigh again", log_food: "Weigh all food", see_vet: "See the vet", suspended: "The plan is stopped",
});

/** "losing 0.6% to 1.3%", "between losing 0.7% and gaining 0.2%". @param {{low: number, high: number}} rate */
function rateSpan({ low, high }) {
  const steady = (/** @type {number} */ value) => Math.abs(value) < 0.05;
  const say = (/** @type {number} */ value) => steady(value) ? "holding" : `${value < 0 ? "losing" : "gaining"} ${sayWeekRate(value)}`;
  if (steady(low) || steady(high) || low < 0 !== high < 0) return `between ${say(low)} and ${say(high)}`;
  const [less, more] = low < 0 ? [high, low] : [low, high];
  return `${low < 0 ? "losing" : "gaining"} ${sayWeekRate(less)} to ${sayWeekRate(more)}`;
}

/** @param {{review: any, plan: any, dog: any}} props */
function Offer({ review, plan, dog }) {
  const { store, tell } = useApp();
  const { accepts } = useRole(dog);
  const { proposal } = review;
  const answer = async (/** @type {string} */ kind) => {
    await store.act(kind, { entityId: plan.id, dogId: dog.id, data: { review_id: review.id } });
    tell({});
  };
  return html`
    <div class="row"><div><h3>The new ration</h3><p>instead of ${Math.round(plan.kcal_per_day)} kcal a day</p></div><span class="weight">${Math.round(proposal.kcal_per_day)} <small>kcal a day</small></span></div>
    <${Ration} rows=${proposal.ration} treatKcalMax=${proposal.treat_kcal_max} />
    <div class="row plain"><${Why} of=${review.result.decision.action === "step_up" ? "after" : "change"} about="the change" /></div>
    ${accepts ? html`<div class="actions">
      <button type="button" class="button main" onClick=${() => answer("plan.accept")}>Accept the change</button>
      <button type="button" class="button" onClick=${() => answer("plan.decline")}>Keep as it is</button></div>`
      : html`<p class="row plain">A lead of the household says yes or no to this change.</p>`}`;
}

/** @param {{review: any, plan: any, dog: any}} props */
export function ReviewCard({ review, plan, dog }) {
  const say = useSpeech(dog);
  const today = todayHere();
  const { decision, rate_pct_per_week: rate, need_kcal: need, first_goal_on: firstOn, target_on: targetOn, cautions } = review.result;
  const open = review.proposal && !review.answer && plan.state === "active";
  // A forecast on the ration before is none on the new one, nor while no ration is fed.
  const ahead = plan.kind === "reduce" && review.answer !== "accepted" && decision.action !== "suspended";
  const pronoun = dog.sex === "female" ? "she" : "he";
  return html`<section aria-label="Weekly review">
    <h2 class="section">Weekly review, ${sayDate(review.as_of, today)}</h2>
    <div class="sheet">
      <div class="row plain"><h3 class="large">${decision.reason.code === "too_few" ? "Too early to judge" : (ACTION[decision.action] ?? "See below")}</h3><div class="reason"><${FindingNote} kind="reason" finding=${decision.reason} say=${say} /></div></div>
      <${Cautions} cautions=${cautions ?? []} say=${say} only="weighty" />
      ${review.answer && html`<p class="row plain">${review.answer === "accepted" ? "The change was accepted." : "The change was declined; the ration stays."}</p>`}
      ${open && html`<${Offer} review=${review} plan=${plan} dog=${dog} />`}
      ${rate && html`<div class="row figured"><div><h3>Pace</h3><p>${rateSpan(rate)} a week, 9 times in 10</p></div><span></span><${Why} of="rate" about="the pace" /></div>`}
      ${need && html`<div class="row figured"><div><h3>What ${pronoun} seems to need</h3><p>${need.low}–${need.high} kcal a day, on the food as measured here</p></div><span></span><${Why} of="need" about="the need" /></div>`}
      ${(firstOn || targetOn) && ahead && html`<div class="row figured"><div><h3>If it goes on like this</h3>
        ${firstOn && firstOn.early !== firstOn.late && html`<p>first goal between ${sayDate(firstOn.early, today)} and ${sayDate(firstOn.late, today)}</p>`}
        ${firstOn && firstOn.early === firstOn.late && html`<p>first goal reached on ${sayDate(firstOn.mid, today)}</p>`}
        ${targetOn && html`<p>target between ${sayDate(targetOn.early, today)} and ${sayDate(targetOn.late, today)}</p>`}</div><span></span><${Why} of="forecast" about="the dates" /></div>`}
    </div>
    <${Cautions} cautions=${cautions ?? []} say=${say} only="rest" />
  </section>`;
}
