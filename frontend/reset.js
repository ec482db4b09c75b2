// Removes the service worker and the app's cached files. It never touches the phone's database:
// entries that were not sent yet stay.

async function reset() {
  const workers = await navigator.serviceWorker?.getRegistrations();
  for (const worker of workers ?? []) await worker.unregister();
  for (const name of await caches.keys()) {
    if (name.startsWith("tuckline-")) await caches.delete(name);
  }
}

const said = document.getElementById("said");
reset().then(
  () => {
    if (said) said.textContent = "Done. Entries that were not sent yet are still on this phone.";
  },
  (error) => {
    if (said) said.textContent = `The browser did not allow it: ${error.message}. Close all Tuckline windows and try again.`;
  },
);
