// A screen whose code is fetched when it is first opened.

import { useEffect } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { Reading } from "./frame.js";
import { Screen } from "./frame.js";
import { html } from "./html.js";

/** @type {Promise<unknown>|null} */
let styled = null;

/** The styles that only these screens need, once; a screen shows without them rather than not at all. */
function styles() {
  styled ??= new Promise((done) => {
    const link = document.createElement("link");
    link.rel = "stylesheet";
    link.href = document.getElementById("app")?.dataset["more"] ?? "";
    link.onload = link.onerror = done;
    document.head.append(link);
  });
  return styled;
}

/** @param {{load: () => Promise<any>, name: string, plain?: boolean|undefined, props: object}} props plain: needs no further styles */
export function Lazy({ load, name, plain, props }) {
  const [found, setFound] = useState(/** @type {any} */ (null));
  const [missing, setMissing] = useState(false);
  useEffect(() => {
    let live = true;
    Promise.all([load(), plain || styles()]).then(([module]) => { if (live) setFound(() => module[name]); }, () => { if (live) setMissing(true); });
    return () => { live = false; };
  }, []);
  if (missing) {
    return html`<${Screen} title="Not on this phone yet"><div class="stack">
      <p>This page was not kept on the phone. Get a signal once and open it again; what you entered is safe.</p>
      <button type="button" class="button wide" onClick=${() => location.reload()}>Try again</button></div><//>`;
  }
  return found ? html`<${found} ...${props} />` : html`<main id="main" aria-busy="true"><${Reading} /></main>`;
}
