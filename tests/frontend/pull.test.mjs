import assert from "node:assert/strict";
import { test } from "node:test";
import { connect, databaseName } from "../../frontend/store/database.js";
import { JOURNAL_DAYS } from "../../frontend/store/outbox.js";
import { Clock, OTTO, OTTO_ID, freshAccount, openPhone, weight } from "./phone.mjs";
import { FakeServer, answer } from "./fake_server.mjs";

const DAY_MS = 86_400_000;

async function world(more = {}) {
  const clock = new Clock();
  const accountId = freshAccount();
  const server = new FakeServer({ clock, users: { [accountId]: "Mara Lindqvist" } });
  const phone = await openPhone({ server, clock, accountId, ...more });
  return { clock, accountId, server, phone };
}
async function raw(accountId, work) {
  const connection = connect(databaseName(accountId));
  try {
    return await connection.use(work);
  } finally {
    connection.close();
  }
}
const gone = () => Promise.reject(new TypeError("Failed to fetch"));
const pullsOf = (server) => server.requests.filter(({ path }) => path.includes("/pull")).map(({ path }) => new URL(path, "http://phone.test").searchParams.get("cursor"));

test("C3 a pulled row does not overwrite a field that still waits, and brings the others", async () => {
  const { server, phone } = await world();
  await phone.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  await phone.syncNow();
  await phone.act("dog.edit", { entityId: OTTO_ID, data: { name: "Mine" } });
  server.put("dog", OTTO_ID, OTTO_ID, { ...OTTO, name: "Theirs", coat: "long" });
  // A second edit, made while the pull is under way, still waits when the page is written.
  let edited = false;
  server.after = async (path, response) => {
    if (path.includes("/pull") && !edited) {
      edited = true;
      await phone.act("dog.edit", { entityId: OTTO_ID, data: { frame: "small" } });
    }
    return response;
  };
  await phone.syncNow();
  const dog = await phone.get("dog", OTTO_ID);
  assert.deepEqual([dog.name, dog.coat, dog.frame, dog.pending], ["Mine", "long", "small", true]);
  assert.equal(server.get("dog", OTTO_ID).data.frame, "large");
  await phone.syncNow();
  assert.deepEqual([(await phone.get("dog", OTTO_ID)).pending, server.get("dog", OTTO_ID).data.frame], [undefined, "small"]);
});

test("C3 when a waiting edit is refused, the server's row is shown again", async () => {
  const { server, phone } = await world();
  await phone.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  await phone.syncNow();
  server.refuse = (op) => (op.kind === "dog.edit" && op.data.name ? { code: "not_allowed", text: "Only a lead may." } : null);
  await phone.act("dog.edit", { entityId: OTTO_ID, data: { name: "Mine" } });
  await phone.act("dog.edit", { entityId: OTTO_ID, data: { coat: "long" } });
  server.hooks.push((path) => (path.includes("/pull") ? gone() : null));
  await phone.syncNow();
  const dog = await phone.get("dog", OTTO_ID);
  assert.deepEqual([dog.name, dog.coat, dog.pending], ["Otto", "long", undefined]);
});

test("an entry that was answered but not pulled yet stays on screen, no longer pending", async () => {
  const { server, phone } = await world();
  const { entityId } = await phone.act("weigh_in.add", weight(15_200));
  await phone.act("weigh_in.void", { entityId, data: {} });
  server.hooks.push((path) => (path.includes("/pull") ? gone() : null));
  await phone.syncNow();
  const row = await phone.get("weigh_in", entityId);
  assert.deepEqual([row.weight_g, row.voided, row.pending, phone.status().waiting], [15_200, true, undefined, 0]);
  server.hooks.length = 0;
  await phone.syncNow();
  assert.deepEqual([(await phone.get("weigh_in", entityId)).version, (await phone.get("weigh_in", entityId)).voided], [2, true]);
});

