// sw.js in a world of its own: caches, network and clients are fakes, the code is the shipped file.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import vm from "node:vm";

const SOURCE = readFileSync(new URL("../../frontend/sw.js", import.meta.url), "utf8");
const ORIGIN = "https://tuckline.test";
const path = (request) => new URL(typeof request === "string" ? request : request.url, ORIGIN).pathname;

class FakeCache {
  files = new Map();
  async match(request) {
    return this.files.get(path(request))?.clone();
  }
  async put(request, response) {
    this.files.set(path(request), response);
  }
  async keys() {
    return [...this.files.keys()].map((name) => ({ url: ORIGIN + name }));
  }
}
class FakeCaches {
  all = new Map();
  has = async (name) => this.all.has(name);
  keys = async () => [...this.all.keys()];
  delete = async (name) => this.all.delete(name);
  async open(name) {
    if (!this.all.has(name)) this.all.set(name, new FakeCache());
    return this.all.get(name);
  }
  async match(request) {
    for (const cache of this.all.values()) {
      const found = await cache.match(request);
      if (found) return found;
    }
    return undefined;
  }
}

/** A site: path -> [body, type]. */
function site(version) {
  return {
    "/": [`<!doctype html><script type="module" src="/static/app.${version}.js"></script>`, "text/html; charset=utf-8"],
    [`/static/app.${version}.js`]: [`app ${version}`, "text/javascript"],
    "/static/look.1.css": ["body{}", "text/css"],
    "/static/icon.1.svg": ["<svg/>", "image/svg+xml"],
  };
}

class Browser {
  caches = new FakeCaches();
  online = true;
  site = {};
  fetched = [];

  fetch = async (request) => {
    const name = path(request);
    this.fetched.push(name);
    if (!this.online) throw new TypeError("Failed to fetch");
    const found = this.site[name];
    if (!found) return new Response("not found", { status: 404, headers: { "Content-Type": "text/html" } });
    return new Response(found[0], { status: 200, headers: { "Content-Type": found[1] } });
  };

  /** Run the worker that a server of this version hands out. */
  worker(version, precache = Object.keys(site(version)).filter((name) => name !== "/")) {
    const listeners = {};
    const self = { location: { origin: ORIGIN }, skipped: 0, skipWaiting: async () => void (self.skipped += 1), addEventListener: (type, listener) => (listeners[type] = listener) };
    const text = SOURCE.replace("/*PRECACHE*/[]", JSON.stringify(precache)).replace('/*VERSION*/""', JSON.stringify(version));
    assert.ok(text.includes(`"${version}"`) && text.includes(JSON.stringify(precache)), "the server finds its two places");
    vm.runInNewContext(text, { self, caches: this.caches, fetch: this.fetch, URL, Response, Set, Promise, Error });
    const event = async (type, more = {}) => {
      const waits = [];
      listeners[type]({ waitUntil: (promise) => waits.push(promise), ...more });
      await Promise.all(waits);
    };
    const open = async (name, { mode = "cors", method = "GET", origin = ORIGIN } = {}) => {
      let reply;
      listeners.fetch({ request: { url: origin + name, mode, method }, respondWith: (promise) => (reply = promise) });
      return reply === undefined ? "not touched" : reply;
    };
    return { self, install: () => event("install"), activate: () => event("activate"), message: (data) => event("message", { data }), open, visit: (name = "/") => open(name, { mode: "navigate" }) };
  }

  async installed(version) {
    this.site = { ...this.site, ...site(version) };
    const worker = this.worker(version);
    await worker.install();
    await worker.activate();
    return worker;
  }
}
const names = (browser) => [...browser.caches.all.keys()];

test("the app opens with no signal: shell and files come from the phone", async () => {
  const browser = new Browser();
  const worker = await browser.installed("a");
  browser.online = false;
  assert.match(await (await worker.visit()).text(), /app\.a\.js/);
  assert.equal(await (await worker.open("/static/app.a.js")).text(), "app a");
  assert.match(await (await worker.visit("/dogs/typed-by-hand")).text(), /app\.a\.js/);
});

test("nothing private passes through: API, media, sign-in, other methods and other sites are not touched", async () => {
  const browser = new Browser();
  const worker = await browser.installed("a");
  const before = browser.fetched.length;
  for (const name of ["/api/v1/session", "/api/v1/sync/pull", "/api/auth/browser/v1/auth/login", "/media/p.jpg", "/reset-app", "/sw.js", "/healthz"]) {
    assert.equal(await worker.open(name), "not touched", name);
    assert.equal(await worker.visit(name), "not touched", name);
  }
  assert.equal(await worker.open("/", { mode: "navigate", method: "POST" }), "not touched");
  assert.equal(await worker.open("/static/app.a.js", { origin: "https://elsewhere.test" }), "not touched");
  assert.equal(browser.fetched.length, before);
  const held = [...(await browser.caches.open("tuckline-a")).files.keys()].sort();
  assert.deepEqual(held, Object.keys(site("a")).sort(), "the shell and static files, nothing else");
});

