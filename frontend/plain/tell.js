// One sentence for one dog: how it is and what to do next. Words before numbers.

import { daysBetween } from "./dates.js";
import { sayDate } from "./say.js";
import { sayDay } from "./say.js";
import { sayMass } from "./say.js";
import { sayWeekRate } from "./say.js";

/** @import {MassUnit} from "./units.js" */
/** @typedef {{tone: ""|"attention"|"vet", text: string, next: {text: string, href: string}|null, due: {text: string, href: string}[], onCourse?: boolean}} Told */

const WEIGH_EVERY_DAYS = 7; // this project's choice
const REVIEW_HOLDS_DAYS = 10; // an older review speaks of its own day, not of today: this project's choice
const CHECK_EVERY_DAYS = 28; // with a plan in force: AAHA 2014 checks monthly once the rate is right
const CHECK_WITHOUT_PLAN_DAYS = 91; // at least every 2-3 months: Small Animal Internal Medicine, 6th ed., ch. 51

const REFUSED = /** @type {Record<string, string>} */ ({
  growing: "No plan: still growing. Ask a vet about a heavy young dog.",
  pregnant: "No plan while pregnant.",
  nursing: "No plan while nursing.",
  underweight: "Too lean. Let a vet look for the reason.",
  not_overweight: "At a right weight. A holding ration is ready.",
  already_low: "Holds its weight on very little. See the vet first.",
  vet_first: "No plan yet: a vet comes first.",
});
const PAUSED = /** @type {Record<string, string>} */ ({ illness: "illness", boarding: "boarding", surgery: "surgery", heat: "in heat", lost: "lost", other: "" });

/** @param {any} rate {low, mid, high} % a week @param {any} plan */
export function rateInWords(rate, plan) {
  if (!rate) return "";
  if (rate.low <= 0 && rate.high >= 0 && Math.abs(rate.mid) < 0.3) return plan?.kind === "reduce" ? "Not moving." : "Holding its weight.";
  const much = sayWeekRate(rate.mid);
  const sure = rate.low > 0 || rate.high < 0;
  return `${sure ? "" : "Perhaps "}${sure ? (rate.mid < 0 ? "Losing" : "Gaining") : rate.mid < 0 ? "losing" : "gaining"} ${much} a week.`;
}

/** @param {any} when {early, mid, late} @param {string} today */
export function targetInWords(when, today) {
  return when ? `target between ${sayDate(when.early, today)} and ${sayDate(when.late, today)}` : "";
}

/** Whether a review says that all is well: only then is a dog said to be on course. @param {any} review @param {any} plan */
function allWell(review, plan) {
  const { decision, rate_pct_per_week: rate } = review.result;
  if (decision.action !== "stay") return false;
  if (decision.reason.code === "steady") return true;
  return decision.reason.code === "on_course" && plan.kind === "reduce" && Boolean(rate && rate.mid <= SLOWEST_GOOD && rate.mid >= FASTEST_GOOD);
}

/** Why a ration stays although the dog is not on course. @param {any} reason @param {string} today */
function staying({ code, values }, today) {
  if (code === "change_settling") return `The ration changed on ${sayDate(values.changed_on, today)}: too early to change it again.`;
  if (code === "fed_above_ration") return "More than the ration was eaten. Feed the ration as it is.";
  return "Keep the ration.";
}

const SLOWEST_GOOD = -0.5; // % of body weight a week: SACN 5th ed., Box 27-12
const FASTEST_GOOD = -2; // same unit: SACN 5th ed., p. 522
const URGENT = new Set(["sudden_fall", "fast_loss"]); // a weigh-in that cannot wait for its week

/** @param {string} how @param {any} reason */
function weighAgain(how, { code, values }) {
  if (code === "sudden_fall") return "The newest weight is far below the others. Weigh again tomorrow to be sure.";
  if (code === "fast_loss") return `${how} That is fast: weigh again tomorrow to be sure.`;
  if (code === "too_few") return `Too early to judge: ${values.weighed_days} of ${values.needed} weigh-ins. Keep the ration.`;
  return "Weigh this week: without a weight nothing can be said.";
}

