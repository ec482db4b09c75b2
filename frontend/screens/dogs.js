// All dogs, by household; the way to foods and settings.

import { html } from "../parts/html.js";
import { DogFigure } from "../parts/dog_figure.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";
import { localDate } from "../plain/dates.js";
import { phoneZone } from "../plain/dates.js";
import { sayDay } from "../plain/say.js";

const CLOSED = /** @type {Record<string, string>} */ ({ rehomed: "Rehomed", died: "Died", other: "Record closed" });

/** @param {any} dog @param {string} today */
function about(dog, today) {
  const parts = [dog.breed ?? "Mixed or unknown breed", dog.sex === "female" ? "female" : "male"];
  if (dog.paused) parts.push(`paused since ${sayDay(dog.paused.since, today)}`);
  if (dog.closed) parts.push(`${CLOSED[dog.closed.reason] ?? "Closed"} ${sayDay(dog.closed.on, today)}`);
  return parts.join(" · ");
}

/** @param {{dogs: any[], today: string}} props */
function Rows({ dogs, today }) {
  return html`<ul class="sheet">${dogs.map((dog) => html`<li key=${dog.id}><a class="row dog" href=${`#/dogs/${dog.id}`}>
    <${DogFigure} /><div><h3>${dog.name}</h3><p>${about(dog, today)}</p></div><span></span></a></li>`)}</ul>`;
}

export function Dogs() {
  const { households } = useApp();
  const today = localDate(Date.now(), phoneZone());
  const dogs = useLive((store) => store.list("dog"), []);
  /** @type {any[]|undefined} */
  const sorted = dogs && [...dogs].sort((a, b) => (a.name.toLowerCase() < b.name.toLowerCase() ? -1 : 1));
  const open = sorted?.filter((dog) => !dog.closed) ?? [];
  const closed = sorted?.filter((dog) => dog.closed) ?? [];
  const leads = households.some((home) => home.role === "lead");
  return html`<${Screen} title="Dogs">
    ${!sorted ? html`<${Reading} />` : households.map((home) => {
      const here = open.filter((dog) => dog.household_id === home.id);
      return here.length > 0 && html`<section key=${home.id}>${households.length > 1 && html`<h2 class="section">${home.name}</h2>`}<${Rows} dogs=${here} today=${today} /></section>`;
    })}
    ${sorted && open.length === 0 && html`<p class="sheet row plain">No dog yet.</p>`}
    ${leads && html`<div class="stack"><a class="button main wide" href="#/dogs/new">Add a dog</a></div>`}
    ${closed.length > 0 && html`<details class="more pad"><summary>Closed records (${closed.length})</summary><${Rows} dogs=${closed} today=${today} /></details>`}
    <nav class="sheet" aria-label="More">
      <a class="row" href="#/foods"><h3>Foods</h3></a>
      <a class="row" href="#/settings"><h3>Settings and what is still unsent</h3></a>
      <a class="row" href="#/cautions"><h3>Cautions and sources</h3></a>
    </nav>
  <//>`;
}
