// The outbox: operations written on this phone that the server has not answered.
// One job: keep them safe and in order. It draws nothing, fetches nothing, asks no clock.
import { AHEAD_MS } from "../plain/stamps.js";
import { hlcMs } from "../plain/stamps.js";
import { nextHlc } from "../plain/stamps.js";
import { randomHex } from "../plain/stamps.js";
import { atomically } from "./database.js";
import { ROWS } from "./database.js";
import { GLANCED } from "./glances.js";
import { lookAgain } from "./glances.js";
import { apply } from "./overlay.js";
import { compose } from "./overlay.js";
import { shown } from "./overlay.js";
import { touches } from "./overlay.js";
import { underneath } from "./overlay.js";
/** @import {IDBPDatabase, IDBPTransaction} from "../vendor/idb.js" */
/** @import {NeedsAttention, Op, Person, QueuedOp, Refusal, Result, SentOp} from "./types.js" */

/** @typedef {IDBPTransaction<any, string[], "readwrite">} Tx */

const DAY_MS = 86_400_000;
// how long answered operations are kept against a restored backup (C7)
export const JOURNAL_DAYS = 90;

/** The next stamp, kept in the same transaction as the operation so that two tabs never share one.
 * @param {Tx} tx @param {number} now @param {() => number} random @param {boolean} idle nothing waits in the outbox */
async function stamp(tx, now, random, idle) {
  const meta = tx.objectStore("meta");
  const node = (await meta.get("node")) ?? randomHex(8, random);
  const corrected = now + ((await meta.get("clock_offset")) ?? 0);
  const last = await meta.get("hlc");
  // A stamp made while the phone's clock ran ahead would hold all later ones there.
  const follow = last && !(idle && hlcMs(last) > corrected + AHEAD_MS) ? last : null;
  const hlc = nextHlc(follow, corrected, node);
  await Promise.all([meta.put(node, "node"), meta.put(hlc, "hlc")]);
  return hlc;
}

/** Write an entry and the operation that will tell the server: both or neither (C1).
 * @param {IDBPDatabase} db @param {Omit<Op, "hlc">} draft
 * @param {{now: number, random: () => number, person: Person}} context */
export function keep(db, draft, { now, random, person }) {
  const rows = touches(/** @type {Op} */ (draft));
  return atomically(db, [...new Set([...rows.map((row) => row.type), ...GLANCED]), "outbox", "meta"], async (tx) => {
    const outbox = tx.objectStore("outbox");
    // A connection that died after its commit is tried again with the same operation.
    if (await outbox.index("op_id").getKey(draft.op_id)) return;
    const hlc = await stamp(tx, now, random, (await outbox.count()) === 0);
    const op = { ...draft, hlc, saved_at: now };
    await outbox.add(op);
    for (const { type, id } of rows) {
      const stored = await tx.objectStore(type).get(id);
      const next = apply(stored ? shown(stored) : null, op, type, id, person);
      if (next) await tx.objectStore(type).put({ ...next, pending: true, server: underneath(stored) });
    }
    await lookAgain(tx, [op.dog_id]);
  });
}

/** Operations to send, oldest first. The store numbers them; the phone's clock may be wrong.
 * @param {Pick<IDBPDatabase, "getAll">} db @returns {Promise<QueuedOp[]>} */
export async function waiting(db) {
  return (await db.getAll("outbox")).filter((op) => !op.rejection);
}

/** Operations that the server refused, for a person to settle.
 * @param {IDBPDatabase} db @returns {Promise<NeedsAttention[]>} */
export async function needAttention(db) {
  const refused = (await db.getAll("outbox")).filter((op) => op.rejection);
  return refused.map(({ rejection, ...op }) => ({ ...op, ...rejection }));
}

/** What still lies on top of the server's rows, by row.
 * @param {Tx} tx */
export async function overlays(tx) {
  /** @type {Map<string, {waiting: QueuedOp[], unseen: SentOp[]}>} */
  const byRow = new Map();
  const at = (/** @type {string} */ type, /** @type {string} */ id) => {
    const key = `${type} ${id}`;
    const found = byRow.get(key) ?? { waiting: [], unseen: [] };
    byRow.set(key, found);
    return found;
  };
  /** @type {QueuedOp[]} */
  const queued = await tx.objectStore("outbox").getAll();
  /** @type {SentOp[]} */
  const unseen = await tx.objectStore("sent").index("unseen").getAll();
  for (const op of queued.filter((each) => !each.rejection)) for (const { type, id } of touches(op)) at(type, id).waiting.push(op);
  for (const op of unseen.sort((a, b) => a.seq - b.seq)) for (const { type, id } of touches(op)) at(type, id).unseen.push(op);
  return { at, unseen };
}

/** Work the rows that operations touch out again; rows that are gone stay gone.
 * @param {Tx} tx @param {Op[]} ops @param {Person} person @param {Map<string, any>} [winners] by op_id */