test("a page made before an answered edit does not take the edit back", async () => {
  const { server, phone, accountId } = await world();
  await phone.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  await phone.syncNow();
  await phone.act("dog.edit", { entityId: OTTO_ID, data: { name: "Newer" } });
  const stale = structuredClone(server.get("dog", OTTO_ID));
  server.after = async (path, response) => {
    if (!path.includes("/pull")) return response;
    const body = await response.json();
    return answer(200, { ...body, changes: [stale], cursor: body.cursor, more: false });
  };
  await phone.syncNow();
  assert.equal((await phone.get("dog", OTTO_ID)).name, "Newer");
  assert.equal((await raw(accountId, (db) => db.getAllFromIndex("sent", "unseen"))).length, 0, "the overlay ends with the pull");
});

test("C4 cursor and rows land together: a page that cannot be written moves nothing", async () => {
  const { server, phone, accountId } = await world();
  server.pageSize = 2;
  for (let n = 0; n < 5; n++) server.put("weigh_in", `w${n}`, OTTO_ID, { weight_g: 15_000 + n });
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, key) {
    if (value?.id === "w3") throw new DOMException("no", "DataCloneError");
    return put.call(this, value, key);
  };
  try {
    await phone.syncNow();
  } finally {
    IDBObjectStore.prototype.put = put;
  }
  assert.equal(phone.status().problem?.code, "fault");
  const [cursor, ids] = await raw(accountId, async (db) => [await db.get("meta", "cursor"), await db.getAllKeys("weigh_in")]);
  assert.deepEqual([cursor, ids], ["2", ["w0", "w1"]]);
  await phone.syncNow();
  assert.deepEqual((await phone.list("weigh_in")).map((row) => row.id), ["w0", "w1", "w2", "w3", "w4"]);
  assert.deepEqual(pullsOf(server), [null, "2", "2", "4"], "the cursor is passed on as it came");
});

test("a page asked for with an older cursor is dropped when another tab has moved on", async () => {
  const { server, phone, accountId } = await world();
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 15_000 });
  let moved = false;
  server.after = async (path, response) => {
    if (path.includes("/pull") && !moved) {
      moved = true;
      server.put("weigh_in", "w0", OTTO_ID, { weight_g: 15_999 });
      await raw(accountId, async (db) => {
        await db.put("meta", "2", "cursor");
        await db.put("weigh_in", { id: "w0", dog_id: OTTO_ID, version: 2, seq: 2, weight_g: 15_999 });
      });
      server.hooks.push(gone); // and then the signal is gone, so that nothing puts it right later
    }
    return response;
  };
  await phone.syncNow();
  assert.equal((await phone.get("weigh_in", "w0")).weight_g, 15_999);
});

test("pull_is_not_time: the server's clock jumps back an hour, nothing is missed or repeated", async () => {
  const { server, phone, clock } = await world();
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 1000 });
  await phone.syncNow();
  clock.at -= 3_600_000;
  server.put("weigh_in", "w1", OTTO_ID, { weight_g: 2000 });
  await phone.syncNow();
  await phone.syncNow();
  assert.deepEqual((await phone.list("weigh_in")).map((row) => row.weight_g), [1000, 2000]);
  assert.deepEqual(pullsOf(server), [null, "1", "1", "2"]);
});

test("tombstone_months: what was deleted meanwhile is gone and does not come back, not even with an edit waiting", async () => {
  const { server, phone, clock } = await world();
  const { entityId } = await phone.act("weigh_in.add", weight(15_200));
  await phone.syncNow();
  await phone.act("weigh_in.void", { entityId, data: {} });
  clock.at += 400 * DAY_MS;
  server.put("weigh_in", entityId, OTTO_ID, {}, true);
  await phone.syncNow();
  assert.equal(await phone.get("weigh_in", entityId), undefined);
  assert.deepEqual((await phone.attention()).map((op) => op.code), ["gone"]);
  await phone.dismiss((await phone.attention())[0].seq);
  await phone.syncNow();
  assert.deepEqual([await phone.list("weigh_in"), phone.status().waiting, phone.status().attention], [[], 0, 0]);
});

