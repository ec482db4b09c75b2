// Names that a phone can give without asking anybody: UUID version 7 (RFC 9562, section 5.7).

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
