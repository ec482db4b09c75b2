// Names and times that a phone can give without asking anybody. Names: UUID version 7 (RFC 9562,
// section 5.7). Times: a hybrid logical clock, a stamp that sorts as text and never runs backwards on
// one phone: 13 digits of milliseconds, 4 of counter, 8 hex digits that name the phone's database.

/** @param {number} count @param {() => number} random in [0, 1) */
export function randomHex(count, random) {
  let hex = "";
  while (hex.length < count) hex += Math.floor(random() * 16).toString(16);
  return hex;
}

/** 48 bits of time, then chance: sorts by time of making, never repeats.
 * @param {number} ms since 1970 @param {() => number} random in [0, 1) */
export function uuidv7(ms, random) {
  const time = Math.max(0, Math.floor(ms)).toString(16).padStart(12, "0").slice(-12);
  const variant = (8 + Math.floor(random() * 4)).toString(16);
  return `${time.slice(0, 8)}-${time.slice(8)}-7${randomHex(3, random)}-${variant}${randomHex(3, random)}-${randomHex(12, random)}`;
}

/** Chance from the phone's own generator. */
export function strongRandom() {
  return crypto.getRandomValues(new Uint32Array(1))[0] / 2 ** 32;
}

// further ahead than this the server clamps, so we do not build on it
export const AHEAD_MS = 5 * 60_000;

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
