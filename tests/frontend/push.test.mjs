import assert from "node:assert/strict";
import { test } from "node:test";
import { batch } from "../../frontend/store/sync.js";
import { backoff } from "../../frontend/store/rounds.js";
import { Clock, FakePage, OTTO, OTTO_ID, freshAccount, openPhone, seeded, settled, weight } from "./phone.mjs";
import { FakeServer, answer, unmarked } from "./fake_server.mjs";

async function world(more = {}) {
  const clock = new Clock();
  const accountId = freshAccount();
  const server = new FakeServer({ clock, users: { [accountId]: "Mara Lindqvist" } });
  const phone = await openPhone({ server, clock, accountId, ...more });
  return { clock, accountId, server, phone };
}
const onPush = (work) => (path, body) => (path.includes("/push") ? work(body) : null);
const weights = (server) => server.applied.map((op) => op.data.weight_g);

test("lost_answer: the answer is dropped after the commit; the retry gives one row and an empty outbox", async () => {
  const { server, phone } = await world();
  await phone.act("weigh_in.add", weight(15_200));
  server.after = (path, response) => {
    if (path.includes("/push")) throw new TypeError("network gone");
    return response;
  };
  await phone.syncNow();
  assert.deepEqual([weights(server), phone.status().waiting, phone.status().signal], [[15_200], 1, "no_signal"]);
  server.after = null;
  await phone.syncNow();
  assert.deepEqual([weights(server), phone.status().waiting, phone.status().signal], [[15_200], 0, "all_sent"]);
  assert.equal((await phone.list("weigh_in")).length, 1);
  assert.equal((await phone.list("weigh_in"))[0].pending, undefined);
});

test("batch_regroup: a retry with other batch borders still leaves one row each", async () => {
  const { server, phone } = await world();
  for (let n = 0; n < 150; n++) await phone.act("weigh_in.add", weight(15_000 + n));
  let dropped = 0;
  server.after = (path, response) => {
    if (path.includes("/push") && dropped++ === 0) throw new TypeError("network gone");
    return response;
  };
  await phone.syncNow();
  assert.equal(phone.status().waiting, 150);
  // The retry starts with a batch of 50 instead of 100.
  let refused = 0;
  server.hooks.push(onPush((body) => (body.ops.length > 50 && refused++ === 0 ? answer(413, { code: "too_large", text: "Too much." }) : null)));
  await phone.syncNow();
  assert.deepEqual(weights(server), Array.from({ length: 150 }, (_, n) => 15_000 + n), "each once, in order");
  assert.deepEqual([phone.status().waiting, phone.status().attention], [0, 0]);
  assert.deepEqual(server.pushes().map(({ body }) => body.ops.length), [100, 100, 50, 50, 50]);
});

test("C10 every push and pull reports what waits", async () => {
  const { server, phone } = await world();
  for (let n = 0; n < 3; n++) await phone.act("weigh_in.add", weight(15_000 + n));
  await phone.syncNow();
  const [push] = server.pushes();
  assert.deepEqual([push.body.pending, push.body.protocol, push.body.device_id, push.body.epoch], [3, 1, "d".repeat(32), "epoch-1"]);
  assert.equal(push.headers["X-Sync"], "1");
  const pulls = server.requests.filter(({ path }) => path.includes("/pull")).map(({ path }) => new URL(path, "http://phone.test").searchParams);
  assert.deepEqual(pulls.map((query) => [query.get("pending"), query.get("device_id")]), [[null, "d".repeat(32)], ["0", "d".repeat(32)]], "the very first asks what an emptied phone had");
  assert.deepEqual(Object.keys(push.body.ops[0]).sort(), ["data", "dog_id", "entity_id", "hlc", "kind", "local_date", "measured_at", "op_id", "tz"]);
});

test("edit_during_push: a dog edited while its push is in flight keeps the later edit, pending", async () => {
  const { server, phone } = await world();
  await phone.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  await phone.syncNow();
  await phone.act("dog.edit", { entityId: OTTO_ID, data: { name: "Otto A" } });
  let edited = false;
  server.hooks.push(async (path) => {
    if (path.includes("/push") && !edited) {
      edited = true;
      await phone.act("dog.edit", { entityId: OTTO_ID, data: { name: "Otto B" } });
    }
    if (path.includes("/pull")) throw new TypeError("network gone");
    return null;
  });
  server.after = (path, response) => {
    if (path.includes("/push")) server.hooks.unshift(onPush(() => Promise.reject(new TypeError("network gone"))));
    return response;
  };
  await phone.syncNow();
  const dog = await phone.get("dog", OTTO_ID);
  assert.deepEqual([dog.name, dog.pending, server.get("dog", OTTO_ID).data.name], ["Otto B", true, "Otto A"]);
  assert.deepEqual((await phone.waitingOps()).map((op) => op.data.name), ["Otto B"]);
  server.hooks.length = 0;
  server.after = null;
  await phone.syncNow();
  assert.deepEqual([server.get("dog", OTTO_ID).data.name, (await phone.get("dog", OTTO_ID)).pending], ["Otto B", undefined]);
});

