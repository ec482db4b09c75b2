// Everything this phone knows of one dog, sorted for the screens.

import { counts } from "../plain/standing.js";
import { newestFirst } from "../plain/standing.js";
import { order } from "../plain/standing.js";
import { standing } from "../plain/standing.js";

/**
 * @typedef {object} Facts
 * @property {any} dog
 * @property {any[]} weighIns those that count, oldest first
 * @property {any[]} allWeighIns with voided ones, newest first
 * @property {any[]} checks those that count, oldest first
 * @property {any[]} plans newest first
 * @property {any|null} inForce the plan that is fed now (active or suspended)
 * @property {any|null} asked a later plan that waits, is offered, or was refused
 * @property {any|null} review the newest review of the plan in force
 * @property {any[]} vetWords
 */

const byTime = (/** @type {any} */ a, /** @type {any} */ b) =>
  order(a.local_date ?? "", b.local_date ?? "") || order(a.measured_at ?? "", b.measured_at ?? "") || order(a.id, b.id);

/** @param {any} store @param {any} dog @returns {Promise<Facts>} */
export async function readDog(store, dog) {
  const [weighIns, checks, plans, reviews, vetWords] = await Promise.all(
    ["weigh_in", "check", "plan", "review", "vet_word"].map((type) => store.byDog(type, dog.id)));
  const { inForce, asked } = standing(newestFirst(plans));
  const mine = reviews.filter((/** @type {any} */ review) => inForce && review.plan_id === inForce.id)
    .sort((/** @type {any} */ a, /** @type {any} */ b) => order(b.as_of, a.as_of) || order(b.week, a.week));
  return {
    dog,
    weighIns: weighIns.filter(counts).sort(byTime),
    allWeighIns: [...weighIns].sort(byTime).reverse(),
    checks: checks.filter(counts).sort(byTime),
    plans, inForce, asked,
    review: mine[0] ?? null,
    vetWords: vetWords.filter((/** @type {any} */ word) => !word.ended_on),
  };
}

/** Dogs that are looked after now, by household and name. @param {any[]} dogs */
export function lookedAfter(dogs) {
  return dogs.filter((dog) => !dog.closed && !dog.deleted).sort((a, b) => order(a.name.toLowerCase(), b.name.toLowerCase()));
}

/** What this person may do for a dog. @param {any} dog @param {{id: string, role: string}[]} households */
export function roleTowards(dog, households) {
  const role = households.find((home) => home.id === dog?.household_id)?.role ?? "viewer";
  const lead = role === "lead";
  return { lead, records: lead || role === "carer", accepts: lead || (role === "carer" && Boolean(dog?.carer_may_accept)) };
}
