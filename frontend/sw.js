// Keeps the app's own files on the phone so that it opens with no signal. The server fills in the
// list and the version. It holds the anonymous shell and static files only: nothing below /api/,
// nothing of anybody's dogs, ever passes through it.
/** @type {ServiceWorkerGlobalScope} */
const worker = /** @type {any} */ (self);

/** @type {string[]} */
const PRECACHE = /*PRECACHE*/[];
const VERSION = /*VERSION*/"";

const PREFIX = "tuckline-";
const CACHE = `${PREFIX}${VERSION}`;
const SHELL = "/";
const FILES = [SHELL, ...PRECACHE];
/** @type {Record<string, RegExp>} */
const TYPES = {
  js: /javascript/, mjs: /javascript/, css: /text\/css/, json: /json/, webmanifest: /json/, svg: /image\/svg/, png: /image\/png/,
  ico: /image\//, webp: /image\/webp/, jpg: /image\/jpeg/, woff2: /font|octet-stream/,
};

/** A file as the server has it now; throws when it is anything else, as a hotel's sign-in page.
 * @param {string} path */
async function fetchFile(path) {
  const response = await fetch(path, { cache: path === SHELL ? "no-cache" : "default" });
  const type = response.headers.get("Content-Type") ?? "";
  const wanted = path === SHELL ? /text\/html/ : TYPES[path.split(".").pop() ?? ""];
  if (response.status !== 200 || response.redirected || !wanted?.test(type)) throw new Error(`${path}: ${response.status} ${type}`);
  if (path === SHELL && PRECACHE.length) {
    const text = await response.clone().text();
    if (!PRECACHE.some((file) => text.includes(file))) throw new Error("this page is not the app's shell");
  }
  return response;
}

/** All files or none: a version that lacks one must never take over. */
async function install() {
  const before = await caches.has(CACHE);
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(FILES.map(async (path) => {
      const kept = path === SHELL ? undefined : await caches.match(path); // the name holds a hash of the content
      await cache.put(path, kept ?? (await fetchFile(path)));
    }));
  } catch (error) {
    if (!before) await caches.delete(CACHE);
    throw error;
  }
}

/** Only our own caches of other versions go; other things on this origin are not ours to delete. */
async function dropOldCaches() {
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name);
  }
}

/** Put back what the browser has evicted. @param {Cache} cache */
async function heal(cache) {
  const held = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  const missing = FILES.filter((path) => !held.has(path));
  await Promise.all(missing.map(async (path) => cache.put(path, await fetchFile(path))));
}

function reconnectPage() {
  const page = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Tuckline: reconnect once</title><h1>Please reconnect once</h1>
<p>Your phone has cleared a part of the app to free space. Your entries are still kept.
<p>Go where there is signal, then <a href="/">open Tuckline again</a>.`;
  return new Response(page, {
    status: 503,
    headers: { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": "default-src 'none'", "Cache-Control": "no-store" },
  });
}

/** The shell with everything it needs, or a page that says what to do. */
async function shell() {
  try {
    const cache = await caches.open(CACHE);
    await heal(cache);
    const kept = await cache.match(SHELL);
    if (kept) return kept;
  } catch {
    // offline with a hole, or no storage at all: said below
  }
  return reconnectPage();
}

/** Any other page of this site is the server's; with no signal the app opens instead. @param {Request} request */
async function page(request) {
  try {
    return await fetch(request);
  } catch {
    return shell();
  }
}

/** @param {string} path */
async function file(path) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(path);
  if (kept) return kept;
  const fresh = await fetchFile(path);
  await cache.put(path, fresh.clone());
  return fresh;
}

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(dropOldCaches()));
worker.addEventListener("message", (event) => {
  if (event.data?.type === "activate") event.waitUntil(worker.skipWaiting());
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== worker.location.origin) return;
  if (/^\/(api|media|accounts|admin|reset-app|healthz|readyz|sw\.js)(\/|$)/.test(url.pathname)) return;
  if (request.mode === "navigate") event.respondWith(url.pathname === SHELL ? shell() : page(request));
  else if (PRECACHE.includes(url.pathname)) event.respondWith(file(url.pathname));
  // anything else goes to the server, where a file that is not there is a real 404
});
