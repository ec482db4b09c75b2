// The one door of the screens to everything on this phone: rows to show, actions to save.
import { isoWithOffset } from "../plain/dates.js";
import { localDate } from "../plain/dates.js";
import { phoneZone } from "../plain/dates.js";
import { strongRandom } from "../plain/stamps.js";
import { uuidv7 } from "../plain/stamps.js";
import { StorageTrouble } from "./database.js";
import { connect } from "./database.js";
import { databaseName } from "./database.js";
import { dismiss } from "./outbox.js";
import { keep } from "./outbox.js";
import { needAttention } from "./outbox.js";
import { retry } from "./outbox.js";
import { waiting } from "./outbox.js";
import { shown } from "./overlay.js";
import { underneath } from "./overlay.js";
import { freeReserve } from "./database.js";
import { isFull } from "./database.js";
import { keepReserve } from "./database.js";
import { createRounds } from "./rounds.js";
import { syncRound } from "./sync.js";
/** @import {Fetch} from "./answers.js" */
/** @import {Action, Op, Person, Row, RowType, Signal, Status} from "./types.js" */

const DAY_MS = 86_400_000;
// carry the instant of the scale or the hand
const MEASURED = /^(weigh_in|check)\.(add|replace)$/;

/** @typedef {{reason: "saved" | "synced" | "status" | "other_tab"}} StoreEvent */
/** @typedef {Awaited<ReturnType<typeof createStore>>} Store */
/** @typedef {{postMessage: (message: any) => void, onmessage: any, close?: () => void}} Channel */
/** @typedef {{request: (name: string, options: {ifAvailable: true}, work: (lock: any) => any) => Promise<any>}} Locks */

/** Open one account's data. Everything but the account may be left out in a browser; null for
 * locks or channel does without.
 * @param {object} given
 * @param {string} given.accountId
 * @param {string} [given.accountName] shown on entries until the server has said it
 * @param {Fetch} [given.fetch] @param {() => number} [given.now] ms since 1970
 * @param {() => number} [given.random] in [0, 1)
 * @param {Locks | null} [given.locks] @param {Channel | null} [given.channel]
 * @param {(work: () => void, ms: number) => any} [given.setTimeout] @param {(id: any) => void} [given.clearTimeout]
 * @param {any} [given.page] the document @param {any} [given.window] @param {any} [given.navigator]
 * @param {() => void} [given.onBlocked] another tab holds an older version open; opening fails after 5 s */
