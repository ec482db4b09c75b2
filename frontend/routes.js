// Which screen an address asks for. What a first weigh-in needs is loaded at once, the rest when opened.

import { Today } from "./screens/today.js";
import { Weigh } from "./screens/weigh.js";

/**
 * @typedef {object} Route
 * @property {RegExp} at of the path behind the #
 * @property {any} [screen]
 * @property {() => Promise<any>} [load]
 * @property {string} [name] of the component in the loaded module
 * @property {string} [tab]
 * @property {boolean} [bare] without the places at the bottom
 * @property {boolean} [open] also before sign-in
 */

const ID = "([0-9a-f-]{36})";

/** @type {Route[]} */
export const ROUTES = [
  { at: /^$/, screen: Today, tab: "today" },
  { at: /^weigh$/, screen: Weigh, tab: "weigh" },
  { at: /^welcome$/, load: () => import("./screens/welcome.js"), name: "Welcome", bare: true, open: true },
  { at: /^signin$/, load: () => import("./screens/welcome.js"), name: "SignIn", bare: true, open: true },
  { at: /^signup$/, load: () => import("./screens/welcome.js"), name: "SignUp", bare: true, open: true },
  { at: /^signout$/, load: () => import("./screens/sign_out.js"), name: "SignOut" },
  { at: /^dogs$/, load: () => import("./screens/dogs.js"), name: "Dogs", tab: "dogs" },
  { at: /^dogs\/new$/, load: () => import("./screens/dog_form.js"), name: "AddDog", tab: "dogs" },
  { at: new RegExp(`^dogs/${ID}$`), load: () => import("./screens/dog.js"), name: "Dog", tab: "dogs" },
  { at: new RegExp(`^dogs/${ID}/edit$`), load: () => import("./screens/dog_form.js"), name: "EditDog", tab: "dogs" },
  { at: new RegExp(`^dogs/${ID}/check$`), load: () => import("./screens/check.js"), name: "Check", tab: "dogs" },
  { at: new RegExp(`^dogs/${ID}/score$`), load: () => import("./screens/check.js"), name: "VetScore", tab: "dogs" },
  { at: new RegExp(`^dogs/${ID}/plan$`), load: () => import("./screens/plan.js"), name: "PlanScreen", tab: "dogs" },
  { at: new RegExp(`^dogs/${ID}/ask$`), load: () => import("./screens/plan_request.js"), name: "PlanRequest", tab: "dogs" },
  { at: new RegExp(`^dogs/${ID}/vet$`), load: () => import("./screens/vet_word.js"), name: "VetWord", tab: "dogs" },
  { at: new RegExp(`^dogs/${ID}/rest$`), load: () => import("./screens/rest.js"), name: "Rest", tab: "dogs" },
  { at: /^foods$/, load: () => import("./screens/foods.js"), name: "Foods", tab: "dogs" },
  { at: /^foods\/new$/, load: () => import("./screens/food_form.js"), name: "FoodForm", tab: "dogs" },
  { at: new RegExp(`^foods/${ID}$`), load: () => import("./screens/food_form.js"), name: "FoodForm", tab: "dogs" },
  { at: /^settings$/, load: () => import("./screens/settings.js"), name: "Settings" },
  { at: /^cautions$/, load: () => import("./screens/cautions.js"), name: "Cautions", open: true },
];

/** @param {string} path @param {Route} route */
const matches = (path, route) => route.at.exec(path);

/** @param {string} hash @param {boolean} signedOut @returns {{route: Route, params: Record<string, string>}} */
export function routeFor(hash, signedOut) {
  const [path = "", query = ""] = hash.replace(/^#\/?/, "").split("?");
  const route = ROUTES.find((each) => matches(path, each));
  if (!route || (signedOut && !route.open)) {
    const home = ROUTES.find((each) => each.name === (signedOut ? "Welcome" : undefined)) ?? ROUTES[0];
    return { route: /** @type {Route} */ (home), params: {} };
  }
  const id = matches(path, route)?.[1];
  return { route, params: { ...Object.fromEntries(new URLSearchParams(query)), ...(id ? { id } : {}) } };
}
