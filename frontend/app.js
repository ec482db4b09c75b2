// Wires the phone: who is signed in, this account's store, and the screen that the address asks for.

import { render } from "./vendor/preact.js";
import { useEffect } from "./vendor/hooks.js";
import { useState } from "./vendor/hooks.js";
import { AppContext } from "./parts/live.js";
import { Places } from "./parts/frame.js";
import { html } from "./parts/html.js";
import { whereabouts } from "./parts/frame.js";
import { Lazy } from "./parts/lazy.js";
import { routeFor } from "./routes.js";
import { createStore } from "./store/store.js";
import { currentSession } from "./store/session.js";
import { registerWorker } from "./store/worker.js";

/** @import {Store} from "./store/store.js" */

// theme and unit: of this phone, not of an account
const PREFERENCES = "tuckline-preferences";

function readPreferences() {
  const english = /^en-US/i.test(navigator.language);
  try {
    return { unit: english ? "lb" : "kg", theme: "auto", ...JSON.parse(localStorage.getItem(PREFERENCES) ?? "{}") };
  } catch {
    return { unit: english ? "lb" : "kg", theme: "auto" };
  }
}

/** @param {any} preferences */
function wear({ theme }) {
  if (theme === "auto") delete document.documentElement.dataset["theme"];
  else document.documentElement.dataset["theme"] = theme;
}

/** Households with this person's role; the store's word is newer than the session's. @param {any[]} rows @param {any[]} session @param {string} me */
function withRoles(rows, session, me) {
  const known = rows.map((row) => ({ id: row.id, name: row.name, kind: row.kind, role: row.members?.find((/** @type {any} */ m) => m.id === me)?.role ?? session.find((s) => s.id === row.id)?.role ?? "viewer" }));
  const homes = known.length ? known : [...session];
  const rank = (/** @type {any} */ home) => `${home.role === "lead" ? 0 : 1}${home.name}`; // one's own first
  return homes.sort((a, b) => (rank(a) < rank(b) ? -1 : 1));
}

function App() {
  // null: not known yet
  const [session, setSession] = useState(/** @type {any} */ (null));
  const [store, setStore] = useState(/** @type {Store|null} */ (null));
  const [households, setHouseholds] = useState(/** @type {any[]} */ ([]));
  const [hash, setHash] = useState(location.hash);
  const [settings, setSettings] = useState(readPreferences);
  const [note, setNote] = useState(/** @type {any} */ (null));
  const [spoken, setSpoken] = useState("");
  const [fault, setFault] = useState("");
  const [updateReady, setUpdateReady] = useState(false);
  const user = session?.user ?? session?.known ?? null;

  useEffect(() => {
    const turn = () => { setHash(location.hash); setNote(null); };
    addEventListener("hashchange", turn);
    // works without, only not offline
    registerWorker({ onUpdate: () => setUpdateReady(true) }).catch(() => {});
    start().catch(fail);
    return () => removeEventListener("hashchange", turn);
  }, []);
  useEffect(() => wear(settings), [settings]);
  useEffect(() => {
    if (!user) return setStore(null);
    let live = true;
    /** @type {Store|null} */
    let opened = null;
    createStore({ accountId: user.id, accountName: user.name, onBlocked: () => setFault("Another tab still runs an older Tuckline. Close it to go on.") }).then((made) => {
      opened = made;
      if (!live) return made.close();
      made.start();
      setStore(made);
    }, fail);
    return () => { live = false; opened?.close(); };
  }, [user?.id]);
  useEffect(() => {
    if (!store) return;
    const read = () => store.list("household").then((rows) => setHouseholds(withRoles(rows, session?.households ?? [], store.accountId)), fail);
    read();
    return store.subscribe((event) => { if (event.reason !== "status") read(); });
  }, [store, session]);

  /** What is on the phone first, so that a slow or absent signal holds nobody up. */
  async function start() {
    const known = await onThisPhone;
    if (known.known) setSession(known);
    setSession(await currentSession(fetch.bind(globalThis)));
  }
  function fail(/** @type {unknown} */ error) {
    setFault(error instanceof Error ? error.message : String(error));
  }
  function change(/** @type {object} */ part) {
    const next = { ...settings, ...part };
    setSettings(next);
    try { localStorage.setItem(PREFERENCES, JSON.stringify(next)); } catch { /* a full or closed storage: this visit only */ }
  }
  function go(/** @type {string} */ to) {
    location.hash = to;
    setHash(location.hash);
  }
  function tell(/** @type {any} */ said) {
    // After the hash change of a go() just before has been heard, or it would wipe the note.
    setTimeout(() => {
      setNote(said);
      setSpoken(said ? `${said.text ?? "Saved on this phone."} ${whereabouts(store?.status())}` : "");
    }, 30);
  }
  async function undo() {
    await note?.undo?.().then(() => tell({ text: "Taken back." }), fail);
  }
  async function signedIn() {
    setSession(await currentSession(fetch.bind(globalThis)));
    await store?.syncNow().catch(() => {});
    go("#/");
  }

  const signedOut = !user;
  const { route, params } = routeFor(hash, signedOut);
  const app = { store, user, households, settings, change, go, tell, note, undo, fail, updateReady, session, signedIn,
    left: () => { setStore(null); setSession({ user: null, known: null, households: [] }); go("#/welcome"); } };
  const opening = session === null || (!signedOut && !store);
  const rounds = households.some((home) => home.kind === "rescue" && home.role === "lead");
  const bare = signedOut || route.bare;
  return html`<${AppContext.Provider} value=${app}>
    <div class=${`app ${bare ? "no-bar" : ""}`}>
      <a class="skip" href="#main" onClick=${(/** @type {Event} */ e) => { e.preventDefault(); document.querySelector("h1")?.focus(); }}>Skip to content</a>
      <div class="unseen" role="status" aria-live="polite">${spoken}</div>
      ${fault && html`<div class="note attention" role="alert"><p>${fault}</p><button type="button" class="link" onClick=${() => location.reload()}>Reload</button></div>`}
      ${opening ? html`<main id="main" aria-busy="true"></main>`
        : route.screen ? html`<${route.screen} key=${hash} ...${params} rounds=${rounds} />`
        : html`<${Lazy} key=${hash} load=${route.load} name=${route.name} plain=${route.bare} props=${{ ...params, rounds }} />`}
      <${Places} tab=${route.tab ?? ""} rounds=${rounds} />
    </div>
  <//>`;
}

// Read while the first frame is drawn; a fault is told by start().
const onThisPhone = currentSession(() => Promise.reject(new Error("not asked yet")));
onThisPhone.catch(() => {});
wear(readPreferences());
const root = document.getElementById("app");
if (root) render(html`<${App} />`, root);
