import assert from "node:assert/strict";
import { test } from "node:test";
import { connect, databaseName } from "../../frontend/store/database.js";
import { Clock, OTTO, OTTO_ID, freshAccount, openPhone, settled, weight } from "./phone.mjs";
import { FakeServer } from "./fake_server.mjs";

/** Locks as a browser has them, for `ifAvailable` only. */
class FakeLocks {
  held = new Set();
  refused = 0;
  async request(name, options, work) {
    assert.deepEqual(options, { ifAvailable: true });
    if (this.held.has(name)) {
      this.refused += 1;
      return work(null);
    }
    this.held.add(name);
    try {
      return await work({ name });
    } finally {
      this.held.delete(name);
    }
  }
}
/** Two ends that hear each other, not themselves. */
function channels() {
  const [a, b] = [{}, {}];
  for (const [mine, other] of [[a, b], [b, a]]) {
    mine.postMessage = (data) => void setImmediate(() => other.onmessage?.({ data }));
  }
  return [a, b];
}

/** The first schema, written out by hand on purpose: this is what phones hold, whatever the code says today. */
function schema1(db) {
  for (const type of ["dog", "weigh_in", "check", "food", "plan", "review", "vet_word", "household"]) {
    db.createObjectStore(type, { keyPath: "id" }).createIndex("dog_id", "dog_id");
  }
  db.createObjectStore("outbox", { keyPath: "seq", autoIncrement: true }).createIndex("op_id", "op_id", { unique: true });
  const sent = db.createObjectStore("sent", { keyPath: "op_id" });
  sent.createIndex("unseen", "unseen");
  sent.createIndex("sent_at", "sent_at");
  db.createObjectStore("meta");
}
/** A database as a phone with the first schema has it open. */
function openSchema1(name) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => schema1(request.result);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

async function twoTabs(locks) {
  const clock = new Clock();
  const accountId = freshAccount();
  const server = new FakeServer({ clock, users: { [accountId]: "Mara Lindqvist" } });
  const [left, right] = channels();
  const one = await openPhone({ server, clock, accountId, locks, channel: left });
  const two = await openPhone({ server, clock, accountId, locks, channel: right });
  return { clock, accountId, server, one, two };
}

test("C5 two_tabs: both go online together, one syncs, each operation is sent once", async () => {
  const locks = new FakeLocks();
  const { server, one, two } = await twoTabs(locks);
  for (let n = 0; n < 5; n++) await one.act("weigh_in.add", weight(15_000 + n));
  await Promise.all([one.syncNow(), two.syncNow()]);
  assert.deepEqual([server.pushes().length, locks.refused], [1, 1]);
  assert.deepEqual(server.pushes()[0].body.ops.length, 5);
  await settled();
  for (const tab of [one, two]) assert.deepEqual([tab.status().waiting, (await tab.list("weigh_in"))[0].pending], [0, undefined]);
});

test("C5 without locks two tabs are still safe: one row each, nothing left over", async () => {
  const { server, one, two } = await twoTabs(null);
  for (let n = 0; n < 5; n++) await one.act("weigh_in.add", weight(15_000 + n));
  // Both have sent the same five before either hears an answer.
  server.hooks.push(async (path) => {
    for (let n = 0; path.includes("/push") && server.pushes().length < 2 && n < 50; n++) await settled(5);
    return null;
  });
  await Promise.all([one.syncNow(), two.syncNow()]);
  await settled();
  assert.deepEqual([server.pushes().length, server.applied.length], [2, 5]);
  assert.deepEqual([(await one.list("weigh_in")).length, (await one.waitingOps()).length, await one.attention()], [5, 0, []]);
  assert.deepEqual([one.status().problem, two.status().problem], [null, null]);
});

test("the tab that was turned away tries again soon, so that its entry does not wait for a minute", async () => {
  const locks = new FakeLocks();
  const { server, one, two, clock } = await twoTabs(locks);
  one.start();
  two.start();
  await settled();
  let saved = false;
  server.hooks.push(async (path) => {
    if (path.includes("/pull") && !saved) {
      saved = true;
      await two.act("weigh_in.add", weight(15_200)); // the first tab has pushed already
      await settled();
    }
    return null;
  });
  await one.syncNow();
  await settled();
  assert.equal(server.applied.length, 0);
  await clock.advance(2500);
  assert.equal(server.applied.length, 1);
  one.close();
  two.close();
});

test("the other tab hears of a save and shows it", async () => {
  const { one, two } = await twoTabs(null);
  const heard = [];
  const stop = two.subscribe(({ reason }) => heard.push(reason));
  await one.act("weigh_in.add", weight(15_200));
  await settled();
  assert.ok(heard.includes("other_tab"), heard.join());
  assert.deepEqual([two.status().waiting, (await two.byDog("weigh_in", OTTO_ID)).length], [1, 1]);
  stop();
  const before = heard.length;
  await one.act("weigh_in.add", weight(15_300));
  await settled();
  assert.equal(heard.length, before, "unsubscribed");
});