test("tombstone: a new entry whose first answer was lost and that others deleted stays deleted", async () => {
  const { server, phone } = await world();
  const { entityId } = await phone.act("weigh_in.add", weight(15_200));
  server.after = (path, response) => (path.includes("/push") ? gone() : response);
  await phone.syncNow();
  server.put("weigh_in", entityId, OTTO_ID, {}, true);
  server.after = null;
  await phone.syncNow();
  assert.deepEqual([await phone.list("weigh_in"), phone.status().waiting], [[], 0]);
});

const LONGWATER = "019cad00-0000-7000-8000-0000000000ee";
function rescue(server) {
  server.put("household", LONGWATER, null, { name: "Longwater Rescue", kind: "rescue", members: [] });
  server.put("dog", "fen", "fen", { ...OTTO, household_id: LONGWATER, name: "Fen" });
  server.put("weigh_in", "fen-1", "fen", { weight_g: 9000 });
  server.put("food", "lean", null, { household_id: LONGWATER, name: "Lean field dry" });
}
const membership = { household_id: LONGWATER, name: "Longwater Rescue", kind: "rescue", role: "carer" };

test("access.granted: what is older than the cursor is filled in, also when the phone is killed between", async () => {
  const { server, phone, clock, accountId } = await world();
  let member = false;
  server.visible = ({ type, id }) => member || !["household", "dog", "weigh_in", "food"].includes(type) || id === "w0";
  rescue(server);
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 1000 });
  await phone.syncNow();
  assert.deepEqual([await phone.list("dog"), (await phone.list("weigh_in")).length], [[], 1]);
  member = true;
  server.put("access.granted", "m1", null, membership);
  server.pageSize = 2;
  server.hooks.push((path) => (path.includes("/snapshot") && !path.includes("page=0") ? gone() : null));
  await phone.syncNow();
  server.hooks.length = 0;
  const next = await openPhone({ server, clock, accountId });
  await next.syncNow();
  assert.deepEqual([(await next.list("dog"))[0].name, (await next.list("food"))[0].name, (await next.byDog("weigh_in", "fen")).length, (await next.list("household"))[0].name], ["Fen", "Lean field dry", 1, "Longwater Rescue"]);
  const snapshots = () => server.requests.filter(({ path }) => path.includes("/snapshot")).map(({ path }) => path.split("?")[1]);
  const before = snapshots();
  assert.ok(before.every((query) => query.includes(`household=${LONGWATER}`)) && before.length === 4, before.join(" "));
  await next.syncNow();
  assert.equal(snapshots().length, 4, "filled in once");
});

test("access_removed: dog and household leave, unsent entries stay for export, nothing of them is sent", async () => {
  const { server, phone } = await world();
  rescue(server);
  server.put("dog", OTTO_ID, OTTO_ID, OTTO);
  await phone.syncNow();
  await phone.act("weigh_in.add", { dogId: "fen", data: { weight_g: 8900, scale: "Clinic" } });
  await phone.syncNow();
  await phone.meta.set("last_dog", "fen");
  server.visible = ({ type, id, dog_id, data }) => type.startsWith("access") || ![id, dog_id].includes("fen") && data.household_id !== LONGWATER && id !== LONGWATER;
  server.put("access.removed", "m1", null, membership);
  // Entries made while the removal is on its way.
  let made = false;
  server.after = async (path, response) => {
    if (path.includes("/pull") && !made) {
      made = true;
      await phone.act("weigh_in.add", { dogId: "fen", data: { weight_g: 8800, scale: "Clinic" } });
      await phone.act("weigh_in.void", { entityId: "fen-1", data: {} });
      await phone.act("food.retire", { entityId: "lean", data: { retired: true } });
      await phone.act("weigh_in.add", weight(15_200));
    }
    return response;
  };
  await phone.syncNow();
  assert.deepEqual([(await phone.list("dog")).map((dog) => dog.name), await phone.byDog("weigh_in", "fen"), await phone.list("household"), await phone.list("food")], [["Otto"], [], [], []]);
  const kept = await phone.attention();
  assert.deepEqual(kept.map((op) => [op.kind, op.code]), [["weigh_in.add", "access_removed"], ["weigh_in.void", "access_removed"], ["food.retire", "access_removed"]]);
  assert.match(kept[0].text, /Longwater Rescue/);
  assert.equal(JSON.parse(await phone.exportUnsent()).unsent.filter((op) => op.dog_id === "fen").length, 2);
  const sent = server.applied.length;
  await phone.syncNow();
  assert.deepEqual(server.applied.slice(sent).map((op) => op.data.weight_g), [15_200], "only the other dog's entry goes out");
  // Nor does a restored server get them out of the journal.
  server.restore(server.backup());
  await phone.syncNow();
  assert.ok(!server.pushes().at(-1).body.ops.some((op) => op.dog_id === "fen"));
});

