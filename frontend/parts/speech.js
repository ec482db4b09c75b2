// How this phone says weights and days, handed to the catalogue of words.

import { localDate } from "../plain/dates.js";
import { phoneZone } from "../plain/dates.js";
import { sayDate } from "../plain/say.js";
import { sayMass } from "../plain/say.js";
import { useApp } from "./live.js";

/** @import {Speech} from "../plain/words.js" */

export const todayHere = () => localDate(Date.now(), phoneZone());

/** @param {any} dog @returns {Speech} */
export function useSpeech(dog) {
  const { settings } = useApp();
  const today = todayHere();
  return { name: dog?.name ?? "the dog", mass: (kg) => sayMass(kg * 1000, settings.unit), day: (day) => sayDate(day, today) };
}

/** This person's role towards a dog. @param {any} dog */
export function useRole(dog) {
  const { households } = useApp();
  const role = households.find((home) => home.id === dog?.household_id)?.role ?? "viewer";
  const lead = role === "lead";
  return { lead, records: lead || role === "carer", accepts: lead || (role === "carer" && Boolean(dog?.carer_may_accept)) };
}
