// Sign out: this account's records leave the phone, so unsent entries are asked about first.

import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useStatus } from "../parts/live.js";
import { saveFile } from "../parts/save_file.js";
import { counted } from "../plain/say.js";
import { signOut } from "../store/session.js";

export function SignOut() {
  const { store, left, fail } = useApp();
  const status = useStatus();
  const [busy, setBusy] = useState(false);
  const [unsent, setUnsent] = useState(0);
  const leave = async (/** @type {"ask"|"lose"} */ choice) => {
    setBusy(true);
    try {
      const answer = await signOut(store, choice);
      if ("unsent" in answer) setUnsent(answer.unsent);
      else left();
    } catch (error) {
      fail(error);
    }
    setBusy(false);
  };
  return html`<${Screen} title="Sign out" back=${{ href: "#/settings", text: "Settings" }}>
    <div class="stack">
      ${unsent === 0 ? html`<p>The records of your dogs leave this phone and stay on the server.${status?.waiting ? ` ${counted(status.waiting, "entry is", "entries are")} sent first.` : ""}</p>
          <button type="button" class="button main wide" disabled=${busy} onClick=${() => leave("ask")}>${busy ? "One moment…" : "Sign out"}</button>`
        : html`<div class="note attention" role="alert"><p><b>${counted(unsent, "entry has", "entries have")} not been sent.</b> There is no signal, or the server did not take ${unsent === 1 ? "it" : "them"}. Signing out now would lose ${unsent === 1 ? "it" : "them"}.</p></div>
          <a class="button main wide" href="#/settings">Stay signed in</a>
          <button type="button" class="button wide" onClick=${async () => saveFile(await store.exportUnsent())}>Save a file of them</button>
          <button type="button" class="button quiet wide" disabled=${busy} onClick=${() => leave("lose")}>Sign out and lose them</button>`}
    </div>
  <//>`;
}
