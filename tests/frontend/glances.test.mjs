// Today reads one row a dog, kept up to the entries in the same transaction, and only when something has changed.
import assert from "node:assert/strict";
import { test } from "node:test";
import { readDog } from "../../frontend/parts/read_dog.js";
import { FakeServer, answer } from "./fake_server.mjs";
import { Clock, OTTO, OTTO_ID, freshAccount, openPhone, weight } from "./phone.mjs";

const OTHER_DOG = "019cad00-0000-7000-8000-000000000002";

async function phone() {
  const clock = new Clock();
  const accountId = freshAccount();
  const server = new FakeServer({ clock, users: { [accountId]: "Mara Lindqvist" } });
  return { server, clock, store: await openPhone({ server, clock, accountId }) };
}

/** Saved in an order that is not that of the days. */
async function weighed(store, days) {
  const ids = {};
  for (const [day, grams] of days) {
    const { entityId } = await store.act("weigh_in.add", { ...weight(grams), measuredAt: `${day}T08:00:00Z`, localDate: day, tz: "UTC" });
    ids[day] = entityId;
  }
  return ids;
}

async function glance(store, id = OTTO_ID) {
  return (await store.list("glance")).find((each) => each.id === id);
}
const add = (store, id = OTTO_ID, name = "Otto") => store.act("dog.add", { entityId: id, data: { ...OTTO, name } });

test("the glance at a dog follows each save, in the order of the days, not of the typing", async () => {
  const { store } = await phone();
  await add(store);
  assert.deepEqual([(await glance(store)).dog.name, (await glance(store)).weighIns], ["Otto", []]);
  await weighed(store, [["2026-02-10", 15_100], ["2026-03-01", 15_300], ["2025-12-31", 15_000]]);
  await store.act("weigh_in.add", { ...weight(9_000), dogId: OTHER_DOG });
  assert.deepEqual((await glance(store)).weighIns.map((row) => [row.weight_g, row.pending]), [[15_300, true]]);
  await store.act("dog.edit", { entityId: OTTO_ID, data: { name: "Otto the Second" } });
  assert.equal((await glance(store)).dog.name, "Otto the Second");
});

test("two weigh-ins on one day stand by the instant", async () => {
  const { store } = await phone();
  await add(store);
  for (const [hour, grams] of [["19", 15_200], ["07", 15_000]]) {
    await store.act("weigh_in.add", { ...weight(grams), measuredAt: `2026-03-02T${hour}:00:00Z`, localDate: "2026-03-02", tz: "UTC" });
  }
  assert.deepEqual((await glance(store)).weighIns.map((row) => row.weight_g), [15_200]);
});

test("what is taken back or replaced is passed over; rows come without what lies underneath", async () => {
  const { store } = await phone();
  await add(store);
  const ids = await weighed(store, [["2026-02-01", 15_000], ["2026-03-01", 51_000]]);
  await store.act("weigh_in.void", { entityId: ids["2026-03-01"], dogId: OTTO_ID, data: {} });
  const [row] = (await glance(store)).weighIns;
  assert.deepEqual([row.weight_g, "server" in row], [15_000, false]);
  await store.act("weigh_in.void", { entityId: ids["2026-03-01"], dogId: OTTO_ID, data: { void: false } });
  assert.equal((await glance(store)).weighIns[0].weight_g, 51_000);
});

test("entry and glance are one transaction: when the save fails, neither is there", async () => {
  const { store } = await phone();
  await add(store);
  const { put } = IDBObjectStore.prototype;
  IDBObjectStore.prototype.put = function (...args) {
    if (this.name === "glance") throw new Error("the disk is gone");
    return put.apply(this, args);
  };
  try {
    await assert.rejects(store.act("weigh_in.add", weight(15_200)), /the disk is gone/);
  } finally {
    IDBObjectStore.prototype.put = put;
  }
  assert.deepEqual([await store.byDog("weigh_in", OTTO_ID), (await glance(store)).weighIns, store.status().waiting], [[], [], 1]);
});

test("years of entries are left alone: a glance reads from the end, Today reads no entry at all", async () => {
  const { store } = await phone();
  await add(store);
  await weighed(store, Array.from({ length: 40 }, (_, n) => [`2025-${String(1 + (n % 12)).padStart(2, "0")}-${String(1 + Math.floor(n / 12)).padStart(2, "0")}`, 15_000 + n]));
  const read = [];
  const { getAll } = IDBObjectStore.prototype;
  const { continue: further } = IDBCursor.prototype;
  IDBObjectStore.prototype.getAll = function (...args) {
    read.push(this.name);
    return getAll.apply(this, args);
  };
  IDBCursor.prototype.continue = function (...args) {
    read.push("a further row");
    return further.apply(this, args);
  };
  try {
    await store.list("glance");
    assert.deepEqual(read, ["glance"]);
    await store.act("weigh_in.add", { ...weight(15_900), measuredAt: "2026-03-02T08:00:00Z", localDate: "2026-03-02", tz: "UTC" });
    assert.ok(!read.includes("weigh_in") && !read.includes("a further row"), read.join());
  } finally {
    IDBObjectStore.prototype.getAll = getAll;
    IDBCursor.prototype.continue = further;
  }
});

