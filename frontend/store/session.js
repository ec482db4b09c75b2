// Who is signed in. The server decides; with no signal the phone opens the last account's data.
import { openDB } from "../vendor/idb.js";
/** @import {IDBPDatabase} from "../vendor/idb.js" */
/** @import {Fetch} from "./answers.js" */
/** @import {Account} from "./types.js" */
/** @import {Store} from "./store.js" */

const KNOWN = "tuckline-known";
const AUTH = "/api/auth/browser/v1/auth";
const NO_SIGNAL = "There is no answer from the server. Check the signal, then try again.";

/** @typedef {{field: string | null, text: string}} Fault what to show, beside which field */
/** @typedef {{user: Account} | {errors: Fault[]} | {next: string}} SignedIn next: a further step the server asks for */

/**
 * @typedef {object} Session
 * @property {Account | null} user signed in at the server; with no signal, the known account
 * @property {Account | null} known the account last used on this phone: its data may be opened,
 *   also while the server asks to sign in again
 * @property {boolean} online whether the server answered
 * @property {string} csrf
 * @property {{id: string, name: string, kind: string, role: string}[]} households
 */

/** @template T @param {(db: IDBPDatabase) => Promise<T>} work */
async function withKnown(work) {
  const db = await openDB(KNOWN, 1, { upgrade: (fresh) => void fresh.createObjectStore("known") });
  try {
    return await work(db);
  } finally {
    db.close();
  }
}

/** @param {Account} account */
function remember({ id, name, email }) {
  return withKnown((db) => db.put("known", { id, name, email }, "account"));
}

/** No sign-out is owed to the server any more. */
function arrived() {
  return withKnown((db) => db.delete("known", "leaving"));
}

/** JSON of an answer that is ours, else null: a hotel's page is no answer.
 * @param {Fetch} fetch @param {string} path @param {object} [init] @returns {Promise<{status: number, body: any} | null>} */
async function ask(fetch, path, init = {}) {
  try {
    const response = await fetch(path, { credentials: "same-origin", cache: "no-store", redirect: "error", ...init });
    if (!/\bjson\b/.test(response.headers.get("Content-Type") ?? "")) return null;
    return { status: response.status, body: await response.json() };
  } catch {
    return null;
  }
}

/** @param {Fetch} fetch */
async function askSession(fetch) {
  const answer = await ask(fetch, "/api/v1/session");
  return answer?.status === 200 && typeof answer.body?.csrf === "string" && "user" in answer.body ? answer.body : null;
}

/** @param {Fetch} fetch @param {string} method @param {string} path @param {string} csrf @param {object} [body] */
function write(fetch, method, path, csrf, body) {
  const headers = { Accept: "application/json", "Content-Type": "application/json", "X-CSRFToken": csrf };
  return ask(fetch, `${AUTH}/${path}`, { method, headers, ...(body ? { body: JSON.stringify(body) } : {}) });
}

/** Close the server's session; whether it has none now. @param {Fetch} fetch @param {any} session null: no answer */
async function leave(fetch, session) {
  // Signed out is answered with 401, by design of the account endpoints.
  const gone = session && (!session.user || (await write(fetch, "DELETE", "session", session.csrf))?.status === 401);
  if (gone) await arrived();
  return Boolean(gone);
}

/** Ask who is signed in; never throws for want of a signal. @param {Fetch} fetch @returns {Promise<Session>} */
export async function currentSession(fetch) {
  const [known, leaving] = await withKnown(async (db) => [(await db.get("known", "account")) ?? null, await db.get("known", "leaving")]);
  let session = await askSession(fetch);
  // Signed out here with no signal: the server hears of it now, before anything is opened.
  if (leaving && session) session = (await leave(fetch, session)) ? await askSession(fetch) : null;
  if (!session) return { user: known, known, online: false, csrf: "", households: [] };
  if (session.user) await remember(session.user);
  return { user: session.user, known: session.user ?? known, online: true, csrf: session.csrf, households: session.households ?? [] };
}

/** The server's complaints as field and text. @param {{status: number, body: any}} answer @returns {Fault[]} */
function faults({ status, body }) {
  if (status === 429) return [{ field: null, text: "Too many tries. Wait a few minutes, then try again." }];
  const errors = Array.isArray(body?.errors) ? body.errors : [];
  if (errors.length) return errors.map((/** @type {any} */ error) => ({ field: error.param ?? null, text: String(error.message ?? error.code) }));
  return [{ field: body?.field ?? null, text: body?.text ?? `The server refused this (${status}). Try again later.` }];
}

/** @param {Fetch} fetch @param {"signup" | "login"} path @param {Record<string, string>} form @returns {Promise<SignedIn>} */
async function enter(fetch, path, form) {
  for (let attempt = 0; ; attempt++) {
    const session = await askSession(fetch);
    if (!session) return { errors: [{ field: null, text: NO_SIGNAL }] };
    const answer = await write(fetch, "POST", path, session.csrf, form);
    if (!answer) return { errors: [{ field: null, text: NO_SIGNAL }] };
    if (answer.status === 403 && answer.body?.code === "csrf" && !attempt) continue;
    if (answer.status === 409 && !attempt) {
      await write(fetch, "DELETE", "session", session.csrf); // someone else's session is still open in this browser
      continue;
    }
    const flow = answer.status === 401 && answer.body?.data?.flows?.find((/** @type {any} */ each) => each.is_pending);
    if (flow) return { next: flow.id };
    if (answer.status !== 200) return { errors: faults(answer) };
    await arrived();
    const { user } = await currentSession(fetch);
    return user ? { user } : { errors: [{ field: null, text: NO_SIGNAL }] };
  }
}

/** @param {{email: string, password: string, name: string, tz?: string}} form @param {Fetch} [fetch] */
export function signUp({ tz = Intl.DateTimeFormat().resolvedOptions().timeZone, ...form }, fetch = globalThis.fetch.bind(globalThis)) {
  return enter(fetch, "signup", { ...form, tz });
}

/** @param {{email: string, password: string}} form @param {Fetch} [fetch] */
export function signIn(form, fetch = globalThis.fetch.bind(globalThis)) {
  return enter(fetch, "login", form);
}

/** Sign out and take this account's data off the phone. Entries that could not be sent stop it:
 * then the answer says how many, and a person chooses to stay, to save a file
 * (store.exportUnsent), or to go and lose them.
 * @param {Store} store @param {"ask" | "lose"} [choice] @param {Fetch} [fetch]
 * @returns {Promise<{unsent: number} | {done: true}>} */
export async function signOut(store, choice = "ask", fetch = globalThis.fetch.bind(globalThis)) {
  if (choice !== "lose") {
    if (store.status().waiting) await store.syncNow();
    const { waiting, attention } = store.status();
    if (waiting + attention) return { unsent: waiting + attention };
  }
  store.stop();
  // Remembered first: if the server cannot be told now, it is told at the next start.
  await withKnown(async (db) => {
    await db.delete("known", "account");
    await db.put("known", true, "leaving");
  });
  await store.erase();
  await leave(fetch, await askSession(fetch));
  return { done: true };
}