test("subscribers hear of a save, of a finished round and of a new status", async () => {
  const { one } = await twoTabs(null);
  const heard = [];
  one.subscribe(({ reason }) => heard.push(`${reason}:${one.status().syncing}`));
  await one.act("weigh_in.add", weight(15_200));
  assert.deepEqual(heard, ["status:false", "saved:false"]);
  heard.length = 0;
  await one.syncNow();
  assert.equal(heard[0], "status:true");
  assert.ok(heard.some((event) => event.startsWith("synced")));
  assert.equal(heard.at(-1), "status:false");
});

test("C8 versionchange: a newer version in another tab gets the database, this one says to reload", async () => {
  const { one, accountId } = await twoTabs(null);
  await one.act("weigh_in.add", weight(15_200));
  const upgraded = await new Promise((resolve, reject) => {
    const request = indexedDB.open(databaseName(accountId), 3);
    request.onupgradeneeded = () => request.result.createObjectStore("photos");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("blocked: the old tab did not let go"));
  });
  assert.equal(one.status().problem.code, "reload");
  await assert.rejects(one.act("weigh_in.add", weight(15_300)), (error) => error.code === "reload" && /Reload/.test(error.message));
  upgraded.close();
});

test("C8 upgrade_blocked: an old tab that does not let go is named after 5 s; opening goes on once it closes", async () => {
  const clock = new Clock();
  const name = `tuckline-blocked-${clock.now()}`;
  const stubborn = await new Promise((resolve) => {
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => request.result.createObjectStore("old");
    request.onsuccess = () => resolve(request.result);
  });
  // A deletion waits for the stubborn tab, and our opening waits behind it.
  const deletion = new Promise((resolve) => {
    indexedDB.deleteDatabase(name).onsuccess = resolve;
  });
  const connection = connect(name, { setTimeout: clock.setTimeout, clearTimeout: clock.clearTimeout });
  const first = connection.use((db) => db.count("outbox"));
  await settled();
  stubborn.close();
  await deletion;
  assert.equal(await first, 0);
  connection.close();

  // A database of an older version held open by a tab without our manners.
  const older = await openSchema1(`${name}-2`);
  let message = 0;
  const next = connect(`${name}-2`, { setTimeout: clock.setTimeout, clearTimeout: clock.clearTimeout, onBlocked: () => (message += 1) });
  const waiting = assert.rejects(next.use((db) => db.count("outbox")), (error) => error.code === "blocked" && /Close it/.test(error.message));
  await settled();
  assert.deepEqual([message, clock.waits()], [1, [5000]]);
  await clock.advance(5000);
  await waiting;
  older.close();
  await settled();
  assert.equal(await next.use((db) => db.version), 2, "it continues after the old tab closed");
  next.close();
});

test("C8 old_version_fixture: the first released schema with waiting operations opens and syncs in this release", async () => {
  const clock = new Clock();
  const accountId = freshAccount();
  const db = await openSchema1(`tuckline-${accountId}`);
  const op = {
    op_id: "019cad00-0000-7000-8000-0000000000bb", kind: "weigh_in.add", entity_id: "019cad00-0000-7000-8000-0000000000cc", dog_id: OTTO_ID,
    hlc: "1772436600000-0000-00c0ffee", measured_at: "2026-03-02T07:30:00Z", local_date: "2026-03-02", tz: "UTC", data: { weight_g: 15_200, scale: "Home" }, saved_at: 1,
  };
  const tx = db.transaction(["outbox", "dog", "weigh_in"], "readwrite");
  tx.objectStore("dog").put({ ...OTTO, id: OTTO_ID, dog_id: OTTO_ID, version: 1, seq: 1 });
  tx.objectStore("outbox").add(op);
  tx.objectStore("weigh_in").put({
    id: op.entity_id, dog_id: OTTO_ID, version: 0, seq: 0, weight_g: 15_200, local_date: op.local_date, measured_at: op.measured_at, pending: true, server: null,
  });
  await new Promise((resolve) => (tx.oncomplete = resolve));
  db.close();

  const server = new FakeServer({ clock, users: { [accountId]: "Mara Lindqvist" } });
  const phone = await openPhone({ server, clock, accountId });
  assert.deepEqual([phone.status().waiting, (await phone.byDog("weigh_in", OTTO_ID))[0].pending], [1, true]);
  assert.deepEqual((await phone.list("glance")).map((glance) => [glance.id, glance.weighIns[0].id]), [[OTTO_ID, op.entity_id]], "glances, added since, are there for old rows, too");
  await phone.syncNow();
  const { seq: _seq, saved_at: _saved, ...wire } = op;
  assert.deepEqual([server.applied, phone.status().waiting], [[wire], 0]);
});

test("one open connection is shared by everybody who asks at once", async () => {
  let opened = 0;
  const { open } = indexedDB;
  indexedDB.open = function (...args) {
    opened += 1;
    return open.apply(this, args);
  };
  try {
    const connection = connect(`tuckline-shared-${Date.now()}`);
    await Promise.all([1, 2, 3].map(() => connection.use((db) => db.count("outbox"))));
    connection.close();
  } finally {
    indexedDB.open = open;
  }
  assert.equal(opened, 1);
});