export async function createStore(given) {
  const { accountId, now = Date.now, random = strongRandom } = given;
  const { page = globalThis.document, window = globalThis.window, navigator = globalThis.navigator } = given;
  const ask = given.fetch ?? globalThis.fetch;
  /** @type {Fetch} a browser's fetch must not be called as a method of something else */
  const fetch = (path, init) => ask(path, init);
  const setTimeout = given.setTimeout ?? globalThis.setTimeout.bind(globalThis);
  const clearTimeout = given.clearTimeout ?? globalThis.clearTimeout.bind(globalThis);
  const locks = given.locks === undefined ? /** @type {Locks | undefined} */ (navigator?.locks) : given.locks;
  /** @type {Channel | null} */
  const channel = given.channel === undefined ? new BroadcastChannel(databaseName(accountId)) : given.channel;

  /** @type {Set<(event: StoreEvent) => void>} */
  const listeners = new Set();
  /** @type {Status} */
  let status = {
    waiting: 0, attention: 0, signal: "all_sent", lastContact: null, syncing: false, oldestUnsent: null,
    storageAtRisk: false, persisted: null, lost: null, clockOffset: 0, problem: null,
  };
  /** @type {Signal} how the last round ended */
  let outcome = "all_sent";
  const connection = connect(databaseName(accountId), {
    setTimeout, clearTimeout, onBlocked: given.onBlocked,
    onRetired: () => report({ problem: { code: "reload", text: "Tuckline was updated or signed out in another tab. Reload this page to go on." } }),
  });
  const { use } = connection;

  /** @param {StoreEvent["reason"]} reason */
  function tell(reason) {
    for (const listener of [...listeners]) listener({ reason });
  }

  /** @param {Partial<Status>} news */
  function report(news) {
    const next = { ...status, ...news };
    next.signal = outcome === "all_sent" && next.waiting ? "waiting" : outcome;
    const differs = JSON.stringify(next) !== JSON.stringify(status);
    status = next;
    if (differs) tell("status");
  }

  async function recount() {
    const [queue, meta] = await use(async (db) => {
      const values = await Promise.all(["last_contact", "persisted", "lost", "clock_offset"].map((key) => db.get("meta", key)));
      return [await db.getAll("outbox"), values];
    });
    const unsent = queue.filter((op) => !op.rejection);
    const oldestUnsent = unsent.length ? Math.min(...unsent.map((op) => op.saved_at)) : null;
    report({
      waiting: unsent.length, attention: queue.length - unsent.length, oldestUnsent,
      // Only iOS Safari knows `standalone`; false there means not installed: its storage goes after 7 days unused (C11).
      storageAtRisk: navigator?.standalone === false && oldestUnsent !== null && now() - oldestUnsent > DAY_MS,
      lastContact: meta[0] ?? null, persisted: meta[1] ?? null, lost: meta[2] ?? null, clockOffset: meta[3] ?? 0,
    });
  }

  /** Rows or the queue changed here: this page and the other tabs look again. @param {StoreEvent["reason"]} reason */
  async function changed(reason) {
    await recount();
    tell(reason);
    channel?.postMessage({ reason });
  }

  const rounds = createRounds({
    now, random, setTimeout, clearTimeout, page, window,
    async round() {
      const env = { use, fetch, now, setTimeout, clearTimeout, accountId };
      const round = { jobs: false, changed: false };
      const exchange = () => syncRound(env, round);
      try {
        if (!locks) return await exchange();
        return await locks.request(`${databaseName(accountId)}-sync`, { ifAvailable: true }, (lock) => (lock ? exchange() : null));
      } finally {
        // A round that brought nothing, as most do, makes no screen read anything again.
        await (round.changed ? changed("synced") : recount()).catch(() => {});
      }
    },
    onState({ syncing, signal, fault }) {
      if (signal) outcome = signal;
      const problem = fault === undefined ? status.problem
        : { code: fault instanceof StorageTrouble ? fault.code : "fault", text: fault instanceof Error ? fault.message : String(fault) };
      report({ syncing, problem });
    },
  });

  if (channel) channel.onmessage = () => void recount().then(() => tell("other_tab"), () => {});

  /** @returns {Promise<Person>} */
  async function me() {
    const account = await use((db) => db.get("meta", "account"));
    return { id: accountId, name: account?.name ?? given.accountName ?? "" };
  }

  /** Run a write; when the phone is full the reserve makes room for it, once. @param {() => Promise<void>} write */
  async function makingRoom(write) {
    try {
      await write();
    } catch (error) {
      if (!isFull(error)) throw error;
      try {
        await use(freeReserve);
        await write();
      } catch (still) {
        if (!isFull(still)) throw still;
        throw new StorageTrouble("quota", "This phone's storage is full, so the entry was not saved. Free some space, then save again.");
      }
    }
  }

  /** After the first saved entry: room for later ones, and the browser's promise to keep them. */
  async function settleIn() {
    if (status.persisted !== null) return;
    const granted = (await navigator?.storage?.persist?.().catch(() => false)) ?? false;
    await use((db) => db.put("meta", granted, "persisted"));
    await use(keepReserve);
    await recount();
  }

  /** Save what a person did. Resolves once entry and operation are on this phone's disk (C1).
   * @param {string} kind @param {Action} action
   * @returns {Promise<{entityId: string, opId: string}>} */
  async function act(kind, { entityId = uuidv7(now(), random), dogId, data, measuredAt, localDate: day, tz = phoneZone(), base }) {
    const type = kind.split(".")[0];
    const at = now();
    const stored = await use((db) => db.get(type, entityId));
    /** @type {Omit<Op, "hlc">} */
    const draft = {
      op_id: uuidv7(at, random), kind, entity_id: entityId,
      dog_id: dogId ?? (type === "dog" ? entityId : stored?.dog_id ?? null),
      data: JSON.parse(JSON.stringify(data)),
      local_date: day ?? localDate(measuredAt ? Date.parse(measuredAt) : at, tz),
      tz,
    };
    if (MEASURED.test(kind)) draft.measured_at = measuredAt ?? isoWithOffset(at, tz);
    if (base) draft.base = base;
    else if (kind === "plan.accept" && stored) draft.base = { state: underneath(stored)?.version ?? 0 };
    const person = await me();
    await makingRoom(() => use((db) => keep(db, draft, { now: at, random, person })));
    await changed("saved");
    if (rounds.started) void rounds.syncNow();
    void settleIn().catch(() => {});
    return { entityId, opId: draft.op_id };
  }

  /** @param {any[]} rows @returns {Row[]} */
  const visible = (rows) => rows.filter((row) => !row.deleted).map(shown);

  await recount();
  return {
    accountId,
    /** @param {RowType | "glance"} type */
    list: async (type) => visible(await use((db) => db.getAll(type))),
    /** @param {RowType} type @param {string} dogId */
    byDog: async (type, dogId) => visible(await use((db) => db.getAllFromIndex(type, "dog_id", dogId))),
    /** @param {RowType} type @param {string} id @returns {Promise<Row | undefined>} */
    get: async (type, id) => visible([await use((db) => db.get(type, id))].filter(Boolean))[0],
    act,
    /** @param {(event: StoreEvent) => void} listener */
    subscribe(listener) {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    status: () => status,
    attention: () => use(needAttention),
    waitingOps: () => use(waiting),
    /** @param {number} seq */
    async dismiss(seq) {
      await use((db) => dismiss(db, seq));
      await changed("saved");
    },
    /** @param {number} seq */
    async retry(seq) {
      const person = await me();
      await use((db) => retry(db, seq, uuidv7(now(), random), { now: now(), random, person }));
      await changed("saved");
      if (rounds.started) void rounds.syncNow();
    },
    syncNow: rounds.syncNow,
    start: rounds.start,
    stop: rounds.stop,
    /** Everything the server has not taken, for a person to keep: a JSON text. */
    async exportUnsent() {
      const ops = await use((db) => db.getAll("outbox"));
      return JSON.stringify({ from: "Tuckline", account: await me(), saved_at: new Date(now()).toISOString(), unsent: ops }, null, 2);
    },
    /** The person has read that entries may have been lost (C10). */
    async forgetLost() {
      await use((db) => db.delete("meta", "lost"));
      await changed("status");
    },
    /** Small things of this phone, as the unit of weight or the last scale used. */
    meta: {
      /** @param {string} key @returns {Promise<any>} */
      get: (key) => use((db) => db.get("meta", `ui.${key}`)),
      /** @param {string} key @param {any} value */
      set: async (key, value) => void (await use((db) => db.put("meta", value, `ui.${key}`))),
    },
    close() {
      rounds.stop();
      channel?.close?.();
      connection.close();
    },
    /** Delete this account's database by name. Whatever was unsent is gone. */
    async erase() {
      rounds.stop();
      channel?.close?.();
      await connection.erase();
    },
  };
}
