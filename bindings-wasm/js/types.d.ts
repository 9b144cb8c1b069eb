// Written by `npm run types` from the JSON Schemas of the core: change those, not this file.

/**
 * A quantity as people write it, a bare number in the default unit, or value and unit.
 */
export type Quantity =
  | string
  | number
  | {
      unit: string;
      value: number;
    };
export type Range =
  | string
  | {
      high?: Quantity;
      low?: Quantity;
      prefer?: Quantity;
      weight?: number;
    };

export interface Documents {
  BrewDay: BrewDay;
  Plan: Plan;
  InputErrorDocument: InputErrorDocument;
}
export interface BrewDay {
  brewhouse?: string;
  grist: {
    buffering?: Quantity;
    buffering_sd?: Quantity;
    malt:
      | 'pilsner malt'
      | 'pale lager malt'
      | 'pale ale malt'
      | 'mild ale malt'
      | 'Vienna malt'
      | 'light Munich malt'
      | 'dark Munich malt'
      | 'highly kilned malt'
      | 'very highly kilned malt'
      | 'pale wheat malt'
      | 'dark wheat malt'
      | 'rye malt'
      | 'oat malt'
      | 'sorghum malt'
      | 'smoked malt'
      | 'chit malt'
      | 'dextrin malt'
      | 'caramel malt 5 to 20 EBC'
      | 'caramel malt 20 to 40 EBC'
      | 'caramel malt 40 to 80 EBC'
      | 'caramel malt 80 to 120 EBC'
      | 'caramel malt 120 to 180 EBC'
      | 'caramel malt 180 to 250 EBC'
      | 'caramel malt 250 to 400 EBC'
      | 'toasted malt'
      | 'amber malt'
      | 'brown malt'
      | 'pale chocolate malt'
      | 'chocolate malt'
      | 'black malt'
      | 'dehusked roasted malt'
      | 'roasted barley'
      | 'roasted wheat'
      | 'roasted rye'
      | 'acidulated malt'
      | 'flaked barley'
      | 'raw barley'
      | 'flaked oats'
      | 'raw or flaked wheat'
      | 'flaked rye'
      | 'flaked maize or maize grits'
      | 'flaked rice or rice grits'
      | 'sugar or glucose syrup'
      | 'caramel malt 80-120 EBC'
      | 'wheat malt pale'
      | 'caramel malt 120-180 EBC'
      | 'dextrin malt (very pale caramel)';
    mass: Quantity;
    ph_in_distilled_water?: Quantity;
    ph_sd?: Quantity;
  }[];
  hot_liquor_tank?: {
    fill: Quantity;
    temperature: Quantity;
  };
  mash: {
    liquor: Quantity;
    liquor_temperature: Quantity;
    rest_temperature: Quantity;
  };
  name?: string;
  shelf: {
    at?: ('hot_liquor_tank' | 'mash_tun' | 'sparge_liquor')[];
    reagent:
      | 'gypsum'
      | 'calcium chloride anhydrous'
      | 'calcium chloride dihydrate'
      | 'calcium chloride hexahydrate'
      | 'calcium chloride solution'
      | 'epsom salt'
      | 'magnesium chloride hexahydrate'
      | 'sodium chloride'
      | 'potassium chloride'
      | 'sodium bicarbonate'
      | 'sodium carbonate'
      | 'chalk'
      | 'slaked lime'
      | 'potassium bicarbonate'
      | 'sodium sulfate'
      | 'potassium metabisulfite'
      | 'sodium metabisulfite'
      | 'ascorbic acid'
      | 'lactic acid'
      | 'phosphoric acid'
      | 'hydrochloric acid'
      | 'sulfuric acid'
      | 'citric acid'
      | 'malic acid'
      | 'tartaric acid'
      | 'acetic acid';
    smallest?: Quantity;
    step?: Quantity;
    stock?: Quantity;
    strength?: Quantity;
  }[];
  sources: {
    alkalinity?: Quantity;
    ammonium?: Quantity;
    at_most?: Quantity;
    bicarbonate?: Quantity;
    calcium?: Quantity;
    chloride?: Quantity;
    fluoride?: Quantity;
    iron?: Quantity;
    magnesium?: Quantity;
    manganese?: Quantity;
    name: string;
    nitrate?: Quantity;
    nitrite?: Quantity;
    ph?: Quantity;
    potassium?: Quantity;
    sodium?: Quantity;
    sulfate?: Quantity;
  }[];
  sparge?: {
    liquor: Quantity;
    liquor_temperature: Quantity;
  };
  targets: {
    ammonium?: Range;
    calcium?: Range;
    chloride?: Range;
    fluoride?: Range;
    iron?: Range;
    magnesium?: Range;
    manganese?: Range;
    mash_ph?: Range;
    nitrate?: Range;
    nitrite?: Range;
    potassium?: Range;
    sodium?: Range;
    sparge_alkalinity?: Range;
    sulfate?: Range;
    sulfate_to_chloride?: Range;
  };
  underlet: 1;
}
/**
 * A plan to weigh from.
 */
