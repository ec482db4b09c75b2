// The breed table, fetched once when a form needs it. A range is a question, never a target.

/**
 * @typedef {[bound: "range"|"at_most"|"at_least"|"about", low: number|null, high: number|null, howSure: string, source: string]} Range kg
 * @typedef {{name: string, also?: string[], any?: Range, male?: Range, female?: Range}} Breed
 */

/** @param {string} url @param {typeof globalThis.fetch} fetch @returns {Promise<Breed[]>} */
export async function readBreeds(url, fetch) {
  const answer = await fetch(url);
  if (!answer.ok) throw new Error("the breed table was not found");
  return (await answer.json()).breeds;
}

/** The one breed of this name, case and accents aside. @param {Breed[]} breeds @param {string} name */
export function breedNamed(breeds, name) {
  const wanted = plain(name);
  return breeds.find((breed) => [breed.name, ...(breed.also ?? [])].some((given) => plain(given) === wanted)) ?? null;
}

/** Breeds whose name, or other name, holds what was typed; those that begin with it first.
 * @param {Breed[]} breeds @param {string} text @param {number} most */
export function breedsLike(breeds, text, most) {
  const wanted = plain(text);
  if (!wanted) return [];
  const rank = (/** @type {Breed} */ breed) =>
    Math.min(...[breed.name, ...(breed.also ?? [])].map((name) => {
      const at = ` ${plain(name)}`.indexOf(` ${wanted}`);
      return at === 0 ? 0 : at > 0 ? 1 : plain(name).includes(wanted) ? 2 : 9;
    }));
  return breeds.map((breed) => ({ breed, at: rank(breed) })).filter((hit) => hit.at < 9)
    .sort((a, b) => a.at - b.at || (a.breed.name < b.breed.name ? -1 : 1))
    .slice(0, most).map((hit) => hit.breed);
}

/** The printed range for this sex, else for either. @param {Breed} breed @param {"male"|"female"} sex */
export function rangeFor(breed, sex) {
  return { range: breed[sex] ?? breed.any ?? null, bySex: Boolean(breed[sex]) };
}

/** @param {string} text */
function plain(text) {
  return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLowerCase().trim();
}
