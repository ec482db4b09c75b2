// The trend: a band with its line, the weigh-ins as dots whose shape tells the scale, the target as a straw
// strip, what may come as a paler fan, changes of the ration as dashed verticals with their words.

import { useEffect } from "../vendor/hooks.js";
import { useRef } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { addDays } from "../plain/dates.js";
import { daysBetween } from "../plain/dates.js";
import { TONGUE } from "../plain/say.js";
import { fromGrams } from "../plain/units.js";
import { html } from "./html.js";
import { dayTicks } from "./scales.js";
import { linear } from "./scales.js";
import { ticks } from "./scales.js";

/** @import {MassUnit} from "../plain/units.js" */
/**
 * @typedef {object} Drawn
 * @property {{on: string, grams: number, scale: string, aside: boolean}[]} dots
 * @property {{on: string, kg: number, low: number, high: number}[]} trend
 * @property {{low: number, high: number}|null} target kg
 * @property {{on: string, kg: number, low: number, high: number}[]} fan from today on
 * @property {{on: string, text: string}[]} marks
 */

const HEIGHT = 236;
const PAD = { left: 34, right: 12, top: 22, bottom: 24 };
const MONTH = new Intl.DateTimeFormat(TONGUE, { month: "short", timeZone: "UTC" });
const DAY = new Intl.DateTimeFormat(TONGUE, { day: "numeric", month: "short", timeZone: "UTC" });

/** One shape per scale, in the order in which the scales were first used. @param {string[]} names */
export function shapesFor(names) {
  return new Map([...new Set(names)].map((name, i) => [name, i % 4]));
}

/** @param {{shape: number, x: number, y: number, state?: string}} props */
export function Dot({ shape, x, y, state = "" }) {
  const look = `dot ${shape === 1 || shape === 3 ? "open" : ""} ${state}`;
  if (shape === 0) return html`<circle class=${look} cx=${x} cy=${y} r="3.8" />`;
  if (shape === 1) return html`<rect class=${look} x=${x - 3.4} y=${y - 3.4} width="6.8" height="6.8" />`;
  return html`<path class=${look} d=${shape === 2 ? `M${x} ${y - 4.8}l4.6 8h-9.2z` : `M${x} ${y - 5}l5 5-5 5-5-5z`} />`;
}

/** @param {Drawn} drawn */
function extent({ dots, trend, target, fan }) {
  const days = [...dots, ...trend, ...fan].map((point) => point.on).sort();
  const seen = [...dots.filter((dot) => !dot.aside).map((dot) => dot.grams / 1000), ...trend.flatMap((p) => [p.low, p.high]), ...fan.flatMap((p) => [p.low, p.high])];
  const low = Math.min(...seen, target ? target.low : Infinity);
  const high = Math.max(...seen, target ? target.high : -Infinity);
  const room = Math.max((high - low) * 0.08, high * 0.01);
  return { from: days[0] ?? "", to: days[days.length - 1] ?? "", low: low - room, high: high + room };
}

