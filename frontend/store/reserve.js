// Room kept free for words: when the phone's storage is full, this ballast goes first, and the
// entry that did not fit is written in its place (C12).
import { atomically } from "./database.js";
/** @import {IDBPDatabase} from "../vendor/idb.js" */

const RESERVE_BYTES = 2 * 1024 * 1024;
const CHUNK = 65_536; // the most that getRandomValues fills at once

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
