// What is said of foods: those that harm, and figures of a label that do not go together.

/** @import {Entry} from "./words.js" */

/** Foods that harm: words and texts of the server's list. @type {Record<string, string>} */
export const UNSAFE = {
  xylitol: "Xylitol (birch sugar, E967)",
  grapes: "Grapes, raisins, currants, sultanas",
  onion: "Onion",
  garlic: "Garlic",
  leek: "Leek",
  chives: "Chives",
  macadamia: "Macadamia nuts",
  chocolate: "Chocolate and cocoa",
  caffeine: "Caffeine (coffee, tea, energy drinks)",
  alcohol: "Alcohol",
  raw_dough: "Raw dough with yeast",
};

/** @param {string} text */
const lower = (text) => text.charAt(0).toLowerCase() + text.slice(1);

/** @type {Record<string, Entry>} */
export const FOOD_CAUTIONS = {
  unsafe_food: {
    tone: "vet",
    text: (v) => `Do not feed this: the name “${v.food}” speaks of ${lower(UNSAFE[v.unsafe] ?? "a food")}, which can poison a dog.`,
    todo: () => "If any was eaten, phone a vet or a poison line now; do not wait for signs.",
  },
  extras_over_budget: { tone: "attention", text: (v) => `Treats and extras come to ${v.extras_kcal} kcal a day; ${v.most_kcal} kcal is the most.`, todo: () => "Every scrap counts inside the day: give less, or the smaller ration is eaten up." },
  energy_above_parts: { tone: "attention", text: (v) => `${v.food}: ${v.kcal_per_kg} kcal per kg is printed, but parts like those on its label give at most ${v.most_kcal_per_kg}. Look at both figures again.` },
  cup_differs: { text: (v) => `${v.food}: your cup weighs ${v.weighed_g} g, the label says ${v.label_g} g. Your own cup counts.` },
};
