// Writing down what the server says. Rows and cursor land together or not at all (C4), and never
// on top of what this phone has yet to send (C3).
import { atomically } from "./database.js";
import { EVERYTHING } from "./database.js";
import { ROW_TYPES } from "./database.js";
import { lookAgain } from "./glances.js";
import { compose } from "./overlay.js";
import { overlays } from "./outbox.js";
import { touches } from "./overlay.js";
/** @import {IDBPDatabase} from "../vendor/idb.js" */
/** @import {Tx} from "./outbox.js" */
/** @import {Change, Person, QueuedOp, Row, RowType} from "./types.js" */

/** One row as the server has it. @param {Tx} tx @param {Change} change
 * @param {Awaited<ReturnType<typeof overlays>>} over @param {Person} person */
async function putRow(tx, change, over, person) {
  const { id, version, seq, deleted } = change;
  const type = /** @type {RowType} */ (change.type);
  /** @type {Row} */
  const server = { ...change.data, id, dog_id: change.dog_id ?? (type === "dog" ? id : null), version, seq };
  if (deleted) server.deleted = true;
  const { waiting, unseen } = over.at(type, id);
  const next = compose(server, waiting, unseen, type, id, person);
  if (deleted && !waiting.length) await tx.objectStore(type).delete(id);
  else await tx.objectStore(type).put(next);
}

/** Everything of these dogs and this household leaves; what was never sent stays for a person to
 * save or remove. @param {Tx} tx @param {{dogs: Set<string>, household: string | null, text: string}} what */
async function leave(tx, { dogs, household, text }) {
  const gone = new Set([...dogs, ...(household ? [household] : [])]);
  for (const type of ROW_TYPES) {
    const rows = tx.objectStore(type);
    for (const row of await rows.getAll()) {
      if (!dogs.has(row.dog_id) && !dogs.has(row.id) && !(household && (row.id === household || row.household_id === household))) continue;
      gone.add(row.id);
      await rows.delete(row.id);
    }
  }
  await lookAgain(tx, dogs);
  const theirs = (/** @type {any} */ op) => dogs.has(op.dog_id) || gone.has(op.entity_id) || (household && op.data.household_id === household);
  for (const op of await tx.objectStore("outbox").getAll()) {
    if (theirs(op) && !op.rejection) await tx.objectStore("outbox").put({ ...op, rejection: { code: "access_removed", text } });
  }
  for (const op of await tx.objectStore("sent").getAll()) if (theirs(op)) await tx.objectStore("sent").delete(op.op_id);
}

/** @param {Tx} tx @param {string} household @param {string} name */
async function leaveHousehold(tx, household, name) {
  const dogs = (await tx.objectStore("dog").getAll()).filter((dog) => dog.household_id === household);
  const text = `You no longer have access to ${name || "this household"}. This entry was not sent: save it to a file, or remove it.`;
  await leave(tx, { dogs: new Set(dogs.map((dog) => dog.id)), household, text });
}

/** @param {Tx} tx @param {Change[]} changes @param {Person} person
 * @returns {Promise<string[]>} households that have just been opened to this person */
async function write(tx, changes, person) {
  const granted = [];
  const dogs = new Set();
  let over = await overlays(tx);
  for (const change of changes) {
    if (change.type === "access.granted" && !change.deleted) granted.push(change.data.household_id);
    else if (change.type === "access.removed") {
      await leaveHousehold(tx, change.data.household_id, change.data.name);
      over = await overlays(tx);
    } else if (ROW_TYPES.includes(/** @type {any} */ (change.type))) {
      if (change.type === "dog" && change.deleted) {
        await leave(tx, { dogs: new Set([change.id]), household: null, text: "This dog's record is gone. This entry was not sent: save it to a file, or remove it." });
        over = await overlays(tx);
      }
      await putRow(tx, change, over, person);
      dogs.add(change.type === "dog" ? change.id : change.dog_id);
    } // a type of a later release is left alone: a newer app pulls it again
  }
  await lookAgain(tx, dogs);
  return granted;
}

/** One pulled page with its cursor. False when the cursor moved meanwhile: then nothing was written.
 * @param {IDBPDatabase} db @param {{changes: Change[], cursor: any, more: boolean}} page
 * @param {any} asked the cursor the page was asked with (null: from the start) @param {Person} person */
export function writePage(db, page, asked, person) {
  return atomically(db, EVERYTHING, async (tx) => {
    const meta = tx.objectStore("meta");
    if (((await meta.get("cursor")) ?? null) !== asked) return false;
    const granted = await write(tx, page.changes, person);
    if (granted.length && asked !== null) {
      await meta.put([...new Set([...((await meta.get("backfill")) ?? []), ...granted])], "backfill");
    }
    await meta.put(page.cursor, "cursor");
    return true;
  });
}

/** After a full pull every answered operation has come back with its row. @param {IDBPDatabase} db
 * @param {string[]} opIds those that had been answered when the pull began */
export function markSeen(db, opIds) {
  return atomically(db, ["sent"], async (tx) => {
    for (const id of opIds) {
      const { unseen: _unseen, ...op } = (await tx.objectStore("sent").get(id)) ?? {};
      if (op.op_id) await tx.objectStore("sent").put(op);
    }
  });
}

/** One page of a snapshot: rows only, the cursor stays. @param {IDBPDatabase} db @param {Change[]} changes @param {Person} person */
export function writeSnapshot(db, changes, person) {
  return atomically(db, EVERYTHING, async (tx) => void (await write(tx, changes, person)));
}

/** The household's rows are all here. @param {IDBPDatabase} db @param {string} household */
export function backfilled(db, household) {
  return atomically(db, ["meta"], async (tx) => {
    const left = ((await tx.objectStore("meta").get("backfill")) ?? []).filter((/** @type {string} */ id) => id !== household);
    await tx.objectStore("meta").put(left, "backfill");
  });
}

/** A whole snapshot is here: what it did not hold leaves, what was never sent stays.
 * @param {IDBPDatabase} db @param {Set<string>} held keys "type id" @param {any} cursor */
export function resynced(db, held, cursor) {
  return atomically(db, EVERYTHING, async (tx) => {
    /** @type {QueuedOp[]} */
    const queued = (await tx.objectStore("outbox").getAll()).filter((op) => !op.rejection);
    const kept = new Set(queued.flatMap(touches).map(({ type, id }) => `${type} ${id}`));
    for (const type of ROW_TYPES) {
      for (const id of await tx.objectStore(type).getAllKeys()) {
        if (!held.has(`${type} ${id}`) && !kept.has(`${type} ${id}`)) await tx.objectStore(type).delete(id);
      }
    }
    await lookAgain(tx, /** @type {string[]} */ (await tx.objectStore("glance").getAllKeys()));
    const meta = tx.objectStore("meta");
    await Promise.all([meta.put(cursor, "cursor"), meta.put(false, "resync"), meta.put([], "backfill")]);
  });
}