test("a glance goes with its dog: access removed, record gone, snapshot without it", async () => {
  const { store, server } = await phone();
  for (const id of [OTTO_ID, OTHER_DOG]) {
    server.put("dog", id, id, { ...OTTO, household_id: `home of ${id}` });
    server.put("weigh_in", `w ${id}`, id, { weight_g: 15_000, local_date: "2026-03-01", measured_at: "2026-03-01T08:00:00Z" });
  }
  await store.syncNow();
  const held = async () => (await store.list("glance")).map((each) => [each.id, each.weighIns.length]);
  assert.deepEqual(await held(), [[OTTO_ID, 1], [OTHER_DOG, 1]]);
  server.put("access.removed", "m-1", null, { household_id: `home of ${OTTO_ID}`, name: "Mill Lane", kind: "home", role: "lead" });
  await store.syncNow();
  assert.deepEqual(await held(), [[OTHER_DOG, 1]]);
  for (const gone of [`dog ${OTTO_ID}`, `weigh_in w ${OTTO_ID}`, `weigh_in w ${OTHER_DOG}`]) server.rows.delete(gone);
  let stale = true; // the server has thrown old change numbers away: 410, then a snapshot
  server.hooks.push((path) => {
    if (!stale || !path.includes("/pull")) return null;
    stale = false;
    return answer(410, { code: "resync", text: "Start over." });
  });
  await store.syncNow();
  assert.deepEqual(await held(), [[OTHER_DOG, 0]], "the row that the snapshot lacks has left the glance, too");
});

test("a glance says of a dog what a full reading says", async () => {
  const { store, server } = await phone();
  await store.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  const ids = await weighed(store, [["2026-01-05", 15_400], ["2026-02-02", 15_200], ["2026-03-01", 51_000]]);
  await store.act("weigh_in.void", { entityId: ids["2026-03-01"], dogId: OTTO_ID, data: {} });
  await store.act("check.add", { dogId: OTTO_ID, data: { ribs: "felt", waist: "slight", tuck: "slight", muscle: "normal" } });
  const plan = (id, state, requested_at) => server.put("plan", id, OTTO_ID, { state, requested_at, kcal_per_day: 700 });
  const review = (id, plan_id, as_of, week) => server.put("review", id, OTTO_ID, { plan_id, as_of, week, result: { decision: { action: "stay", reason: { code: "on_course", values: {} } } }, proposal: null, answer: null });
  plan("p-old", "ended", "2025-11-01T08:00:00Z");
  plan("p-now", "active", "2026-01-05T08:00:00Z");
  plan("p-next", "waiting", "2026-03-01T08:00:00Z");
  review("r-1", "p-now", "2026-02-15", "2026-W07");
  review("r-2", "p-now", "2026-02-22", "2026-W08");
  review("r-9", "p-old", "2026-02-28", "2026-W09");
  await store.syncNow();
  const dog = await store.get("dog", OTTO_ID);
  const [seen, whole] = [await glance(store), await readDog(store, dog)];
  const last = (rows) => rows.at(-1)?.id;
  assert.deepEqual([last(seen.weighIns), seen.review?.id, seen.inForce?.id, seen.asked?.id], [ids["2026-02-02"], "r-2", "p-now", "p-next"]);
  assert.deepEqual([seen.weighIns.length, last(seen.weighIns), last(seen.checks)], [1, last(whole.weighIns), last(whole.checks)]);
  assert.deepEqual([seen.dog, seen.inForce, seen.asked, seen.review], [dog, whole.inForce, whole.asked, whole.review]);
});

test("a round that brings nothing makes no screen read again; one that brings a row does", async () => {
  const { store, server } = await phone();
  await store.syncNow();
  const heard = [];
  store.subscribe(({ reason }) => heard.push(reason));
  await store.syncNow();
  assert.deepEqual(heard.filter((reason) => reason !== "status"), []);
  server.put("dog", OTTO_ID, OTTO_ID, OTTO);
  await store.syncNow();
  assert.ok(heard.includes("synced"), heard.join());
});

test("a round that stops half way still tells what it has brought", async () => {
  const { store, server } = await phone();
  await store.syncNow();
  await store.act("weigh_in.add", weight(15_200));
  const heard = [];
  store.subscribe(({ reason }) => heard.push(reason));
  server.hooks.push((path) => (path.includes("/pull") ? new Response("gone", { status: 502 }) : null));
  await store.syncNow();
  assert.equal(store.status().waiting, 0, "it was pushed");
  assert.ok(heard.includes("synced"), heard.join());
});
