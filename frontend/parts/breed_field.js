// Search for a breed by name. Its printed weights are asked back as a question, never set as a target.

import { useEffect } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { breedNamed } from "../plain/breeds.js";
import { breedsLike } from "../plain/breeds.js";
import { rangeFor } from "../plain/breeds.js";
import { readBreeds } from "../plain/breeds.js";
import { fromGrams } from "../plain/units.js";
import { html } from "./html.js";
import { TextField } from "./fields.js";
import { useApp } from "./live.js";

/** @import {Breed} from "../plain/breeds.js" */
/** @import {MassUnit} from "../plain/units.js" */

const MOST_SHOWN = 6;

/** "between 9 and 11 kg", "up to 3.2 kg". @param {[string, number|null, number|null, ...unknown[]]} range @param {MassUnit} unit */
function words([bound, low, high], unit) {
  const say = (/** @type {number|null} */ kg) => String(Math.round(fromGrams((kg ?? 0) * 1000, unit) * (unit === "kg" ? 10 : 1)) / (unit === "kg" ? 10 : 1));
  if (bound === "at_most") return `up to ${say(high)} ${unit}`;
  if (bound === "at_least") return `${say(low)} ${unit} or more`;
  if (bound === "about" && low === high) return `about ${say(low)} ${unit}`;
  return `${bound === "about" ? "about " : ""}${say(low)} to ${say(high)} ${unit}`;
}

/** @param {{breed: Breed, sex: "male"|"female"|null, unit: MassUnit}} props */
export function BreedQuestion({ breed, sex, unit }) {
  const { range, bySex } = rangeFor(breed, sex ?? "female");
  if (!range) return null;
  const who = sex && bySex ? (sex === "female" ? "Adult bitches" : "Adult males") : "Adults";
  return html`<p class="small marked">${who} of this breed usually weigh ${words(range, unit)}; many healthy pets weigh more. Is your dog bigger or smaller in its bones? The hand on the ribs decides, not this table.
    <br />Source: ${range[4].replace("*", " (from memory)")}${range[3] === "doubtful" ? "; sources disagree" : ""}.</p>`;
}

/** @param {{value: string|null, sex: "male"|"female"|null, onPick: (name: string|null) => void, error?: string|undefined}} props */
export function BreedField({ value, sex, onPick, error }) {
  const { settings } = useApp();
  const [breeds, setBreeds] = useState(/** @type {Breed[]|null} */ (null));
  const [text, setText] = useState(value ?? "");
  const [trouble, setTrouble] = useState("");
  useEffect(() => {
    const url = document.getElementById("app")?.dataset["breeds"] ?? "";
    readBreeds(url, fetch).then(setBreeds, () => setTrouble("The breed table is not on this phone yet. Save as mixed now and add the breed later."));
  }, []);
  const chosen = breeds && value ? breedNamed(breeds, value) : null;
  const found = breeds && !chosen ? breedsLike(breeds, text, MOST_SHOWN) : [];
  const type = (/** @type {string} */ typed) => {
    setText(typed);
    const exact = breeds && breedNamed(breeds, typed);
    onPick(exact ? exact.name : null);
  };
  return html`<div class="group">
    <${TextField} label="Breed name" value=${text} onValue=${type} error=${error ?? (trouble || undefined)} autocomplete="off" hint="Type a few letters, then choose." />
    <p class="unseen" role="status">${text && breeds && !chosen ? `${found.length} breeds found` : ""}</p>
    ${found.length > 0 && html`<div class="chips" role="group" aria-label="Breeds found">${found.map((breed) => html`<button type="button" class="chip" key=${breed.name}
      onClick=${() => { setText(breed.name); onPick(breed.name); }}>${breed.name}</button>`)}</div>`}
    ${text && breeds && !chosen && !found.length && html`<p class="small">No breed of this name in the table. Choose “Mixed or not known”.</p>`}
    ${chosen && html`<${BreedQuestion} breed=${chosen} sex=${sex} unit=${settings.unit} />`}
  </div>`;
}