test("poison_op: the first of a hundred is refused, the other 99 arrive, and it is shown until a person settles it", async () => {
  const { server, phone } = await world();
  server.refuse = (op) => (op.data.weight_g === 1 ? { code: "bad_value", field: "weight_g", text: "A weight is 300 to 120000 g." } : null);
  const bad = await phone.act("weigh_in.add", weight(1));
  for (let n = 1; n < 100; n++) await phone.act("weigh_in.add", weight(15_000 + n));
  await phone.syncNow();
  assert.equal(server.applied.length, 99);
  assert.deepEqual([phone.status().waiting, phone.status().attention, phone.status().signal], [0, 1, "all_sent"]);
  const [shown] = await phone.attention();
  assert.deepEqual([shown.op_id, shown.code, shown.field, shown.text, shown.data.weight_g], [bad.opId, "bad_value", "weight_g", "A weight is 300 to 120000 g.", 1]);
  assert.equal(await phone.get("weigh_in", bad.entityId), undefined, "not among the weights any more");
  await phone.syncNow();
  assert.equal(phone.status().attention, 1, "nothing but a person takes it away");
  assert.equal(server.pushes().length, 1, "and it is not sent again by itself");
  await phone.dismiss(shown.seq);
  assert.deepEqual([phone.status().attention, await phone.attention()], [0, []]);
});

test("C2 an operation that still waits cannot be taken away", async () => {
  const { phone } = await world();
  await phone.act("weigh_in.add", weight(15_200));
  await phone.dismiss((await phone.waitingOps())[0].seq);
  assert.equal(phone.status().waiting, 1);
});

test("a refused entry can be sent again, under a new operation id and on the newest version", async () => {
  const { server, phone } = await world();
  await phone.act("plan.request", { entityId: "plan-1", dogId: OTTO_ID, data: { weigh_in_id: "x" } });
  await phone.syncNow();
  let stale = true;
  server.refuse = (op) => (op.kind === "plan.accept" && stale ? { code: "stale", text: "The plan has changed.", winner: { state: "proposed" } } : null);
  const first = await phone.act("plan.accept", { entityId: "plan-1", data: { review_id: null } });
  assert.deepEqual((await phone.waitingOps())[0].base, { state: 1 }, "the version the person saw");
  server.put("plan", "plan-1", OTTO_ID, { state: "proposed" });
  await phone.syncNow();
  const [shown] = await phone.attention();
  assert.deepEqual([shown.code, shown.winner, (await phone.get("plan", "plan-1")).state], ["stale", { state: "proposed" }, "proposed"]);
  stale = false;
  await phone.retry(shown.seq);
  const [again] = await phone.waitingOps();
  assert.deepEqual([again.base, again.op_id === first.opId, again.entity_id, (await phone.get("plan", "plan-1")).state], [{ state: 2 }, false, "plan-1", "active"]);
  await phone.syncNow();
  assert.deepEqual([phone.status().waiting, phone.status().attention], [0, 0]);
});

test("a refused new entry that is sent again is shown again", async () => {
  const { server, phone } = await world();
  server.refuse = () => ({ code: "not_allowed", text: "Only a lead may." });
  const { entityId } = await phone.act("weigh_in.add", weight(15_200));
  await phone.syncNow();
  assert.equal(await phone.get("weigh_in", entityId), undefined);
  server.refuse = () => null;
  await phone.retry((await phone.attention())[0].seq);
  assert.equal((await phone.get("weigh_in", entityId)).pending, true);
  await phone.syncNow();
  assert.deepEqual([(await phone.get("weigh_in", entityId)).version, weights(server)], [1, [15_200]]);
});

test("two_fields: a lost field race shows the winner at once", async () => {
  const { server, phone } = await world();
  await phone.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  await phone.syncNow();
  server.stamps = new Map([[`${OTTO_ID} name`, "9999999999999-0000-ffffffff"]]);
  server.rows.get(`dog ${OTTO_ID}`).data.name = "Otis";
  await phone.act("dog.edit", { entityId: OTTO_ID, data: { name: "Otto" } });
  server.hooks.push((path) => (path.includes("/pull") ? Promise.reject(new TypeError("gone")) : null));
  await phone.syncNow();
  assert.deepEqual([(await phone.get("dog", OTTO_ID)).name, phone.status().waiting], ["Otis", 0]);
});

