import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { databaseName } from "../../frontend/store/database.js";
import { currentSession, signIn, signOut, signUp } from "../../frontend/store/session.js";
import { Clock, freshAccount, openPhone, weight } from "./phone.mjs";
import { FakeServer } from "./fake_server.mjs";

/** The account endpoints as allauth's headless API answers a browser. */
class Accounts extends FakeServer {
  constructor(given) {
    super(given);
    this.passwords = { "mara@demo.tuckline.example": "four-quiet-beagles" };
    this.calls = [];
    this.tellDelete = true;
  }

  route(path, body, request) {
    if (!path.startsWith("/api/auth/")) return super.route(path, body, request);
    const json = (status, data) => new Response(JSON.stringify({ status, ...data }), { status, headers: { "Content-Type": "application/json" } });
    const call = path.replace("/api/auth/browser/v1/auth/", "");
    this.calls.push(`${request.method} ${call}`);
    if (request.headers["X-CSRFToken"] !== this.csrf) return new Response('{"code": "csrf", "text": "Old."}', { status: 403, headers: { "Content-Type": "application/json" } });
    if (call === "session" && request.method === "DELETE") {
      this.signedIn = null;
      this.csrf = `token-${this.calls.length}`;
      return json(401, { data: { flows: [{ id: "login" }] }, meta: { is_authenticated: false } });
    }
    if (this.signedIn) return json(409, {});
    if (call === "signup") {
      this.signup = body;
      if (body.password.length < 12) return json(400, { errors: [{ code: "password_too_short", param: "password", message: "This password is too short." }, { code: "invalid", param: "email", message: "Enter a valid email address." }] });
    }
    if (call === "login" && this.second) return json(401, { data: { flows: [{ id: "login" }, { id: "mfa_authenticate", is_pending: true }] } });
    if (call === "login" && this.passwords[body.email] !== body.password) return json(400, { errors: [{ code: "email_password_mismatch", param: "password", message: "The email address and/or password are not correct." }] });
    if (this.busy) return json(429, {});
    this.signedIn = this.next;
    this.csrf = `token-${this.calls.length}`;
    return json(200, { data: {}, meta: { is_authenticated: true } });
  }
}

function world() {
  const clock = new Clock();
  const accountId = freshAccount();
  const server = new Accounts({ clock, users: { [accountId]: "Mara Lindqvist" } });
  server.next = accountId;
  return { clock, accountId, server };
}
const offline = () => Promise.reject(new TypeError("Failed to fetch"));
const form = { email: "mara@demo.tuckline.example", password: "four-quiet-beagles" };

beforeEach(() => new Promise((resolve) => {
  indexedDB.deleteDatabase("tuckline-known").onsuccess = resolve;
}));

test("the app opens with the last account's data when there is no signal, and without one when there never was any", async () => {
  const { accountId, server } = world();
  assert.deepEqual(await currentSession(offline), { user: null, known: null, online: false, csrf: "", households: [] });
  const met = await currentSession(server.fetch);
  assert.deepEqual([met.user.id, met.online, met.csrf], [accountId, true, "token-1"]);
  const away = await currentSession(offline);
  assert.deepEqual([away.user, away.known.id, away.online], [{ id: accountId, name: "Mara Lindqvist", email: met.user.email }, accountId, false]);
  const portal = async () => new Response("<html>Hotel</html>", { status: 200, headers: { "Content-Type": "text/html" } });
  assert.deepEqual([(await currentSession(portal)).online, (await currentSession(portal)).user.id], [false, accountId]);
});

test("an expired session is not a sign-out: the account stays known", async () => {
  const { accountId, server } = world();
  await currentSession(server.fetch);
  server.signedIn = null;
  const { user, known, online } = await currentSession(server.fetch);
  assert.deepEqual([user, known.id, online], [null, accountId, true]);
});

test("signing up sends name and zone, and the server's complaints come back by field", async () => {
  const { accountId, server } = world();
  server.signedIn = null;
  const short = await signUp({ ...form, password: "short", name: "Mara", tz: "Europe/Berlin" }, server.fetch);
  assert.deepEqual(short, { errors: [{ field: "password", text: "This password is too short." }, { field: "email", text: "Enter a valid email address." }] });
  const done = await signUp({ ...form, name: "Mara", tz: "Europe/Berlin" }, server.fetch);
  assert.deepEqual([done.user.id, server.signup], [accountId, { ...form, name: "Mara", tz: "Europe/Berlin" }]);
  assert.equal((await currentSession(offline)).user.id, accountId);
});

