// "Why?": the rule behind each figure that was computed, and where the rule comes from.
// "This tool's own policy" means exactly that: chosen with care, not proven.

/** @typedef {{rule: string, source: string}} Why */

const GERMAN_2011 = "German et al. 2011, British Journal of Nutrition 106:S93 (24 dogs after weight loss)";

export const WHY = /** @type {const} */ ({
  score: {
    rule: "Ribs, waist and tuck together give a score from 1 to 9. People who score dogs for a living still differ by about half a point to one point, so the score is shown with room on both sides.",
    source: "AAHA Nutritional Assessment Guidelines 2010; scatter between scorers: Laflamme 1997, from memory.",
  },
  target: {
    rule: "A weight that was recorded while the dog was in good shape comes first. Without one: lean weight is kept, and the fat that goes with today's score is brought down to 15–25%, middle 20%. The range carries the doubt in both. Breed tables are not used.",
    source: "SACN 5th ed., Table 27-11 (order of preference); fat per score: Clinician's Brief review of the Laflamme scale.",
  },
  first_goal: {
    rule: "First 7.5% off, never below the upper end of the target; then feel the ribs again and plan on. A score says less and less the fatter a dog is, so the far target firms up on the way.",
    source: "Careful choice of this tool: 5–10%, then score again.",
  },
  energy: {
    rule: "80% of what the dog eats now, if that was weighed and the weight is steady; held between 0.8 and 1.0 times the resting energy at the target weight. Without a known intake: the middle of that band.",
    source: "AAHA Weight Management Guidelines 2014, “Designing a program”. The floor of 0.8 is this tool's policy: no source proves a safe minimum for dogs.",
  },
  resting: {
    rule: "Resting energy is 70 × kg to the power 0.75, at the middle of the target.",
    source: "AAHA Weight Management Guidelines 2014; SACN 5th ed., Table 5-2.",
  },
  holding: {
    rule: "95 kcal per kg to the power 0.75 is what quiet pet dogs need on average. Single dogs ranged from 65 to 120, so the weigh-ins decide.",
    source: "NRC 2006, quoted in American Journal of Veterinary Research 2011;72:1151.",
  },
  steps: {
    rule: "The way down is more than 30% below today's food, so it is done in two steps a week apart. A new food is mixed in over 7–10 days.",
    source: "The two steps are this tool's policy; mixing foods over days is common practice, no source.",
  },
  weeks: {
    rule: "The soonest is 2% of today's weight a week, the latest 0.5%. Loss slows down on the way, and the doubt about the target counts too. The weekly review narrows it.",
    source: "SACN 5th ed., Box 27-12. The ceiling of 2% rests on studies of people.",
  },
  treats: {
    rule: "At most a tenth of the day's energy for everything beside the meals. Meals are made smaller by as much.",
    source: "SACN 5th ed., p. 522.",
  },
  ration: {
    rule: "Energy of the meal divided by the energy of the food, in grams. The cups are rounded to level eighths.",
    source: "The food's label. Cups were off by −48% to +152% in a study of owners' portions: weigh in grams if you can.",
  },
  rate: {
    rule: "A line through all weigh-ins that allows for scales that differ and for a dog's ups and downs from day to day. The band holds the true weight 9 times in 10.",
    source: "Local linear trend, fitted to this dog's own weigh-ins. No published figure was found for how much a dog's weight swings from day to day.",
  },
  need: {
    rule: "What was eaten, less what the change in weight says was saved or drawn from the body. It contains every slip in portion size too: it is what this dog seems to need on the food as measured here.",
    source: "Energy balance: SACN 5th ed., Table 27-15. The energy in a kilogram of dog is not known; human values are used with wide room.",
  },
  forecast: {
    rule: "Many runs of the energy balance from today's trend on today's ration: a lighter dog needs less, so the loss slows down. Early and late are the ends that hold 9 times in 10.",
    source: "This dog's own weigh-ins; slowing loss: German 2016, Acta Veterinaria Scandinavica 58(S1):57.",
  },
  change: {
    rule: "Rations change by 5–10% at a time, after four weigh-ins over three weeks, and never twice within two weeks. Feeding more to protect a dog does not wait for that.",
    source: "AAHA Weight Management Guidelines 2014 (checks every 2 weeks); step size from memory.",
  },
  after: {
    rule: "After the target the ration goes up by a tenth, and again only while the dog still loses. Most dogs need far less afterwards than tables say.",
    source: GERMAN_2011,
  },
});

/** Said on the welcome page and on the page of cautions. */
export const CAUTIONS = [
  { text: "Tuckline is not a vet and does not examine your dog. A vet should see a dog before it is put on less food: illness can make a dog fat or thin.", source: "AAHA Weight Management Guidelines 2014" },
  { text: "It gives no reduced ration to a dog that is growing, pregnant, nursing or already lean.", source: "This tool's policy" },
  { text: "Call a vet if your dog refuses food for more than a day, vomits, is weak, or loses weight that nobody planned.", source: "Clinical consensus, from memory; practice handouts agree" },
  { text: "Loss faster than 2% of body weight a week can cost muscle. The ceiling comes from studies of people.", source: "SACN 5th ed., p. 522; AAHA 2014" },
  { text: "An ordinary food fed sparingly gives fewer nutrients too. For more than a little weight, ask for a food made for weight loss.", source: "Linder et al. 2012, Veterinary Quarterly 32:123; Gaylord et al. 2018, Journal of Small Animal Practice 59:695" },
  { text: "A prescription food is changed, and treats are added to it, only with its vet.", source: "Common practice, no source" },
  { text: "Never as a treat: xylitol (in some peanut butters and gum), grapes and raisins, onion and garlic, macadamia nuts, chocolate, alcohol, raw dough.", source: "Cortinovis and Caloni 2016, Frontiers in Veterinary Science 3:26; case reports" },
  { text: "A breed table is no target: of 28 dogs that a vet found at their ideal weight, 18 were above their breed's range.", source: "154 adult pure-bred dogs of known condition in a UK veterinary sample" },
];

/** Said where they matter, from the same reading. */
export const NOT_KNOWN = [
  "What one dog needs before it is measured: about a third more or less than any formula says.",
  "A proven safe minimum of food, or a proven fastest loss, in dogs.",
  "How much a healthy dog's weight swings from day to day.",
  "The true body fat of very fat dogs and of unusual breeds.",
  "Whether losing weight lengthens a dog's life: the studies compare dogs, not treatments.",
];
