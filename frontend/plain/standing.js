// What stands of a dog's rows: which readings count, which plan is fed, which one was asked for since.

/** @param {string} a @param {string} b */
export const order = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

/** @param {any} row a weigh-in or a check */
export const counts = (row) => !row.voided && !row.replaced_by && !row.deleted;

/** @param {any[]} plans sorted in place, the newest first */
export const newestFirst = (plans) => plans.sort((a, b) => order(b.requested_at ?? "", a.requested_at ?? ""));

/** @param {any[]} plans newest first */
export function standing(plans) {
  const inForce = plans.find((plan) => plan.state === "active" || plan.state === "suspended") ?? null;
  // an older one that was refused has been answered by whatever came after it
  const newest = plans[0];
  return { inForce, asked: newest && ["waiting", "proposed", "refused"].includes(newest.state) ? newest : null };
}