/** @param {any} review @param {any} plan @param {string} today @param {string} yes whose yes is wanted */
function ofReview(review, plan, today, yes) {
  const { decision, rate_pct_per_week: rate, target_on: targetOn } = review.result;
  const how = rateInWords(rate, plan);
  const open = review.proposal && !review.answer;
  const done = review.answer === "accepted" ? "The new ration is in force." : review.answer === "declined" ? "The change was declined; the ration stays." : "";
  switch (decision.action) {
    case "stay": {
      if (!allWell(review, plan)) return `${how} ${staying(decision.reason, today)}`;
      return `${how} ${targetOn && plan.kind === "reduce" ? `On course: ${targetInWords(targetOn, today)}. ` : ""}Keep the ration.`;
    }
    case "feed_less": return open ? `${how} A smaller ration waits for ${yes}.` : `${how} ${done || "Feed less: see the review."}`;
    case "feed_more": {
      if (decision.reason.code !== "fast_loss_confirmed") return open ? `${how} A larger ration waits for ${yes}.` : `${how} ${done || "Feed more: see the review."}`;
      return `${how} Too fast: ${open ? `a larger ration waits for ${yes}.` : "see the review."} Call the vet if you know no reason.`;
    }
    case "step_up": return open ? `At the target. A little more food waits for ${yes}.` : `At the target. ${done || "See the review."}`;
    case "reached": return `${decision.reason.code === "right_by_hand" ? "Right by the hand on the ribs, before the scale says so." : "The target is reached. Feel the ribs again."} ${open ? `A little more food waits for ${yes}.` : done || "See the review."}`;
    case "regaining": return `Gaining again since the target. ${open ? `A smaller ration waits for ${yes}.` : "See what changed."}`;
    case "weigh_again": return weighAgain(how, decision.reason);
    case "log_food": return "Not moving. Weigh all food for a while before anything changes.";
    case "see_vet": return `${how} Call the vet.`;
    case "suspended": return "The plan is stopped for now. See why.";
    default: return `${how} See the review.`;
  }
}

/** @param {any} review */
function toneOf(review) {
  const { action, reason } = review.result.decision;
  if (action === "weigh_again" && URGENT.has(reason.code)) return "attention";
  if (action === "see_vet" || action === "suspended" || reason.code === "fast_loss_confirmed") return "vet";
  return ["feed_less", "feed_more", "regaining", "log_food"].includes(action) && review.answer !== "accepted" ? "attention" : "";
}

/**
 * @param {any} facts as parts/read_dog.js gives them
 * @param {{today: string, unit: MassUnit, role: {records: boolean, accepts: boolean}}} now today: the day here; role: of whoever reads
 * @returns {Told}
 */
