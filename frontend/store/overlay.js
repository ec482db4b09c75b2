// What an operation does to the rows on this phone until the server has said so itself.
// Pure: rows and operations in, rows out. It never works out a ration; that is the server's.
/** @import {Op, Person, Row, RowType, StoredRow} from "./types.js" */

/** @typedef {{by: Person, at: string}} Author who did it, and when by this phone's clock */
/** @typedef {Op & {saved_at?: number}} Applied */

/** The rows an operation touches; the first is its own.
 * @param {Op} op @returns {{type: RowType, id: string}[]} */
export function touches(op) {
  const type = /** @type {RowType} */ (op.kind.split(".")[0]);
  const rows = [{ type, id: op.entity_id }];
  if (op.data.replaces) rows.push({ type, id: op.data.replaces });
  if (op.data.review_id) rows.push({ type: "review", id: op.data.review_id });
  return rows;
}

/** @param {Op} op */
function when(op) {
  return { measured_at: op.measured_at ?? null, local_date: op.local_date ?? null, tz: op.tz ?? null };
}

/** @type {Record<string, (op: Op, author: Author) => Record<string, any>>} */
const FRESH = {
  dog: (op, { at }) => ({ carer_may_accept: false, paused: null, closed: null, created_at: at, ...op.data }),
  weigh_in: (op, { by }) => ({
    note: "", method: "platform", ...op.data, ...when(op), by, received_at: null, replaces: op.data.replaces ?? null,
    replaced_by: null, voided: false, void_reason: "", use: null, flagged_future: false,
  }),
  check: (op, { by }) => ({
    ribs: null, waist: null, tuck: null, score: null, note: "", ...op.data, ...when(op), by, received_at: null,
    replaces: op.data.replaces ?? null, replaced_by: null, voided: false, void_reason: "", flagged_future: false,
  }),
  food: (op) => ({
    grams_per_cup: null, kcal_per_kg: null, label: null, ...op.data,
    energy_from: op.data.kcal_per_kg ? "label" : "computed", kcal_per_kg_used: op.data.kcal_per_kg ?? null,
    replaces: op.data.replaces ?? null, replaced_by: null, retired: false,
  }),
  plan: (op, { by, at }) => ({
    state: "waiting", kind: null, requested_at: at, by, local_date: op.local_date ?? null, request: op.data, result: null,
    problem: null, computed_at: null, start_kg: null, target_kg: null, first_goal_kg: null, changes: [], kcal_per_day: null, ration: [], treat_kcal_max: null, accepted_on: null,
  }),
  vet_word: (op, { by }) => ({ until: null, ...op.data, ended_on: null, recorded_by: by }),
};

/** @param {Op} op */
function voided({ data }) {
  return { voided: data.void !== false, void_reason: data.void === false ? "" : data.reason ?? "" };
}

/** @type {Record<string, (op: Op) => Record<string, any>>} */
const CHANGE = {
  "dog.edit": (op) => op.data,
  "dog.pause": (op) => ({ paused: op.data.paused }),
  "dog.archive": (op) => ({ closed: op.data.closed }),
  "weigh_in.void": voided,
  "weigh_in.use": (op) => ({ use: op.data.use }),
  "check.void": voided,
  "food.retire": (op) => ({ retired: op.data.retired }),
  "plan.accept": (op) => op.data.review_id ? {} : { state: "active", accepted_on: op.local_date ?? null },
  "plan.decline": (op) => op.data.review_id ? {} : { state: "declined" },
  "plan.end": () => ({ state: "ended" }),
  "vet_word.end": (op) => ({ ended_on: op.data.on }),
};
const CREATES = new Set(["dog.add", "weigh_in.add", "weigh_in.replace", "check.add", "check.replace", "food.add", "food.version",
  "plan.request", "vet_word.add"]);

/** One row after one operation; null when there is nothing to show.
 * @param {Row | null} row @param {Applied} op @param {RowType} type @param {string} id @param {Person} person
 * @returns {Row | null} */
export function apply(row, op, type, id, person) {
  if (id !== op.entity_id) {
    if (!row) return null;
    if (type === "review") return { ...row, answer: op.kind === "plan.accept" ? "accepted" : "declined" };
    return { ...row, replaced_by: op.entity_id };
  }
  if (CREATES.has(op.kind)) {
    // the server has it, or knows it deleted: its word stands
    if (row && row.version > 0) return row;
    const author = { by: person, at: new Date(op.saved_at ?? 0).toISOString() };
    return { id, dog_id: type === "dog" ? id : op.dog_id, version: 0, seq: 0, ...FRESH[type](op, author) };
  }
  return row && CHANGE[op.kind] ? { ...row, ...CHANGE[op.kind](op) } : row;
}

/** The server's row underneath a stored one; null when the server has none yet.
 * @param {StoredRow | undefined} stored @returns {Row | null} */
export function underneath(stored) {
  if (!stored) return null;
  return stored.server === undefined ? stored : stored.server;
}

/** The stored row: the server's with operations on top, in queue order (invariant C3).
 * `unseen` were answered but not pulled yet; one that the row already includes is left out.
 * @param {Row | null} server @param {Applied[]} waiting @param {(Applied & {server_seq: number | null})[]} unseen
 * @param {RowType} type @param {string} id @param {Person} person @returns {StoredRow | null} */
export function compose(server, waiting, unseen, type, id, person) {
  const newer = unseen.filter((op) => !server || op.server_seq === null || op.server_seq > server.seq);
  let row = server;
  for (const op of [...newer, ...waiting]) row = apply(row, op, type, id, person);
  if (!row || (row === server && !waiting.length)) return server;
  return { ...row, ...(waiting.length ? { pending: /** @type {const} */ (true) } : {}), server };
}

/** A stored row as screens see it. @param {StoredRow} stored @returns {Row} */
export function shown(stored) {
  const { server: _server, ...row } = stored;
  return row;
}
