"""A phone full of invented entries, for the benchmarks."""

from __future__ import annotations

from playwright.sync_api import Page

DOGS = 50
ENTRIES = 500  # a dog's: weigh-ins, checks, weekly reviews

# Rows as the server sends them, put where the app keeps them; the glances by the app's own module.
FILL = """
async ({ dogs, entries }) => {
  const loaded = performance.getEntriesByType("resource").map((each) => each.name);
  const served = (name) => import(loaded.find((url) => url.includes(name)));
  const { openDB } = await served("vendor/idb.");
  const { lookAgain } = await served("store/glances.");
  const known = (await indexedDB.databases()).map((each) => each.name);
  const name = known.find((each) => /^tuckline-(?!known)/.test(each));
  const db = await openDB(name);
  const [home] = await db.getAll("household");
  let number = 0;
  const id = () => `019cad00-0000-7000-8000-${String(++number).padStart(12, "0")}`;
  const by = { id: "1", name: "Mara Lindqvist" };
  const dayAgo = (days) => new Date(Date.now() - days * 86400000).toISOString().slice(0, 10);
  const measured = (days) => ({
    measured_at: `${dayAgo(days)}T08:00:00Z`, local_date: dayAgo(days), tz: "Europe/Berlin", by,
    received_at: `${dayAgo(days)}T08:00:05Z`, replaces: null, replaced_by: null, voided: false,
    void_reason: "", flagged_future: false, note: "",
  });
  // What the science says beside a plan and a review weighs as much as its cautions do.
  const cautions = Array.from({ length: 6 }, (_, n) => ({
    code: `caution_${n}`, values: { kg: 12.5, kcal: 700 }, source: "a source ".repeat(12),
  }));
  for (let n = 0; n < dogs; n++) {
    const types = ["dog", "weigh_in", "check", "plan", "review", "glance"];
    const tx = db.transaction(types, "readwrite");
    const dog_id = id();
    const put = (type, row) =>
      tx.objectStore(type).put({ id: id(), dog_id, version: 1, seq: 1, ...row });
    put("dog", {
      id: dog_id, household_id: home.id, name: `Dog ${String(n + 1).padStart(2, "0")}`,
      sex: "female", neutered: true, birth_date: "2019-04-01", grown: null, breed: null,
      frame: "medium", coat: "short", reproduction: "none", conditions: [], lean_weight_g: null,
      adult_weight_g: null, carer_may_accept: false, paused: null, closed: null,
      created_at: "2024-01-01T08:00:00Z",
    });
    const planned = n % 3 === 0;
    const reviews = planned ? Math.floor(entries / 5) : 0;
    const checks = Math.floor(entries / 20);
    const plan_id = id();
    if (planned) {
      put("plan", {
        id: plan_id, state: "active", kind: "reduce", requested_at: "2024-02-01T08:00:00Z", by,
        local_date: "2024-02-01", request: {}, result: { cautions }, problem: null,
        computed_at: "2024-02-01T08:01:00Z", start_kg: 15, target_kg: 12, first_goal_kg: 13,
        changes: [], kcal_per_day: 700, ration: [], treat_kcal_max: 60, accepted_on: "2024-02-01",
      });
    }
    for (let k = 0; k < reviews; k++) {
      const week = `${2026 - Math.floor(k / 52)}-W${String(52 - (k % 52)).padStart(2, "0")}`;
      const decision = { action: "stay", reason: { code: "on_course", values: {} } };
      const rate_pct_per_week = { low: -1.1, mid: -0.9, high: -0.6 };
      put("review", {
        week, as_of: dayAgo(7 * k + 1), plan_id, computed_at: "2024-02-01T08:01:00Z",
        proposal: null, answer: null,
        result: { decision, rate_pct_per_week, target_on: null, cautions },
      });
    }
    for (let k = 0; k < checks; k++) {
      put("check", {
        ribs: "felt", waist: "slight", tuck: "slight", score: null, muscle: "normal",
        ...measured(20 * k + 3),
      });
    }
    for (let k = 0; k < entries - checks - reviews; k++) {
      put("weigh_in", {
        weight_g: 12000 + ((k * 37) % 900), scale: "Home", method: "platform", use: null,
        ...measured(2 * k + 1),
      });
    }
    await lookAgain(tx, [dog_id]);
    await tx.done;
  }
  db.close();
  return name;
}
"""


def fill(page: Page) -> str:
    """Put the entries into the open app's database; its name."""
    return str(page.evaluate(FILL, {"dogs": DOGS, "entries": ENTRIES}))
