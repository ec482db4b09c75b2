import assert from "node:assert/strict";
import { test } from "node:test";
import { compose, shown, touches } from "../../frontend/store/overlay.js";

const person = { id: "mara", name: "Mara Lindqvist" };
const add = { op_id: "o1", kind: "weigh_in.add", entity_id: "w1", dog_id: "otto", hlc: "1", data: { weight_g: 15_200, scale: "Home" }, saved_at: 1_772_436_600_000 };
const server = { id: "w1", dog_id: "otto", version: 3, seq: 9, weight_g: 15_250, voided: true };
const put = (row, waiting, unseen = []) => compose(row, waiting, unseen, "weigh_in", "w1", person);

test("a waiting entry that the server has already: the server's word stands, marked as waiting", () => {
  assert.deepEqual(put(server, [add]), { ...server, pending: true, server });
});

test("a waiting entry does not bring back what the server knows deleted", () => {
  const tombstone = { id: "w1", dog_id: "otto", version: 4, seq: 12, deleted: true };
  assert.equal(put(tombstone, [add]).deleted, true);
});

test("nothing waits: the stored row is exactly the server's", () => {
  assert.equal(put(server, []), server);
  assert.equal(put(null, []), null);
});

test("an answered edit lies on top until a row at least as new is pulled", () => {
  const edit = { op_id: "o2", kind: "weigh_in.void", entity_id: "w1", dog_id: "otto", hlc: "2", data: { void: false } };
  assert.equal(put(server, [], [{ ...edit, server_seq: 10 }]).voided, false);
  assert.equal(put(server, [], [{ ...edit, server_seq: 9 }]).voided, true);
  assert.equal(put(server, [], [{ ...edit, server_seq: 10 }]).pending, undefined);
});

test("operations lie in queue order, answered ones below waiting ones", () => {
  const at = (n, use) => ({ op_id: `o${n}`, kind: "weigh_in.use", entity_id: "w1", dog_id: "otto", hlc: "3", data: { use } });
  assert.equal(put(server, [at(3, true)], [{ ...at(2, false), server_seq: 10 }]).use, true);
});

test("a review's answer and a replaced entry are touched along with their own rows", () => {
  assert.deepEqual(touches({ kind: "plan.accept", entity_id: "p1", data: { review_id: "r1" } }), [{ type: "plan", id: "p1" }, { type: "review", id: "r1" }]);
  assert.deepEqual(touches({ kind: "check.replace", entity_id: "c2", data: { replaces: "c1" } }), [{ type: "check", id: "c2" }, { type: "check", id: "c1" }]);
  const accept = { op_id: "o4", kind: "plan.accept", entity_id: "p1", dog_id: "otto", hlc: "4", data: { review_id: "r1" } };
  const review = { id: "r1", dog_id: "otto", version: 1, seq: 5, answer: null };
  assert.equal(compose(review, [accept], [], "review", "r1", person).answer, "accepted");
  assert.equal(compose(review, [{ ...accept, kind: "plan.decline" }], [], "review", "r1", person).answer, "declined");
  const plan = { id: "p1", dog_id: "otto", version: 1, seq: 5, state: "active", kcal_per_day: 488 };
  const { pending, ...same } = shown(compose(plan, [accept], [], "plan", "p1", person));
  assert.deepEqual([same, pending], [plan, true], "the ration in force is the server's to say");
});

test("an operation of a later release leaves the row as it is", () => {
  assert.deepEqual(shown(put(server, [{ ...add, kind: "weigh_in.photograph" }])), { ...server, pending: true });
});
