// What the trend chart draws: weigh-ins, the review's trend, the target, and where the trend leads.

import { addDays } from "../plain/dates.js";
import { sayDate } from "../plain/say.js";
import { sayMass } from "../plain/say.js";
import { sayRange } from "../plain/say.js";

/** @import {Drawn} from "./trend_chart.js" */

const FAN_WEEKS = 6; // how far ahead the fan is drawn; the dates in the review look further

/** Whether the last review left this reading out, and nobody has put it back in. @param {any} row @param {any} review */
export function setAside(row, review) {
  if (row.use === true) return null;
  const found = (review?.result?.set_aside ?? []).find((/** @type {any} */ item) =>
    item.on === row.local_date && Math.abs(item.kg * 1000 - row.weight_g) < 6);
  return found ? found.reason : row.use === false ? "implausible_jump" : null;
}

/** The rate of the review carried on from the last point of its trend. @param {any} review */
function fanOf(review) {
  const rate = review?.result?.rate_pct_per_week;
  const last = review?.result?.trend?.[review.result.trend.length - 1];
  if (!rate || !last) return [];
  return [2, 4, FAN_WEEKS].map((weeks) => {
    const at = (/** @type {number} */ kg, /** @type {number} */ pct) => kg * Math.exp((pct / 100) * weeks);
    return { on: addDays(last.on, weeks * 7), kg: at(last.kg, rate.mid), low: at(last.low, rate.low), high: at(last.high, rate.high) };
  });
}

/** @param {any} facts @param {string} today @returns {Drawn|null} */
export function drawnFrom(facts, today) {
  const { weighIns, inForce, review } = facts;
  if (weighIns.length < 2) return null; // one dot tells less than its number
  const accepted = (inForce?.changes ?? []).filter((/** @type {any} */ c) => c.answer === "accepted" && c.on <= today);
  return {
    dots: weighIns.map((/** @type {any} */ row) => ({ on: row.local_date, grams: row.weight_g, scale: row.scale, aside: setAside(row, review) !== null })),
    trend: review?.result?.trend ?? [],
    target: inForce?.target_kg ?? inForce?.result?.target_kg ?? null,
    // Where the ration has changed since, or rests, the pace of before leads nowhere.
    fan: inForce?.state === "active" && inForce.kind === "reduce" && review?.answer !== "accepted" ? fanOf(review) : [],
    marks: accepted.map((/** @type {any} */ c, /** @type {number} */ i) => ({ on: c.on, text: i ? `to ${Math.round(c.kcal_per_day)} kcal` : `${Math.round(c.kcal_per_day)} kcal` })),
  };
}

/** The chart in words. @param {any} facts @param {Drawn} drawn @param {"kg"|"lb"} unit @param {string} today */
export function inWordsFor(facts, drawn, unit, today) {
  const counted = drawn.dots.filter((dot) => !dot.aside);
  const [first, last] = [counted[0], counted[counted.length - 1]];
  if (!first || !last) return `Weigh-ins of ${facts.dog.name}`;
  const target = drawn.target ? ` Target ${sayRange(drawn.target.low, drawn.target.high, unit)}.` : "";
  const aside = drawn.dots.length - counted.length;
  return `Weight of ${facts.dog.name}: ${sayMass(first.grams, unit)} on ${sayDate(first.on, today)}${counted.length > 1 ? `, ${sayMass(last.grams, unit)} on ${sayDate(last.on, today)}, ${counted.length} weigh-ins` : ""}.${target}${aside ? ` ${aside} set aside.` : ""} All weigh-ins are in the table below.`;
}
