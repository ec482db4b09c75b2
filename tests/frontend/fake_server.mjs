// A server in a hundred lines that keeps the promises of the sync protocol: one receipt per
// operation, change numbers, one row of present state per thing. It knows no dog science.

const JSON_TYPE = { "Content-Type": "application/json; charset=utf-8" };

export function answer(status, body, headers = {}) {
  return new Response(JSON.stringify(body), { status, headers: { ...JSON_TYPE, "X-Sync": "1", ...headers } });
}

/** Said before a sync endpoint is reached: JSON of ours, without the mark. */
export function unmarked(status, body) {
  return new Response(JSON.stringify(body), { status, headers: JSON_TYPE });
}

export class FakeServer {
  constructor({ clock, users = { mara: "Mara Lindqvist" } }) {
    this.clock = clock;
    this.users = users;
    this.signedIn = Object.keys(users)[0];
    this.csrf = "token-1";
    this.epoch = "epoch-1";
    this.seq = 0;
    this.rows = new Map(); // "type id" -> change
    this.receipts = new Map(); // "user op_id" -> {hash, result}
    this.applied = []; // every operation applied, in order: a double shows here
    this.requests = []; // {path, body, user}
    this.refuse = () => null; // (op) -> rejection or null
    this.hooks = []; // each may answer a request before the server sees it: (path, body) -> Response | null
    this.after = null; // (path, response) -> Response: after the server did its work
    this.visible = () => true; // (change, user) -> may see
    this.pageSize = 500;
    this.purgedBelow = 0;
    this.serverTime = () => this.clock.now();
    this.reports = new Map(); // device -> what it last said waits there
  }

  fetch = async (path, init = {}) => {
    const body = init.body ? JSON.parse(init.body) : undefined;
    const request = { path, body, method: init.method ?? "GET", headers: init.headers ?? {}, user: this.signedIn };
    this.requests.push(request);
    for (const hook of this.hooks) {
      const early = await hook(path, body, request);
      if (early) return early;
    }
    let response = this.route(path, body, request);
    if (this.after) response = await this.after(path, response, request);
    return response;
  };

  pushes() {
    return this.requests.filter(({ path }) => path.includes("/push"));
  }

  now() {
    return new Date(this.serverTime()).toISOString();
  }

  route(path, body, request) {
    const url = new URL(path, "http://phone.test");
    if (url.pathname === "/api/v1/session") return this.session();
    if (!this.signedIn) return unmarked(401, { code: "signed_out", text: "Please sign in." });
    if (url.pathname === "/api/v1/sync/push") return this.push(body, request);
    if (url.pathname === "/api/v1/sync/pull") return this.pull(url.searchParams);
    if (url.pathname === "/api/v1/sync/snapshot") return this.snapshot(url.searchParams);
    return unmarked(404, { code: "not_found", text: "Nothing here." });
  }

  session() {
    const id = this.signedIn;
    return new Response(JSON.stringify({
      user: id && { id, name: this.users[id], email: `${id}@demo.tuckline.example` }, csrf: this.csrf, device_id: "d".repeat(32),
      epoch: this.epoch, protocol: 1, server_time: this.now(), households: [],
    }), { status: 200, headers: JSON_TYPE });
  }

  push(body, { headers, user }) {
    if (headers["X-CSRFToken"] !== this.csrf) return unmarked(403, { code: "csrf", text: "Old token." });
    if (body.ops.length > 100 || JSON.stringify(body).length > 256 * 1024) return answer(413, { code: "too_large", text: "Too much." });
    if (body.epoch !== this.epoch) return answer(409, { code: "epoch", text: "Restored.", epoch: this.epoch });
    const results = body.ops.map((op) => this.receive(op, user));
    this.reports.set(body.device_id, { count: body.pending - results.length, at: this.now() });
    return answer(200, { epoch: this.epoch, server_time: this.now(), results });
  }

  receive(op, user) {
    const key = `${user} ${op.op_id}`;
    const hash = JSON.stringify(op);
    const known = this.receipts.get(key);
    if (known && known.hash !== hash) return { op_id: op.op_id, status: "rejected", code: "op_reused", text: "Used before." };
    if (known) return known.result.status === "applied" ? { ...known.result, status: "duplicate" } : known.result;
    const rejection = this.refuse(op, user);
    const result = rejection ? { op_id: op.op_id, status: "rejected", ...rejection } : this.apply(op, user);
    this.receipts.set(key, { hash, result });
    return result;
  }