test("a dog whose record is gone takes its rows along; what was unsent is kept", async () => {
  const { server, phone } = await world();
  rescue(server);
  await phone.syncNow();
  server.after = async (path, response) => {
    if (path.includes("/pull") && !(await phone.waitingOps()).length) await phone.act("weigh_in.add", { dogId: "fen", data: { weight_g: 8800, scale: "Clinic" } });
    return response;
  };
  server.put("dog", "fen", "fen", {}, true);
  await phone.syncNow();
  assert.deepEqual([await phone.list("dog"), await phone.list("weigh_in"), (await phone.attention()).map((op) => op.data.weight_g)], [[], [], [8800]]);
});

test("resync keeps outbox and journal: 410 brings a snapshot, rows it does not hold leave at its end", async () => {
  const { server, phone, accountId } = await world();
  for (let n = 0; n < 5; n++) server.put("weigh_in", `w${n}`, OTTO_ID, { weight_g: 15_000 + n });
  await phone.act("weigh_in.add", weight(14_000));
  await phone.syncNow();
  const { entityId } = await phone.act("weigh_in.add", weight(14_100));
  server.rows.delete("weigh_in w1"); // purged: no tombstone left
  server.seq = 1000;
  server.purgedBelow = 900;
  server.pageSize = 2;
  // The first try ends after one page of the snapshot: the old rows are still on screen.
  server.hooks.push((path) => (path.includes("/snapshot") && !path.includes("page=0") ? gone() : null));
  server.refuse = () => null;
  await phone.syncNow();
  assert.deepEqual([(await phone.get("weigh_in", "w1")).weight_g, (await phone.list("weigh_in")).length], [15_001, 7]);
  server.hooks.length = 0;
  await phone.syncNow();
  const rows = await phone.list("weigh_in");
  assert.deepEqual(rows.map((row) => row.weight_g).sort(), [14_000, 14_100, 15_000, 15_002, 15_003, 15_004]);
  assert.deepEqual([phone.status().waiting, (await phone.get("weigh_in", entityId)).pending, phone.status().signal], [0, undefined, "all_sent"]);
  assert.equal((await raw(accountId, (db) => db.getAll("sent"))).length, 2);
  await phone.syncNow();
  assert.equal(server.requests.filter(({ path }) => path.includes("/snapshot")).length, 5, "one broken try and one whole snapshot");
});

test("resync keeps what still waits on screen", async () => {
  const { server, phone } = await world();
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 15_000 });
  await phone.syncNow();
  server.purgedBelow = 900;
  server.seq = 1000;
  server.hooks.push(async (path) => {
    if (path.includes("/snapshot") && !(await phone.waitingOps()).length) await phone.act("weigh_in.add", weight(14_100));
    return null;
  });
  server.after = (path, response) => (path.includes("/push") ? gone() : response);
  await phone.syncNow();
  assert.deepEqual((await phone.list("weigh_in")).map((row) => [row.weight_g, row.pending]).sort(), [[14_100, true], [15_000, undefined]]);
});

