// A soft pen: points in, an SVG path out.

/** @typedef {[number, number]} Point */

/** @param {number} value */
const short = (value) => Math.round(value * 10) / 10;

/**
 * A smooth path through the points (Catmull-Rom, drawn as cubic Beziers).
 * @param {Point[]} points in the drawing's own units
 * @param {boolean} [closed]
 */
export function smooth(points, closed = false) {
  const n = points.length;
  const at = (/** @type {number} */ i) =>
    points[closed ? (i + n) % n : Math.min(Math.max(i, 0), n - 1)] ?? [0, 0];
  const start = at(0);
  let path = `M${short(start[0])} ${short(start[1])}`;
  for (let i = 0; i < (closed ? n : n - 1); i++) {
    const [before, from, to, after] = [at(i - 1), at(i), at(i + 1), at(i + 2)];
    const numbers = [
      from[0] + (to[0] - before[0]) / 6, from[1] + (to[1] - before[1]) / 6,
      to[0] - (after[0] - from[0]) / 6, to[1] - (after[1] - from[1]) / 6,
      to[0], to[1],
    ];
    path += `C${numbers.map(short).join(" ")}`;
  }
  return closed ? path + "Z" : path;
}

/**
 * Both sides of a body along a straight spine, nose up.
 * @param {number} centre x of the spine
 * @param {Point[]} stations [y, half width], from the nose to the tail
 * @returns {Point[]} a closed ring of points
 */
export function bothSides(centre, stations) {
  /** @type {Point[]} */
  const right = stations.map(([y, half]) => [centre + half, y]);
  /** @type {Point[]} */
  const left = stations.map(([y, half]) => [centre - half, y]);
  return [...right, ...left.reverse()];
}
