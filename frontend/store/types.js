// Types only: nothing here runs, and no module loads it.

/**
 * @typedef {"dog" | "weigh_in" | "check" | "food" | "plan" | "review" | "vet_word" | "household"} RowType
 *
 * What a screen sees: the server's row with this phone's unsent changes on top.
 * @typedef {{id: string, dog_id: string | null, version: number, seq: number, pending?: true, [field: string]: any}} Row
 *
 * What the database holds. `server` is the server's row underneath (null: it has none yet);
 * left out when the row is exactly the server's.
 * @typedef {Row & {server?: Row | null}} StoredRow
 *
 * @typedef {object} Op one operation as it travels
 * @property {string} op_id
 * @property {string} kind
 * @property {string} entity_id
 * @property {string | null} dog_id
 * @property {string} hlc
 * @property {string} [measured_at]
 * @property {string} [local_date]
 * @property {string} [tz]
 * @property {Record<string, number>} [base]
 * @property {Record<string, any>} data
 *
 * @typedef {object} Refusal why an operation needs a person
 * @property {string} code
 * @property {string} text
 * @property {string} [field]
 * @property {any} [winner]
 *
 * An operation in the outbox. `seq` is its number in the queue, given by the database.
 * @typedef {Op & {seq: number, saved_at: number, rejection?: Refusal}} QueuedOp
 *
 * An operation the server has answered for. `unseen` until its effect has been pulled.
 * @typedef {Op & {seq: number, saved_at: number, sent_at: number, server_seq: number | null, unseen?: 1}} SentOp
 *
 * @typedef {Op & Refusal & {seq: number, saved_at: number}} NeedsAttention
 *
 * @typedef {object} Result the server's answer for one operation
 * @property {string} op_id
 * @property {"applied" | "duplicate" | "superseded" | "rejected"} status
 * @property {number} [seq]
 * @property {string} [code]
 * @property {string} [text]
 * @property {string} [field]
 * @property {any} [winner]
 *
 * @typedef {{seq: number, type: string, id: string, dog_id: string | null, version: number, deleted: boolean, data: Record<string, any>}} Change
 *
 * @typedef {{id: string, name: string}} Person
 * @typedef {{id: string, name: string, email?: string}} Account
 *
 * @typedef {"all_sent" | "waiting" | "no_signal" | "signed_out" | "update_needed"} Signal
 * @typedef {object} Status
 * @property {number} waiting operations not yet answered
 * @property {number} attention operations the server refused
 * @property {Signal} signal
 * @property {number | null} lastContact when the server last answered [ms since 1970]
 * @property {boolean} syncing
 * @property {number | null} oldestUnsent when the oldest unsent entry was saved [ms since 1970]
 * @property {boolean} storageAtRisk plain Safari on iOS and an entry unsent for a day
 * @property {boolean | null} persisted whether the browser promised to keep our data; null: not asked yet
 * @property {{count: number, at: string} | null} lost entries that were unsent when this phone's storage was emptied
 * @property {number} clockOffset how far this phone's clock is behind the server's; 0 within 2 s [ms]
 * @property {{code: string, text: string} | null} problem a fault of this phone's storage, in words
 *
 * @typedef {object} Action
 * @property {string} [entityId]
 * @property {string | null} [dogId]
 * @property {Record<string, any>} data
 * @property {string} [measuredAt]
 * @property {string} [localDate]
 * @property {string} [tz]
 * @property {Record<string, number>} [base]
 */

export {};
