// Illnesses and treatments that need a vet before any change of ration: words and texts of `tuckline conditions`.

/** @type {{word: string, text: string}[]} */
export const CONDITIONS = [
  { word: "heart_disease", text: "Heart disease" },
  { word: "kidney_disease", text: "Kidney disease" },
  { word: "liver_disease", text: "Liver disease" },
  { word: "diabetes", text: "Diabetes, with or without insulin" },
  { word: "past_pancreatitis", text: "Pancreatitis now or in the past" },
  { word: "urinary_stones", text: "Urinary stones or crystals" },
  { word: "food_allergy", text: "Food allergy or a trial diet for one" },
  { word: "prescription_diet", text: "A diet prescribed by a vet" },
  { word: "hypothyroidism", text: "An underactive thyroid" },
  { word: "adrenal_disease", text: "Disease of the adrenal glands" },
  { word: "cancer", text: "Cancer" },
  { word: "recent_surgery", text: "Surgery within the last weeks" },
  { word: "seizure_drugs", text: "Medicine against seizures" },
  { word: "steroids", text: "Steroids, by mouth or by injection" },
  { word: "refusing_food_over_a_day", text: "Refusing food for over a day" },
  { word: "vomiting", text: "Vomiting, once a day or more often" },
];