test("C7 epoch: entries newer than the backup come back from the journal, each once, in order", async () => {
  const { server, phone } = await world();
  await phone.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  await phone.act("weigh_in.add", weight(15_100));
  await phone.syncNow();
  const backup = server.backup();
  const late = await phone.act("weigh_in.add", weight(15_200));
  await phone.act("weigh_in.void", { entityId: late.entityId, data: {} });
  await phone.syncNow();
  await phone.act("weigh_in.add", weight(15_300));
  server.restore(backup);
  assert.equal(server.applied.length, 2);
  await phone.syncNow();
  assert.deepEqual(server.applied.map((op) => [op.kind, op.data.weight_g]), [["dog.add", undefined], ["weigh_in.add", 15_100], ["weigh_in.add", 15_200], ["weigh_in.void", undefined], ["weigh_in.add", 15_300]]);
  assert.deepEqual([phone.status().waiting, phone.status().attention, phone.status().signal], [0, 0, "all_sent"]);
  const rows = await phone.list("weigh_in");
  assert.deepEqual(rows.map((row) => [row.weight_g, row.voided, row.pending]).sort(), [[15_100, undefined, undefined], [15_200, true, undefined], [15_300, undefined, undefined]]);
});

test("C7 epoch found only by the push (409) or by the pull leads to the same end", async () => {
  for (const where of ["/push", "/pull"]) {
    const { server, phone } = await world();
    await phone.act("weigh_in.add", weight(15_100));
    await phone.syncNow();
    const empty = new FakeServer({ clock: server.clock, users: server.users }).backup();
    await phone.act("weigh_in.add", weight(15_200));
    let restored = false;
    server.hooks.push((path) => {
      if (path.includes(where) && !restored) {
        restored = true;
        server.restore(empty);
      }
      return null;
    });
    await phone.syncNow();
    assert.deepEqual(server.applied.map((op) => op.data.weight_g).sort(), [15_100, 15_200], where);
    assert.deepEqual([phone.status().waiting, phone.status().signal, (await phone.list("weigh_in")).length], [0, "all_sent", 2]);
  }
});

test("empty_server: a server with an empty database deletes nothing on the phone and gets the journal back", async () => {
  const { server, phone, accountId } = await world();
  server.put("dog", OTTO_ID, OTTO_ID, OTTO);
  server.put("weigh_in", "theirs", OTTO_ID, { weight_g: 15_000 });
  await phone.act("weigh_in.add", weight(15_100));
  await phone.syncNow();
  server.restore(new FakeServer({ clock: server.clock, users: server.users }).backup());
  server.hooks.push((path) => (path.includes("/push") ? gone() : null));
  await phone.syncNow();
  assert.equal((await phone.list("weigh_in")).length, 2, "before the journal is through, too");
  assert.equal(phone.status().waiting, 1);
  assert.deepEqual((await phone.list("weigh_in")).map((row) => row.pending).sort(), [true, undefined], "what is on its way again is marked so");
  assert.deepEqual(await raw(accountId, (db) => db.getAll("sent")), [], "queued or answered, never both");
  server.hooks.length = 0;
  await phone.syncNow();
  assert.deepEqual(server.applied.map((op) => op.data.weight_g), [15_100]);
  assert.deepEqual([(await phone.list("weigh_in")).length, (await phone.get("dog", OTTO_ID)).name], [2, "Otto"]);
});

test("C7 after a restore everything is pulled anew, also what changed below the old cursor", async () => {
  const { server, phone } = await world();
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 15_000 });
  const backup = server.backup();
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 15_999 });
  await phone.syncNow();
  server.restore(backup);
  for (let n = 1; n < 5; n++) server.put("weigh_in", `w${n}`, OTTO_ID, { weight_g: 15_000 + n });
  await phone.syncNow();
  assert.deepEqual((await phone.list("weigh_in")).map((row) => row.weight_g), [15_000, 15_001, 15_002, 15_003, 15_004]);
});