export async function refresh(tx, ops, person, winners) {
  const { at } = await overlays(tx);
  const dogs = new Set();
  for (const op of ops) {
    for (const { type, id } of touches(op)) {
      const rows = tx.objectStore(type);
      const stored = await rows.get(id);
      if (!stored) continue;
      dogs.add(stored.dog_id);
      let server = underneath(stored);
      const winner = winners?.get(op.op_id);
      if (server && winner && id === op.entity_id) server = { ...server, ...winner };
      const over = at(type, id);
      const next = compose(server, over.waiting, over.unseen, type, id, person);
      if (next && !(next.deleted && !over.waiting.length)) await rows.put(next);
      else await rows.delete(id);
    }
  }
  await lookAgain(tx, dogs);
}

/** Apply the server's results. An operation leaves the outbox only here, or by a person (C2).
 * No answer is not a result: then do not call this.
 * @param {IDBPDatabase} db @param {QueuedOp[]} ops @param {Result[]} results
 * @param {{now: number, person: Person}} context */
export function settle(db, ops, results, { now, person }) {
  if (ops.length !== results.length || ops.some((op, n) => op.op_id !== results[n].op_id)) {
    throw new Error("the results belong to other operations");
  }
  return atomically(db, [...ROWS, "outbox", "sent"], async (tx) => {
    /** @type {Map<string, any>} */
    const winners = new Map();
    for (const [n, { seq }] of ops.entries()) {
      const op = await tx.objectStore("outbox").get(seq);
      // another tab was faster
      if (!op) continue;
      const { status, code = "refused", text = "The server did not take this entry.", field, winner, seq: server_seq = null } = results[n];
      if (status === "rejected") {
        await tx.objectStore("outbox").put({ ...op, rejection: { code, text, field, winner } });
        continue;
      }
      const answered = { ...op, sent_at: op.sent_at ?? now, server_seq };
      if (status === "superseded") winners.set(op.op_id, winner);
      else answered.unseen = 1;
      await tx.objectStore("outbox").delete(seq);
      await tx.objectStore("sent").put(answered);
    }
    await refresh(tx, ops, person, winners);
  });
}

/** Set operations aside with a reason of our own, as too large a one. @param {IDBPDatabase} db
 * @param {QueuedOp[]} ops @param {Refusal} rejection @param {Person} person */
export function setAside(db, ops, rejection, person) {
  const status = /** @type {const} */ ("rejected");
  return settle(db, ops, ops.map(({ op_id }) => ({ op_id, status, ...rejection })), { now: 0, person });
}

/** A person takes a refused operation away. @param {IDBPDatabase} db @param {number} seq */
export function dismiss(db, seq) {
  return atomically(db, ["outbox"], async (tx) => {
    const op = await tx.objectStore("outbox").get(seq);
    if (op?.rejection) await tx.objectStore("outbox").delete(seq);
  });
}

/** A person sends a refused operation again: the same entry under a new operation id, since the
 * server keeps its answer to the old one, and based on what the phone knows now.
 * @param {IDBPDatabase} db @param {number} seq @param {string} op_id
 * @param {{now: number, random: () => number, person: Person}} context */
export function retry(db, seq, op_id, { now, random, person }) {
  return atomically(db, [...ROWS, "outbox", "sent", "meta"], async (tx) => {
    const outbox = tx.objectStore("outbox");
    const old = await outbox.get(seq);
    if (!old?.rejection) return;
    const { rejection: _rejection, seq: _seq, ...op } = old;
    const [{ type, id }] = touches(op);
    const stored = await tx.objectStore(type).get(id);
    if (op.base && stored) {
      op.base = Object.fromEntries(Object.keys(op.base).map((field) => [field, underneath(stored)?.version ?? 0]));
    }
    const again = { ...op, op_id, hlc: await stamp(tx, now, random, false) };
    await outbox.delete(seq);
    await outbox.add(again);
    if (!stored) {
      const fresh = apply(null, again, type, id, person);
      if (fresh) await tx.objectStore(type).put({ ...fresh, pending: true, server: null });
    }
    await refresh(tx, [again], person);
  });
}

/** The server was restored from a backup: send again what it answered since (C7). Old queue
 * numbers keep the old order, in front of what still waits. Pulled rows stay until pulled anew.
 * @param {IDBPDatabase} db @param {string} epoch @param {Person} person */
export function replayJournal(db, epoch, person) {
  return atomically(db, [...ROWS, "outbox", "sent", "meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    /** @type {SentOp[]} */
    const journal = await tx.objectStore("sent").getAll();
    for (const { unseen: _unseen, server_seq: _server_seq, ...op } of journal) await tx.objectStore("outbox").put(op);
    await tx.objectStore("sent").clear();
    await Promise.all([meta.put(epoch, "epoch"), meta.put(null, "cursor")]);
    await refresh(tx, journal, person);
  });
}

/** Forget answered operations older than the journal. @param {IDBPDatabase} db @param {number} now */
export function prune(db, now) {
  return atomically(db, ["sent"], async (tx) => {
    const old = IDBKeyRange.upperBound(now - JOURNAL_DAYS * DAY_MS);
    for (const key of await tx.objectStore("sent").index("sent_at").getAllKeys(old)) await tx.objectStore("sent").delete(key);
  });
}
