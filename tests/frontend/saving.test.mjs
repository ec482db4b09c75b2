import assert from "node:assert/strict";
import { test } from "node:test";
import { connect, databaseName } from "../../frontend/store/database.js";
import { keep } from "../../frontend/store/outbox.js";
import { Clock, FakePage, OTTO, OTTO_ID, freshAccount, openPhone, seeded, settled, weight } from "./phone.mjs";
import { FakeServer } from "./fake_server.mjs";

function world(more = {}) {
  const clock = new Clock();
  const accountId = freshAccount();
  const server = new FakeServer({ clock, users: { [accountId]: "Mara Lindqvist" } });
  return { clock, accountId, server, open: (extra = {}) => openPhone({ server, clock, accountId, ...more, ...extra }) };
}

/** What the browser's disk holds, read past the store. */
async function raw(accountId, work) {
  const connection = connect(databaseName(accountId));
  try {
    return await connection.use(work);
  } finally {
    connection.close();
  }
}

test("C1 kill after save: what act resolved is there after the app was killed", async () => {
  const { open, accountId } = world();
  const phone = await open();
  const { entityId, opId } = await phone.act("weigh_in.add", weight(15_200));
  // No close, no sync: the process is gone. Another one starts on the same disk.
  const [ops, rows] = await raw(accountId, async (db) => [await db.getAll("outbox"), await db.getAll("weigh_in")]);
  assert.deepEqual(ops.map((op) => [op.op_id, op.entity_id]), [[opId, entityId]]);
  assert.deepEqual(rows.map((row) => [row.id, row.weight_g]), [[entityId, 15_200]]);
  const next = await open();
  assert.deepEqual([(await next.waitingOps()).length, next.status().waiting], [1, 1]);
  assert.equal((await next.byDog("weigh_in", OTTO_ID))[0].pending, true);
});

test("C1 both or neither, in one strict transaction: a row that cannot be written takes its operation along", async () => {
  const { open, accountId } = world();
  const phone = await open();
  const made = [];
  const transaction = IDBDatabase.prototype.transaction;
  const put = IDBObjectStore.prototype.put;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    if (mode === "readwrite") made.push({ stores: [...stores], durability: options?.durability });
    return transaction.call(this, stores, mode, options);
  };
  IDBObjectStore.prototype.put = function (value, key) {
    if (this.name === "weigh_in") throw new DOMException("no", "DataCloneError");
    return put.call(this, value, key);
  };
  try {
    await assert.rejects(phone.act("weigh_in.add", weight(15_200)), { name: "DataCloneError" });
  } finally {
    IDBDatabase.prototype.transaction = transaction;
    IDBObjectStore.prototype.put = put;
  }
  assert.deepEqual(made, [{ stores: ["weigh_in", "dog", "check", "plan", "review", "glance", "outbox", "meta"], durability: "strict" }]);
  assert.deepEqual(await raw(accountId, (db) => db.getAll("outbox")), []);
  assert.deepEqual(await phone.list("weigh_in"), []);
});

test("C1 act does not resolve before the commit", async () => {
  const { open } = world();
  const phone = await open();
  const order = [];
  const transaction = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    const tx = transaction.call(this, stores, mode, options);
    if ([...stores].includes("weigh_in") && mode === "readwrite") tx.addEventListener("complete", () => order.push("committed"));
    return tx;
  };
  try {
    await phone.act("weigh_in.add", weight(15_200)).then(() => order.push("saved"));
  } finally {
    IDBDatabase.prototype.transaction = transaction;
  }
  assert.deepEqual(order, ["committed", "saved"]);
});

test("C1 a commit that fails at the very end is not called saved", async () => {
  const { open, accountId } = world();
  const phone = await open();
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, key) {
    const request = put.call(this, value, key);
    // The last write succeeds, then the disk does not: the transaction aborts.
    if (this.name === "weigh_in") request.addEventListener("success", () => queueMicrotask(() => this.transaction.abort()));
    return request;
  };
  try {
    await assert.rejects(phone.act("weigh_in.add", weight(15_200)), { name: "AbortError" });
  } finally {
    IDBObjectStore.prototype.put = put;
  }
  assert.deepEqual(await raw(accountId, (db) => db.getAll("outbox")), []);
});

