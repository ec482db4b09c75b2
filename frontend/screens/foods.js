// Foods of a household: what is fed, with the energy its label gives.

import { html } from "../parts/html.js";
import { Reading } from "../parts/frame.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { useLive } from "../parts/live.js";

const ROLE = /** @type {Record<string, string>} */ ({ meal: "Meals", treat: "Treats", extra: "Extras, as vegetables or table food" });
const PURPOSE = /** @type {Record<string, string>} */ ({ maintenance: "ordinary food", weight_loss: "made for weight loss", prescription: "prescribed by a vet" });

/** "3600 kcal per kg, from the label". @param {any} food */
export function energyOf(food) {
  const kcal = food.kcal_per_kg_used ?? food.kcal_per_kg;
  if (!kcal) return "energy worked out from the analysis once sent";
  return `${Math.round(kcal)} kcal per kg${food.energy_from === "computed" ? ", from the analysis" : ""}`;
}

/** Foods in use: neither replaced nor retired. @param {any[]} foods */
export const inUse = (foods) => foods.filter((food) => !food.retired && !food.replaced_by)
  .sort((a, b) => (a.name < b.name ? -1 : 1));

export function Foods() {
  const { households } = useApp();
  const foods = useLive((store) => store.list("food"), []);
  const leads = households.some((home) => home.role === "lead");
  return html`<${Screen} title="Foods" back=${{ href: "#/dogs", text: "Dogs" }}>
    ${!foods ? html`<${Reading} />` : households.map((home) => {
      const here = inUse(foods.filter((/** @type {any} */ food) => food.household_id === home.id));
      return html`<section key=${home.id}>
        ${households.length > 1 && html`<h2 class="section">${home.name}</h2>`}
        ${here.length === 0 && html`<p class="sheet row plain">No food yet. Take the bag and add what its label says.</p>`}
        ${["meal", "treat", "extra"].map((role) => {
          const rows = here.filter((food) => food.role === role);
          return rows.length > 0 && html`<h3 class="section">${ROLE[role]}</h3><ul class="sheet">${rows.map((food) => html`<li key=${food.id}>
            ${home.role === "lead"
              ? html`<a class="row" href=${`#/foods/${food.id}`}><${FoodLine} food=${food} /></a>`
              : html`<div class="row"><${FoodLine} food=${food} /></div>`}</li>`)}</ul>`;
        })}
      </section>`;
    })}
    ${leads && html`<div class="stack"><a class="button main wide" href="#/foods/new">Add a food</a></div>`}
  <//>`;
}

/** @param {{food: any}} props */
function FoodLine({ food }) {
  return html`<div><h3>${food.name}</h3><p>${energyOf(food)}${food.grams_per_cup ? ` · ${food.grams_per_cup} g a cup` : ""}${food.role === "meal" ? ` · ${PURPOSE[food.purpose] ?? food.purpose}` : ""}</p></div>`;
}
