// The page's side of the service worker: register it, hear of a new version, start it when asked.

/** @type {string | null} made once: a policy's name may be used a single time per page */
let address = null;

function workerAddress() {
  const types = /** @type {any} */ (globalThis).trustedTypes;
  address ??= types ? types.createPolicy("tuckline-sw", { createScriptURL: () => "/sw.js" }).createScriptURL("") : "/sw.js";
  return /** @type {string} */ (address);
}

/** Register the worker. `onUpdate` is called whenever a newer version is ready; the page then shows
 * a quiet button that calls activateUpdate. Null where the browser has no service workers.
 * @param {{onUpdate: () => void}} hooks */
export async function registerWorker({ onUpdate }) {
  const workers = navigator.serviceWorker;
  if (!workers) return null;
  const registration = await workers.register(workerAddress(), { scope: "/", updateViaCache: "none" });
  const ready = () => {
    if (registration.waiting && workers.controller) onUpdate();
  };
  const watch = () => registration.installing?.addEventListener("statechange", ready);
  registration.addEventListener("updatefound", watch);
  // one may have started before we listened
  watch();
  ready();
  document.addEventListener("visibilitychange", () => {
    // no signal: later
    if (document.visibilityState === "visible") registration.update().catch(() => {});
  });
  return registration;
}

/** Start the newest version and reload. Only ever called because a person pressed the button, so
 * that a page never reloads over typed text. */
export async function activateUpdate() {
  const workers = navigator.serviceWorker;
  // read now: a newer one may have come since
  const waiting = (await workers?.getRegistration())?.waiting;
  if (!waiting) return location.reload();
  workers.addEventListener("controllerchange", () => location.reload(), { once: true });
  waiting.postMessage({ type: "activate" });
}