/** @param {{drawn: Drawn, unit: MassUnit, label: string}} props */
export function TrendChart({ drawn, unit, label }) {
  const box = useRef(/** @type {HTMLElement|null} */ (null));
  const [width, setWidth] = useState(358);
  useEffect(() => {
    const watch = new ResizeObserver(([entry]) => entry && setWidth(Math.max(260, Math.round(entry.contentRect.width))));
    if (box.current) watch.observe(box.current);
    return () => watch.disconnect();
  }, []);
  const { dots, trend, target, fan, marks } = drawn;
  const range = extent(drawn);
  const shown = (/** @type {number} */ kg) => fromGrams(kg * 1000, unit);
  const x = linear([0, Math.max(daysBetween(range.from, range.to), 7)], [PAD.left, width - PAD.right]);
  const y = linear([range.low, range.high], [HEIGHT - PAD.bottom, PAD.top]);
  const atDay = (/** @type {string} */ day) => x.at(daysBetween(range.from, day));
  const last = daysBetween(range.from, range.to) < 7 ? addDays(range.from, 7) : range.to;
  const many = daysBetween(range.from, last) > 70;
  const area = (/** @type {Drawn["trend"]} */ points) => points.length < 2 ? "" :
    `M${points.map((p) => `${atDay(p.on)} ${y.at(p.high)}`).join("L")}L${[...points].reverse().map((p) => `${atDay(p.on)} ${y.at(p.low)}`).join("L")}Z`;
  const shapes = shapesFor(dots.map((dot) => dot.scale));
  const inside = (/** @type {number} */ value) => Math.min(Math.max(value, PAD.top + 4), HEIGHT - PAD.bottom - 4);
  return html`<figure ref=${box}>
    <svg class="chart" role="img" aria-label=${label} viewBox=${`0 0 ${width} ${HEIGHT}`} width=${width} height=${HEIGHT}>
      ${target && html`<rect class="straw" x=${PAD.left} width=${width - PAD.left - PAD.right} y=${y.at(target.high)} height=${Math.max(2, y.at(target.low) - y.at(target.high))} />
        ${[target.low, target.high].map((kg) => html`<line class="edge" x1=${PAD.left} x2=${width - PAD.right} y1=${y.at(kg)} y2=${y.at(kg)} />`)}
        <text x=${PAD.left + 6} y=${(y.at(target.high) + y.at(target.low)) / 2 + 4}>target</text>`}
      ${ticks(shown(range.low), shown(range.high), 4).map((value) => {
        const at = y.at(range.low + ((value - shown(range.low)) / (shown(range.high) - shown(range.low))) * (range.high - range.low));
        return html`<line class="grid" x1=${PAD.left} x2=${width - PAD.right} y1=${at} y2=${at} /><text x=${PAD.left - 6} y=${at + 4} text-anchor="end">${value}</text>`;
      })}
      ${dayTicks(range.from, last, Math.floor(width / 75)).map((day) => html`<text x=${atDay(day)} y=${HEIGHT - 6} text-anchor=${day === range.from ? "start" : "middle"}>${(many ? MONTH : DAY).format(new Date(`${day}T00:00:00Z`))}</text>`)}
      <path class="fan" d=${area(trend.length && fan.length ? [trend[trend.length - 1], ...fan].filter((p) => p !== undefined) : fan)} />
      <path class="band" d=${area(trend)} />
      ${trend.length > 1 && html`<path class="trend" d=${`M${trend.map((p) => `${atDay(p.on)} ${y.at(p.kg)}`).join("L")}`} />`}
      ${marks.map(({ on, text }, i) => html`<line class="mark" x1=${atDay(on)} x2=${atDay(on)} y1=${PAD.top - 8} y2=${HEIGHT - PAD.bottom} />
        <text x=${atDay(on) + (atDay(on) > width * 0.66 ? -4 : 4)} y=${PAD.top - 6 + (i % 2) * 13} text-anchor=${atDay(on) > width * 0.66 ? "end" : "start"}>${text}</text>`)}
      ${dots.map((dot) => html`<${Dot} key=${dot.on + dot.grams} shape=${shapes.get(dot.scale) ?? 0} x=${atDay(dot.on)} y=${inside(y.at(dot.grams / 1000))} state=${dot.aside ? "aside" : ""} />`)}
    </svg>
    <figcaption class="small legend">${trend.length > 1 && html`<span>Band: where the true weight is, 9 times in 10.</span>`}${[...shapes].map(([name, shape]) => html`<span class="key" key=${name}><svg width="12" height="12" viewBox="0 0 12 12" class="chart key" aria-hidden="true"><${Dot} shape=${shape} x=${6} y=${6} /></svg>${name}</span>`)}${dots.some((dot) => dot.aside) && html`<span>Dashed: set aside.</span>`}</figcaption>
  </figure>`;
}
