// Scales and ticks for charts: our own few lines.

import { addDays } from "../plain/dates.js";
import { daysBetween } from "../plain/dates.js";

/**
 * @typedef {{from: number, to: number, at: (value: number) => number}} Scale
 */

/** @param {[number, number]} domain @param {[number, number]} range @returns {Scale} */
export function linear([from, to], [start, end]) {
  const span = to - from || 1;
  return { from, to, at: (value) => Math.round((start + ((value - from) / span) * (end - start)) * 10) / 10 };
}

/** Round steps of 1, 2 or 5 that give about `wanted` ticks. @param {number} low @param {number} high @param {number} wanted */
export function ticks(low, high, wanted) {
  const rough = (high - low || 1) / wanted;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((n) => n * power).find((size) => size >= rough * 0.999) ?? 10 * power;
  const found = [];
  for (let n = Math.ceil(low / step - 1e-9); n * step <= high + 1e-9 * step; n++) found.push(Number((n * step).toPrecision(12)));
  return found;
}

/** Month starts between two days; for short spans Mondays. @param {string} from @param {string} to @param {number} most */
export function dayTicks(from, to, most) {
  const days = daysBetween(from, to);
  /** @type {string[]} */
  const found = [];
  if (days > 70) {
    let [year, month] = from.split("-").map(Number);
    const every = Math.max(1, Math.ceil(days / 30 / most));
    for (let n = 0; n < 400; n++) {
      month = (month ?? 0) + 1;
      if (month > 12) { month = 1; year = (year ?? 0) + 1; }
      const day = `${year}-${String(month).padStart(2, "0")}-01`;
      if (day > to) break;
      if (n % every === 0) found.push(day);
    }
    return found;
  }
  const every = Math.max(7, Math.ceil(days / most / 7) * 7);
  for (let day = from; day <= to; day = addDays(day, every)) found.push(day);
  return found;
}
