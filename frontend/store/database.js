// One IndexedDB database per account, and a connection that survives what browsers do to it.
import { deleteDB } from "../vendor/idb.js";
import { openDB } from "../vendor/idb.js";
/** @import {IDBPDatabase, IDBPTransaction} from "../vendor/idb.js" */
/** @import {RowType} from "./types.js" */

/** @type {RowType[]} */
export const ROW_TYPES = ["dog", "weigh_in", "check", "food", "plan", "review", "vet_word", "household"];
export const EVERYTHING = [...ROW_TYPES, "outbox", "sent", "meta"];
const VERSION = 1;
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
 * @param {IDBPDatabase} db @param {number} from */
function upgrade(db, from) {
  if (from < 1) {
    for (const type of ROW_TYPES) db.createObjectStore(type, { keyPath: "id" }).createIndex("dog_id", "dog_id");
    db.createObjectStore("outbox", { keyPath: "seq", autoIncrement: true }).createIndex("op_id", "op_id", { unique: true });
    const sent = db.createObjectStore("sent", { keyPath: "op_id" });
    sent.createIndex("unseen", "unseen");
    sent.createIndex("sent_at", "sent_at");
    db.createObjectStore("meta");
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
          if (wanted === null) closed = true; // deleted by sign-out in another tab: do not make it anew
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
    try {
      tx.abort();
    } catch {
      // it had ended already
    }
    await tx.done.catch(() => {});
    throw error;
  }
}
