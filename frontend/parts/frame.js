// The frame around a screen: heading, way back, sync mark, "saved on this phone"; and the three places at the bottom.

import { useEffect } from "../vendor/hooks.js";
import { useRef } from "../vendor/hooks.js";
import { counted } from "../plain/say.js";
import { html } from "./html.js";
import { useApp } from "./live.js";
import { useStatus } from "./live.js";

let firstScreen = true; // the browser's own focus is right on the first one

const RING = /** @type {Record<string, {text: (n: number) => string, tone: string, dash: string}>} */ ({
  all_sent: { text: () => "all sent", tone: "", dash: "" },
  waiting: { text: (n) => `${n} waiting`, tone: "", dash: "8 3" },
  no_signal: { text: () => "no signal", tone: "attention", dash: "4 4" },
  signed_out: { text: () => "sign in again", tone: "attention", dash: "4 4" },
  update_needed: { text: () => "update needed", tone: "attention", dash: "4 4" },
});

/** Where the entries are: a small ring and its words, leading to the list of what waits. */
export function SyncMark() {
  const status = useStatus();
  if (!status) return html`<span class="sync" />`;
  const look = RING[status.signal] ?? RING["waiting"];
  if (!look) return null;
  const needsYou = status.attention > 0;
  return html`<a class=${`sync ${needsYou ? "attention" : look.tone}`} href=${status.signal === "signed_out" ? "#/signin" : "#/settings"}>
    <svg width="12" height="12" viewBox="0 0 12 12" class=${status.syncing ? "turning" : ""} aria-hidden="true">
      <circle cx="6" cy="6" r="4.2" fill="none" stroke="currentColor" stroke-width="2.4" stroke-dasharray=${look.dash} />
    </svg>
    <span><span class="unseen">Sync: </span>${look.text(status.waiting)}${status.signal === "no_signal" && status.waiting ? html`<span class="unseen">${`, ${status.waiting} waiting`}</span>` : ""}${needsYou ? `, ${status.attention} need you` : ""}</span>
  </a>`;
}

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

/** What must not be missed, whatever the screen: trouble with this phone's storage, lost or endangered entries. */
function Warnings() {
  const { store } = useApp();
  const status = useStatus();
  if (!status) return null;
  const { problem, lost, storageAtRisk } = status;
  return html`${problem && html`<div class="note attention" role="alert"><p>${problem.text}</p><button type="button" class="link" onClick=${() => location.reload()}>Reload</button></div>`}
    ${lost && html`<div class="note attention" role="alert"><p>This phone's storage was emptied. ${lost.count === 1 ? "One entry" : `${lost.count} entries`} saved here may have been lost. Enter again what you remember.</p>
      <button type="button" class="link" onClick=${() => store.forgetLost()}>I have read this</button></div>`}
    ${storageAtRisk && html`<div class="note attention"><p>An entry has waited here for a day, and this browser may clear its storage. Add Tuckline to the Home Screen, or get a signal soon.</p></div>`}`;
}

/**
 * @param {{title: string, back?: {href: string, text: string}, wide?: boolean, quiet?: boolean, aside?: unknown, ownNote?: boolean, children?: unknown}} props
 *   quiet: no sync mark (before sign-in); aside: a word beside the heading in its place;
 *   ownNote: the screen itself shows "saved on this phone", where the thumb is
 */
export function Screen({ title, back, wide, quiet, aside, ownNote, children }) {
  const { note, undo } = useApp() ?? {};
  const heading = useRef(/** @type {HTMLElement|null} */ (null));
  useEffect(() => {
    document.title = `${title} · Tuckline`;
    if (!firstScreen) heading.current?.focus({ preventScroll: true });
    if (!firstScreen) scrollTo(0, 0);
    firstScreen = false;
  }, [title]);
  return html`<main id="main" class=${wide ? "wide" : ""}>
    <div class="head">
      ${back && html`<a class="back" href=${back.href}>
        <svg width="8" height="14" viewBox="0 0 8 14" aria-hidden="true"><path d="M7 1 1 7l6 6" fill="none" stroke="currentColor" stroke-width="1.6" /></svg>
        <span>${back.text}</span></a>`}
      <h1 tabindex="-1" ref=${heading}>${title}</h1>
      ${aside ?? (quiet ? null : html`<${SyncMark} />`)}
    </div>
    ${!quiet && html`<${Warnings} />`}
    ${note && !ownNote && html`<${SavedNote} note=${note} onUndo=${undo} />`}
    ${children}
  </main>`;
}

/** @param {{tab: string, rounds: boolean}} props */
export function Places({ tab, rounds }) {
  const here = (/** @type {string} */ name) => (tab === name ? "page" : undefined);
  return html`<nav class="bar" aria-label="Places">
    <a href="#/" aria-current=${here("today")}>${rounds ? "Rounds" : "Today"}</a>
    <a class="button main" href="#/weigh" aria-current=${here("weigh")}>Weigh</a>
    <a href="#/dogs" aria-current=${here("dogs")}>Dogs</a>
  </nav>`;
}

/** While the first read is under way: nothing for a blink, words after that. */
export function Reading() {
  return html`<p class="pad small">Reading this phone…</p>`;
}