test("every kind shows at once and is marked pending", async () => {
  const { open } = world();
  const phone = await open();
  const show = async (type, id) => {
    const row = await phone.get(type, id);
    assert.equal(row?.pending, true, `${type} is pending`);
    assert.equal("server" in row, false);
    return row;
  };
  await phone.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  await phone.act("dog.edit", { entityId: OTTO_ID, data: { name: "Otto the Great" } });
  await phone.act("dog.pause", { entityId: OTTO_ID, data: { paused: { reason: "heat", since: "2026-03-02" } } });
  await phone.act("dog.archive", { entityId: OTTO_ID, data: { closed: { reason: "rehomed", on: "2026-03-02" } } });
  const dog = await show("dog", OTTO_ID);
  assert.deepEqual([dog.name, dog.paused.reason, dog.closed.reason, dog.sex, dog.carer_may_accept], ["Otto the Great", "heat", "rehomed", "male", false]);

  const first = (await phone.act("weigh_in.add", weight(15_200))).entityId;
  const second = (await phone.act("weigh_in.replace", weight(15_400, { replaces: first }))).entityId;
  assert.deepEqual([(await show("weigh_in", first)).replaced_by, (await show("weigh_in", second)).replaces], [second, first]);
  await phone.act("weigh_in.void", { entityId: second, data: { reason: "wrong dog" } });
  assert.deepEqual([(await show("weigh_in", second)).voided, (await show("weigh_in", second)).void_reason], [true, "wrong dog"]);
  await phone.act("weigh_in.void", { entityId: second, data: { void: false } });
  await phone.act("weigh_in.use", { entityId: second, data: { use: true } });
  assert.deepEqual([(await show("weigh_in", second)).voided, (await show("weigh_in", second)).use], [false, true]);
  assert.equal((await phone.waitingOps()).at(-1).dog_id, OTTO_ID, "the dog is known from the row");

  const check = (await phone.act("check.add", { dogId: OTTO_ID, data: { score: 7, muscle: "normal" } })).entityId;
  await phone.act("check.void", { entityId: check, data: {} });
  assert.deepEqual([(await show("check", check)).score, (await show("check", check)).voided], [7, true]);

  const food = (await phone.act("food.add", { data: { household_id: OTTO.household_id, name: "Millstone dry adult", role: "meal", kcal_per_kg: 3600 } })).entityId;
  const newer = (await phone.act("food.version", { data: { household_id: OTTO.household_id, replaces: food, name: "Millstone dry adult", role: "meal", kcal_per_kg: 3550 } })).entityId;
  await phone.act("food.retire", { entityId: newer, data: { retired: true } });
  assert.deepEqual([(await show("food", food)).replaced_by, (await show("food", newer)).kcal_per_kg_used, (await show("food", newer)).retired], [newer, 3550, true]);

  const plan = (await phone.act("plan.request", { dogId: OTTO_ID, data: { weigh_in_id: second, check_id: check, intake: null, foods: [], treat_kcal: null, cup_ml: 236.6 } })).entityId;
  assert.deepEqual([(await show("plan", plan)).state, (await show("plan", plan)).request.weigh_in_id], ["waiting", second]);
  await phone.act("plan.accept", { entityId: plan, data: { review_id: null } });
  assert.equal((await show("plan", plan)).state, "active");
  await phone.act("plan.end", { entityId: plan, data: {} });
  assert.equal((await show("plan", plan)).state, "ended");

  const word = (await phone.act("vet_word.add", { dogId: OTTO_ID, data: { on: "2026-03-01", by: "Dr. Adeyemi", covers: "plan", until: null } })).entityId;
  await phone.act("vet_word.end", { entityId: word, data: { on: "2026-03-02" } });
  assert.equal((await show("vet_word", word)).ended_on, "2026-03-02");
});

