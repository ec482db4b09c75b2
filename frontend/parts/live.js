// What every screen may reach: the store, who is signed in, the phone's own settings; and reading that
// stays fresh when something is saved or pulled.

import { createContext } from "../vendor/preact.js";
import { useContext } from "../vendor/hooks.js";
import { useEffect } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";

/**
 * @typedef {object} App
 * @property {any} store the phone's own records
 * @property {{id: string, name: string, email: string}} user
 * @property {{id: string, name: string, kind: string, role: string}[]} households with this person's role in each
 * @property {{unit: "kg"|"lb", theme: "auto"|"light"|"dark"}} settings
 * @property {(change: object) => void} change keeps a setting on this phone
 * @property {(hash: string) => void} go
 * @property {(note: {undo?: () => Promise<unknown>, text?: string}|null) => void} tell "saved on this phone", with a way back
 * @property {{undo?: () => Promise<unknown>, text?: string}|null} note what was just saved
 * @property {() => void} undo takes back what the note is about
 * @property {(error: unknown) => void} fail
 * @property {boolean} updateReady a new version of the app waits
 * @property {() => void} left after sign-out
 * @property {() => Promise<void>} signedIn after sign-in
 * @property {any} session as store/session.js gives it
 */

export const AppContext = createContext(/** @type {App} */ (/** @type {unknown} */ (null)));

export const useApp = () => useContext(AppContext);

/**
 * Read from the store now and again after each change. Undefined until the first answer.
 * @template T
 * @param {(store: any) => Promise<T>} load
 * @param {unknown[]} deps
 * @param {boolean} [statusToo] also when only the sync status changed
 * @returns {T | undefined}
 */
export function useLive(load, deps, statusToo = false) {
  const { store, fail } = useApp();
  const [value, setValue] = useState(/** @type {T | undefined} */ (undefined));
  useEffect(() => {
    let live = true;
    let turn = 0;
    const read = () => {
      const mine = ++turn; // a slow older read must not overwrite a newer one
      load(store).then((/** @type {T} */ got) => { if (live && mine === turn) setValue(() => got); }, fail);
    };
    read();
    const stop = store.subscribe((/** @type {any} */ event) => { if (statusToo || event?.reason !== "status") read(); });
    return () => { live = false; stop(); };
  }, [store, ...deps]);
  return value;
}

/** The store's status, kept fresh. */
export function useStatus() {
  return useLive(async (store) => store.status(), [], true);
}
