// One IndexedDB database per account, and a connection that survives what browsers do to it.
import { deleteDB } from "../vendor/idb.js";
import { openDB } from "../vendor/idb.js";
import { lookAgain } from "./glances.js";
/** @import {IDBPDatabase, IDBPTransaction} from "../vendor/idb.js" */
/** @import {RowType} from "./types.js" */

/** @type {RowType[]} */
export const ROW_TYPES = ["dog", "weigh_in", "check", "food", "plan", "review", "vet_word", "household"];
// whoever writes rows keeps the glances at their dogs up to them
export const ROWS = [...ROW_TYPES, "glance"];
export const EVERYTHING = [...ROWS, "outbox", "sent", "meta"];
const VERSION = 2;
/** What the index "newest" of a type sorts by; a row without one of these is not in it.
 * @type {Partial<Record<RowType, string[]>>} */
const NEWEST = {
  weigh_in: ["dog_id", "local_date", "measured_at"], check: ["dog_id", "local_date", "measured_at"], review: ["dog_id", "as_of", "week"],
};
const BLOCKED_MS = 5000;

/** A fault of the phone's storage that a person must hear about. Codes: blocked, reload, closed, quota, retired. */
export class StorageTrouble extends Error {
  /** @param {string} code @param {string} text */
  constructor(code, text) {
    super(text);
    this.name = "StorageTrouble";
    this.code = code;
  }
}

/** @param {string} accountId */
export function databaseName(accountId) {
  return `tuckline-${accountId}`;
}

/** Only ever adds, from any released version, and leaves the outbox as it is (invariant C8).
 * @param {IDBPDatabase} db @param {number} from @param {number | null} _to @param {IDBPTransaction<any, string[], "versionchange">} tx */
function upgrade(db, from, _to, tx) {
  if (from < 1) {
    for (const type of ROW_TYPES) db.createObjectStore(type, { keyPath: "id" }).createIndex("dog_id", "dog_id");
    db.createObjectStore("outbox", { keyPath: "seq", autoIncrement: true }).createIndex("op_id", "op_id", { unique: true });
    const sent = db.createObjectStore("sent", { keyPath: "op_id" });
    sent.createIndex("unseen", "unseen");
    sent.createIndex("sent_at", "sent_at");
    db.createObjectStore("meta");
  }
  if (from < 2) {
    for (const [type, path] of Object.entries(NEWEST)) tx.objectStore(type).createIndex("newest", path);
    db.createObjectStore("glance", { keyPath: "id" });
    tx.objectStore("dog").getAllKeys().then((ids) => lookAgain(/** @type {any} */ (tx), ids.map(String))).catch(() => tx.abort());
  }
}

/** @param {unknown} error */
function isDead(error) {
  return error instanceof Error
    && (error.name === "InvalidStateError" || /indexed ?(database server|db).*(lost|closed|closing)/i.test(error.message));
}

/** @typedef {<T>(work: (db: IDBPDatabase) => Promise<T>) => Promise<T>} Use */
/** @typedef {{use: Use, close: () => void, erase: () => Promise<void>}} Connection */

/** @param {string} name
 * @param {{setTimeout?: (work: () => void, ms: number) => any, clearTimeout?: (id: any) => void, onBlocked?: () => void, onRetired?: () => void, version?: number}} [hooks]
 * @returns {Connection} */
export function connect(name, hooks = {}) {
  const { setTimeout: later = globalThis.setTimeout.bind(globalThis), clearTimeout: cancel = globalThis.clearTimeout.bind(globalThis), version = VERSION } = hooks;
  /** @type {Promise<IDBPDatabase> | null} */
  let opening = null;
  let closed = false;

  function open() {
    // Stored before anything is awaited, so that two callers share one connection.
    opening ??= openOnce().catch((error) => {
      opening = null;
      throw error instanceof Error && error.name === "VersionError"
        ? new StorageTrouble("reload", "Tuckline was updated in another tab. Reload this page to go on.") : error;
    });
    return opening;
  }

  /** @returns {Promise<IDBPDatabase>} */
  function openOnce() {
    return new Promise((resolve, reject) => {
      /** @type {any} */
      let timer = null;
      let late = false;
      openDB(name, version, {
        upgrade,
        blocked() {
          hooks.onBlocked?.();
          timer = later(() => {
            late = true;
            reject(new StorageTrouble("blocked", "Another tab still runs an older Tuckline. Close it, then try again."));
          }, BLOCKED_MS);
        },
        blocking(_current, wanted, event) {
          /** @type {IDBDatabase} */ (event.target).close();
          opening = null;
          // deleted by sign-out in another tab: do not make it anew
          if (wanted === null) closed = true;
          hooks.onRetired?.();
        },
        terminated() {
          opening = null;
        },
      }).then((db) => {
        cancel(timer);
        if (late) db.close();
        else resolve(db);
      }, reject);
    });
  }

  /** @type {Use} */
  async function use(work) {
    for (let attempt = 0; ; attempt++) {
      if (closed) throw new StorageTrouble("closed", "This account was signed out. Sign in again to go on.");
      try {
        return await work(await open());
      } catch (error) {
        if (!isDead(error)) throw error;
        opening?.then((db) => db.close(), () => {});
        opening = null;
        if (attempt) throw new StorageTrouble("reload", "The phone lost its storage connection. Reload the page; what you typed is kept on screen.");
      }
    }
  }

  function close() {
    closed = true;
    opening?.then((db) => db.close(), () => {});
    opening = null;
  }

  return {
    use,
    close,
    async erase() {
      close();
      await deleteDB(name);
    },
  };
}

/** Everything in `work` or nothing: a throw inside takes the whole transaction back.
 * @template T @param {IDBPDatabase} db @param {string[]} stores
 * @param {(tx: IDBPTransaction<any, string[], "readwrite">) => Promise<T>} work @returns {Promise<T>} */
export async function atomically(db, stores, work) {
  const tx = db.transaction(stores, "readwrite", { durability: "strict" });
  try {
    const result = await work(tx);
    await tx.done;
    return result;
  } catch (error) {
    let reason = error;
    try {
      tx.abort();
    } catch {
      // it had ended before, and says itself why
      await tx.done.catch((why) => (reason = why));
    }
    await tx.done.catch(() => {});
    throw reason;
  }
}

// Room kept free for words: when the phone's storage is full, this ballast goes first, and the
// entry that did not fit is written in its place (C12).
const RESERVE_BYTES = 2 * 1024 * 1024;
// the most that getRandomValues fills at once
const CHUNK = 65_536;

/** @param {unknown} error */
export function isFull(error) {
  return error instanceof Error && error.name === "QuotaExceededError";
}

/** Random bytes: a browser that compresses would make nothing of zeros. @param {IDBPDatabase} db */
export async function keepReserve(db) {
  if (await db.getKey("meta", "reserve")) return;
  const ballast = new Uint8Array(RESERVE_BYTES);
  for (let at = 0; at < RESERVE_BYTES; at += CHUNK) crypto.getRandomValues(ballast.subarray(at, at + CHUNK));
  await db.put("meta", ballast.buffer, "reserve");
}

/** @param {IDBPDatabase} db */
export function freeReserve(db) {
  return atomically(db, ["meta"], (tx) => tx.objectStore("meta").delete("reserve"));
}
