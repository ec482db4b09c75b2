// Weights and days as a person says them.

import { daysBetween } from "./dates.js";
import { fromGrams } from "./units.js";

/** @import {MassUnit} from "./units.js" */

// decides the decimal mark
const LANGUAGE = globalThis.navigator?.language ?? "en-GB";
// of the sentences, so of the days in them
export const TONGUE = LANGUAGE.startsWith("en") ? LANGUAGE : "en-GB";
const OUNCES = 16;
// below this a tenth of a kilogram hides too much
const SMALL_DOG_G = 5000;
/** @type {Map<string, Intl.NumberFormat | Intl.DateTimeFormat>} made when first needed: each costs milliseconds at start */
const FORMATS = new Map();

/** @param {number} value @param {number} least places @param {number} most places */
function number(value, least, most) {
  const key = `${least}.${most}`;
  const format = FORMATS.get(key) ?? new Intl.NumberFormat(LANGUAGE, { minimumFractionDigits: least, maximumFractionDigits: most });
  FORMATS.set(key, format);
  return /** @type {Intl.NumberFormat} */ (format).format(value);
}

/** @param {string} day @param {Intl.DateTimeFormatOptions} parts */
function written(day, parts) {
  const key = Object.keys(parts).join();
  const format = FORMATS.get(key) ?? new Intl.DateTimeFormat(TONGUE, { ...parts, timeZone: "UTC" });
  FORMATS.set(key, format);
  return /** @type {Intl.DateTimeFormat} */ (format).format(new Date(`${day}T00:00:00Z`));
}

/** A number in this phone's language. @param {number} value @param {number} places at most */
export function sayNumber(value, places) {
  return number(value, 0, places);
}

/** "14.2": small dogs get a place more. @param {number} grams @param {MassUnit} unit */
export function plainWeight(grams, unit) {
  const places = grams < SMALL_DOG_G && grams % 100 !== 0 && unit === "kg" ? 2 : 1;
  return number(fromGrams(grams, unit), places, places);
}

/** "14.2 kg". @param {number} grams @param {MassUnit} unit */
export function sayMass(grams, unit) {
  return `${plainWeight(grams, unit)} ${unit}`;
}

/** "12.8 to 13.9 kg". @param {number} lowKg @param {number} highKg @param {MassUnit} unit */
export function sayRange(lowKg, highKg, unit) {
  const [low, high] = [plainWeight(lowKg * 1000, unit), plainWeight(highKg * 1000, unit)];
  return low === high ? `${low} ${unit}` : `${low} to ${high} ${unit}`;
}

/** The other unit, for whoever thinks in it: "31 lb 5 oz" or "14.2 kg". @param {number} grams @param {MassUnit} unit the one in use */
export function otherUnit(grams, unit) {
  if (unit === "lb") return sayMass(grams, "kg");
  const ounces = Math.round(fromGrams(grams, "lb") * OUNCES);
  return `${Math.floor(ounces / OUNCES)} lb ${ounces % OUNCES} oz`;
}

/** "today", "yesterday", "Wednesday" within the last week, "3 March", with the year when it is another.
 * @param {string} day @param {string} today */
export function sayDay(day, today) {
  const ago = daysBetween(day, today);
  if (ago === 0) return "today";
  if (ago === 1) return "yesterday";
  return ago > 1 && ago < 7 ? sayWeekday(day) : sayDate(day, today);
}

/** A day to compare with: "earlier today", "yesterday", "on 3 March". @param {string} day @param {string} today */
export function sayThan(day, today) {
  const said = sayDay(day, today);
  return said === "today" ? "earlier today" : said === "yesterday" ? said : `on ${said}`;
}

/** The weekday alone. @param {string} day */
export function sayWeekday(day) {
  return written(day, { weekday: "long" });
}

/** "3 March", never "yesterday". @param {string} day @param {string} today */
export function sayDate(day, today) {
  const year = day.slice(0, 4) === today.slice(0, 4) ? {} : /** @type {const} */ ({ year: "numeric" });
  return written(day, { day: "numeric", month: "long", ...year });
}

/** "0.9%", without its sign. @param {number} percent */
export function sayWeekRate(percent) {
  return `${number(Math.abs(percent), 1, 1)}%`;
}

/** "1 entry", "3 entries". @param {number} count @param {string} one @param {string} [many] */
export function counted(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}
