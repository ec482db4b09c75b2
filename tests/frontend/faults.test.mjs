// partition_and_kill: phones, a server and a seed. Answers are dropped before or after the server
// did its work, requests arrive twice, phones are killed in the middle and start again, the server
// is put back from a backup. In the end all phones are equal and every outbox is empty.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Clock, OTTO, OTTO_ID, seeded } from "./phone.mjs";
import { FakeServer } from "./fake_server.mjs";
import { connect } from "../../frontend/store/database.js";
import { keep, waiting } from "../../frontend/store/outbox.js";
import { shown } from "../../frontend/store/overlay.js";
import { syncRound } from "../../frontend/store/sync.js";
import { uuidv7 } from "../../frontend/plain/stamps.js";

const SEEDS = Number(process.env.TUCKLINE_FAULT_SEEDS ?? 10);
const STEPS = 60;
const NEVER = new Promise(() => {});

async function run(seed) {
  const random = seeded(seed);
  const clock = new Clock();
  const server = new FakeServer({ clock, users: { mara: "Mara Lindqvist" } });
  server.pageSize = 3;
  server.put("dog", OTTO_ID, OTTO_ID, OTTO);
  let faulty = true;
  const acked = new Set();
  let backup = null;

  class Phone {
    constructor(name, skew) {
      Object.assign(this, { name: `tuckline-fault-${seed}-${name}`, skew, made: [] });
      this.start();
    }
    start() {
      this.connection = connect(this.name);
      this.life = {};
      this.life.over = new Promise((resolve) => (this.life.end = resolve));
    }
    kill() {
      this.connection.close(); // whatever is under way never comes back to this life
      this.life.end();
      this.start();
    }
    fetch = async (path, init) => {
      const life = this.life;
      const roll = faulty ? random() : 1;
      if (roll < 0.12) throw new TypeError("lost on the way there");
      let response = await server.fetch(path, init);
      if (roll > 0.12 && roll < 0.2) response = await server.fetch(path, init); // delivered twice
      if (roll > 0.2 && roll < 0.32) throw new TypeError("lost on the way back");
      if (roll > 0.32 && roll < 0.36) return new Response("<html>hotel</html>", { status: 200, headers: { "Content-Type": "text/html" } });
      if (roll > 0.36 && roll < 0.42) this.kill();
      if (this.life !== life) return NEVER; // this life has ended
      return response;
    };
    async sync() {
      const env = { use: this.connection.use, fetch: this.fetch, now: () => clock.now() + this.skew, setTimeout: () => 0, clearTimeout: () => {}, accountId: "mara" };
      await Promise.race([this.life.over, syncRound(env).catch((error) => {
        if (!["Trouble", "StorageTrouble"].includes(error.name)) throw error;
      })]);
    }
    async act(kind, entity_id, data) {
      const draft = { op_id: uuidv7(clock.now(), random), kind, entity_id, dog_id: OTTO_ID, data };
      await this.connection.use((db) => keep(db, draft, { now: clock.now() + this.skew, random, person: { id: "mara", name: "Mara" } }));
      acked.add(draft.op_id);
      if (kind === "weigh_in.add") this.made.push(entity_id);
    }
    rows = async () => {
      const all = {};
      for (const type of ["dog", "weigh_in"]) all[type] = (await this.connection.use((db) => db.getAll(type))).map(shown);
      return all;
    };
  }

  const phones = [new Phone("a", 0), new Phone("b", 3_600_000), new Phone("c", -86_400_000)];
  for (let step = 0; step < STEPS; step++) {
    clock.at += Math.floor(random() * 60_000);
    const phone = phones[Math.floor(random() * phones.length)];
    const roll = random();
    if (roll < 0.35) await phone.act("weigh_in.add", uuidv7(clock.now(), random), { weight_g: 15_000 + step });
    else if (roll < 0.45) await phone.act("dog.edit", OTTO_ID, { name: `Otto ${step}` });
    else if (roll < 0.5) await phone.act("dog.edit", OTTO_ID, { coat: `coat ${step}` });
    else if (roll < 0.56 && phone.made.length) await phone.act("weigh_in.void", phone.made[Math.floor(random() * phone.made.length)], {});
    else if (roll < 0.6) phone.kill();
    else if (roll < 0.62) backup = server.backup();
    else if (roll < 0.64 && backup) server.restore(backup);
    else await phone.sync();
  }
  faulty = false;
  for (let round = 0; round < 3; round++) for (const phone of phones) await phone.sync();

  const ids = server.applied.map((op) => op.op_id);
  assert.equal(new Set(ids).size, ids.length, `seed ${seed}: an operation was applied twice`);
  const settledOps = new Set([...server.receipts.keys()].map((key) => key.split(" ")[1]));
  for (const id of acked) assert.ok(settledOps.has(id), `seed ${seed}: operation ${id} was lost`);
  const [first, ...others] = await Promise.all(phones.map((phone) => phone.rows()));
  const expected = (type) => server.seen().filter((row) => row.type === type).map(({ id, dog_id, version, seq, data }) => ({ ...data, id, dog_id, version, seq }));
  for (const type of ["dog", "weigh_in"]) {
    const sorted = (rows) => [...rows].sort((a, b) => (a.id < b.id ? -1 : 1)).map((row) => JSON.parse(JSON.stringify(row, Object.keys(row).sort())));
    assert.deepEqual(sorted(first[type]), sorted(expected(type)), `seed ${seed}: phone and server differ in ${type}`);
    for (const other of others) assert.deepEqual(sorted(other[type]), sorted(first[type]), `seed ${seed}: two phones differ in ${type}`);
  }
  for (const phone of phones) {
    assert.deepEqual(await phone.connection.use(waiting), [], `seed ${seed}: the outbox of ${phone.name} is not empty`);
    phone.connection.close();
  }
  return { operations: acked.size, applied: ids.length };
}

test(`partition_and_kill: ${SEEDS} seeds end equal with empty outboxes`, async () => {
  let operations = 0;
  for (let seed = 1; seed <= SEEDS; seed++) operations += (await run(seed)).operations;
  assert.ok(operations > SEEDS * 20, `only ${operations} operations were made`);
});
