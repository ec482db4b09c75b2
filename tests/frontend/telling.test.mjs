// What a person reads: one sentence per dog, and words for every finding, never nothing.
import assert from "node:assert/strict";
import { test } from "node:test";

// Days are written in the language of the phone, so it is fixed before any module reads it.
Object.defineProperty(globalThis, "navigator", { value: { language: "en-GB" }, configurable: true });
const { roleTowards } = await import("../../frontend/parts/read_dog.js");
const { standing } = await import("../../frontend/plain/standing.js");
const { fedSince, rationRests, reviewStands } = await import("../../frontend/parts/ration.js");
const { breedsLike } = await import("../../frontend/plain/breeds.js");
const { otherUnit, sayDay, sayMass } = await import("../../frontend/plain/say.js");
const { tellDog } = await import("../../frontend/plain/tell.js");
const { asideInWords, inWords } = await import("../../frontend/plain/words.js");
const { oddWeight } = await import("../../frontend/plain/units.js");

const TODAY = "2026-03-30";
const dog = { id: "d1", name: "Juniper", household_id: "h1", paused: null };
const lead = { records: true, accepts: true };
const carer = { records: true, accepts: false };
const viewer = { records: false, accepts: false };
const weighIn = { local_date: "2026-03-29", weight_g: 15200 };
const check = { local_date: "2026-03-20", score: 7 };
const plan = { id: "p1", state: "active", kind: "reduce", kcal_per_day: 488, accepted_on: "2026-03-02" };
const say = { name: "Juniper", mass: (kg) => `${kg} kg`, day: (day) => day };

function facts(more = {}) {
  return { dog, weighIns: [weighIn], checks: [check], inForce: null, asked: null, review: null, ...more };
}
function reviewed(action, reason = { code: "on_course", values: {} }, more = {}) {
  const result = { decision: { action, reason }, rate_pct_per_week: { low: -1.4, mid: -0.9, high: -0.4 },
    target_on: { early: "2026-07-06", mid: "2026-08-01", late: "2026-09-14" } };
  return facts({ inForce: plan, review: { result, proposal: null, answer: null, ...more } });
}
const told = (given, role = lead) => tellDog(given, { today: TODAY, unit: "kg", role });

test("a dog on course is told with its pace and both ends of the target date", () => {
  const { text, tone } = told(reviewed("stay"));
  assert.equal(text, "Losing 0.9% a week. On course: target between 6 July and 14 September. Keep the ration.");
  assert.equal(tone, "");
});

test("nothing is on course when the review says otherwise, or speaks of another day", () => {
  const settling = told(reviewed("stay", { code: "change_settling", values: { changed_on: "2026-03-20", until: "2026-04-03" } }));
  assert.equal(settling.text, "Losing 0.9% a week. The ration changed on 20 March: too early to change it again.");
  assert.equal(settling.onCourse, false);
  assert.doesNotMatch(told(reviewed("stay", { code: "fed_above_ration", values: {} })).text, /On course/);
  const slow = reviewed("stay");
  slow.review.result.rate_pct_per_week = { low: -0.9, mid: -0.3, high: 0.3 };
  assert.equal(told(slow).text, "Perhaps losing 0.3% a week. Keep the ration.");
  const old = told(reviewed("stay", undefined, { as_of: "2026-03-05" }));
  assert.equal(old.text, "The last review is from 5 March; nothing newer can be said. Weigh this week.");
  assert.ok(!old.onCourse && !told(facts()).onCourse && told(reviewed("stay", undefined, { as_of: "2026-03-29" })).onCourse);
});

test("a big belly over easily felt ribs is a vet's matter although the score is right", () => {
  const asked = { state: "refused", result: { refused: { code: "not_overweight" }, cautions: [{ code: "belly_without_fat" }] } };
  assert.equal(told(facts({ asked })).tone, "vet");
  assert.match(told(facts({ asked })).text, /vet look/);
});

test("the next step leads on: weigh, then feel, then ask", () => {
  assert.equal(told(facts({ weighIns: [], checks: [] })).next.href, "#/weigh?dog=d1");
  assert.equal(told(facts({ checks: [] })).next.text, "Check condition");
  assert.equal(told(facts()).next.href, "#/dogs/d1/ask");
});