test("signing in: wrong password, too many tries, no signal, a second factor", async () => {
  const { server } = world();
  server.signedIn = null;
  assert.deepEqual(await signIn({ ...form, password: "wrong" }, server.fetch), { errors: [{ field: "password", text: "The email address and/or password are not correct." }] });
  const lost = await signIn(form, offline);
  assert.deepEqual([lost.errors[0].field, /signal/.test(lost.errors[0].text)], [null, true]);
  server.busy = true;
  assert.match((await signIn(form, server.fetch)).errors[0].text, /Too many tries/);
  server.busy = false;
  server.second = true;
  assert.deepEqual(await signIn(form, server.fetch), { next: "mfa_authenticate" });
});

test("sw_user_switch: A signs out, B signs in with a fresh token, and B sees only B", async () => {
  const { clock, accountId, server } = world();
  await currentSession(server.fetch);
  const phone = await openPhone({ server, clock, accountId });
  await phone.act("weigh_in.add", weight(15_200));
  assert.deepEqual(await signOut(phone, "ask", server.fetch), { done: true });
  assert.deepEqual(server.applied.length, 1, "pushed on the way out");
  const other = freshAccount();
  server.users[other] = "Tess Oduya";
  server.next = other;
  server.visible = (row, user) => row.data.by?.id === user;
  const { user } = await signIn(form, server.fetch);
  assert.equal(user.name, "Tess Oduya");
  const hers = await openPhone({ server, clock, accountId: other });
  await hers.act("weigh_in.add", weight(9000));
  await hers.syncNow();
  assert.deepEqual([(await hers.list("weigh_in")).map((row) => row.weight_g), hers.status().signal], [[9000], "all_sent"]);
});

test("signing in while another session is open closes that one first", async () => {
  const { server } = world();
  server.users.other = "Tess Oduya";
  server.signedIn = "other";
  const { user } = await signIn(form, server.fetch);
  assert.deepEqual([user.name, server.calls], ["Mara Lindqvist", ["POST login", "DELETE session", "POST login"]]);
});

test("C6 logout_pending: unsent entries stop the sign-out and say how many; only 'lose' loses them", async () => {
  const { clock, accountId, server } = world();
  await currentSession(server.fetch);
  const phone = await openPhone({ server, clock, accountId });
  server.refuse = (op) => (op.data.weight_g === 1 ? { code: "bad_value", text: "300 to 120000 g" } : null);
  await phone.act("weigh_in.add", weight(1));
  await phone.syncNow();
  await phone.act("weigh_in.add", weight(15_200));
  server.hooks.push(offline);
  assert.deepEqual(await signOut(phone, "ask", server.fetch), { unsent: 2 });
  assert.equal((await phone.waitingOps()).length, 1, "still there after the question");
  assert.equal(JSON.parse(await phone.exportUnsent()).unsent.length, 2);
  server.hooks.length = 0;
  assert.deepEqual(await signOut(phone, "ask", server.fetch), { unsent: 1 }, "one could be sent meanwhile");
  assert.deepEqual(server.applied.map((op) => op.data.weight_g), [15_200]);
  assert.deepEqual(await signOut(phone, "lose", server.fetch), { done: true });
  assert.ok(!(await indexedDB.databases()).some(({ name }) => name === databaseName(accountId)));
  assert.equal(server.signedIn, null);
});

test("sw_no_private_data: after signing out with no signal nothing of the person is left, and the server is told at the next start", async () => {
  const { clock, accountId, server } = world();
  await currentSession(server.fetch);
  const phone = await openPhone({ server, clock, accountId });
  assert.deepEqual(await signOut(phone, "ask", offline), { done: true });
  assert.ok(!(await indexedDB.databases()).some(({ name }) => name === databaseName(accountId)));
  assert.deepEqual(await currentSession(offline), { user: null, known: null, online: false, csrf: "", households: [] });
  assert.equal(server.signedIn, accountId, "the server has not heard yet");
  const next = await currentSession(server.fetch);
  assert.deepEqual([next.user, next.known, next.online, server.signedIn], [null, null, true, null]);
  server.signedIn = accountId; // later, in earnest
  assert.equal((await currentSession(server.fetch)).user.id, accountId);
});

test("signing in again after an offline sign-out keeps the new session", async () => {
  const { clock, accountId, server } = world();
  await currentSession(server.fetch);
  const phone = await openPhone({ server, clock, accountId });
  await signOut(phone, "ask", offline);
  const { user } = await signIn(form, server.fetch);
  assert.deepEqual([user.id, (await currentSession(server.fetch)).user?.id, server.signedIn], [accountId, accountId, accountId]);
});

test("a sign-out in one tab closes the other, and the database is not made anew", async () => {
  const { clock, accountId, server } = world();
  const one = await openPhone({ server, clock, accountId });
  const two = await openPhone({ server, clock, accountId });
  await signOut(one, "ask", server.fetch);
  await assert.rejects(two.act("weigh_in.add", weight(15_200)), (error) => error.code === "closed");
  assert.equal(two.status().problem.code, "reload");
  assert.ok(!(await indexedDB.databases()).some(({ name }) => name === databaseName(accountId)));
});