export interface Plan {
  /**
   * What to weigh and measure, in the order of work.
   */
  additions: Addition[];
  /**
   * What was assumed because the day did not say.
   */
  assumptions: string[];
  /**
   * What the liquor is blended from.
   */
  blend: BlendPart[];
  /**
   * Name of the brewhouse.
   */
  brewhouse: string;
  /**
   * What can hurt, and what to doubt.
   */
  cautions: Caution[];
  /**
   * Always "plan".
   */
  document: string;
  fit: FitReport;
  mash: MashForecast;
  /**
   * True when every range is met.
   */
  meets_every_range: boolean;
  /**
   * Name of the brew.
   */
  name: string;
  /**
   * What the meters should show.
   */
  readings: Reading[];
  /**
   * Why the plan is as it is.
   */
  reasons: Reason[];
  /**
   * The sparge liquor, where there is a sparge.
   */
  sparge: SpargeForecast | null;
  /**
   * One line: does it meet every range, and where does the mash land?
   */
  summary: string;
  /**
   * Each wanted range: where the source stood and where the plan lands.
   */
  targets: TargetLine[];
  /**
   * Format version: 1.
   */
  underlet: number;
  /**
   * Liquor to let into each vessel, in the order of work.
   */
  vessels: VesselLiquor[];
}
/**
 * One weighing or measuring out.
 */
export interface Addition {
  /**
   * How much, in whole steps of the scale.
   */
  amount: number;
  /**
   * What the fit asked for before it was rounded to the scale, in the same unit.
   */
  before_rounding: number;
  /**
   * For people, such as "125 g".
   */
  display: string;
  /**
   * How to dissolve and handle it.
   */
  how: string;
  /**
   * Name for people, with its strength where it has one.
   */
  name: string;
  /**
   * Key of the reagent.
   */
  reagent: string;
  /**
   * Step in the order of work, from 1.
   */
  step: number;
  /**
   * "g" or "mL".
   */
  unit: string;
  /**
   * Where it goes.
   */
  vessel: 'hot_liquor_tank' | 'mash_tun' | 'sparge_liquor';
  /**
   * Name of the vessel for people.
   */
  vessel_label: string;
  /**
   * When.
   */
  when: string;
  /**
   * What it does, such as "calcium +23 mg/L, sulfate +56 mg/L".
   */
  why: string;
}
/**
 * One source's part of the liquor.
 */
export interface BlendPart {
  /**
   * For people, such as "970 L (70 %)".
   */
  display: string;
  /**
   * Share of the liquor by mass, 0 to 1.
   */
  share: number;
  /**
   * Name of the source.
   */
  source: string;
  /**
   * Cold volume to draw, litres at 20 °C.
   */
  volume_l: number;
}
/**
 * One caution.
 */
export interface Caution {
  /**
   * Stable code, such as "acid_into_water".
   */
  code: string;
  /**
   * How much it matters.
   */
  severity: 'danger' | 'care' | 'note';
  /**
   * The sentence.
   */
  text: string;
}
/**
 * How good the fit is, proven.
 */
export interface FitReport {
  certificate: Proof;
  /**
   * Iterations of the solver.
   */
  iterations: number;
  /**
   * Objective of the plan as it is weighed.
   */
  objective: number;
  /**
   * Objective of the best plan if the scale were infinitely fine: no weighable plan can be better.
   */
  objective_before_rounding: number;
}
/**
 * Proof that the plan before rounding is the best one.
 */
export interface Proof {
  /**
   * Largest product of slack and multiplier.
   */
  complementarity: number;
  /**
   * Largest wrong-signed multiplier.
   */
  dual_infeasibility: number;
  /**
   * Duality gap.
   */
  gap: number;
  /**
   * Largest violation of a limit.
   */
  primal_infeasibility: number;
  /**
   * Largest component of the gradient that no multiplier explains.
   */
  stationarity: number;
}
/**
 * The mash pH forecast.
 */
export interface MashForecast {
  /**
   * Where the uncertainty comes from, largest first.
   */
  causes: Cause[];
  /**
   * pH against acid: what the mash would do with more or less of it.
   */
  curve: CurvePoint[];
  /**
   * For people, such as "5.42 ± 0.13".
   */
  display: string;
  /**
   * 80 % interval, low and high.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_80: [number, number];
  /**
   * 95 % interval, low and high.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number];
  /**
   * pH of a cooled sample 20 to 60 minutes in.
   */
  ph: number;
  /**
   * What the same mash reads at its rest temperature.
   */
  ph_at_rest_temperature: number;
  /**
   * pH without any addition.
   */
  ph_untreated: number;
  /**
   * Chance that the pH lands in its wanted range; absent without a range.
   */
  probability_in_range: number | null;
  /**
   * Rest temperature, °C.
   */
  rest_temperature_c: number;
  /**
   * Temperature of the sample, °C.
   */
  sample_temperature_c: number;
  /**
   * Standard deviation of what the meter will show, pH.
   */
  sd: number;
  /**
   * Liquor per grain, L/kg.
   */
  thickness_l_per_kg: number;
}
/**
 * One cause of uncertainty.
 */