test(`C7 the journal keeps answered operations ${JOURNAL_DAYS} days, no longer`, async () => {
  const { server, phone, clock, accountId } = await world();
  const kept = () => raw(accountId, (db) => db.getAll("sent"));
  await phone.act("weigh_in.add", weight(15_100));
  await phone.syncNow();
  clock.at += 89 * DAY_MS;
  await phone.act("weigh_in.add", weight(15_200));
  await phone.syncNow();
  assert.equal((await kept()).length, 2);
  // Sent again after a restore, the first keeps its age.
  server.restore(server.backup());
  await phone.syncNow();
  clock.at += 2 * DAY_MS;
  await phone.syncNow();
  assert.deepEqual((await kept()).map((op) => op.data.weight_g), [15_200]);
  assert.equal(JOURNAL_DAYS, 90);
});

test("C10 evicted: an emptied phone that had unsent entries is told how many and when, and pulls all", async () => {
  const { server, phone, clock, accountId } = await world();
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 15_000 });
  await phone.syncNow();
  assert.equal(phone.status().lost, null, "a new phone lost nothing");
  for (let n = 0; n < 3; n++) await phone.act("weigh_in.add", weight(14_000 + n));
  server.hooks.push((path) => (path.includes("/push") ? answer(500, { code: "server_error", text: "Failed." }) : null));
  await phone.syncNow();
  // The report that three wait arrives with a pull, as after a push that was refused as too large.
  server.reports.set("d".repeat(32), { count: 3, at: "2026-03-02T08:00:00Z" });
  server.hooks.length = 0;
  await phone.erase(); // the browser cleared the storage; its cookie stays
  const again = await openPhone({ server, clock, accountId });
  await again.act("weigh_in.add", weight(15_200)); // a new entry before the first contact hides nothing
  await again.syncNow();
  assert.deepEqual([again.status().lost, (await again.list("weigh_in")).length, again.status().waiting], [{ count: 3, at: "2026-03-02T08:00:00Z" }, 2, 0]);
  await again.forgetLost();
  assert.equal(again.status().lost, null);
  // A restored server asks for everything from the start again: that is no loss here.
  server.reports.set("d".repeat(32), { count: 2, at: "2026-03-02T09:00:00Z" });
  server.restore(server.backup());
  await again.syncNow();
  assert.equal(again.status().lost, null);
});

test("C7 a server that knows fewer changes than the phone, under an old name, gets the journal all the same", async () => {
  const { server, phone } = await world();
  const empty = server.backup();
  await phone.act("weigh_in.add", weight(15_100));
  await phone.syncNow();
  Object.assign(server, empty, { rows: new Map(), receipts: new Map(), applied: [] });
  await phone.syncNow();
  assert.deepEqual([server.applied.map((op) => op.data.weight_g), phone.status().signal], [[15_100], "all_sent"]);
});

test("access that goes again before it was filled in holds nothing up", async () => {
  const { server, phone } = await world();
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 1000 });
  await phone.syncNow();
  server.put("access.granted", "m1", null, membership);
  await phone.syncNow();
  assert.equal(phone.status().signal, "all_sent");
  const before = server.requests.length;
  await phone.syncNow();
  assert.ok(!server.requests.slice(before).some(({ path }) => path.includes("/snapshot")), "asked once");
});

test("rows of a type this release does not know are left alone", async () => {
  const { server, phone } = await world();
  server.put("photo", "p0", OTTO_ID, {});
  server.put("weigh_in", "w0", OTTO_ID, { weight_g: 15_000 });
  await phone.syncNow();
  assert.deepEqual([(await phone.list("weigh_in")).length, phone.status().problem], [1, null]);
});
