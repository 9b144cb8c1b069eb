// Written by `npm run types` from the core: change that, not this file.

/** @type {Record<string, import('./index.js').BrewDay>} */
export const EXAMPLES = {
 "pale-ale-10hl": {
  "underlet": 1,
  "name": "Harbour pale, 10 hL",
  "brewhouse": "Ninefold Quay",
  "sources": [
   {
    "name": "well",
    "calcium": "112 mg/L",
    "magnesium": "14 mg/L",
    "sodium": "22 mg/L",
    "potassium": "3 mg/L",
    "chloride": "38 mg/L",
    "sulfate": "61 mg/L",
    "nitrate": "18 mg/L",
    "alkalinity": "252 mg/L as CaCO3",
    "ph": 7.3
   }
  ],
  "hot_liquor_tank": {
   "fill": "15 hL",
   "temperature": "78 °C"
  },
  "grist": [
   {
    "malt": "pale ale malt",
    "mass": "180 kg"
   },
   {
    "malt": "caramel malt 80 to 120 EBC",
    "mass": "10 kg"
   },
   {
    "malt": "pale wheat malt",
    "mass": "10 kg"
   }
  ],
  "mash": {
   "liquor": "560 L",
   "liquor_temperature": "74 °C",
   "rest_temperature": "66 °C"
  },
  "sparge": {
   "liquor": "760 L",
   "liquor_temperature": "78 °C"
  },
  "targets": {
   "calcium": "100-200 mg/L",
   "magnesium": "5-30 mg/L",
   "sodium": "0-60 mg/L",
   "chloride": "40-120 mg/L",
   "sulfate": "120-250 mg/L",
   "sulfate_to_chloride": "1.5-3",
   "mash_ph": "5.3-5.5",
   "sparge_alkalinity": "0-50 mg/L as CaCO3"
  },
  "shelf": [
   {
    "reagent": "gypsum",
    "step": "5 g"
   },
   {
    "reagent": "calcium chloride dihydrate",
    "step": "5 g"
   },
   {
    "reagent": "epsom salt",
    "step": "5 g"
   },
   {
    "reagent": "sodium chloride",
    "step": "5 g"
   },
   {
    "reagent": "lactic acid",
    "strength": "80 %",
    "step": "5 mL"
   },
   {
    "reagent": "phosphoric acid",
    "strength": "75 %",
    "step": "5 mL"
   }
  ]
 },
 "dark-mild-2.5hl": {
  "underlet": 1,
  "name": "Breakwater dark mild, 2.5 hL from the bulk tank",
  "brewhouse": "Ninefold Quay",
  "sources": [
   {
    "name": "bulk liquor tank",
    "calcium": "68 mg/L",
    "magnesium": "6 mg/L",
    "sodium": "14 mg/L",
    "potassium": "2 mg/L",
    "chloride": "52 mg/L",
    "sulfate": "88 mg/L",
    "nitrate": "9 mg/L",
    "alkalinity": "54 mg/L as CaCO3",
    "ph": 6.9
   }
  ],
  "grist": [
   {
    "malt": "mild ale malt",
    "mass": "34 kg"
   },
   {
    "malt": "caramel malt 120 to 180 EBC",
    "mass": "3.5 kg"
   },
   {
    "malt": "brown malt",
    "mass": "2 kg"
   },
   {
    "malt": "chocolate malt",
    "mass": "1.5 kg"
   }
  ],
  "mash": {
   "liquor": "125 L",
   "liquor_temperature": "73 °C",
   "rest_temperature": "67 °C"
  },
  "sparge": {
   "liquor": "175 L",
   "liquor_temperature": "78 °C"
  },
  "targets": {
   "calcium": "80-140 mg/L",
   "sodium": "15-70 mg/L",
   "chloride": "75-150 mg/L",
   "sulfate": "50-120 mg/L",
   "mash_ph": "5.35-5.55"
  },
  "shelf": [
   {
    "reagent": "calcium chloride dihydrate",
    "step": "1 g"
   },
   {
    "reagent": "sodium chloride",
    "step": "1 g"
   },
   {
    "reagent": "sodium bicarbonate",
    "step": "1 g"
   },
   {
    "reagent": "slaked lime",
    "step": "1 g"
   },
   {
    "reagent": "lactic acid",
    "strength": "80 %",
    "step": "1 mL"
   }
  ]
 },
 "pale-lager-ro": {
  "underlet": 1,
  "name": "Slack-tide pale lager, 10 hL",
  "brewhouse": "Ninefold Quay",
  "sources": [
   {
    "name": "well",
    "calcium": "112 mg/L",
    "magnesium": "14 mg/L",
    "sodium": "22 mg/L",
    "potassium": "3 mg/L",
    "chloride": "38 mg/L",
    "sulfate": "61 mg/L",
    "nitrate": "18 mg/L",
    "alkalinity": "252 mg/L as CaCO3",
    "ph": 7.3
   },
   {
    "name": "reverse osmosis",
    "calcium": "2 mg/L",
    "magnesium": "0.5 mg/L",
    "sodium": "5 mg/L",
    "chloride": "4 mg/L",
    "sulfate": "1 mg/L",
    "alkalinity": "12 mg/L as CaCO3",
    "ph": 6.2,
    "at_most": "12 hL"
   }
  ],
  "hot_liquor_tank": {
   "fill": "14.5 hL",
   "temperature": "78 °C"
  },
  "grist": [
   {
    "malt": "pilsner malt",
    "mass": "170 kg"
   },
   {
    "malt": "dextrin malt",
    "mass": "8 kg"
   },
   {
    "malt": "acidulated malt",
    "mass": "3 kg"
   }
  ],
  "mash": {
   "liquor": "620 L",
   "liquor_temperature": "70 °C",
   "rest_temperature": "64 °C"
  },
  "sparge": {
   "liquor": "690 L",
   "liquor_temperature": "77 °C"
  },
  "targets": {
   "calcium": "50-90 mg/L",
   "magnesium": "0-15 mg/L",
   "sodium": "0-25 mg/L",
   "chloride": "50-100 mg/L",
   "sulfate": "20-60 mg/L",
   "mash_ph": {
    "low": 5.3,
    "high": 5.5,
    "prefer": 5.4
   },
   "sparge_alkalinity": "15-40 mg/L as CaCO3"
  },
  "shelf": [
   {
    "reagent": "gypsum",
    "step": "1 g"
   },
   {
    "reagent": "calcium chloride dihydrate",
    "step": "1 g"
   },
   {
    "reagent": "lactic acid",
    "strength": "80 %",
    "step": "1 mL"
   }
  ]
 }
};

