// Form parts: each has a real label, its error beside it, and room for a thumb.

import { html } from "./html.js";

/** @param {string} text */
const idOf = (text) => "f-" + text.toLowerCase().replace(/[^a-z0-9]+/g, "-");

/**
 * One line of text, a number, a date, an e-mail.
 * @param {{label: string, value: string, onValue: (value: string) => void, hint?: unknown, error?: string|undefined, unit?: string, id?: string, [more: string]: unknown}} props
 */
export function TextField({ label, value, onValue, hint, error, unit, id = idOf(label), ...more }) {
  const described = [hint ? `${id}-hint` : "", error ? `${id}-error` : ""].filter(Boolean).join(" ");
  const input = html`<input id=${id} type="text" ...${more} value=${value} aria-invalid=${error ? "true" : undefined}
    aria-describedby=${described || undefined} onInput=${(/** @type {any} */ e) => onValue(e.target.value)} />`;
  return html`<div class="field">
    <label for=${id}>${label}</label>
    ${hint && html`<p class="hint" id=${`${id}-hint`}>${hint}</p>`}
    ${unit ? html`<div class="with-unit">${input}<span>${unit}</span></div>` : input}
    ${error && html`<p class="error" id=${`${id}-error`}>${error}</p>`}
  </div>`;
}

/**
 * One of a few: chips in a row.
 * @param {{legend: string, value: unknown, options: {value: unknown, text: string}[], onPick: (value: any) => void, hint?: unknown, error?: string|undefined}} props
 */
export function Chips({ legend, value, options, onPick, hint, error }) {
  const name = idOf(legend);
  return html`<fieldset class="group" aria-describedby=${error ? `${name}-error` : undefined}>
    <legend>${legend}</legend>
    ${hint && html`<p class="hint">${hint}</p>`}
    <div class="chips">${options.map((option) => html`<label class="chip">
      <input type="radio" name=${name} checked=${option.value === value} onChange=${() => onPick(option.value)} />
      <span>${option.text}</span></label>`)}</div>
    ${error && html`<p class="error" id=${`${name}-error`}>${error}</p>`}
  </fieldset>`;
}

/** @param {{label: unknown, checked: boolean, onTick: (on: boolean) => void, hint?: unknown}} props */
export function Tick({ label, checked, onTick, hint }) {
  return html`<label class="tick">
    <input type="checkbox" checked=${checked} onChange=${(/** @type {any} */ e) => onTick(e.target.checked)} />
    <span>${label}${hint && html`<br /><span class="small">${hint}</span>`}</span>
  </label>`;
}

/** Move to the first field that has an error, once it is drawn. @param {HTMLElement|null} form */
export function showFirstError(form) {
  requestAnimationFrame(() => {
    const bad = form?.querySelector("[aria-invalid=true], .error");
    if (bad instanceof HTMLElement) { bad.scrollIntoView({ block: "center" }); bad.focus(); }
  });
}