export function tellDog(facts, { today, unit, role }) {
  const { dog, weighIns, checks, inForce, asked, review } = facts;
  const home = `#/dogs/${dog.id}`;
  const weigh = { text: "Weigh", href: `#/weigh?dog=${dog.id}` };
  const lastWeighIn = weighIns[weighIns.length - 1];
  const lastCheck = checks[checks.length - 1];
  /** @param {Told["tone"]} tone @param {string} text @param {Told["next"]} [next] @param {Told["due"]} [due] @returns {Told} */
  const told = (tone, text, next = null, due = []) => ({
    tone, text: text.replace(/ {2,}/g, " ").trim(),
    next: role.records || next?.href.endsWith("/plan") ? next : null, due: role.records ? due : [],
  });
  const yes = role.accepts ? "your yes" : "a lead's yes";

  if (dog.paused) {
    const why = PAUSED[dog.paused.reason];
    return told("", `Paused since ${sayDay(dog.paused.since, today)}${why ? ` (${why})` : ""}. Nothing is due.`);
  }
  if (!lastWeighIn) return told("", lastCheck ? "No weight yet. Weigh; then ask for a plan." : "No weight yet. Weigh first; then feel the ribs.", weigh);
  /** @type {Told["due"]} */
  const due = [];
  const ago = daysBetween(lastWeighIn.local_date, today);
  if (ago >= WEIGH_EVERY_DAYS) due.push({ text: ago < 14 ? `Weigh-in due, the last was ${ago} days ago` : `No weigh-in for ${Math.floor(ago / 7)} weeks`, href: weigh.href });
  else if (inForce && ago === WEIGH_EVERY_DAYS - 1) due.push({ text: "Weigh-in due tomorrow", href: weigh.href });
  if (lastCheck && daysBetween(lastCheck.local_date, today) >= (inForce ? CHECK_EVERY_DAYS : CHECK_WITHOUT_PLAN_DAYS)) {
    due.push({ text: `Condition check due, last ${sayDate(lastCheck.local_date, today)}`, href: `${home}/check` });
  }
  if (asked) {
    const see = { text: "See the plan", href: `${home}/plan` };
    if (asked.state === "proposed") return told("attention", `A plan waits for ${yes}.`, see, due);
    if (asked.state === "waiting") return told("", asked.problem ? "The plan could not be worked out. See why." : "A plan is being worked out.", see, due);
    const { code = "", values = {} } = asked.result?.refused ?? {};
    const odd = (asked.result?.cautions ?? []).some((/** @type {any} */ caution) => caution.code === "belly_without_fat");
    if (odd && code === "not_overweight") return told("vet", "A big belly over ribs that are easily felt. Let a vet look before feeding by this plan.", see, due);
    if (code === "growing" && !values.age_known && values.grown !== "no") return told("", "No plan: nobody knows whether it is grown. A vet can tell the age.", see, due);
    return told(["not_overweight", "growing"].includes(code) ? "" : "vet", REFUSED[code] ?? "No plan. See why.", see, due);
  }
  if (!inForce) {
    if (!lastCheck) return told("", `${sayMass(lastWeighIn.weight_g, unit)}. Now feel the ribs: the condition check takes two minutes.`, { text: "Check condition", href: `${home}/check` }, due);
    return told("", "Weighed and checked. Ready for a plan.", { text: "Ask for a plan", href: `${home}/ask` }, due);
  }
  if (dog.reproduction === "pregnant" || dog.reproduction === "nursing") {
    return told("vet", `${dog.reproduction === "pregnant" ? "Pregnant" : "Nursing"}: the plan is stopped. Ask the vet what to feed.`, { text: "See why", href: home }, due);
  }
  if (inForce.state === "suspended") return told("vet", "The plan is stopped for now. See why.", { text: "See why", href: home }, due);
  if (!review) return told("", `On ${Math.round(inForce.kcal_per_day)} kcal a day since ${sayDay(inForce.accepted_on ?? inForce.local_date, today)}. Weigh once a week.`, ago >= WEIGH_EVERY_DAYS ? weigh : null, due);
  const open = review.proposal && !review.answer;
  if (review.as_of && daysBetween(review.as_of, today) > REVIEW_HOLDS_DAYS && !open) {
    return told(toneOf(review), `The last review is from ${sayDate(review.as_of, today)}; nothing newer can be said. Weigh this week.`, ago >= WEIGH_EVERY_DAYS ? weigh : null, due);
  }
  const vet = review.result.decision.action === "see_vet" ? { text: "See why", href: home } : null;
  return { ...told(toneOf(review), ofReview(review, inForce, today, yes),
    open ? { text: "See the change", href: `${home}/plan` } : ago >= WEIGH_EVERY_DAYS || (URGENT.has(review.result.decision.reason.code) && ago > 0) ? weigh : vet, due), onCourse: allWell(review, inForce) };
}