/** @type {import('./index.js').Names} */
export const NAMES = {
 "ions": [
  "calcium",
  "magnesium",
  "sodium",
  "potassium",
  "ammonium",
  "iron",
  "manganese",
  "chloride",
  "sulfate",
  "nitrate",
  "nitrite",
  "fluoride"
 ],
 "malts": [
  "pilsner malt",
  "pale lager malt",
  "pale ale malt",
  "mild ale malt",
  "Vienna malt",
  "light Munich malt",
  "dark Munich malt",
  "highly kilned malt",
  "very highly kilned malt",
  "pale wheat malt",
  "dark wheat malt",
  "rye malt",
  "oat malt",
  "sorghum malt",
  "smoked malt",
  "chit malt",
  "dextrin malt",
  "caramel malt 5 to 20 EBC",
  "caramel malt 20 to 40 EBC",
  "caramel malt 40 to 80 EBC",
  "caramel malt 80 to 120 EBC",
  "caramel malt 120 to 180 EBC",
  "caramel malt 180 to 250 EBC",
  "caramel malt 250 to 400 EBC",
  "toasted malt",
  "amber malt",
  "brown malt",
  "pale chocolate malt",
  "chocolate malt",
  "black malt",
  "dehusked roasted malt",
  "roasted barley",
  "roasted wheat",
  "roasted rye",
  "acidulated malt",
  "flaked barley",
  "raw barley",
  "flaked oats",
  "raw or flaked wheat",
  "flaked rye",
  "flaked maize or maize grits",
  "flaked rice or rice grits",
  "sugar or glucose syrup"
 ],
 "reagents": [
  {
   "key": "gypsum",
   "name": "gypsum (calcium sulfate dihydrate)",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "calcium chloride anhydrous",
   "name": "calcium chloride, anhydrous",
   "unit": "g",
   "usual_strength_percent": 95
  },
  {
   "key": "calcium chloride dihydrate",
   "name": "calcium chloride dihydrate",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "calcium chloride hexahydrate",
   "name": "calcium chloride hexahydrate",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "calcium chloride solution",
   "name": "calcium chloride solution",
   "unit": "mL",
   "usual_strength_percent": 33
  },
  {
   "key": "epsom salt",
   "name": "Epsom salt (magnesium sulfate heptahydrate)",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "magnesium chloride hexahydrate",
   "name": "magnesium chloride hexahydrate",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "sodium chloride",
   "name": "sodium chloride (table salt)",
   "unit": "g",
   "usual_strength_percent": 99.5
  },
  {
   "key": "potassium chloride",
   "name": "potassium chloride",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "sodium bicarbonate",
   "name": "sodium bicarbonate (baking soda)",
   "unit": "g",
   "usual_strength_percent": 99.5
  },
  {
   "key": "sodium carbonate",
   "name": "sodium carbonate (soda ash)",
   "unit": "g",
   "usual_strength_percent": 99.5
  },
  {
   "key": "chalk",
   "name": "chalk (calcium carbonate)",
   "unit": "g",
   "usual_strength_percent": 98
  },
  {
   "key": "slaked lime",
   "name": "slaked lime (calcium hydroxide)",
   "unit": "g",
   "usual_strength_percent": 93
  },
  {
   "key": "potassium bicarbonate",
   "name": "potassium bicarbonate",
   "unit": "g",
   "usual_strength_percent": 99.5
  },
  {
   "key": "sodium sulfate",
   "name": "sodium sulfate, anhydrous",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "potassium metabisulfite",
   "name": "potassium metabisulfite",
   "unit": "g",
   "usual_strength_percent": 96
  },
  {
   "key": "sodium metabisulfite",
   "name": "sodium metabisulfite",
   "unit": "g",
   "usual_strength_percent": 96
  },
  {
   "key": "ascorbic acid",
   "name": "ascorbic acid (vitamin C)",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "lactic acid",
   "name": "lactic acid",
   "unit": "mL",
   "usual_strength_percent": 80
  },
  {
   "key": "phosphoric acid",
   "name": "phosphoric acid",
   "unit": "mL",
   "usual_strength_percent": 75
  },
  {
   "key": "hydrochloric acid",
   "name": "hydrochloric acid",
   "unit": "mL",
   "usual_strength_percent": 37
  },
  {
   "key": "sulfuric acid",
   "name": "sulfuric acid",
   "unit": "mL",
   "usual_strength_percent": 96
  },
  {
   "key": "citric acid",
   "name": "citric acid, anhydrous",
   "unit": "g",
   "usual_strength_percent": 99.5
  },
  {
   "key": "malic acid",
   "name": "malic acid",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "tartaric acid",
   "name": "tartaric acid",
   "unit": "g",
   "usual_strength_percent": 99.5
  },
  {
   "key": "acetic acid",
   "name": "acetic acid, by weight",
   "unit": "g",
   "usual_strength_percent": 80
  },
  {
   "key": "zinc sulfate heptahydrate",
   "name": "zinc sulfate heptahydrate",
   "unit": "g",
   "usual_strength_percent": 99
  },
  {
   "key": "zinc chloride",
   "name": "zinc chloride, anhydrous",
   "unit": "g",
   "usual_strength_percent": 98
  }
 ],
 "watched": [
  "ammonium",
  "chloramine",
  "chloride",
  "chlorine",
  "conductivity",
  "fluoride",
  "iron",
  "manganese",
  "nitrate",
  "nitrite",
  "ph",
  "sodium",
  "sulfate",
  "tds"
 ]
};