test("C14 the day and zone of the person travel with the entry", async () => {
  const { open, clock } = world();
  const phone = await open();
  clock.at = Date.parse("2026-03-02T11:30:00Z");
  await phone.act("weigh_in.add", { ...weight(15_200), tz: "Pacific/Tongatapu" });
  await phone.act("weigh_in.add", { ...weight(15_100), measuredAt: "2026-03-01T23:30:00-08:00", tz: "Pacific/Pitcairn" });
  await phone.act("plan.request", { dogId: OTTO_ID, data: { weigh_in_id: "x" }, tz: "Pacific/Tongatapu" });
  const [one, two, plan] = await phone.waitingOps();
  assert.deepEqual([one.measured_at, one.local_date, one.tz], ["2026-03-03T00:30:00+13:00", "2026-03-03", "Pacific/Tongatapu"]);
  assert.deepEqual([two.measured_at, two.local_date, two.tz], ["2026-03-01T23:30:00-08:00", "2026-03-01", "Pacific/Pitcairn"]);
  assert.deepEqual([plan.measured_at, plan.local_date, plan.tz], [undefined, "2026-03-03", "Pacific/Tongatapu"]);
});

test("C9 db_connection_lost: the connection dies in the background, the next save works", async () => {
  const { open, accountId } = world();
  const phone = await open();
  const transaction = IDBDatabase.prototype.transaction;
  for (const [name, message] of [["InvalidStateError", "closing"], ["UnknownError", "Connection to Indexed Database server lost. Refresh the page to try again"]]) {
    let deaths = 1;
    IDBDatabase.prototype.transaction = function (...args) {
      if (deaths-- > 0) throw new DOMException(message, name);
      return transaction.apply(this, args);
    };
    try {
      await phone.act("weigh_in.add", weight(15_200));
    } finally {
      IDBDatabase.prototype.transaction = transaction;
    }
  }
  assert.equal((await raw(accountId, (db) => db.getAll("outbox"))).length, 2);
  IDBDatabase.prototype.transaction = () => {
    throw new DOMException("closing", "InvalidStateError");
  };
  try {
    await assert.rejects(phone.act("weigh_in.add", weight(15_300)), (error) => error.code === "reload" && /Reload/.test(error.message));
  } finally {
    IDBDatabase.prototype.transaction = transaction;
  }
});

test("C9 an entry that had been committed when the connection died is not written twice", async () => {
  const { accountId } = world();
  const draft = { op_id: "019cad00-0000-7000-8000-0000000000bb", kind: "weigh_in.add", entity_id: "019cad00-0000-7000-8000-0000000000cc", dog_id: OTTO_ID, data: { weight_g: 15_200 } };
  const context = { now: 1_772_436_600_000, random: seeded(3), person: { id: accountId, name: "Mara" } };
  const hlcs = await raw(accountId, async (db) => {
    await keep(db, draft, context);
    await keep(db, draft, context); // what the reopened connection does
    return (await db.getAll("outbox")).map((op) => op.hlc);
  });
  assert.equal(hlcs.length, 1);
  assert.match(hlcs[0], /-0000-/);
});

test("C12 quota: a full phone gives up its reserve and the entry still saves; then it is refused in words", async () => {
  const { open, accountId } = world();
  const phone = await open();
  await phone.act("weigh_in.add", weight(15_100));
  await settled();
  const reserve = await raw(accountId, (db) => db.get("meta", "reserve"));
  assert.equal(reserve.byteLength, 2 * 1024 * 1024);
  assert.ok(new Set(new Uint8Array(reserve, 0, 4096)).size > 200, "random, so that no compression undoes it");

  const add = IDBObjectStore.prototype.add;
  let room = false;
  const remove = IDBObjectStore.prototype.delete;
  IDBObjectStore.prototype.add = function (value) {
    if (this.name === "outbox" && !room) throw new DOMException("full", "QuotaExceededError");
    return add.call(this, value);
  };
  IDBObjectStore.prototype.delete = function (key) {
    if (key === "reserve") room = true;
    return remove.call(this, key);
  };
  try {
    await phone.act("weigh_in.add", weight(15_200));
    assert.equal((await phone.waitingOps()).length, 2);
    IDBObjectStore.prototype.delete = remove;
    room = false;
    await assert.rejects(phone.act("weigh_in.add", weight(15_300)), (error) => error.code === "quota" && /not saved/.test(error.message));
  } finally {
    IDBObjectStore.prototype.add = add;
    IDBObjectStore.prototype.delete = remove;
  }
  assert.equal((await phone.waitingOps()).length, 2);
});

