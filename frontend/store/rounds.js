// When to talk to the server: after a save, at start, when the page comes to the front, when the
// signal returns, and by a timer while open. Never relies on the browser syncing in the background.
import { Trouble } from "./answers.js";
/** @import {Round} from "./sync.js" */
/** @import {Signal} from "./types.js" */

const FIRST_RETRY_MS = 2000;
const LONGEST_RETRY_MS = 300_000;
const REST_MS = 60_000;
// after a push that made work for the server
const POLL_MS = [1000, 2000, 4000, 8000, 15_000];
const OTHER_TAB_MS = 2000;

/** How long to wait after so many failures in a row: doubling, with jitter so that phones which
 * lost the server together do not return together. @param {number} failures from 1 @param {() => number} random */
export function backoff(failures, random) {
  return Math.min(LONGEST_RETRY_MS, FIRST_RETRY_MS * 2 ** Math.min(failures - 1, 20)) * (0.5 + random() / 2);
}

/** @typedef {{addEventListener: (type: string, listener: () => void) => void, removeEventListener: (type: string, listener: () => void) => void}} Target */
/** @typedef {Target & {visibilityState?: string}} Page */

/** @param {object} env
 * @param {() => Promise<Round | null>} env.round one exchange; null: another tab is at it
 * @param {() => number} env.now @param {() => number} env.random
 * @param {(work: () => void, ms: number) => any} env.setTimeout @param {(id: any) => void} env.clearTimeout
 * @param {Page | undefined} env.page the document @param {Target | undefined} env.window
 * @param {(state: {syncing: boolean, signal: Signal | null, fault?: unknown}) => void} env.onState */
export function createRounds({ round, now, random, setTimeout, clearTimeout, page, window, onState }) {
  /** @type {Promise<void> | null} */
  let running = null;
  let again = false;
  let started = false;
  let failures = 0;
  let notBefore = 0;
  /** @type {number[]} */
  let polls = [];
  /** @type {any} */
  let timer = null;

  const visible = () => page?.visibilityState !== "hidden";

  /** @param {number} ms */
  function plan(ms) {
    clearTimeout(timer);
    timer = started ? setTimeout(() => void (visible() || failures ? syncNow() : null), ms) : null;
  }

  async function once() {
    // the server asked us to wait
    if (now() < notBefore) return plan(notBefore - now());
    onState({ syncing: true, signal: null });
    try {
      const done = await round();
      failures = 0;
      if (done?.jobs) polls = [...POLL_MS];
      onState({ syncing: false, signal: "all_sent" });
      plan(done ? (visible() && polls.shift()) || REST_MS : OTHER_TAB_MS);
    } catch (error) {
      failures += 1;
      const kind = error instanceof Trouble ? error.kind : "no_answer";
      const wait = (error instanceof Trouble && error.retryAfter) || backoff(failures, random);
      if (error instanceof Trouble && error.retryAfter) notBefore = now() + error.retryAfter;
      const signal = kind === "signed_out" ? "signed_out" : kind === "update" ? "update_needed" : "no_signal";
      onState({ syncing: false, signal, ...(error instanceof Trouble ? {} : { fault: error }) });
      plan(wait);
    }
  }

  /** A round now, or one more right after the running one: an entry saved meanwhile is in it.
   * @returns {Promise<void>} */
  function syncNow() {
    if (running) again = true;
    running ??= (async () => {
      try {
        do {
          again = false;
          await once();
        } while (again && !failures);
      } finally {
        running = null;
      }
    })();
    return running;
  }

  const wake = () => {
    if (visible()) void syncNow();
  };

  return {
    syncNow,
    start() {
      if (started) return;
      started = true;
      page?.addEventListener("visibilitychange", wake);
      window?.addEventListener("online", wake);
      window?.addEventListener("pageshow", wake);
      wake();
    },
    stop() {
      started = false;
      clearTimeout(timer);
      page?.removeEventListener("visibilitychange", wake);
      window?.removeEventListener("online", wake);
      window?.removeEventListener("pageshow", wake);
    },
    get started() {
      return started;
    },
  };
}
