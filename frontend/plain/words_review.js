// What the weekly review says: why it decided so, what it wants people to know, and which readings it left out.

import { coveredBy } from "./covers.js";

/** @import {Entry} from "./words.js" */

/** "0.9% a week", without its sign. @param {any} v */
const rate = (v) => `${Math.abs(v.rate_pct_per_week ?? 0).toFixed(1)}% a week`;
/** "losing 0.9% a week". @param {any} v */
const moving = (v) => v.rate_pct_per_week === undefined ? "moving" : Math.abs(v.rate_pct_per_week) < 0.1 ? "not moving" : `${v.rate_pct_per_week < 0 ? "losing" : "gaining"} ${rate(v)}`;

/** @type {Record<string, Entry>} */
export const REASONS = {
  on_course: { text: (v, say) => `${say.name} is ${moving(v)}, within what is good: 0.5 to 2% a week.` },
  not_clear_yet: { text: (v, say) => `${say.name} is ${moving(v)}. That is not clear enough yet to change the ration.`, todo: () => "Keep the ration and weigh once a week." },
  steady: { text: (v, say) => `${say.name} holds its weight at ${say.mass(v.trend_kg)}.` },
  too_few: {
    text: (v) => `${v.weighed_days} of ${v.needed} weigh-ins, over ${v.span_days} of ${v.needed_days} days: too little to judge by.`,
    todo: () => "Keep the ration and weigh once a week, on the same scale, before food.",
  },
  no_weigh_in: { text: () => "There is no weigh-in that counts yet.", todo: () => "Weigh this week." },
  weigh_in_old: { text: (v, say) => `The last weigh-in is from ${say.day(v.on)}; nothing can be said about today.`, todo: () => "Weigh this week. A missed week is no harm." },
  change_settling: { text: (v, say) => `The ration changed on ${say.day(v.changed_on)}. The next change may come from ${say.day(v.until)} on.`, todo: () => "Keep the ration and keep weighing." },
  too_slow: { text: (v, say) => `${say.name} is ${moving(v)}, slower than 0.5% a week, on four weigh-ins over three weeks or more.`, todo: () => "Look for food that nobody counted first. Then a smaller ration." },
  too_fast: { tone: "attention", text: (v, say) => `${say.name} is ${moving(v)}, faster than 2% a week. Too fast a loss can cost muscle.`, todo: () => "Feed a little more." },
  fast_loss: { tone: "attention", text: (v, say) => `It looks as if ${say.name} lost more than ${v.limit_pct}% a week.`, todo: (v, say) => `Weigh again on ${say.day(v.on)}, on the same scale, to be sure. If food is refused or there is vomiting, call the vet today.` },
  fast_loss_confirmed: { tone: "vet", text: (v, say) => `${say.name} is ${moving(v)}, surely more than ${v.limit_pct}%.`, todo: () => "This cannot wait: feed more where a larger ration is offered, and call the vet if there is no reason you know of." },
  sudden_fall: { tone: "attention", text: (_, say) => `The newest weight of ${say.name} is far below the others.`, todo: (v, say) => `Weigh again on ${say.day(v.on)}. If it is true, call the vet.` },
  below_floor: { tone: "attention", text: (v) => `The ration is below ${v.floor_kcal} kcal, the least for this target.`, todo: () => "Feed more now." },
  log_has_gaps: {
    tone: "attention",
    text: (v, say) => `${say.name} is ${moving(v)}, and only ${v.complete_days} of the last ${v.of_days} days have all food on record.`,
    todo: () => "Weigh all that is eaten for two weeks, treats and other people's bowls too, before the ration is cut.",
  },
  fed_above_ration: { tone: "attention", text: (v) => `What was eaten (${v.logged_kcal} kcal a day) is more than the ration (${v.kcal_per_day}), so the ration has not been tried yet.`, todo: () => "Feed the ration as it is for two weeks." },
  stalled_at_floor: { tone: "vet", text: (v, say) => `${say.name} is ${moving(v)} on the least food this tool gives (${v.floor_kcal} kcal).`, todo: () => "See the vet: uncounted food first, then the thyroid and other illness." },
  losing_at_ceiling: { tone: "vet", text: (v, say) => `${say.name} still loses weight on ${v.ceiling_kcal} kcal, the most this tool gives after a diet.`, todo: () => "See the vet before feeding more." },
  still_losing: { text: (v, say) => `${say.name} is still ${moving(v)} after the target.`, todo: () => "Feed a little more, then wait two weeks." },
  above_target: { tone: "attention", text: (v, say) => `${say.mass(v.trend_kg)} is above the target's ${say.mass(v.target_high_kg)} again.`, todo: () => "Look at treats and who feeds. A smaller ration helps early." },
  target_reached: { text: (v, say) => `${say.mass(v.trend_kg)}: within the target.`, todo: () => "Feel the ribs again to be sure. Then one small step up in food." },
  right_by_hand: { text: (_, say) => `The hands say that ${say.name} is right, before the scale does. The hands decide.`, todo: () => "Ask for a plan that holds the weight." },
};