test("whose yes is wanted depends on who reads", () => {
  const waiting = facts({ asked: { state: "proposed" } });
  assert.match(told(waiting).text, /your yes/);
  assert.match(told(waiting, carer).text, /a lead's yes/);
});

test("a viewer is asked for nothing but may look at a plan", () => {
  const old = { ...weighIn, local_date: "2026-03-01" };
  assert.deepEqual(told(facts({ weighIns: [old], inForce: plan }), viewer).due, []);
  assert.equal(told(facts({ checks: [] }), viewer).next, null);
  assert.equal(told(facts({ asked: { state: "proposed" } }), viewer).next.href, "#/dogs/d1/plan");
});

test("a paused dog is left in peace", () => {
  const rests = told(facts({ dog: { ...dog, paused: { reason: "illness", since: "2026-03-03" } }, weighIns: [{ ...weighIn, local_date: "2025-01-01" }] }));
  assert.deepEqual([rests.next, rests.due, rests.tone], [null, [], ""]);
  assert.match(rests.text, /3 March.*Nothing is due/);
});

test("puppies stop a plan on the phone at once, before the server has heard of them", () => {
  for (const reproduction of ["pregnant", "nursing"]) {
    const stopped = told({ ...reviewed("stay"), dog: { ...dog, reproduction } });
    assert.equal(stopped.tone, "vet");
    assert.match(stopped.text, /the plan is stopped/);
  }
});

test("a vet's matter is marked so, and a fast loss stays marked after a no", () => {
  assert.equal(told(reviewed("see_vet")).tone, "vet");
  assert.equal(told(reviewed("feed_more", undefined, { proposal: {}, answer: "declined" })).tone, "attention");
  assert.equal(told(reviewed("feed_more", undefined, { proposal: {}, answer: "accepted" })).tone, "");
});

test("too few weigh-ins ask for patience, not for a second weigh-in today", () => {
  const early = told(reviewed("weigh_again", { code: "too_few", values: { weighed_days: 1, needed: 4 } }));
  assert.match(early.text, /Too early to judge: 1 of 4/);
  assert.equal(early.next, null);
});

test("an unknown action or finding still says something", () => {
  assert.match(told(reviewed("dance")).text, /See the review/);
  for (const kind of ["refusal", "caution", "reason", "alert"]) {
    const words = inWords(kind, { code: "made_up" }, say);
    assert.match(words.text, /made_up/);
    assert.ok(words.todo);
  }
  assert.equal(asideInWords("made_up"), "made_up");
});

test("a caution may name a gate, and several reasons for a vet are all told", () => {
  assert.match(inWords("caution", { code: "pregnant", values: {} }, say).text, /pregnant/);
  const values = { reasons: [{ why: "condition", word: "diabetes" }, { why: "muscle", muscle: "mild" }, { why: "score", score: 9 }] };
  const { text, tone } = inWords("refusal", { code: "vet_first", values }, say);
  assert.match(text, /diabetes.*mild loss of muscle.*9 of 9/);
  assert.equal(tone, "vet");
});

test("the newest plan decides what was asked; an older refusal is over", () => {
  const at = (state, requested_at) => ({ state, requested_at });
  assert.equal(standing([at("declined", "3"), at("refused", "2")]).asked, null);
  const { inForce, asked } = standing([at("proposed", "3"), at("active", "1")]);
  assert.deepEqual([inForce.state, asked.state], ["active", "proposed"]);
});

test("a carer says yes only where a lead allows it for this dog", () => {
  const homes = [{ id: "h1", role: "carer" }];
  assert.equal(roleTowards(dog, homes).accepts, false);
  assert.equal(roleTowards({ ...dog, carer_may_accept: true }, homes).accepts, true);
  assert.equal(roleTowards({ ...dog, household_id: "other" }, homes).records, false);
});

test("a ration is fed since its last change, and rests with the dog", () => {
  const fed = { ...plan, changes: [{ on: "2026-03-02", answer: "accepted" }, { on: "2026-03-20", answer: "accepted" },
    { on: "2026-03-25", answer: "declined" }, { on: "2026-04-03", answer: "accepted" }] };
  assert.equal(fedSince(fed, TODAY), "2026-03-20");
  assert.equal(fedSince(plan, TODAY), "2026-03-02");
  assert.equal(rationRests(plan, dog), false);
  for (const rests of [{ paused: { reason: "illness" } }, { closed: { reason: "died" } }, { reproduction: "nursing" }]) {
    assert.equal(rationRests(plan, { ...dog, ...rests }), true);
    assert.equal(reviewStands(reviewed("stay").review, { ...dog, ...rests }), false);
  }
  assert.equal(rationRests({ ...plan, state: "suspended" }, dog), true);
  assert.ok(reviewStands(reviewed("suspended").review, { ...dog, reproduction: "nursing" }));
});

test("weights are said in both units, days as people say them", () => {
  assert.equal(sayMass(14200, "kg"), "14.2 kg");
  assert.equal(otherUnit(14200, "kg"), "31 lb 5 oz"); // 14.2 / 0.45359237 = 31.306 lb
  assert.equal(otherUnit(453592, "kg"), "1000 lb 0 oz"); // ounces carry over into pounds
  assert.deepEqual(["2026-03-30", "2026-03-29", "2026-03-26", "2026-03-02", "2025-03-02"].map((day) => sayDay(day, TODAY)),
    ["today", "yesterday", "Thursday", "2 March", "2 March 2025"]);
});

test("more than a tenth off the last weight is asked about, a tenth is not", () => {
  assert.equal(oddWeight(16721, { weight_g: 15200 }), true);
  assert.equal(oddWeight(16720, { weight_g: 15200 }), false);
  assert.equal(oddWeight(50000, null), false);
});

test("breeds are found by any word of any of their names, accents aside", () => {
  const breeds = [{ name: "Galgo Español", also: ["Spanish Greyhound"] }, { name: "Greyhound" }];
  assert.deepEqual(breedsLike(breeds, "grey", 6).map((breed) => breed.name), ["Greyhound", "Galgo Español"]);
  assert.equal(breedsLike(breeds, "espanol", 6)[0].name, "Galgo Español");
});
