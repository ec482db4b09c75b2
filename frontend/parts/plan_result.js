// A plan in words, then grams and cups, then the figures, each with its "Why?".

import { html } from "./html.js";
import { Cautions } from "./findings.js";
import { useApp } from "./live.js";
import { Ration } from "./ration.js";
import { todayHere } from "./speech.js";
import { useSpeech } from "./speech.js";
import { Why } from "./why.js";
import { addDays } from "../plain/dates.js";
import { daysBetween } from "../plain/dates.js";
import { sayDate } from "../plain/say.js";
import { sayMass } from "../plain/say.js";
import { sayNumber } from "../plain/say.js";
import { sayRange } from "../plain/say.js";

/** The weeks in words, both ends told. @param {{low: number, high: number}} weeks */
function weeksInWords({ low, high }) {
  return low === high ? `about ${low} weeks` : `${low} to ${high} weeks`;
}

/** "163 g of Millstone dry adult (about 1⅝ cups, level), ". @param {any[]|undefined} rows */
function inGrams(rows) {
  const each = (rows ?? []).map((row) => `${row.grams} g of ${row.food}${row.cups_label ? ` (about ${row.cups_label})` : ""}`);
  return each.map((food) => `${food}, `).join("");
}

/** Days by which the steps of a plan that still waits for its yes have moved: the server counts from the day of the yes.
 * @param {any} steps @param {string} today */
const daysLate = (steps, today) => Math.max(0, daysBetween(steps[0].on, today));

/** @param {{title: string, figure: unknown, unit?: string, text?: unknown, of: any, more?: unknown}} props */
function Figure({ title, figure, unit, text, of, more }) {
  return html`<div class="row figured"><div><h3>${title}</h3>${text && html`<p>${text}</p>`}</div>
    <span class="weight">${figure}${unit && html` <small>${unit}</small>`}</span>
    <${Why} of=${of} about=${title} more=${more} /></div>`;
}

/** @param {{plan: any, dog: any, folded?: boolean}} props folded: inside another section, without its sentence */
export function PlanResult({ plan, dog, folded = false }) {
  const { settings } = useApp();
  const { unit } = settings;
  const say = useSpeech(dog);
  const today = todayHere();
  const result = plan.result;
  if (!result?.target_kg) return null;
  const { target_kg: target, steps, weeks } = result;
  const two = steps.length > 1;
  const late = two ? daysLate(steps, today) : 0;
  const intake = plan.request?.intake;
  const mass = (/** @type {number} */ kg) => sayMass(kg * 1000, unit);
  return html`
    ${!folded && html`<p class="tell">${dog.name} may come down from ${mass(plan.start_kg)} to ${sayRange(target.low, target.high, unit)}. That takes ${weeksInWords(weeks)}. First goal: ${mass(result.first_goal_kg)}.</p>
    <${Cautions} cautions=${result.cautions} say=${say} only="weighty" />
    ${two && html`<h2 class="section">In two steps${late ? ", if the yes comes today" : ""}</h2>
    <ol class="sheet">${steps.map((/** @type {any} */ step, /** @type {number} */ i) => html`<li class="row" key=${step.on}><div><h3>${i === 0 ? "At first" : "A week later"}</h3><p>${inGrams(result.step_rations?.[i])}from ${sayDate(addDays(step.on, late), today)}</p></div><span class="weight">${step.kcal_per_day} <small>kcal a day</small></span></li>`)}
      <li class="row plain"><${Why} of="steps" about="two steps" /></li></ol>`}
    <h2 class="section">${two ? "The ration in the end, a day" : "The ration, a day"}</h2>
    <div class="sheet"><${Ration} rows=${plan.ration?.length ? plan.ration : result.ration} treatKcalMax=${result.treat_kcal_max} />
      <div class="row plain"><${Why} of="ration" about="grams and cups" /></div></div>`}
    <h2 class="section">Where this comes from</h2>
    <div class="sheet">
      <${Figure} title="Energy" figure=${result.kcal_per_day} unit="kcal a day" of="energy" text=${intake && result.cut_pct > 0 ? `${sayNumber(result.cut_pct, 0)}% less than the ${Math.round(intake.kcal_per_day)} kcal of now` : undefined}
        more=${`The band for this target is ${result.kcal_band[0]} to ${result.kcal_band[1]} kcal.`} />
      <${Figure} title="Target" figure=${sayRange(target.low, target.high, unit)} of="target" text=${`middle ${mass(target.mid)}${result.target_basis === "lean_weight" ? ", from the weight on record" : ""}`} />
      <${Figure} title="First goal" figure=${mass(result.first_goal_kg)} of="first_goal" text="then feel the ribs again" />
      <${Figure} title="Time" figure=${`${weeks.low}–${weeks.high}`} unit="weeks" of="weeks" text=${`losing ${sayNumber(result.loss_pct_per_week.low, 1)} to ${sayNumber(result.loss_pct_per_week.high, 1)}% a week`} />
      <${Figure} title="Resting energy at the target" figure=${result.resting_kcal_at_target} unit="kcal a day" of="resting" />
      <${Figure} title="Treats at most" figure=${result.treat_kcal_max} unit="kcal a day" of="treats" text=${(result.treats ?? []).map((/** @type {any} */ limit) => `all of it as ${limit.food}: ${limit.grams_max} g`).join("; ") || undefined} />
      <${Figure} title="Score" figure=${result.score.low === result.score.high ? result.score.mid : `${result.score.low}–${result.score.high}`} unit="of 9" of="score" />
    </div>
    <${Cautions} cautions=${result.cautions} say=${say} only=${folded ? undefined : "rest"} />`;
}

/** The ration that usually holds a dog that is right as it is. @param {{plan: any}} props */
export function HoldingRation({ plan }) {
  const { result } = plan;
  return html`<h2 class="section">A ration that usually holds, a day</h2>
    <div class="sheet">
      <${Ration} rows=${plan.ration?.length ? plan.ration : result.ration} treatKcalMax=${result.treat_kcal_max} />
      <${Figure} title="Energy" figure=${result.kcal_per_day} unit="kcal a day" of="holding" text=${result.kcal_band ? `dogs like this hold on ${result.kcal_band[0]} to ${result.kcal_band[1]}` : undefined} />
    </div>`;
}