const WRONG = {
  "captive_portal: 200 with a sign-in page": () => new Response("<html>Welcome to the hotel</html>", { status: 200, headers: { "Content-Type": "text/html" } }),
  "captive_portal: JSON without our header": (body) => new Response(JSON.stringify({ results: body?.ops?.map(({ op_id }) => ({ op_id, status: "applied", seq: 1 })) }), { status: 200, headers: { "Content-Type": "application/json" } }),
  "our header and JSON, called a page": (body) => new Response(JSON.stringify({ epoch: "epoch-1", results: body.ops.map(({ op_id }) => ({ op_id, status: "applied" })) }), { status: 200, headers: { "Content-Type": "text/html", "X-Sync": "1" } }),
  "no answer": () => Promise.reject(new TypeError("Failed to fetch")),
  "server error": () => answer(500, { code: "server_error", text: "Failed." }),
  "bad gateway page": () => new Response("<html>502</html>", { status: 502, headers: { "Content-Type": "text/html" } }),
  "broken JSON": () => new Response("{\"results\": [", { status: 200, headers: { "Content-Type": "application/json", "X-Sync": "1" } }),
  "a result too few": (body) => answer(200, { epoch: "epoch-1", results: body.ops.slice(1).map(({ op_id }) => ({ op_id, status: "applied" })) }),
  "results of other operations": (body) => answer(200, { epoch: "epoch-1", results: body.ops.map(() => ({ op_id: "other", status: "applied" })) }),
  "results in another order": (body) => answer(200, { epoch: "epoch-1", results: [...body.ops].reverse().map(({ op_id }) => ({ op_id, status: "applied" })) }),
  "a status we do not know": (body) => answer(200, { epoch: "epoch-1", results: body.ops.map(({ op_id }) => ({ op_id, status: "perhaps" })) }),
  "a message that could not be read as a whole": () => answer(422, { code: "bad_request", field: "body.device_id", text: "device_id: too long" }),
  "a proxy that finds one entry too large": () => new Response("<html>413</html>", { status: 413, headers: { "Content-Type": "text/html" } }),
};
for (const [name, reply] of Object.entries(WRONG)) {
  test(`C2 ${name}: everything is kept, and goes out later`, async () => {
    const { server, phone } = await world();
    await phone.act("weigh_in.add", weight(15_200));
    await phone.act("weigh_in.add", weight(15_300));
    server.hooks.push(onPush(reply));
    await phone.syncNow();
    assert.deepEqual([phone.status().waiting, phone.status().attention, phone.status().signal, server.applied.length], [2, 0, "no_signal", 0]);
    assert.equal((await phone.list("weigh_in")).filter((row) => row.pending).length, 2);
    server.hooks.length = 0;
    await phone.syncNow();
    assert.deepEqual([weights(server), phone.status().waiting, phone.status().signal], [[15_200, 15_300], 0, "all_sent"]);
  });
}

test("a hanging server is given up after half a minute", async () => {
  const { server, phone, clock } = await world();
  await phone.act("weigh_in.add", weight(15_200));
  server.fetch = (path, init) => new Promise((_, reject) => init.signal.addEventListener("abort", () => reject(init.signal.reason)));
  const other = await openPhone({ server, clock, accountId: phone.accountId });
  const round = other.syncNow();
  await settled();
  assert.deepEqual([other.status().syncing, clock.waits()], [true, [30_000]]);
  await clock.advance(30_000);
  await round;
  assert.deepEqual([other.status().syncing, other.status().signal, other.status().waiting], [false, "no_signal", 1]);
});

test("401 keeps everything, asks to sign in again, and the same account resumes the queue", async () => {
  const { server, phone, accountId } = await world();
  await phone.act("weigh_in.add", weight(15_200));
  server.hooks.push(onPush(() => unmarked(401, { code: "signed_out", text: "Please sign in." })));
  await phone.syncNow();
  assert.deepEqual([phone.status().signal, phone.status().waiting], ["signed_out", 1]);
  server.hooks.length = 0;
  server.signedIn = null;
  await phone.syncNow();
  assert.deepEqual([phone.status().signal, phone.status().waiting], ["signed_out", 1]);
  server.signedIn = accountId;
  await phone.syncNow();
  assert.deepEqual([phone.status().signal, phone.status().waiting, weights(server)], ["all_sent", 0, [15_200]]);
});