test("sw_stale_shell: a missing static file is a real 404, never the shell", async () => {
  const browser = new Browser();
  const worker = await browser.installed("a");
  assert.equal(await worker.open("/static/app.gone.js"), "not touched", "left to the server, which says 404");
});

for (const [name, change] of Object.entries({
  "a file is missing": (files) => delete files["/static/app.b.js"],
  "a hotel answers for a file": (files) => (files["/static/app.b.js"] = ["<html>hotel</html>", "text/html"]),
  "a hotel answers for the shell": (files) => (files["/"] = ["<html>hotel</html>", "text/html"]),
  "the shell has another type": (files) => (files["/"] = ["{}", "application/json"]),
  "a style has another type": (files) => (files["/static/look.1.css"] = ["x", "text/plain"]),
})) {
  test(`installing fails and leaves nothing behind when ${name}`, async () => {
    const browser = new Browser();
    browser.site = site("b");
    change(browser.site);
    await assert.rejects(browser.worker("b").install());
    assert.deepEqual(names(browser), []);
  });
}

test("a failed update leaves the running version whole", async () => {
  const browser = new Browser();
  const worker = await browser.installed("a");
  browser.site = { ...site("b"), "/static/app.b.js": ["<html>", "text/html"] };
  await assert.rejects(browser.worker("b").install());
  assert.deepEqual(names(browser), ["tuckline-a"]);
  browser.online = false;
  assert.match(await (await worker.visit()).text(), /app\.a\.js/);
});

test("an update fetches only what changed, waits, and takes over when the page says so", async () => {
  const browser = new Browser();
  const old = await browser.installed("a");
  browser.site = site("b");
  browser.fetched.length = 0;
  const next = browser.worker("b");
  await next.install();
  assert.deepEqual(browser.fetched.sort(), ["/", "/static/app.b.js"]);
  assert.equal(next.self.skipped, 0, "it waits");
  assert.deepEqual(names(browser), ["tuckline-a", "tuckline-b"], "the old version keeps its files");
  assert.equal(await (await old.open("/static/app.a.js")).text(), "app a");
  await next.message({ type: "hello" });
  await next.message(undefined);
  assert.equal(next.self.skipped, 0);
  await next.message({ type: "activate" });
  assert.equal(next.self.skipped, 1);
  await next.activate();
  assert.deepEqual(names(browser), ["tuckline-b"]);
});

test("only our own old caches are deleted", async () => {
  const browser = new Browser();
  await browser.caches.open("someone-else");
  await browser.caches.open("tuckline-ancient");
  await browser.installed("a");
  assert.deepEqual(names(browser).sort(), ["someone-else", "tuckline-a"]);
});

test("sw_three_updates: three releases without a reload, and the newest is whole", async () => {
  const browser = new Browser();
  await browser.installed("a");
  for (const version of ["b", "c", "d"]) {
    browser.site = site(version);
    await browser.worker(version).install();
  }
  const newest = browser.worker("d");
  await newest.activate();
  browser.online = false;
  assert.deepEqual(names(browser), ["tuckline-d"]);
  assert.equal(await (await newest.open("/static/app.d.js")).text(), "app d");
});

test("sw_hole: a file that was evicted is fetched again; with no signal the page says to reconnect once", async () => {
  const browser = new Browser();
  const worker = await browser.installed("a");
  const cache = await browser.caches.open("tuckline-a");
  cache.files.delete("/static/app.a.js");
  browser.online = false;
  const offline = await worker.visit();
  const page = await offline.text();
  assert.deepEqual([offline.status, /reconnect once/i.test(page), /entries are still kept/.test(page)], [503, true, true]);
  assert.doesNotMatch(page, /<script|style=|<style/);
  browser.online = true;
  assert.match(await (await worker.visit()).text(), /app\.a\.js/);
  assert.ok(cache.files.has("/static/app.a.js"), "healed");
  cache.files.delete("/static/look.1.css");
  assert.equal(await (await worker.open("/static/look.1.css")).text(), "body{}");
  cache.files.delete("/");
  assert.match(await (await worker.visit()).text(), /app\.a\.js/);
  cache.files.delete("/static/app.a.js");
  browser.site["/static/app.a.js"] = ["<html>hotel</html>", "text/html"];
  await assert.rejects(worker.open("/static/app.a.js"), "a hotel's page does not become a script");
});

test("a server that has not collected its files still installs the shell alone", async () => {
  const browser = new Browser();
  browser.site = { "/": ["<!doctype html>", "text/html"] };
  const worker = browser.worker("uncollected", []);
  await worker.install();
  assert.equal(await (await worker.visit()).text(), "<!doctype html>");
  assert.equal(await worker.open("/static/app.js"), "not touched");
});
