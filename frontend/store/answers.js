// What the server's answer means. Anything that is not clearly ours counts as no answer at all:
// a hotel's sign-in page answers 200 too.

export const ANSWER_MS = 30_000;

/** @typedef {"no_answer" | "signed_out" | "csrf" | "epoch" | "resync" | "too_large" | "refused" | "update" | "busy" | "not_found"} TroubleKind */

/** An answer that stops the exchange. Nothing is lost: whatever waited goes on waiting. */
export class Trouble extends Error {
  /** @param {TroubleKind} kind @param {{retryAfter?: number, body?: any}} [more] retryAfter in ms */
  constructor(kind, more = {}) {
    super(kind);
    this.name = "Trouble";
    this.kind = kind;
    this.retryAfter = more.retryAfter;
    this.body = more.body;
  }
}

/** @typedef {(path: string, init?: any) => Promise<Response>} Fetch */
/** @typedef {{fetch: Fetch, now: () => number, setTimeout: (work: () => void, ms: number) => any, clearTimeout: (id: any) => void}} Wire */

/** @param {Response} response @param {number} now */
function waitFor(response, now) {
  const header = response.headers.get("Retry-After") ?? "";
  const seconds = /^\d+$/.test(header) ? Number(header) : (Date.parse(header) - now) / 1000;
  return Number.isFinite(seconds) ? Math.max(1000, seconds * 1000) : undefined;
}

/** @param {Response} response @param {any} json what it holds, if JSON @param {boolean} ours whether it is clearly our server's
 * @param {number} now @returns {Trouble | null} */
function trouble(response, json, ours, now) {
  const { status } = response;
  const body = ours ? json : undefined;
  if (status === 429 || status === 503) return new Trouble("busy", { retryAfter: waitFor(response, now) });
  // a proxy in front may say this, too
  if (status === 413) return new Trouble("too_large", { body });
  // Said before a sync endpoint is reached, so without its mark; acting on them loses nothing.
  if (status === 401 && json?.code === "signed_out") return new Trouble("signed_out");
  if (status === 403 && json?.code === "csrf") return new Trouble("csrf");
  if (status === 404 && json?.code === "not_found") return new Trouble("not_found");
  if (body === undefined) return new Trouble("no_answer");
  if (status === 200) return null;
  if (status === 409 && body.code === "epoch") return new Trouble("epoch", { body });
  if (status === 410) return new Trouble("resync");
  if (status === 400 || status === 422) return new Trouble("refused", { body });
  if (status === 426) return new Trouble("update");
  return new Trouble("no_answer");
}

/** Ask and read one JSON answer; `server_time` comes back as how far our clock is off [ms].
 * @param {Wire} wire @param {string} path
 * @param {{method?: string, headers?: Record<string, string>, body?: string, sync?: boolean}} [init] sync: must carry X-Sync
 * @returns {Promise<{body: any, offset: number | null}>} */
export async function ask(wire, path, { sync = false, ...init } = {}) {
  const abort = new AbortController();
  const timer = wire.setTimeout(() => abort.abort(), ANSWER_MS);
  const asked = wire.now();
  /** @type {Response} */
  let response;
  /** @type {any} */
  let body;
  let ours = false;
  try {
    response = await wire.fetch(path, {
      ...init,
      headers: { Accept: "application/json", ...(sync ? { "X-Sync": "1" } : {}), ...init.headers },
      credentials: "same-origin", cache: "no-store", redirect: "error", signal: abort.signal,
    });
    body = /\bjson\b/.test(response.headers.get("Content-Type") ?? "") ? await response.json() : undefined;
    ours = body !== null && typeof body === "object" && (!sync || response.headers.has("X-Sync"));
  } catch {
    throw new Trouble("no_answer");
  } finally {
    wire.clearTimeout(timer);
  }
  const problem = trouble(response, body, ours, wire.now());
  if (problem) throw problem;
  const serverMs = Date.parse(body.server_time ?? "");
  return { body, offset: Number.isNaN(serverMs) ? null : serverMs - (asked + wire.now()) / 2 };
}
