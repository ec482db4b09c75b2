// A phone for tests: fake IndexedDB, a clock that only moves when told, chance from a seed.
import { createRequire } from "node:module";

const require = createRequire(new URL("../../frontend/package.json", import.meta.url));
require("fake-indexeddb/auto");
export const { IDBFactory } = require("fake-indexeddb");

const { createStore } = await import("../../frontend/store/store.js");

/** Mulberry32: small, seeded, good enough to shuffle faults. */
export function seeded(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Let everything that waits for IndexedDB or a promise run. */
export async function settled(turns = 60) {
  for (let n = 0; n < turns; n++) await new Promise((resolve) => setImmediate(resolve));
}

export class Clock {
  constructor(at = Date.parse("2026-03-02T07:30:00Z")) {
    this.at = at;
    this.timers = new Map();
    this.next = 1;
  }

  now = () => this.at;
  setTimeout = (work, ms) => {
    this.timers.set(this.next, { due: this.at + ms, work });
    return this.next++;
  };
  clearTimeout = (id) => void this.timers.delete(id);

  /** Delays of the timers now set, shortest first. */
  waits() {
    return [...this.timers.values()].map(({ due }) => due - this.at).sort((a, b) => a - b);
  }

  async advance(ms) {
    const end = this.at + ms;
    for (;;) {
      const due = [...this.timers].filter(([, timer]) => timer.due <= end).sort((a, b) => a[1].due - b[1].due)[0];
      if (!due) break;
      this.timers.delete(due[0]);
      this.at = Math.max(this.at, due[1].due);
      due[1].work();
      await settled();
    }
    this.at = end;
  }
}

/** A page or window whose events the test fires. */
export class FakePage extends EventTarget {
  visibilityState = "visible";
  fire(type) {
    this.dispatchEvent(new Event(type));
  }
  show(state) {
    this.visibilityState = state;
    this.fire("visibilitychange");
  }
}

let accounts = 0;
export function freshAccount() {
  accounts += 1;
  return `account-${accounts}`;
}

/** @param {{server: any, clock: Clock, accountId: string}} given further keys go to createStore */
export async function openPhone({ server, clock, accountId, ...more }) {
  return createStore({
    accountId, fetch: server.fetch, now: clock.now, random: seeded(accountId.length * 7919 + clock.at % 1000 + clock.next++),
    setTimeout: clock.setTimeout, clearTimeout: clock.clearTimeout, locks: null, channel: null,
    page: new FakePage(), window: new FakePage(), navigator: {}, ...more,
  });
}

export const OTTO = {
  household_id: "019cad00-0000-7000-8000-00000000aaaa", name: "Otto", sex: "male", neutered: true, birth_date: "2020-04-01",
  grown: null, breed: null, frame: "large", coat: "short", reproduction: "none", conditions: [], lean_weight_g: null, adult_weight_g: null,
};
export const OTTO_ID = "019cad00-0000-7000-8000-000000000001";

export function weight(grams, more = {}) {
  return { dogId: OTTO_ID, data: { weight_g: grams, scale: "Bathroom scale", ...more } };
}