  apply(op, user) {
    const type = op.kind.split(".")[0];
    const row = this.rows.get(`${type} ${op.entity_id}`);
    const { op_id } = op;
    if (op.kind.endsWith(".add") || op.kind === "plan.request") {
      if (row) return { op_id, status: "rejected", code: "id_taken", text: "This id is taken." };
      const by = { id: user, name: this.users[user] };
      const facts = { ...op.data, measured_at: op.measured_at, local_date: op.local_date, tz: op.tz, by };
      const seq = this.put(type, op.entity_id, type === "dog" ? op.entity_id : op.dog_id, facts);
      this.applied.push(op);
      return { op_id, status: "applied", seq };
    }
    if (!row || row.deleted) return { op_id, status: "rejected", code: row ? "gone" : "not_found", text: "There is no such thing." };
    this.stamps ??= new Map();
    const won = {};
    const lost = {};
    for (const [field, value] of Object.entries(op.kind.endsWith(".void") ? { voided: op.data.void !== false } : op.data)) {
      const key = `${op.entity_id} ${field}`;
      if ((this.stamps.get(key) ?? "") > op.hlc) lost[field] = row.data[field];
      else {
        this.stamps.set(key, op.hlc);
        won[field] = value;
      }
    }
    if (!Object.keys(won).length) return { op_id, status: "superseded", winner: lost };
    const seq = this.put(type, op.entity_id, row.dog_id, { ...row.data, ...won });
    this.applied.push(op);
    return { op_id, status: "applied", seq };
  }

  put(type, id, dog_id, data, deleted = false) {
    const key = `${type} ${id}`;
    this.seq += 1;
    const version = (this.rows.get(key)?.version ?? 0) + 1;
    this.rows.set(key, { seq: this.seq, type, id, dog_id, version, deleted, data: deleted ? {} : structuredClone(data) });
    return this.seq;
  }

  get(type, id) {
    return this.rows.get(`${type} ${id}`);
  }

  seen() {
    return [...this.rows.values()].filter((row) => this.visible(row, this.signedIn)).sort((a, b) => a.seq - b.seq);
  }

  pull(query) {
    const from = Number(query.get("cursor") ?? 0);
    if (from > this.seq) return answer(409, { code: "epoch", text: "Restored.", epoch: this.epoch });
    if (query.get("cursor") !== null && from < this.purgedBelow) return answer(410, { code: "resync", text: "Too old." });
    const device = query.get("device_id");
    const report = this.reports.get(device);
    const lost = from === 0 && !Number(query.get("pending")) && report?.count > 0 ? { lost: report.count, lost_at: report.at } : {};
    if (from > 0 && query.get("pending") !== null) this.reports.set(device, { count: Number(query.get("pending")), at: this.now() });
    return this.page(this.seen(), from, { ...lost });
  }

  snapshot(query) {
    const scope = query.get("household");
    if (scope && !this.seen().some(({ id }) => id === scope)) return unmarked(404, { code: "not_found", text: "Nothing here." });
    const dogs = new Set([...this.rows.values()].filter(({ type, data }) => type === "dog" && data.household_id === scope).map(({ id }) => id));
    const rows = this.seen().filter(({ dog_id, id, data, type }) =>
      !type.startsWith("access") && (!scope || dogs.has(dog_id) || id === scope || data.household_id === scope));
    return this.page(rows, Number(query.get("page") ?? 0), {}, true);
  }

  page(all, after, more_said, snapshot = false) {
    const rows = all.filter(({ seq }) => seq > after);
    const changes = structuredClone(rows.slice(0, this.pageSize));
    const more = rows.length > changes.length;
    const end = String(changes.at(-1)?.seq ?? after);
    const where = snapshot ? { cursor: String(this.seq), page: more ? end : null } : { cursor: end };
    return answer(200, { epoch: this.epoch, server_time: this.now(), ...where, ...more_said, more, changes });
  }

  backup() {
    return structuredClone({ seq: this.seq, rows: this.rows, receipts: this.receipts, applied: this.applied, stamps: this.stamps });
  }

  /** Put a backup back: what came later is forgotten, and the epoch tells. */
  restore(backup) {
    Object.assign(this, structuredClone(backup));
    this.epoch = `epoch-${Number(this.epoch.split("-")[1]) + 1}`;
  }
}
