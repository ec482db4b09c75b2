// How this phone says weights and days, handed to the catalogue of words.

import { localDate } from "../plain/dates.js";
import { phoneZone } from "../plain/dates.js";
import { sayDate } from "../plain/say.js";
import { sayMass } from "../plain/say.js";
import { useApp } from "./live.js";
import { roleTowards } from "./read_dog.js";

/** @import {Speech} from "../plain/words.js" */

export const todayHere = () => localDate(Date.now(), phoneZone());

/** @param {any} dog @returns {Speech} */
export function useSpeech(dog) {
  const { settings } = useApp();
  const today = todayHere();
  return { name: dog?.name ?? "the dog", mass: (kg) => sayMass(kg * 1000, settings.unit), day: (day) => sayDate(day, today) };
}

/** This person's role towards a dog; known: false while the households are still being read, when nobody
 * may be told that something is not allowed. @param {any} dog */
export function useRole(dog) {
  const { households } = useApp();
  return { ...roleTowards(dog, households), known: households.length > 0 };
}
