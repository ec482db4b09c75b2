import assert from "node:assert/strict";
import { test } from "node:test";
import { Clock } from "./phone.mjs";
import { FakeServer } from "./fake_server.mjs";
import { OTTO } from "./phone.mjs";
import { OTTO_ID } from "./phone.mjs";
import { freshAccount } from "./phone.mjs";
import { openPhone } from "./phone.mjs";
import { weight } from "./phone.mjs";

test("a dog and a weight are shown at once, sent once, and come back as the server's rows", async () => {
  const clock = new Clock();
  const accountId = freshAccount();
  const server = new FakeServer({ clock, users: { [accountId]: "Mara Lindqvist" } });
  const store = await openPhone({ server, clock, accountId });
  await store.act("dog.add", { entityId: OTTO_ID, data: OTTO });
  const { entityId } = await store.act("weigh_in.add", weight(15_200));

  const [before] = await store.byDog("weigh_in", OTTO_ID);
  assert.deepEqual([before.id, before.weight_g, before.pending, before.version], [entityId, 15_200, true, 0]);
  assert.equal((await store.get("dog", OTTO_ID)).name, "Otto");
  assert.deepEqual([store.status().waiting, store.status().signal], [2, "waiting"]);

  await store.syncNow();
  assert.deepEqual(server.applied.map(({ kind }) => kind), ["dog.add", "weigh_in.add"]);
  const [after] = await store.byDog("weigh_in", OTTO_ID);
  assert.deepEqual([after.pending, after.version, after.seq, after.by.name], [undefined, 1, 2, "Mara Lindqvist"]);
  assert.deepEqual([store.status().waiting, store.status().signal, store.status().lastContact], [0, "all_sent", clock.now()]);
  store.close();
});
