// Hybrid logical clock: a time stamp that sorts as text and never runs backwards on one phone.
// Form: 13 digits of milliseconds, 4 of counter, 8 hex digits that name the phone's database.

export const AHEAD_MS = 5 * 60_000; // further ahead than this the server clamps, so we do not build on it

/** @param {string} stamp */
export function hlcMs(stamp) {
  return Number(stamp.slice(0, 13));
}

/** The stamp after `last`. `ms` is the corrected time; it may have jumped back, the stamp does not.
 * @param {string | null | undefined} last @param {number} ms @param {string} node 8 hex digits */
export function nextHlc(last, ms, node) {
  let time = Math.max(0, Math.floor(ms));
  let counter = 0;
  if (last && hlcMs(last) >= time) {
    time = hlcMs(last);
    counter = Number(last.slice(14, 18)) + 1;
    if (counter > 9999) {
      time += 1;
      counter = 0;
    }
  }
  return `${String(time).padStart(13, "0")}-${String(counter).padStart(4, "0")}-${node}`;
}
