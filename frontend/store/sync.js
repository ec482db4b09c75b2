// The exchange with the server, one round at a time. Clock, chance, fetch and database are passed
// in; it draws nothing and starts no timer but the one that gives up on an answer.
import { ask } from "./answers.js";
import { Trouble } from "./answers.js";
import { backfilled } from "./pulled.js";
import { markSeen } from "./pulled.js";
import { resynced } from "./pulled.js";
import { writePage } from "./pulled.js";
import { writeSnapshot } from "./pulled.js";
import { prune } from "./outbox.js";
import { replayJournal } from "./outbox.js";
import { setAside } from "./outbox.js";
import { settle } from "./outbox.js";
import { waiting } from "./outbox.js";
/** @import {Wire} from "./answers.js" */
/** @import {Use} from "./database.js" */
/** @import {Person, QueuedOp, Result} from "./types.js" */

export const PROTOCOL = 1;
const MOST_OPS = 100;
// the server stops at 256 KiB; the rest is for the envelope
const MOST_BYTES = 240 * 1024;
const PAGE = 500;
const STATUSES = new Set(["applied", "duplicate", "superseded", "rejected"]);
// plans and reviews are worked out anew
const STARTS_A_JOB = /^(plan|weigh_in|check|vet_word|dog)\./;

/** @param {QueuedOp} op */
function onTheWire({ seq: _seq, saved_at: _saved, rejection: _rejection, ...op }) {
  const { sent_at: _sent, ...wire } = /** @type {any} */ (op);
  return wire;
}

/** The next operations that fit one message. @param {QueuedOp[]} ops @param {number} most */
export function batch(ops, most) {
  const encoder = new TextEncoder();
  let bytes = 0;
  let count = 0;
  for (const op of ops.slice(0, Math.min(most, MOST_OPS))) {
    bytes += encoder.encode(JSON.stringify(onTheWire(op))).length + 1;
    if (count && bytes > MOST_BYTES) break;
    count += 1;
  }
  return ops.slice(0, count);
}

/** @param {any} body @param {QueuedOp[]} ops @returns {body is {results: Result[], epoch: string}} */
function answersThese(body, ops) {
  return Array.isArray(body.results) && body.results.length === ops.length
    && body.results.every((/** @type {any} */ result, /** @type {number} */ n) => result?.op_id === ops[n].op_id && STATUSES.has(result.status));
}

/** @param {any} body */
function isPage(body) {
  return Array.isArray(body.changes) && body.cursor !== undefined && body.cursor !== null && typeof body.more === "boolean";
}

/** The message was too large, or the server could not read an operation in it: half of it may do.
 * Anything else that is wrong with a message says nothing about the entries in it. @param {Trouble} error */
function aboutTheseOps({ kind, body }) {
  return kind === "too_large" || (kind === "refused" && /\bops\b/.test(body.field ?? ""));
}

/** @typedef {Wire & {use: Use, accountId: string}} Env */
/** @typedef {{jobs: boolean, changed: boolean}} Round jobs: the server has something to work out; changed: rows or the queue */

/** One whole round: who am I, push, pull, fill in. Throws Trouble where it had to stop.
 * @param {Env} env @param {Round} [round] filled in as it goes, so that it tells also what a stopped round has done
 * @returns {Promise<Round>} */