export interface Cause {
  /**
   * Key, such as "malt_lots".
   */
  cause: string;
  /**
   * Name for people.
   */
  label: string;
  /**
   * Its own standard deviation, pH.
   */
  sd: number;
  /**
   * Its share of the variance, 0 to 1.
   */
  share: number;
}
/**
 * A point of the titration curve of the mash.
 */
export interface CurvePoint {
  /**
   * Acid beyond the plan, mEq per kg of grist; negative for less.
   */
  acid_meq_per_kg: number;
  /**
   * pH there.
   */
  ph: number;
  /**
   * Its standard deviation.
   */
  sd: number;
}
/**
 * What a meter should show at a step.
 */
export interface Reading {
  /**
   * For people, such as "5.42 ± 0.25".
   */
  display: string;
  /**
   * Expected value.
   */
  expected: number;
  /**
   * Name for people.
   */
  label: string;
  /**
   * What it means if it lies outside.
   */
  otherwise: string;
  /**
   * Half width that is still as expected (95 %).
   */
  tolerance: number;
  /**
   * Unit; empty for pH.
   */
  unit: string;
  /**
   * What is read: "mash_ph".
   */
  what: string;
  /**
   * After which step, in words.
   */
  when: string;
}
/**
 * One reason, as data and as a sentence.
 */
export interface Reason {
  /**
   * Stable code, such as "source_above_range".
   */
  code: string;
  /**
   * What it is about: a target's or a reagent's key.
   */
  subject: string;
  /**
   * The sentence.
   */
  text: string;
}
/**
 * The sparge liquor.
 */
export interface SpargeForecast {
  /**
   * Alkalinity titrated to pH 4.3, mg/L as CaCO3.
   */
  alkalinity_mg_l_caco3: number;
  /**
   * For people.
   */
  display: string;
  /**
   * pH of a cooled sample of liquor that lost no carbon dioxide.
   */
  ph_closed: number;
}
/**
 * A wanted range and how it is met.
 */
export interface TargetLine {
  /**
   * For people, such as "118 → 96 mg/L, wanted 50 to 150".
   */
  display: string;
  /**
   * High end.
   */
  high: number | null;
  /**
   * Key, such as "calcium", "sulfate_to_chloride", "mash_ph", "sparge_alkalinity".
   */
  key: string;
  /**
   * Name for people.
   */
  label: string;
  /**
   * Low end of the range.
   */
  low: number | null;
  /**
   * What the plan reaches.
   */
  planned: number;
  /**
   * Preferred point.
   */
  prefer: number | null;
  /**
   * Before any addition, in the first source alone.
   */
  source: number;
  /**
   * "met", "below", "above" or "free" where no range was given.
   */
  state: 'met' | 'below' | 'above' | 'free';
  /**
   * Unit of the numbers of this line; empty for a ratio or a pH.
   */
  unit: string;
}
/**
 * Liquor in a vessel.
 */
export interface VesselLiquor {
  /**
   * For people, such as "540 L at 72 °C".
   */
  display: string;
  /**
   * Name for people.
   */
  label: string;
  /**
   * Temperature, °C.
   */
  temperature_c: number;
  /**
   * Which vessel.
   */
  vessel: 'hot_liquor_tank' | 'mash_tun' | 'sparge_liquor';
  /**
   * Volume as read at its temperature, litres.
   */
  volume_l: number;
  /**
   * Mass of water, kg.
   */
  water_kg: number;
}
/**
 * All problems of one input, in the order of its fields. Never empty.
 */
export interface InputErrorDocument {
  /**
   * The problems, first field first.
   */
  problems: Problem[];
}
/**
 * One thing wrong with an input.
 */
export interface Problem {
  /**
   * Stable short code.
   */
  code:
    | 'json_syntax'
    | 'wrong_version'
    | 'wrong_type'
    | 'missing_key'
    | 'unknown_key'
    | 'unknown_name'
    | 'not_a_number'
    | 'not_finite'
    | 'wrong_unit'
    | 'out_of_range'
    | 'range_reversed'
    | 'empty_list'
    | 'too_many'
    | 'duplicate'
    | 'contradiction'
    | 'overdraw';
  /**
   * What was expected.
   */
  expected: string;
  /**
   * How to mend it.
   */
  mend: string;
  /**
   * Where: the field's path, such as `grist[1].mass`; empty for the whole document.
   */
  path: string;
  /**
   * What was read there.
   */
  read: string;
}