test("C6 another account's cookie never carries this account's entries, nor brings its rows here", async () => {
  const { server, phone } = await world();
  server.users.tess = "Tess Oduya";
  server.put("weigh_in", "hers", "her-dog", { weight_g: 9000 });
  await phone.act("weigh_in.add", weight(15_200));
  server.signedIn = "tess";
  await phone.syncNow();
  assert.deepEqual([server.pushes().length, server.applied, phone.status().signal, phone.status().waiting], [0, [], "signed_out", 1]);
  assert.deepEqual((await phone.list("weigh_in")).map((row) => row.weight_g), [15_200]);
});

test("C6 an answer that says it is another account's is not written down", async () => {
  const { server, phone } = await world();
  server.put("weigh_in", "hers", "her-dog", { weight_g: 9000 });
  server.after = async (path, response) => (path.includes("/pull") ? answer(200, { ...(await response.json()), account: "tess" }) : response);
  await phone.syncNow();
  assert.deepEqual([await phone.list("weigh_in"), phone.status().signal], [[], "signed_out"]);
});

test("403 csrf: the session is fetched again and the push tried once more, once", async () => {
  const { server, phone } = await world();
  await phone.act("weigh_in.add", weight(15_200));
  server.hooks.push((path) => {
    if (path.includes("/push") && server.csrf === "token-1") server.csrf = "token-2";
    return null;
  });
  await phone.syncNow();
  assert.deepEqual([weights(server), server.pushes().length, phone.status().signal], [[15_200], 2, "all_sent"]);
  await phone.act("weigh_in.add", weight(15_300));
  server.hooks.push(onPush(() => unmarked(403, { code: "csrf", text: "Old token." })));
  await phone.syncNow();
  assert.deepEqual([server.pushes().length, phone.status().waiting, phone.status().signal], [4, 1, "no_signal"]);
});

test("413: the batch is halved until it fits; one that is too large alone is shown, the rest arrive", async () => {
  const { server, phone } = await world();
  for (let n = 0; n < 10; n++) await phone.act("weigh_in.add", weight(15_000 + n));
  server.hooks.push(onPush((body) => (body.ops.length > 2 || body.ops.some((op) => op.data.weight_g === 15_004) ? answer(413, { code: "too_large", text: "Too much." }) : null)));
  await phone.syncNow();
  assert.deepEqual(weights(server), [15_000, 15_001, 15_002, 15_003, 15_005, 15_006, 15_007, 15_008, 15_009]);
  assert.deepEqual((await phone.attention()).map((op) => [op.data.weight_g, op.code]), [[15_004, "too_large"]]);
});

test("422 about one operation: found by halving and shown with the server's words, the rest arrive", async () => {
  const { server, phone } = await world();
  for (let n = 0; n < 8; n++) await phone.act("weigh_in.add", weight(15_000 + n));
  server.hooks.push(onPush((body) => {
    const at = body.ops.findIndex((op) => op.data.weight_g === 15_005);
    return at < 0 ? null : answer(422, { code: "bad_request", field: `body.ops.${at}.hlc`, text: "hlc: not understood" });
  }));
  await phone.syncNow();
  assert.deepEqual(weights(server), [15_000, 15_001, 15_002, 15_003, 15_004, 15_006, 15_007]);
  assert.deepEqual((await phone.attention()).map((op) => [op.data.weight_g, op.text]), [[15_005, "hlc: not understood"]]);
});

test("a message holds at most 100 operations and stays under 256 KiB", () => {
  const op = (n, note) => ({ seq: n, saved_at: 1, op_id: `op-${n}`, kind: "weigh_in.add", entity_id: `e-${n}`, dog_id: null, hlc: "h", data: { note } });
  assert.equal(batch(Array.from({ length: 250 }, (_, n) => op(n, "")), 100).length, 100);
  const large = Array.from({ length: 100 }, (_, n) => op(n, "ß".repeat(5000)));
  const first = batch(large, 100);
  assert.ok(first.length > 20 && Buffer.byteLength(JSON.stringify(first)) < 256 * 1024, `${first.length}`);
  assert.equal(batch([op(1, "x".repeat(300_000))], 100).length, 1, "never empty, or the queue would stand");
  assert.equal(batch(large, 7).length, 7);
});

test("426: keeps everything and says that an update is needed", async () => {
  const { server, phone } = await world();
  await phone.act("weigh_in.add", weight(15_200));
  server.hooks.push(onPush(() => answer(426, { code: "update", text: "Too old." })));
  await phone.syncNow();
  assert.deepEqual([phone.status().signal, phone.status().waiting], ["update_needed", 1]);
});