test("C11 the browser is asked to keep our data after the first entry, once, and the answer is shown", async () => {
  let asked = 0;
  const navigator = { storage: { persist: async () => ++asked > 0 } };
  const { open } = world({ navigator });
  const phone = await open();
  assert.deepEqual([asked, phone.status().persisted], [0, null]);
  await phone.act("weigh_in.add", weight(15_200));
  await settled();
  await phone.act("weigh_in.add", weight(15_300));
  await settled();
  assert.deepEqual([asked, phone.status().persisted], [1, true]);
});

test("C11 safari_warning: only plain iOS Safari with an entry unsent for a day is at risk", async () => {
  for (const [standalone, hours, risk] of [[false, 25, true], [false, 23, false], [true, 25, false], [undefined, 25, false]]) {
    const { open, clock } = world({ navigator: { standalone } });
    const phone = await open();
    await phone.act("weigh_in.add", weight(15_200));
    clock.at += hours * 3_600_000;
    assert.equal((await open()).status().storageAtRisk, risk, `${standalone} ${hours}`);
    phone.close();
  }
});

test("clock_wrong: stamps are corrected by the server's time; the time of a failed exchange changes nothing", async () => {
  const { open, clock, server } = world();
  const trueTime = clock.at;
  clock.at = Date.parse("2000-01-01T12:00:00Z");
  server.serverTime = () => trueTime;
  const phone = await open();
  server.after = () => new Response("<html>", { status: 200, headers: { "Content-Type": "text/html" } });
  await phone.syncNow();
  await phone.act("weigh_in.add", weight(15_200));
  server.after = null;
  await phone.syncNow();
  assert.equal(phone.status().clockOffset, trueTime - clock.at);
  await phone.act("weigh_in.add", weight(15_300));
  const [early, late] = [server.applied[0], (await phone.waitingOps())[0]];
  assert.equal(Number(early.hlc.slice(0, 13)), Date.parse("2000-01-01T12:00:00Z"));
  assert.equal(Number(late.hlc.slice(0, 13)), trueTime);
});

test("clock_wrong: a clock that ran years ahead does not hold later stamps there", async () => {
  const { open, clock, server } = world();
  const phone = await open();
  const right = clock.at;
  clock.at += 3 * 365 * 86_400_000;
  server.serverTime = () => right;
  await phone.act("weigh_in.add", weight(15_200));
  clock.at = right;
  await phone.act("weigh_in.add", weight(15_250));
  const [ahead, following] = await phone.waitingOps();
  assert.ok(following.hlc > ahead.hlc, "while the first waits, order is kept");
  await phone.syncNow();
  await phone.act("weigh_in.add", weight(15_300));
  assert.equal(Number((await phone.waitingOps())[0].hlc.slice(0, 13)), right);
});

test("saved things of the phone are kept apart from the sync's own", async () => {
  const { open, accountId } = world();
  const phone = await open();
  await phone.meta.set("units", "lb");
  await phone.meta.set("cursor", "mine");
  assert.deepEqual([await phone.meta.get("units"), await phone.meta.get("nothing")], ["lb", undefined]);
  assert.equal(await raw(accountId, (db) => db.get("meta", "cursor")), undefined);
});

test("exportUnsent holds every entry the server has not taken, refused ones with the reason", async () => {
  const { open, server } = world();
  const phone = await open({ page: new FakePage() });
  server.refuse = (op) => (op.data.weight_g === 1 ? { code: "bad_value", field: "weight_g", text: "300 to 120000 g" } : null);
  await phone.act("weigh_in.add", weight(1));
  await phone.syncNow();
  await phone.act("weigh_in.add", weight(15_300));
  const file = JSON.parse(await phone.exportUnsent());
  assert.deepEqual(file.unsent.map((op) => [op.data.weight_g, op.rejection?.text]), [[1, "300 to 120000 g"], [15_300, undefined]]);
  assert.equal(file.account.name, "Mara Lindqvist");
});
