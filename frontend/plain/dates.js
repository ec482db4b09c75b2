// Days as people see them. A day is text, "2026-03-02", and belongs to the place where it was
// lived; an instant is milliseconds since 1970. A day is never read off an instant in UTC.

const DAY_MS = 86_400_000;
/** @type {Map<string, Intl.DateTimeFormat>} */
const clocks = new Map();

/** The zone the phone is set to, an IANA name. */
export function phoneZone() {
  return Intl.DateTimeFormat().resolvedOptions().timeZone;
}

/** What the wall clock in a zone shows, as if it were UTC. @param {number} ms @param {string} tz */
function wallMs(ms, tz) {
  let clock = clocks.get(tz);
  if (!clock) {
    clock = new Intl.DateTimeFormat("en-US", {
      timeZone: tz, hourCycle: "h23", year: "numeric", month: "numeric", day: "numeric",
      hour: "numeric", minute: "numeric", second: "numeric",
    });
    clocks.set(tz, clock);
  }
  /** @type {Record<string, number>} */
  const part = {};
  for (const { type, value } of clock.formatToParts(ms)) part[type] = Number(value);
  return Date.UTC(part.year, part.month - 1, part.day, part.hour, part.minute, part.second);
}

/** @param {number} ms */
function utcDay(ms) {
  // fed with wall time only
  return new Date(ms).toISOString().slice(0, 10);
}

/** The day on the calendar there and then. @param {number} ms @param {string} tz */
export function localDate(ms, tz) {
  return utcDay(wallMs(ms, tz));
}

/** ISO 8601 with the offset that held there and then: "2026-03-02T23:30:00+13:00".
 * @param {number} ms @param {string} tz */
export function isoWithOffset(ms, tz) {
  const wall = wallMs(ms, tz);
  const offset = Math.round((wall - Math.floor(ms / 1000) * 1000) / 60_000);
  const away = Math.abs(offset);
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  const zone = offset === 0 ? "Z" : `${offset < 0 ? "-" : "+"}${two(Math.floor(away / 60))}:${two(away % 60)}`;
  return new Date(wall).toISOString().slice(0, 19) + zone;
}

/** The instant at which a zone's clock shows this day and time. In the hour that summer time
 * skips it is the time as read before the jump; in the hour that comes twice, the first.
 * @param {string} day @param {string} time "07:30" @param {string} tz */
export function instantOf(day, time, tz) {
  const wall = Date.parse(`${day}T${time}:00Z`);
  const before = wallMs(wall - DAY_MS, tz) - (wall - DAY_MS);
  const after = wallMs(wall + DAY_MS, tz) - (wall + DAY_MS);
  const early = wall - before;
  if (wallMs(early, tz) === wall) return early;
  const late = wall - after;
  return wallMs(late, tz) === wall ? late : early;
}

/** @param {string} day @param {number} count */
export function addDays(day, count) {
  return utcDay(Date.parse(`${day}T00:00:00Z`) + count * DAY_MS);
}

/** Whole days from one day to another; negative when `to` is earlier. @param {string} from @param {string} to */
export function daysBetween(from, to) {
  return (Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / DAY_MS;
}
