// What Today showed last, kept so that it is drawn at once: with many dogs, reading every weigh-in takes seconds.

import { useEffect } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { useApp } from "./live.js";
import { useLive } from "./live.js";
import { lookedAfter } from "./read_dog.js";
import { readDog } from "./read_dog.js";

const PATIENCE_MS = 150; // a fresh reading that comes sooner spares people a flicker

let kept = /** @type {{of: string, text: string}|null} */ (null); // of this visit

/** No more of a dog than its sentence needs. @param {any} facts */
function slim({ dog, weighIns, checks, inForce, asked, review }) {
  const result = review && { decision: review.result.decision, rate_pct_per_week: review.result.rate_pct_per_week, target_on: review.result.target_on };
  return {
    dog, weighIns: weighIns.slice(-1), checks: checks.slice(-1),
    inForce: inForce && { ...inForce, result: null, request: null, ration: [], changes: [] },
    asked: asked && { ...asked, result: { refused: asked.result?.refused }, request: null, ration: [] },
    review: review && { answer: review.answer, proposal: review.proposal && {}, result },
  };
}

/** Every dog that is looked after: as it was last shown, soon as it is. @returns {any[]|undefined} */
export function useDogs() {
  const { store } = useApp();
  const [early, setEarly] = useState(/** @type {any[]|undefined} */ (undefined));
  const fresh = useLive(async (from) => {
    const facts = [];
    for (const dog of lookedAfter(await from.list("dog"))) facts.push(slim(await readDog(from, dog)));
    return facts;
  }, []);
  useEffect(() => {
    if (!fresh) return;
    const text = JSON.stringify(fresh);
    if (kept?.of === store.accountId && kept?.text === text) return;
    kept = { of: store.accountId, text };
    store.meta.set("glance", text).catch(() => {}); // only saves time
  }, [fresh]);
  useEffect(() => {
    let live = true;
    const show = (/** @type {string|undefined} */ text) => { if (live && text) setEarly(JSON.parse(text)); };
    const mine = kept?.of === store.accountId ? kept?.text : undefined;
    const timer = setTimeout(show, PATIENCE_MS, mine);
    if (!mine) store.meta.get("glance").then(show, () => {});
    return () => { live = false; clearTimeout(timer); };
  }, []);
  return fresh ?? early;
}