/** What a review wants people to know beside its decision. @type {Record<string, Entry>} */
export const REVIEW_CAUTIONS = {
  vet_word_ended: { tone: "attention", text: (v, say) => `The word of ${v.by} for ${coveredBy(v.covers)} ended on ${say.day(v.until)}.`, todo: () => "Ask the vet whether it still holds, and record it anew." },
  score_missing: { tone: "attention", text: () => "There is no condition check that counts, so only the scale speaks.", todo: () => "Feel the ribs; it takes two minutes." },
  score_again: { text: (v, say) => `The first goal, ${say.mass(v.first_goal_kg)}, is reached.`, todo: () => "Feel the ribs again: the target firms up with a new check." },
  reading_set_aside: { text: (v, say) => `${say.mass(v.kg)} on ${say.day(v.on)} was set aside: ${SET_ASIDE[v.reason] ?? "it does not fit the others"}.`, todo: () => "If it was right, use it after all in the list of weigh-ins." },
  scales_differ: { text: (v) => `The scale “${v.scale}” shows ${Math.abs(v.offset_pct)}% ${v.offset_pct < 0 ? "less" : "more"} than “${v.against}”. The trend allows for it.`, todo: () => "One and the same scale tells more." },
};

/** What the server's refusal of an entry asks of a person. @type {Record<string, Entry>} */
export const ALERTS = {
  bad_value: { text: () => "A value is outside what is allowed.", todo: () => "Enter it again with the right value, then remove this one." },
  bad_op: { text: () => "The server could not read this entry.", todo: () => "Update the app, then try again. Save a file first." },
  unknown_kind: { text: () => "The server does not know this kind of entry.", todo: () => "The server is older than this app. Try again later." },
  not_found: { text: (_, say) => `The server knows no ${say.name} that you may see.`, todo: () => "You may have lost access. Save a file, then ask the person who invited you." },
  not_allowed: { text: () => "Your role does not allow this.", todo: () => "Ask a lead of the household to do it, then remove this one." },
  stale: { text: () => "It changed before your answer arrived.", todo: () => "Answer anew, then remove this one." },
  gone: { text: () => "What it belongs to was taken back or closed.", todo: () => "Remove it, or save a file first." },
  id_taken: { text: () => "The entry's number is in use.", todo: () => "Enter it again, then remove this one." },
  op_reused: { text: () => "The entry was changed after it was sent.", todo: () => "Enter it again, then remove this one." },
  server_error: { text: () => "The server failed on this entry.", todo: () => "Try again later. If it stays so, save a file and tell whoever runs the server." },
};

/** Why a reading does not count, after "Set aside:". @type {Record<string, string>} */
export const SET_ASIDE = {
  looks_like_pounds: "looks like pounds noted as kilograms",
  looks_like_kilograms: "looks like kilograms noted as pounds",
  decimal_point_slipped: "the decimal point seems to have slipped",
  implausible_jump: "too far from the others",
};
