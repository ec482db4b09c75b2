// What a screen about one dog shows where there is no such dog here, or where this person may only look.

import { html } from "./html.js";
import { Screen } from "./frame.js";
import { useLive } from "./live.js";

/** The dog; null where this phone has none of this id, undefined until it was looked for. @param {string} id */
export function useDog(id) {
  return useLive(async (store) => (await store.get("dog", id)) ?? null, [id]);
}

export function NoDog() {
  return html`<${Screen} title="No such dog here" back=${{ href: "#/dogs", text: "Dogs" }}>
    <p class="pad">This dog is not on this phone. It may no longer be shared with you.</p><//>`;
}

/** @param {{dog: any, title: string, text: string}} props text: who may, or why not now */
export function OnlyLook({ dog, title, text }) {
  return html`<${Screen} title=${title} back=${{ href: `#/dogs/${dog.id}`, text: dog.name }}>
    <div class="stack"><p class="note">${text}</p><a class="button wide" href=${`#/dogs/${dog.id}`}>Back to ${dog.name}</a></div><//>`;
}

/** Why nothing new is taken for a dog, for whoever came by an old link; empty where it is.
 * @param {any} dog @param {{records: boolean}} role */
export function mayNotRecord(dog, role) {
  if (dog.closed) return `The record of ${dog.name} is closed; nothing new is added to it. A lead can reopen it.`;
  return role.records ? "" : "You may look, not change: a carer or a lead of the household does this.";
}
