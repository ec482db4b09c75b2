// "Saved on this phone", where the entry stands, and the way back.

import { counted } from "../plain/say.js";
import { html } from "./html.js";
import { useStatus } from "./live.js";

/** What happens to entries that are saved, in words. @param {any} status */
export function whereabouts(status) {
  if (!status || (status.signal === "all_sent" && !status.waiting)) return "Sent.";
  const entries = counted(status.waiting, "entry", "entries");
  if (status.signal === "signed_out") return `${entries} will be sent when you are signed in again.`;
  if (status.signal === "update_needed") return `${entries} will be sent after the update.`;
  if (status.syncing && status.signal !== "no_signal") return `Sending ${entries}…`;
  return `${entries} will be sent when there is signal.`;
}

/** @param {{note: {undo?: () => Promise<unknown>, text?: string}, onUndo: () => void}} props */
export function SavedNote({ note, onUndo }) {
  const status = useStatus();
  return html`<div class="note saved">
    <p><b>${note.text ?? "Saved on this phone."}</b> ${whereabouts(status)}</p>
    ${note.undo && html`<button type="button" class="link" onClick=${onUndo}>Undo</button>`}
  </div>`;
}