export async function syncRound(env, round = { jobs: false, changed: false }) {
  const { use, accountId } = env;
  const get = (/** @type {string} */ key) => use((db) => db.get("meta", key));
  const set = (/** @type {string} */ key, /** @type {any} */ value) => use((db) => db.put("meta", value, key));
  /** @type {{csrf: string, person: Person, device: string}} */
  let me;

  /** @param {number | null} offset */
  async function heard(offset) {
    if (offset !== null) await set("clock_offset", Math.abs(offset) < 2000 ? 0 : Math.round(offset));
    await set("last_contact", env.now());
  }

  async function whoAmI() {
    const { body, offset } = await ask(env, "/api/v1/session");
    if (!("user" in body) || typeof body.csrf !== "string") throw new Trouble("no_answer");
    await heard(offset);
    // Another account's cookie must never carry this account's entries (C6).
    if (!body.user || String(body.user.id) !== accountId) throw new Trouble("signed_out");
    const device = (await get("device_id")) ?? body.device_id;
    await set("device_id", device);
    await set("account", body.user);
    await set("households", body.households ?? []);
    me = { csrf: body.csrf, person: { id: accountId, name: body.user.name }, device };
    await onEpoch(body.epoch);
  }

  /** @param {string | undefined} epoch @param {boolean} [anyway] the server says that it was restored, whatever the name */
  async function onEpoch(epoch, anyway = false) {
    if (epoch === undefined) return;
    const known = await get("epoch");
    if (known === undefined) await set("epoch", epoch);
    else if (known !== epoch || anyway) {
      await use((db) => replayJournal(db, epoch, me.person));
      round.changed = true;
    }
  }

  /** A sync request; a stale CSRF token is renewed once. @param {string} path @param {any} [message] */
  async function call(path, message) {
    for (let attempt = 0; ; attempt++) {
      try {
        const post = { method: "POST", headers: { "Content-Type": "application/json", "X-CSRFToken": me.csrf }, body: JSON.stringify(message) };
        const { body, offset } = await ask(env, path, { sync: true, ...(message ? post : {}) });
        await heard(offset);
        // Another tab may have signed in as someone else since this round began (C6).
        if (body.account !== undefined && body.account !== accountId) throw new Trouble("signed_out");
        return body;
      } catch (error) {
        if (!(error instanceof Trouble) || error.kind !== "csrf") throw error;
        if (attempt) throw new Trouble("no_answer");
        await whoAmI();
      }
    }
  }

  async function push() {
    let most = MOST_OPS;
    for (;;) {
      const queue = await use(waiting);
      if (!queue.length) return;
      const ops = batch(queue, most);
      try {
        const body = await call("/api/v1/sync/push", {
          protocol: PROTOCOL, device_id: me.device, epoch: await get("epoch"), pending: queue.length, ops: ops.map(onTheWire),
        });
        if (!answersThese(body, ops)) throw new Trouble("no_answer");
        await use((db) => settle(db, ops, body.results, { now: env.now(), person: me.person }));
        round.changed = true;
        round.jobs ||= body.results.some((result, n) => result.status !== "rejected" && STARTS_A_JOB.test(ops[n].kind));
        await onEpoch(body.epoch);
      } catch (error) {
        if (!(error instanceof Trouble) || !aboutTheseOps(error)) throw error;
        if (ops.length > 1) {
          most = Math.ceil(ops.length / 2);
          continue;
        }
        await refuse(ops, error);
        if (error.kind === "refused") most = MOST_OPS;
      }
    }
  }

  /** The one operation that the server will not read. @param {QueuedOp[]} ops @param {Trouble} error */
  async function refuse(ops, { kind, body }) {
    // said by something in front of our server
    if (!body) throw new Trouble("no_answer");
    const tooLarge = "This entry is too large to send. Shorten its note, or save it to a file.";
    const rejection = kind === "too_large" ? { code: "too_large", text: tooLarge }
      : { code: body.code ?? "bad_op", text: body.text ?? "The server could not read this entry.", field: body.field };
    await use((db) => setAside(db, ops, rejection, me.person));
    round.changed = true;
  }

  /** @param {boolean} [empty] this phone's storage has never held a pull */
  async function pull(empty = false) {
    const answered = await use((db) => db.getAllKeysFromIndex("sent", "unseen"));
    for (let more = true; more;) {
      const asked = (await get("cursor")) ?? null;
      const query = new URLSearchParams({ limit: String(PAGE), device_id: me.device });
      if (asked !== null) query.set("cursor", String(asked));
      // An emptied phone asks first what it had not sent; any number would overwrite the answer (C10).
      if (!empty) query.set("pending", String((await use(waiting)).length));
      const body = await call(`/api/v1/sync/pull?${query}`);
      if (!isPage(body)) throw new Trouble("no_answer");
      if (body.epoch !== undefined && body.epoch !== (await get("epoch"))) {
        // the page belongs to another history: start the round again
        throw new Trouble("epoch", { body });
      }
      // another tab moved on
      if (!(await use((db) => writePage(db, body, asked, me.person)))) continue;
      if (empty && body.lost > 0) await set("lost", { count: body.lost, at: body.lost_at });
      empty = false;
      round.changed ||= body.changes.length > 0;
      more = body.more;
    }
    if (answered.length) await use((db) => markSeen(db, /** @type {string[]} */ (answered)));
  }

  /** @param {Record<string, string>} scope @param {(body: any) => Promise<void>} onPage */
  async function snapshot(scope, onPage) {
    for (let page = "0", more = true; more;) {
      const body = await call(`/api/v1/sync/snapshot?${new URLSearchParams({ ...scope, page })}`);
      if (!isPage(body) || (body.more && String(body.page ?? page) === page)) throw new Trouble("no_answer");
      await use((db) => writeSnapshot(db, body.changes, me.person));
      await onPage(body);
      round.changed = true;
      more = body.more;
      page = String(body.page);
    }
  }

  /** Start over from a snapshot. Old rows stay on screen until the new ones are whole. */
  async function resync() {
    /** @type {Set<string>} */
    const held = new Set();
    /** @type {any} */
    let cursor;
    await snapshot({}, async (body) => {
      // of the first page: later changes are pulled, not missed
      cursor ??= body.cursor;
      for (const { type, id, deleted } of body.changes) if (!deleted) held.add(`${type} ${id}`);
    });
    await use((db) => resynced(db, held, cursor));
  }

  async function fillIn() {
    for (const household of (await get("backfill")) ?? []) {
      await snapshot({ household }, async () => {}).catch((error) => {
        // access went again meanwhile: nothing to fill in
        if (error.kind !== "not_found") throw error;
      });
      await use((db) => backfilled(db, household));
    }
  }

  await whoAmI();
  for (let attempt = 0; ; attempt++) {
    try {
      if (await get("resync")) await resync();
      else if ((await get("cursor")) === undefined) {
        await pull(true).catch((error) => {
          // sending entries matters more than hearing of lost ones
          if (error.kind !== "no_answer") throw error;
        });
      }
      await push();
      await pull();
      await fillIn();
      break;
    } catch (error) {
      if (!(error instanceof Trouble) || attempt > 2) throw error;
      if (error.kind === "resync") await set("resync", true);
      else if (error.kind !== "epoch") throw error;
      else if (typeof error.body?.epoch === "string") await onEpoch(error.body.epoch, true);
      else await whoAmI();
    }
  }
  await use((db) => prune(db, env.now()));
  return round;
}
