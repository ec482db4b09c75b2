// A glance at each dog: its newest rows in one, written with them, so that Today reads one row a dog
// however many years of entries lie behind it.
import { counts } from "../plain/standing.js";
import { newestFirst } from "../plain/standing.js";
import { standing } from "../plain/standing.js";
import { shown } from "./overlay.js";
/** @import {IDBPTransaction} from "../vendor/idb.js" */
/** @import {Row} from "./types.js" */
/** @typedef {IDBPTransaction<any, string[], "readwrite">} Tx */

/** What a transaction needs to look again. */
export const GLANCED = ["dog", "weigh_in", "check", "plan", "review", "glance"];

/** The newest row that counts, read from the end of the index: by the day as people saw it, then the instant, then the id.
 * @param {Tx} tx @param {"weigh_in" | "check" | "review"} type @param {string} dogId
 * @param {(row: Row) => boolean} wanted @returns {Promise<Row[]>} none or one */
async function newest(tx, type, dogId, wanted) {
  // a list sorts behind every text
  const ofDog = IDBKeyRange.bound([dogId], [dogId, []]);
  for (let cursor = await tx.objectStore(type).index("newest").openCursor(ofDog, "prev"); cursor; cursor = await cursor.continue()) {
    const row = shown(cursor.value);
    if (!row.deleted && wanted(row)) return [row];
  }
  return [];
}

/** Bring the glances at these dogs up to their rows. Belongs into every transaction that writes rows.
 * @param {Tx} tx @param {Iterable<string | null | undefined>} dogIds */
export async function lookAgain(tx, dogIds) {
  for (const id of new Set(dogIds)) {
    if (!id) continue;
    const dog = await tx.objectStore("dog").get(id);
    if (!dog || dog.deleted) {
      await tx.objectStore("glance").delete(id);
      continue;
    }
    const [weighIns, checks, plans] = await Promise.all([
      newest(tx, "weigh_in", id, counts), newest(tx, "check", id, counts), tx.objectStore("plan").index("dog_id").getAll(id)]);
    const { inForce, asked } = standing(newestFirst(plans.filter((plan) => !plan.deleted).map(shown)));
    const [review = null] = inForce ? await newest(tx, "review", id, (row) => row.plan_id === inForce.id) : [];
    await tx.objectStore("glance").put({ id, dog: shown(dog), weighIns, checks, inForce, asked, review });
  }
}
