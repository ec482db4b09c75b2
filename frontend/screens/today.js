// Today: each dog in one sentence, its weight, and what is due. For a coordinator: the rounds.

import { html } from "../parts/html.js";
import { DogFigure } from "../parts/dog_figure.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";
import { useStatus } from "../parts/live.js";
import { lookedAfter } from "../parts/read_dog.js";
import { roleTowards } from "../parts/read_dog.js";
import { localDate } from "../plain/dates.js";
import { phoneZone } from "../plain/dates.js";
import { counted } from "../plain/say.js";
import { plainWeight } from "../plain/say.js";
import { sayWeekday } from "../plain/say.js";
import { tellDog } from "../plain/tell.js";
import { activateUpdate } from "../store/worker.js";

const RANK = /** @type {Record<string, number>} */ ({ vet: 0, attention: 1 });

/** Who needs someone comes first, who rests last. @param {{facts: any, told: any}} dog */
const urgency = ({ facts, told }) => (facts.dog.paused ? 4 : told.tone ? (RANK[told.tone] ?? 2) : told.next || told.due.length ? 2 : 3);

/** @param {{facts: any, told: any, unit: "kg"|"lb"}} props */
export function DogRow({ facts, told, unit }) {
  const last = facts.weighIns[facts.weighIns.length - 1];
  const { dog } = facts;
  const links = [told.next && { ...told.next, main: true }, ...told.due.filter((/** @type {any} */ d) => d.href !== told.next?.href)].filter(Boolean);
  return html`<li class="sheet">
    <a class="row dog" href=${`#/dogs/${dog.id}`}>
      <${DogFigure} />
      <div><h2>${dog.name}</h2><p class=${told.tone ? `marked ${told.tone}` : ""}>${told.text}</p>
        ${told.due.filter((/** @type {any} */ d) => d.href === told.next?.href).map((/** @type {any} */ due) => html`<p>${due.text}.</p>`)}</div>
      ${last ? html`<span class="weight">${plainWeight(last.weight_g, unit)} <small>${unit}</small></span>` : html`<span></span>`}
    </a>
    ${links.length > 0 && html`<div class="actions">${links.map((link) => link.main
      ? html`<a class="button main" href=${link.href}>${link.text}<span class="unseen">: ${dog.name}</span></a>`
      : html`<a class="link" href=${link.href}>${link.text}</a>`)}</div>`}
  </li>`;
}

/** The newest of every dog that is looked after, as store/glances.js keeps it; undefined until the first answer. */
function useDogs() {
  const glances = useLive((from) => from.list("glance"), []);
  if (!glances) return undefined;
  const ofDog = new Map(glances.map((/** @type {any} */ glance) => [glance.id, glance]));
  return lookedAfter(glances.map((/** @type {any} */ glance) => glance.dog)).map((dog) => ofDog.get(dog.id));
}

/** @param {any[]} dogs @param {{id: string, name: string}[]} households */
function byHousehold(dogs, households) {
  const groups = households.map((home) => ({ home, dogs: dogs.filter((d) => d.facts.dog.household_id === home.id) })).filter((group) => group.dogs.length);
  const known = new Set(households.map((home) => home.id));
  const rest = dogs.filter((d) => !known.has(d.facts.dog.household_id));
  return rest.length ? [...groups, { home: { id: "", name: "" }, dogs: rest }] : groups;
}

/** @param {{rounds: boolean}} props */
export function Today({ rounds }) {
  const { settings, households, updateReady } = useApp();
  const status = useStatus();
  const today = localDate(Date.now(), phoneZone());
  const dogs = useDogs()?.map((facts) => ({ facts, told: tellDog(facts, { today, unit: settings.unit, role: roleTowards(facts.dog, households) }) }));
  dogs?.sort((a, b) => urgency(a) - urgency(b)); // the sort is stable: by name within
  const groups = dogs ? byHousehold(dogs, households) : [];
  const needing = dogs?.filter((d) => d.told.tone || d.told.next).length ?? 0;
  const onCourse = dogs?.filter((d) => d.told.onCourse).length ?? 0;
  const resting = dogs?.filter((d) => d.facts.dog.paused).length ?? 0;
  return html`<${Screen} title=${rounds ? "Rounds" : sayWeekday(today)} wide=${rounds}>
    ${rounds && dogs && html`<p class="small pad">${counted(dogs.length, "dog")} · ${needing === 1 ? "1 needs" : `${needing} need`} someone · ${onCourse} on course${resting ? ` · ${resting} paused` : ""}</p>`}
    ${!dogs ? html`<${Reading} />`
      : dogs.length === 0 ? html`<${NoDogs} fetching=${status?.lastContact === null && status.signal !== "no_signal"} mayAdd=${households.length === 0 || households.some((home) => home.role === "lead")} />`
      : groups.map(({ home, dogs: here }) => html`<section key=${home.id}>
          ${groups.length > 1 && html`<h2 class="section">${home.name || "Others"}</h2>`}
          <ul class=${rounds ? "list rounds" : "list"}>${here.map(({ facts, told }) => html`<${DogRow} key=${facts.dog.id} facts=${facts} told=${told} unit=${settings.unit} />`)}</ul>
        </section>`)}
    ${updateReady && html`<div class="stack"><button type="button" class="button quiet wide" onClick=${activateUpdate}>Update Tuckline: a new version is ready</button></div>`}
  <//>`;
}

/** @param {{fetching: boolean, mayAdd: boolean}} props */
function NoDogs({ fetching, mayAdd }) {
  if (fetching) return html`<p class="pad small">Fetching your dogs…</p>`;
  return html`<div class="sheet stack">
    <${DogFigure} />
    <p class="tell flush">${mayAdd ? "No dog yet. Add yours, then feel its ribs and weigh it: a plan needs both." : "No dog is shared with you yet. The person who invited you can share one."}</p>
    ${mayAdd && html`<a class="button main wide" href="#/dogs/new">Add a dog</a>`}
  </div>`;
}