/** @type {Record<import('./index.js').ErrorCode, string>} */
export const ERROR_CODES = {
 "contradiction": "Two values that cannot both be right.",
 "dry": "A tank is heated, held or dosed without water.",
 "duplicate": "The same thing is given twice.",
 "empty_list": "A list that must hold something is empty.",
 "json_syntax": "The text is not JSON: line and column are told.",
 "missing_key": "A key that must be given is missing.",
 "no_equilibrium": "A liquor that has no equilibrium the engine could find.",
 "no_plan": "The day makes sense, but its amounts differ too much for one proven plan.",
 "not_a_date": "The text is not a calendar day of the form YYYY-MM-DD.",
 "not_a_number": "The text does not begin with a number.",
 "not_finite": "NaN or an infinity.",
 "out_of_range": "Below or above what this quantity can be.",
 "overdraw": "More liquor is drawn than a vessel holds or a source can give.",
 "overflow": "More comes into a tank, or swells in it on heating, than it holds.",
 "range_reversed": "A range whose low end lies above its high end.",
 "too_many": "A list is longer than a brew day can have.",
 "unknown_key": "A key this document does not have; the nearest known one is suggested.",
 "unknown_name": "A name that is not in the list it should come from; the nearest is suggested.",
 "wrong_type": "A value of another kind was expected: a list, an object, text, true or false.",
 "wrong_unit": "A unit that is unknown, or that measures something else.",
 "wrong_version": "The document's format version is not one this engine reads."
};