test("429 and 503: nothing is asked before Retry-After is over, whoever presses", async () => {
  for (const status of [429, 503]) {
    const { server, phone, clock } = await world();
    await phone.act("weigh_in.add", weight(15_200));
    server.hooks.push(onPush(() => answer(status, { code: "busy", text: "Later." }, { "Retry-After": "120" })));
    phone.start();
    await settled();
    server.hooks.length = 0;
    const asked = server.requests.length;
    await clock.advance(119_000);
    await phone.syncNow();
    assert.deepEqual([server.requests.length, phone.status().waiting], [asked, 1]);
    await clock.advance(1000);
    await settled();
    assert.deepEqual([weights(server), phone.status().waiting], [[15_200], 0]);
    phone.close();
  }
});

test("retry_resumes: after failed pushes the queue drains with no person doing anything", async () => {
  const { server, phone, clock } = await world();
  phone.start();
  await settled();
  server.hooks.push(() => Promise.reject(new TypeError("Failed to fetch")));
  await phone.act("weigh_in.add", weight(15_200));
  await settled();
  await clock.advance(60_000);
  assert.deepEqual([phone.status().waiting, phone.status().signal], [1, "no_signal"]);
  server.hooks.length = 0;
  await clock.advance(300_000);
  assert.deepEqual([weights(server), phone.status().waiting, phone.status().signal], [[15_200], 0, "all_sent"]);
  phone.close();
});

test("waits double from 2 s to 5 min, each shortened by up to half", () => {
  assert.deepEqual([1, 2, 3, 8, 9, 400].map((n) => backoff(n, () => 1)), [2000, 4000, 8000, 256_000, 300_000, 300_000]);
  assert.deepEqual([1, 9].map((n) => backoff(n, () => 0)), [1000, 150_000]);
  const random = seeded(5);
  assert.ok(new Set(Array.from({ length: 50 }, () => backoff(4, random))).size > 40);
});

test("C13 no_background_sync: save, start, coming to the front and the signal's return each drain the queue", async () => {
  const page = new FakePage();
  const window = new FakePage();
  const { server, phone, clock } = await world({ page, window });
  await phone.act("weigh_in.add", weight(15_001));
  await settled();
  assert.deepEqual(weights(server), [], "not started: nothing goes out");
  phone.start();
  await settled();
  assert.deepEqual(weights(server), [15_001]);
  await phone.act("weigh_in.add", weight(15_002));
  await settled();
  assert.deepEqual(weights(server), [15_001, 15_002], "saved");
  const offline = () => Promise.reject(new TypeError("Failed to fetch"));
  for (const [wake, grams] of [[() => page.show("visible"), 15_003], [() => window.fire("online"), 15_004], [() => window.fire("pageshow"), 15_005]]) {
    server.hooks.push(offline);
    await phone.act("weigh_in.add", weight(grams));
    await settled();
    server.hooks.length = 0;
    wake();
    await settled();
    assert.equal(weights(server).at(-1), grams);
  }
  page.show("hidden");
  await settled();
  const asked = server.requests.length;
  await clock.advance(600_000);
  assert.equal(server.requests.length, asked, "a hidden page with nothing to send is silent");
  phone.stop();
  page.show("visible");
  await clock.advance(600_000);
  assert.equal(server.requests.length, asked, "stopped is stopped");
});

test("after a push that made work the phone pulls at 1, 2, 4, 8, 15 s, then every 60 s", async () => {
  const { server, phone, clock } = await world();
  phone.start();
  await settled();
  const pulls = [];
  server.hooks.push((path) => {
    if (path.includes("/pull")) pulls.push((clock.now() - start) / 1000);
    return null;
  });
  const start = clock.now();
  await phone.act("plan.request", { dogId: OTTO_ID, data: { weigh_in_id: "x" } });
  await settled();
  await clock.advance(160_000);
  assert.deepEqual(pulls, [0, 1, 3, 7, 15, 30, 90, 150]);
  phone.close();
});

test("a save during a running round goes out right after it", async () => {
  const { server, phone } = await world();
  phone.start();
  await settled();
  let saved = false;
  server.hooks.push(async (path) => {
    if (path.includes("/pull") && !saved) {
      saved = true;
      await phone.act("weigh_in.add", weight(15_200));
    }
    return null;
  });
  await phone.syncNow();
  assert.deepEqual(weights(server), [15_200]);
  phone.close();
});
