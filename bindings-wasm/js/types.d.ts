// Written by `npm run types` from the core: change that, not this file.

/**
 * volume that boils off in an hour from 0 to 100000 L/h
 */
export type VolumeThatBoilsOffInAnHour = number | TextWithUnit | ValueAndUnit;
export type TextWithUnit = string;
/**
 * grain absorption from 0 to 3 L/kg
 */
export type GrainAbsorption = number | TextWithUnit | ValueAndUnit;
/**
 * volume of the tank from 0.01 to 1000000 L
 */
export type VolumeOfTheTank = number | TextWithUnit | ValueAndUnit;
/**
 * dead volume from 0 to 100000 L
 */
export type DeadVolume = number | TextWithUnit | ValueAndUnit;
/**
 * scale step from 0.000001 to 10000 g or mL
 */
export type ScaleStep = number | TextWithUnit | ValueAndUnit;
/**
 * overshoot risk from 0.001 to 1
 */
export type OvershootRisk = number | TextWithUnit | ValueAndUnit;
/**
 * number from 0 to 30
 */
export type Number = number | TextWithUnit | ValueAndUnit;
/**
 * acidity from 0 to 10000 meq/kg
 */
export type Acidity = number | TextWithUnit | ValueAndUnit;
/**
 * pH from 0 to 14
 */
export type PH = number | TextWithUnit | ValueAndUnit;
/**
 * buffering from 0 to 1000 meq/(kg pH)
 */
export type Buffering = number | TextWithUnit | ValueAndUnit;
/**
 * standard deviation of the buffering from 0 to 1000 meq/(kg pH)
 */
export type StandardDeviationOfTheBuffering = number | TextWithUnit | ValueAndUnit;
/**
 * colour from 0 to 20000 EBC
 */
export type Colour = number | TextWithUnit | ValueAndUnit;
/**
 * malt pH from 2 to 8
 */
export type MaltPH = number | TextWithUnit | ValueAndUnit;
/**
 * pH between which its buffering changes.
 */
export type RangeOfPH =
  | PH
  | (PH | null)[]
  | {
      /**
       * High end; open where it is left out.
       */
      high?: PH | null;
      /**
       * Low end; open where it is left out.
       */
      low?: PH | null;
      /**
       * Preferred value within the range.
       */
      prefer?: PH | null;
    };
/**
 * buffering from 0 to 1000 meq/(kg pH)
 */
export type Buffering1 = number | TextWithUnit | ValueAndUnit;
/**
 * standard deviation of the buffering from 0 to 1000 meq/(kg pH)
 */
export type StandardDeviationOfTheBuffering1 = number | TextWithUnit | ValueAndUnit;
/**
 * Of buffering and curvature.
 */
export type Correlation = number | TextWithUnit | ValueAndUnit;
/**
 * Of pH and buffering.
 */
export type Correlation1 = number | TextWithUnit | ValueAndUnit;
/**
 * Of pH and curvature.
 */
export type Correlation2 = number | TextWithUnit | ValueAndUnit;
/**
 * Half of what the buffering rises per pH that the mash is more acid, meq/(kg pH²).
 */
export type CurvatureInMeqKgPH = number | TextWithUnit | ValueAndUnit;
/**
 * Standard deviation of that curvature.
 */
export type StandardDeviationOfTheCurvature = number | TextWithUnit | ValueAndUnit;
/**
 * malt pH from 2 to 8
 */
export type MaltPH1 = number | TextWithUnit | ValueAndUnit;
/**
 * Standard deviation of that pH.
 */
export type StandardDeviationOfThePH = number | TextWithUnit | ValueAndUnit;
/**
 * lactic acid content above 0 and up to 20 %
 */
export type LacticAcidContent = number | TextWithUnit | ValueAndUnit;
/**
 * Mass weighed in.
 */
export type MassOfMalt = number | TextWithUnit | ValueAndUnit;
/**
 * standard deviation of the pH from 0 to 2
 */
export type StandardDeviationOfThePH1 = number | TextWithUnit | ValueAndUnit;
/**
 * pH from 0 to 14
 */
export type PH1 = number | TextWithUnit | ValueAndUnit;
/**
 * Volume as read at its temperature.
 */
export type LiquorVolume = number | TextWithUnit | ValueAndUnit;
/**
 * Temperature of that liquor.
 */
export type Temperature = number | TextWithUnit | ValueAndUnit;
/**
 * boiling time above 0 and up to 24 h
 */
export type BoilingTime = number | TextWithUnit | ValueAndUnit;
/**
 * volume that boils off from 0 to 1000000 L
 */
export type VolumeThatBoilsOff = number | TextWithUnit | ValueAndUnit;
/**
 * zinc above 0 and up to 1 mg/L
 */
export type Zinc = number | TextWithUnit | ValueAndUnit;
/**
 * Volume as read at its temperature.
 */
export type LiquorVolume1 = number | TextWithUnit | ValueAndUnit;
/**
 * Temperature of that liquor.
 */
export type Temperature1 = number | TextWithUnit | ValueAndUnit;
/**
 * Temperature at which the mash rests.
 */
export type Temperature2 = number | TextWithUnit | ValueAndUnit;
/**
 * recipe scale above 0 and up to 1000
 */
export type RecipeScale = number | TextWithUnit | ValueAndUnit;
/**
 * cost per kg or L from 0 to 1000000
 */
export type CostPerKgOrL = number | TextWithUnit | ValueAndUnit;
/**
 * stock on hand from 0 to 1000000 g or mL
 */
export type StockOnHand = number | TextWithUnit | ValueAndUnit;
/**
 * strength above 0 and up to 100 %
 */
export type Strength = number | TextWithUnit | ValueAndUnit;
/**
 * strength in mol/L above 0 and up to 30 mol/L
 */
export type StrengthInMolL = number | TextWithUnit | ValueAndUnit;
/**
 * concentration from 0 to 20000 mg/L
 */
export type StatedConcentration = number | StatedInWords | StatedInParts;
/**
 * With a unit, a sign or a range: "<0.5 mg/L", "n.d.", "trace", "12-18 mg/L, average 15", "5 ± 1 mg/L" (twice the standard deviation).
 */
export type StatedInWords = string;
/**
 * alkalinity from 0 to 2000 mg/L as CaCO3
 */
export type StatedAlkalinity = number | StatedInWords | StatedInParts;
/**
 * conductivity from 0 to 100000 µS/cm
 */
export type StatedConductivity = number | StatedInWords | StatedInParts;
/**
 * dissolved solids from 0 to 100000 mg/L
 */
export type StatedDissolvedSolids = number | StatedInWords | StatedInParts;
/**
 * chlorine from 0 to 100 mg/L
 */
export type StatedChlorine = number | StatedInWords | StatedInParts;
/**
 * hardness from 0 to 10000 mg/L as CaCO3
 */
export type StatedHardness = number | StatedInWords | StatedInParts;
/**
 * covariance in (mmol/kg)² from -4000000 to 4000000
 */
export type CovarianceInMmolKg = number | TextWithUnit | ValueAndUnit;
/**
 * Amount per kg of water.
 */
export type AmountInMmolKg = number | TextWithUnit | ValueAndUnit;
/**
 * available volume from 0 to 1000000000 L
 */
export type AvailableVolume = number | TextWithUnit | ValueAndUnit;
/**
 * pH from 0 to 14
 */
export type StatedPH = number | StatedInWords | StatedInParts;
/**
 * temperature from 0 to 100 °C
 */
export type Temperature3 = number | TextWithUnit | ValueAndUnit;
/**
 * Volume as read at its temperature.
 */
export type LiquorVolume2 = number | TextWithUnit | ValueAndUnit;
/**
 * temperature from 0 to 100 °C
 */
export type Temperature4 = number | TextWithUnit | ValueAndUnit;
export type RangeOfConcentration =
  | Concentration
  | (Concentration | null)[]
  | {
      /**
       * High end; open where it is left out.
       */
      high?: Concentration | null;
      /**
       * Low end; open where it is left out.
       */
      low?: Concentration | null;
      /**
       * Preferred value within the range.
       */
      prefer?: Concentration | null;
    };
/**
 * concentration from 0 to 20000 mg/L
 */
export type Concentration = number | TextWithUnit | ValueAndUnit;
/**
 * confidence from 0.5 to 0.99
 */
export type Confidence = number | TextWithUnit | ValueAndUnit;
export type RangeOfKettlePH =
  | KettlePH
  | (KettlePH | null)[]
  | {
      /**
       * High end; open where it is left out.
       */
      high?: KettlePH | null;
      /**
       * Low end; open where it is left out.
       */
      low?: KettlePH | null;
      /**
       * Preferred value within the range.
       */
      prefer?: KettlePH | null;
    };
/**
 * kettle pH from 4 to 7
 */
export type KettlePH = number | TextWithUnit | ValueAndUnit;
/**
 * dissolved solids from 0 to 100000 mg/L
 */
export type DissolvedSolids = number | TextWithUnit | ValueAndUnit;
export type RangeOfMashPH =
  | MashPH
  | (MashPH | null)[]
  | {
      /**
       * High end; open where it is left out.
       */
      high?: MashPH | null;
      /**
       * Low end; open where it is left out.
       */
      low?: MashPH | null;
      /**
       * Preferred value within the range.
       */
      prefer?: MashPH | null;
    };
/**
 * mash pH from 4 to 8
 */
export type MashPH = number | TextWithUnit | ValueAndUnit;
export type RangeOfAlkalinity =
  | Alkalinity
  | (Alkalinity | null)[]
  | {
      /**
       * High end; open where it is left out.
       */
      high?: Alkalinity | null;
      /**
       * Low end; open where it is left out.
       */
      low?: Alkalinity | null;
      /**
       * Preferred value within the range.
       */
      prefer?: Alkalinity | null;
    };
/**
 * alkalinity from 0 to 2000 mg/L as CaCO3
 */
export type Alkalinity = number | TextWithUnit | ValueAndUnit;
export type RangeOfPH1 =
  | PH
  | (PH | null)[]
  | {
      /**
       * High end; open where it is left out.
       */
      high?: PH | null;
      /**
       * Low end; open where it is left out.
       */
      low?: PH | null;
      /**
       * Preferred value within the range.
       */
      prefer?: PH | null;
    };
export type RangeOfRatio =
  | Ratio
  | (Ratio | null)[]
  | {
      /**
       * High end; open where it is left out.
       */
      high?: Ratio | null;
      /**
       * Low end; open where it is left out.
       */
      low?: Ratio | null;
      /**
       * Preferred value within the range.
       */
      prefer?: Ratio | null;
    };
/**
 * ratio from 0 to 1000
 */
export type Ratio = number | TextWithUnit | ValueAndUnit;
/**
 * weight from 0.000001 to 1000
 */
export type Weight = number | TextWithUnit | ValueAndUnit;
/**
 * Parts of the acid for a mash.
 */
export type AcidPart = 'first' | 'rest';
/**
 * Drops until the colour changed, the last one counted.
 */
export type NumberOfDrops = number | TextWithUnit | ValueAndUnit;
/**
 * alkalinity from 0 to 2000 mg/L as CaCO3
 */
export type Alkalinity1 = number | TextWithUnit | ValueAndUnit;
/**
 * Strength of the acid, counted in the hydrogen it gives: 0.02 mol/L of hydrochloric acid or 0.01 mol/L of sulfuric acid is 0.02.
 */
export type StrengthOfTheTitrant = number | TextWithUnit | ValueAndUnit;
/**
 * Volume of the sample.
 */
export type VolumeOfTheSample = number | TextWithUnit | ValueAndUnit;
/**
 * Volume that it took.
 */
export type VolumeUsed = number | TextWithUnit | ValueAndUnit;
/**
 * Strength of the acid, counted in the hydrogen it gives: 0.02 mol/L of hydrochloric acid or 0.01 mol/L of sulfuric acid is 0.02.
 */
export type StrengthOfTheTitrant1 = number | TextWithUnit | ValueAndUnit;
/**
 * pH from 0 to 14
 */
export type PH2 = number | TextWithUnit | ValueAndUnit;
/**
 * Acid added so far.
 */
export type VolumeUsed1 = number | TextWithUnit | ValueAndUnit;
/**
 * Volume of the sample.
 */
export type VolumeOfTheSample1 = number | TextWithUnit | ValueAndUnit;
/**
 * Drops until the colour changed, the last one counted.
 */
export type NumberOfDrops1 = number | TextWithUnit | ValueAndUnit;
/**
 * What one drop equals.
 */
export type Hardness = number | TextWithUnit | ValueAndUnit;
/**
 * Strength of the EDTA.
 */
export type StrengthOfTheTitrant2 = number | TextWithUnit | ValueAndUnit;
/**
 * Volume of the sample.
 */
export type VolumeOfTheSample2 = number | TextWithUnit | ValueAndUnit;
/**
 * Volume that it took.
 */
export type VolumeUsed2 = number | TextWithUnit | ValueAndUnit;
/**
 * How long after the grist was mashed in.
 */
export type TimeAfterMashingIn = number | TextWithUnit | ValueAndUnit;
/**
 * stock on hand from 0 to 1000000 g or mL
 */
export type StockOnHand1 = number | TextWithUnit | ValueAndUnit;
/**
 * stock on hand from 0 to 1000000 g or mL
 */
export type StockOnHand2 = number | TextWithUnit | ValueAndUnit;
/**
 * time after mashing in from 0 to 6 h
 */
export type TimeAfterMashingIn1 = number | TextWithUnit | ValueAndUnit;
/**
 * conductivity from 0 to 100000 µS/cm
 */
export type Conductivity = number | TextWithUnit | ValueAndUnit;
/**
 * temperature on the thermometer from -10 to 110 °C
 */
export type TemperatureOnTheThermometer = number | TextWithUnit | ValueAndUnit;
/**
 * volume collected from 0 to 1000000 L
 */
export type VolumeCollected = number | TextWithUnit | ValueAndUnit;
/**
 * Their extract, °P, or their specific gravity, such as "1.010 SG", of a cooled sample; a bare number of 0.99 to 1.2 is a specific gravity.
 */
export type Gravity = number | TextWithUnit | ValueAndUnit;
/**
 * mash pH from 4 to 8
 */
export type MashPH1 = number | TextWithUnit | ValueAndUnit;
/**
 * Where a meter is held in, in the order of work.
 */
export type Place =
  'cold_liquor' | 'tank' | 'mash_liquor' | 'mash_first' | 'mash' | 'sparge_liquor' | 'kettle';
/**
 * number of a heel from -1000000000000 to 1000000000000
 */
export type NumberOfAHeel = number | TextWithUnit | ValueAndUnit;
/**
 * Amount per kg of water.
 */
export type AmountInMmolKg1 = number | TextWithUnit | ValueAndUnit;
/**
 * temperature from 0 to 100 °C
 */
export type Temperature5 = number | TextWithUnit | ValueAndUnit;
/**
 * Water in the tank.
 */
export type MassOfWater = number | TextWithUnit | ValueAndUnit;
/**
 * time from 0 to 1000 h
 */
export type Time = number | TextWithUnit | ValueAndUnit;
/**
 * temperature from 0 to 100 °C
 */
export type Temperature6 = number | TextWithUnit | ValueAndUnit;
/**
 * Amount per kg of water.
 */
export type AmountInMmolKg2 = number | TextWithUnit | ValueAndUnit;
/**
 * volume of the tank from 0.01 to 1000000 L
 */
export type VolumeOfTheTank1 = number | TextWithUnit | ValueAndUnit;
/**
 * share from 0 to 1
 */
export type Share = number | TextWithUnit | ValueAndUnit;
/**
 * film of water in mm from 0.001 to 1000
 */
export type FilmOfWaterInMm = number | TextWithUnit | ValueAndUnit;
/**
 * standard deviation of the film from 0 to 1000
 */
export type StandardDeviationOfTheFilm = number | TextWithUnit | ValueAndUnit;
/**
 * area of scale in cm²/L from 0 to 10000
 */
export type AreaOfScaleInCmL = number | TextWithUnit | ValueAndUnit;
/**
 * standard deviation of the area from 0 to 10000
 */
export type StandardDeviationOfTheArea = number | TextWithUnit | ValueAndUnit;
/**
 * Amount per kg of water.
 */
export type AmountInMmolKg3 = number | TextWithUnit | ValueAndUnit;
/**
 * Amount per kg of water.
 */
export type AmountInMmolKg4 = number | TextWithUnit | ValueAndUnit;
/**
 * Volume of the liquor as read at its temperature.
 */
export type LiquorVolume3 = number | TextWithUnit | ValueAndUnit;
/**
 * log10 of the pressure of carbon dioxide in atm, from -10 to 1
 */
export type Log10OfThePressureOfCarbonDioxideInAtm = number | TextWithUnit | ValueAndUnit;

export interface Documents {
  BrewDay: BrewDay;
  Plan: Plan;
  WaterReport: WaterReport;
  Water: Water;
  Readings: Readings;
  Diagnosis: Diagnosis;
  TankDay: TankDay;
  TankLedger: TankLedger;
  IonFit: IonFit;
  FittedIons: FittedIons;
  EquilibriumInput: EquilibriumInput;
  Equilibrium: Equilibrium;
  InputErrorDocument: InputErrorDocument;
}
export interface BrewDay {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * Whether to propose alternatives: a salt fewer, another acid, dilution, lime or boiling, one reagent more.
   */
  alternatives?: boolean | null;
  /**
   * The brewhouse: its name alone, or what it is like. None of it grows with the recipe.
   */
  brewhouse?:
    | (string | null)
    | ({
        /**
         * What boils off in an hour, as read boiling hot, where the day does not say what boils off.
         */
        boil_off?: VolumeThatBoilsOffInAnHour | null;
        /**
         * Liquor that drained grains keep; 1 L/kg where it is left out.
         */
        grain_absorption?: GrainAbsorption | null;
        /**
         * What the kettle holds, full to the brim.
         */
        kettle_capacity?: VolumeOfTheTank | null;
        /**
         * What stays in the kettle after the boil, as read boiling hot.
         */
        kettle_dead_volume?: DeadVolume | null;
        /**
         * Step of the scale or measuring cylinder for every reagent whose shelf does not say; 1 g or 1 mL where it is left out.
         */
        measure_step?: ScaleStep | null;
        /**
         * Meters on hand: only what they show is predicted; every one where it is left out.
         */
        meters?: ('ph' | 'conductivity' | 'temperature')[] | null;
        /**
         * Name of the brewhouse.
         */
        name?: string | null;
        /**
         * Chance that is taken of giving the mash more acid than can be taken back: it decides how much goes in before the first reading; 3 % where it is left out, 100 % for all at once.
         */
        overshoot_risk?: OvershootRisk | null;
        /**
         * Step of the scale or measuring cylinder for every reagent whose shelf does not say; 1 g or 1 mL where it is left out.
         */
        scale_step?: ScaleStep | null;
        /**
         * What the hot-liquor tank holds, hot; any fill fits where it is left out.
         */
        tank_capacity?: VolumeOfTheTank | null;
        /**
         * What lies below the outlet of the hot-liquor tank: treated with the rest, and never drawn.
         */
        tank_dead_volume?: DeadVolume | null;
        /**
         * What the mash tun holds, liquor and grist together.
         */
        tun_capacity?: VolumeOfTheTank | null;
        /**
         * What stays in the mash tun beside what the grains keep.
         */
        tun_dead_volume?: DeadVolume | null;
      } | null);
  /**
   * Brews from this liquor, one like the other: grist, mash, sparge and kettle are those of each, the tank's fill and the sources are for all of them. One where it is left out.
   */
  brews?: Number | null;
  /**
   * Kind of the document; it may be left out.
   */
  document?: 'brew-day' | null;
  /**
   * Malts and adjuncts.
   */
  grist: {
    /**
     * Base that brings the lot's mash up to a pH, from a titration; in place of the buffering.
     */
    acidity?: Acidity | null;
    /**
     * The pH that the acidity was titrated to; 5.7 where it is left out.
     */
    acidity_to_ph?: PH | null;
    /**
     * The lot's own buffering.
     */
    buffering?: Buffering | null;
    /**
     * Standard deviation of its buffering.
     */
    buffering_sd?: StandardDeviationOfTheBuffering | null;
    /**
     * The lot's colour; the acidity of caramel malts follows it.
     */
    colour?: Colour | null;
    /**
     * pH of the lot's Congress wort, as its certificate states it; a mash reads lower.
     */
    congress_ph?: MaltPH | null;
    /**
     * The lot's titration curve, as a document that the engine wrote states it, in place of the figures of a certificate.
     */
    curve?: {
      bends_between: RangeOfPH;
      buffering: Buffering1;
      buffering_sd: StandardDeviationOfTheBuffering1;
      /**
       * Whether it is the average of a trade class, and not of this lot.
       */
      class_average?: boolean | null;
      /**
       * Correlations of the errors of its pH, its buffering and its curvature.
       */
      correlations: {
        buffering_curvature: Correlation;
        ph_buffering: Correlation1;
        ph_curvature: Correlation2;
      };
      curvature: CurvatureInMeqKgPH;
      curvature_sd: StandardDeviationOfTheCurvature;
      ph_in_distilled_water: MaltPH1;
      ph_sd: StandardDeviationOfThePH;
    } | null;
    /**
     * Lactic acid of acidulated malt, by mass.
     */
    lactic_acid?: LacticAcidContent | null;
    /**
     * Trade class of the malt; leave it out for one that is given by numbers.
     */
    malt?:
      | (
          | (
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
            )
          | string
        )
      | null;
    mass: MassOfMalt;
    /**
     * Name of the lot, where it is not the class.
     */
    name?: string | null;
    /**
     * The lot's own pH in distilled water, cooled sample.
     */
    ph_in_distilled_water?: MaltPH | null;
    /**
     * Standard deviation of its pH.
     */
    ph_sd?: StandardDeviationOfThePH1 | null;
    /**
     * The lot titrated on the bench in distilled water: pH of cooled samples with acid or base.
     */
    titration?:
      | {
          /**
           * Acid added, per kg of malt; leave it out for none.
           */
          acid?: Acidity | null;
          /**
           * Base added, in place of acid.
           */
          base?: Acidity | null;
          ph: PH1;
        }[]
      | null;
  }[];
  /**
   * The tank that mash and sparge liquor are drawn from; leave it out where liquor comes ready and only the tun can be dosed.
   */
  hot_liquor_tank?: {
    fill: LiquorVolume;
    temperature: Temperature;
  } | null;
  /**
   * Your own identifier; the result carries it.
   */
  id?: string | null;
  /**
   * The boil, and zinc for the yeast; an hour at the rate of the brewhouse, or the usual one, where it is left out.
   */
  kettle?: {
    /**
     * How long it boils.
     */
    boil?: BoilingTime | null;
    /**
     * What boils off in all, as read boiling hot.
     */
    boil_off?: VolumeThatBoilsOff | null;
    /**
     * Zinc for the yeast, in the water after the boil; none where it is left out.
     */
    zinc?: Zinc | null;
  } | null;
  /**
   * Liquor let into the grist.
   */
  mash: {
    liquor: LiquorVolume1;
    liquor_temperature: Temperature1;
    rest_temperature: Temperature2;
  };
  /**
   * Most different salts and bases to weigh, wherever they go; acids are not counted. As many as help where it is left out.
   */
  max_salts?: Number | null;
  /**
   * Name of the brew.
   */
  name: string;
  /**
   * Your own note; the result carries it.
   */
  note?: string | null;
  /**
   * Factor on every amount of the recipe: masses of malts, liquor, the tank's fill and what boils off; steps, stocks and the brewhouse stay. 1 where it is left out.
   */
  recipe_scale?: RecipeScale | null;
  /**
   * Reagents at hand.
   */
  shelf?:
    | {
        /**
         * What a kg of a solid or a L of a liquid costs, in any currency: of plans that are as good, the cheapest is weighed; the lightest where it is left out.
         */
        cost?: CostPerKgOrL | null;
        /**
         * Smallest dose that makes sense; one step where it is left out.
         */
        min_dose?: StockOnHand | null;
        /**
         * The reagent.
         */
        reagent:
          | (
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
              | 'acetic acid'
              | 'zinc sulfate heptahydrate'
              | 'zinc chloride'
            )
          | string;
        /**
         * Step of the scale or measuring cylinder; 1 g or 1 mL where neither it nor the brewhouse states one.
         */
        step?: ScaleStep | null;
        /**
         * Stock on hand, for all brews; plenty where it is left out.
         */
        stock?: StockOnHand | null;
        /**
         * Strength of a solution or assay of a solid; the usual one where it is left out.
         */
        strength?: (Strength | StrengthInMolL) | null;
        /**
         * Vessels it may go into; the usual ones where it is left out.
         */
        vessels?: ('hot_liquor_tank' | 'mash_liquor' | 'mash_tun' | 'sparge_liquor' | 'kettle')[] | null;
      }[]
    | null;
  /**
   * Waters to draw from; the first is preferred.
   */
  sources: {
    /**
     * Acetate.
     */
    acetate?: StatedConcentration | null;
    /**
     * Total alkalinity (m value, to pH 4.5 or methyl orange), or carbonate hardness.
     */
    alkalinity?: StatedAlkalinity | null;
    /**
     * Ammonium.
     */
    ammonium?: StatedConcentration | null;
    /**
     * Ascorbate.
     */
    ascorbate?: StatedConcentration | null;
    /**
     * Bicarbonate; in place of an alkalinity, or beside it: then both must agree.
     */
    bicarbonate?: StatedConcentration | null;
    /**
     * Calcium.
     */
    calcium?: StatedConcentration | null;
    /**
     * Carbonate, beside bicarbonate.
     */
    carbonate?: StatedConcentration | null;
    /**
     * Chloride.
     */
    chloride?: StatedConcentration | null;
    /**
     * Citrate.
     */
    citrate?: StatedConcentration | null;
    /**
     * Electrical conductivity at 25 °C, or at 20 °C where the unit says so. It checks the ions.
     */
    conductivity?: StatedConductivity | null;
    /**
     * Dissolved solids or dry residue. They check the ions.
     */
    dissolved_solids?: StatedDissolvedSolids | null;
    /**
     * Fluoride.
     */
    fluoride?: StatedConcentration | null;
    /**
     * Free chlorine, as Cl2.
     */
    free_chlorine?: StatedChlorine | null;
    /**
     * Total hardness. Calcium and magnesium follow from it where they are not stated.
     */
    hardness?: StatedHardness | null;
    /**
     * Iron.
     */
    iron?: StatedConcentration | null;
    /**
     * Lactate.
     */
    lactate?: StatedConcentration | null;
    /**
     * The liquor of a reconciled water, out of its water document (`reconciled.liquor`), in place of the figures of a report: its uncertainty is part of the error bars.
     */
    liquor?: {
      /**
       * Ions, weak acids and inorganic carbon.
       */
      amounts: {
        /**
         * Its variance under its own key, and its covariance with each other amount under that amount's key, (mmol/kg)²; each two amounts state it once.
         */
        covariance: {
          /**
           * Of this amount.
           */
          acetate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ammonium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ascorbate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          calcium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          chloride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          citrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          fluoride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          inorganic_carbon?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          iron?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          lactate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          magnesium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          malate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          manganese?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          phosphate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          potassium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          silica?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sodium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          tartrate?: CovarianceInMmolKg | null;
        };
        /**
         * Key of the ion, or "inorganic_carbon".
         */
        key:
          | (
              | 'calcium'
              | 'magnesium'
              | 'sodium'
              | 'potassium'
              | 'ammonium'
              | 'iron'
              | 'manganese'
              | 'chloride'
              | 'sulfate'
              | 'nitrate'
              | 'nitrite'
              | 'fluoride'
              | 'lactate'
              | 'acetate'
              | 'citrate'
              | 'malate'
              | 'tartrate'
              | 'phosphate'
              | 'sulfite'
              | 'ascorbate'
              | 'silica'
              | 'inorganic_carbon'
            )
          | string;
        mmol_per_kg: AmountInMmolKg;
      }[];
      /**
       * What a plan should say of it.
       */
      remarks?:
        | {
            /**
             * What it is about.
             */
            code: ('report_mistaken' | 'report_against_bench' | 'report_finding') | string;
            /**
             * How grave it is.
             */
            severity: ('warning' | 'doubt' | 'note') | string;
            /**
             * In plain words.
             */
            text: string;
          }[]
        | null;
    } | null;
    /**
     * Magnesium.
     */
    magnesium?: StatedConcentration | null;
    /**
     * Malate.
     */
    malate?: StatedConcentration | null;
    /**
     * Manganese.
     */
    manganese?: StatedConcentration | null;
    /**
     * Most that can be drawn for all brews of the day, cold.
     */
    max_amount?: AvailableVolume | null;
    /**
     * Name of the water, such as "well".
     */
    name: string;
    /**
     * Nitrate.
     */
    nitrate?: StatedConcentration | null;
    /**
     * Nitrite.
     */
    nitrite?: StatedConcentration | null;
    /**
     * pH of the sample, at its temperature.
     */
    ph?: StatedPH | null;
    /**
     * Alkalinity to pH 8.3 (p value, to phenolphthalein). It checks the others.
     */
    phenolphthalein_alkalinity?: StatedAlkalinity | null;
    /**
     * Phosphate.
     */
    phosphate?: StatedConcentration | null;
    /**
     * Potassium.
     */
    potassium?: StatedConcentration | null;
    /**
     * Silica.
     */
    silica?: StatedConcentration | null;
    /**
     * Sodium.
     */
    sodium?: StatedConcentration | null;
    /**
     * Sulfate.
     */
    sulfate?: StatedConcentration | null;
    /**
     * Sulfite.
     */
    sulfite?: StatedConcentration | null;
    /**
     * Tartrate.
     */
    tartrate?: StatedConcentration | null;
    /**
     * Temperature of the sample; 20 °C where it is left out.
     */
    temperature?: Temperature3 | null;
    /**
     * Total chlorine, chloramines among it, as Cl2.
     */
    total_chlorine?: StatedChlorine | null;
  }[];
  /**
   * Liquor for sparging; leave it out without a sparge.
   */
  sparge?: {
    liquor: LiquorVolume2;
    liquor_temperature: Temperature4;
    /**
     * Equal portions in which the sparge liquor is run on; one where it is left out.
     */
    portions?: Number | null;
  } | null;
  /**
   * Targets. Ions count over all the brewing liquor, and what goes into the kettle over its water.
   */
  targets?: {
    /**
     * Ammonium.
     */
    ammonium?: RangeOfConcentration | null;
    /**
     * Calcium.
     */
    calcium?: RangeOfConcentration | null;
    /**
     * Chloride.
     */
    chloride?: RangeOfConcentration | null;
    /**
     * Chance that a target should have of landing in its range; it is aimed so far inside.
     */
    confidence?: {
      /**
       * Chance that this pH lands in its range.
       */
      mash_ph?: Confidence | null;
      /**
       * Chance that this pH lands in its range.
       */
      sparge_ph?: Confidence | null;
    } | null;
    /**
     * Fluoride.
     */
    fluoride?: RangeOfConcentration | null;
    /**
     * Iron.
     */
    iron?: RangeOfConcentration | null;
    /**
     * pH of the full kettle, sample cooled to 20 °C: acid that may go there brings it down.
     */
    kettle_ph?: RangeOfKettlePH | null;
    /**
     * Most that the liquor as a whole may hold, whatever the targets, with all that goes in: the kettle's acid, zinc, and what takes chlorine out count.
     */
    limits?: {
      /**
       * Acetate.
       */
      acetate?: Concentration | null;
      /**
       * Ammonium.
       */
      ammonium?: Concentration | null;
      /**
       * Ascorbate.
       */
      ascorbate?: Concentration | null;
      /**
       * Calcium.
       */
      calcium?: Concentration | null;
      /**
       * Chloride.
       */
      chloride?: Concentration | null;
      /**
       * Citrate.
       */
      citrate?: Concentration | null;
      /**
       * Dissolved solids.
       */
      dissolved_solids?: DissolvedSolids | null;
      /**
       * Fluoride.
       */
      fluoride?: Concentration | null;
      /**
       * Iron.
       */
      iron?: Concentration | null;
      /**
       * Lactate.
       */
      lactate?: Concentration | null;
      /**
       * Magnesium.
       */
      magnesium?: Concentration | null;
      /**
       * Malate.
       */
      malate?: Concentration | null;
      /**
       * Manganese.
       */
      manganese?: Concentration | null;
      /**
       * Nitrate.
       */
      nitrate?: Concentration | null;
      /**
       * Nitrite.
       */
      nitrite?: Concentration | null;
      /**
       * Phosphate.
       */
      phosphate?: Concentration | null;
      /**
       * Potassium.
       */
      potassium?: Concentration | null;
      /**
       * Silica.
       */
      silica?: Concentration | null;
      /**
       * Sodium.
       */
      sodium?: Concentration | null;
      /**
       * Sulfate.
       */
      sulfate?: Concentration | null;
      /**
       * Sulfite.
       */
      sulfite?: Concentration | null;
      /**
       * Tartrate.
       */
      tartrate?: Concentration | null;
    } | null;
    /**
     * Magnesium.
     */
    magnesium?: RangeOfConcentration | null;
    /**
     * Manganese.
     */
    manganese?: RangeOfConcentration | null;
    /**
     * pH of the mash, sample cooled to 20 °C.
     */
    mash_ph?: RangeOfMashPH | null;
    /**
     * Nitrate.
     */
    nitrate?: RangeOfConcentration | null;
    /**
     * Nitrite.
     */
    nitrite?: RangeOfConcentration | null;
    /**
     * Potassium.
     */
    potassium?: RangeOfConcentration | null;
    /**
     * Sodium.
     */
    sodium?: RangeOfConcentration | null;
    /**
     * Alkalinity of the sparge liquor that works against the mash: the acid it takes down to pH 5.4, carbon dioxide gone. 25 to 50 mg/L as CaCO3 are the usual limits.
     */
    sparge_alkalinity?: RangeOfAlkalinity | null;
    /**
     * pH of the fresh sparge liquor, sample cooled to 20 °C.
     */
    sparge_ph?: RangeOfPH1 | null;
    /**
     * Sulfate.
     */
    sulfate?: RangeOfConcentration | null;
    /**
     * Sulfate to chloride, by mass.
     */
    sulfate_to_chloride?: RangeOfRatio | null;
    /**
     * How much a target counts beside the others; 1 where it is left out.
     */
    weights?: {
      /**
       * Weight of this target.
       */
      ammonium?: Weight | null;
      /**
       * Weight of this target.
       */
      calcium?: Weight | null;
      /**
       * Weight of this target.
       */
      chloride?: Weight | null;
      /**
       * Weight of this target.
       */
      fluoride?: Weight | null;
      /**
       * Weight of this target.
       */
      iron?: Weight | null;
      /**
       * Weight of this target.
       */
      magnesium?: Weight | null;
      /**
       * Weight of this target.
       */
      manganese?: Weight | null;
      /**
       * Weight of this target.
       */
      mash_ph?: Weight | null;
      /**
       * Weight of this target.
       */
      nitrate?: Weight | null;
      /**
       * Weight of this target.
       */
      nitrite?: Weight | null;
      /**
       * Weight of this target.
       */
      potassium?: Weight | null;
      /**
       * Weight of this target.
       */
      sodium?: Weight | null;
      /**
       * Weight of this target.
       */
      sparge_alkalinity?: Weight | null;
      /**
       * Weight of this target.
       */
      sparge_ph?: Weight | null;
      /**
       * Weight of this target.
       */
      sulfate?: Weight | null;
      /**
       * Weight of this target.
       */
      sulfate_to_chloride?: Weight | null;
    } | null;
  } | null;
  /**
   * Format version of the document.
   */
  underlet: 1 | null;
}
export interface ValueAndUnit {
  /**
   * Its unit.
   */
  unit?: string | null;
  /**
   * The number.
   */
  value: number | string;
}
export interface StatedInParts {
  /**
   * Average of a range.
   */
  average?: number | string | null;
  /**
   * Greatest of a range.
   */
  high?: number | string | null;
  /**
   * Least of a range.
   */
  low?: number | string | null;
  /**
   * Standard deviation.
   */
  sd?: number | string | null;
  /**
   * Unit of these numbers.
   */
  unit?: string | null;
  /**
   * The value.
   */
  value?: number | string | null;
}
/**
 * A plan to weigh from.
 */
export interface Plan {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * What to weigh and measure, in the order of work.
   */
  additions: Addition[];
  /**
   * Alternatives; empty unless the day requests them.
   */
  alternatives: Alternative[];
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
   * Brews from this liquor: mash, sparge and kettle are those of each.
   */
  brews: number;
  /**
   * Dangers, and what to be careful about.
   */
  cautions: Caution[];
  /**
   * Everything that is dissolved in the liquor as a whole, with and without a target.
   */
  dissolved: DissolvedLine[];
  /**
   * Kind of the document.
   */
  document: 'plan';
  /**
   * Version of the engine that wrote it, such as "0.1.0".
   */
  engine: string;
  fit: FitReport;
  /**
   * Each hard limit of the day, with what the plan reaches of it.
   */
  hard_limits: HardLimit[];
  /**
   * Your own identifier, from the input document.
   */
  id: string | null;
  kettle: KettleForecast;
  /**
   * Limits that hold the plan back, before it is rounded to the scale, and what relief of
   * each would change.
   */
  limits: BindingLimit[];
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
   * Your own note, from the input document.
   */
  note: string | null;
  /**
   * What the meters should show, in the order of work.
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
   * Each target range, with the value of the source and of the plan.
   */
  targets: TargetLine[];
  /**
   * Format version: 1.
   */
  underlet: 1;
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
   * Before rounding to the scale, in the same unit.
   */
  before_rounding: number;
  /**
   * Cold water that an acid is diluted in before it goes in, litres; null for what is no
   * acid.
   */
  dilution_l: number | null;
  /**
   * For people, such as "125 g".
   */
  display: string;
  /**
   * The pH to which an acid is poured into liquor, and the volumes that may take; null for
   * what is given as a volume or a mass, and in an alternative.
   */
  end_point: EndPoint | null;
  /**
   * How to dissolve and handle it.
   */
  how: string;
  /**
   * Name for people, with its strength where it has one.
   */
  name: string;
  /**
   * Which part of its dose it is, where the mash is read between two; null for all of it.
   */
  part: AcidPart | null;
  /**
   * Key of the reagent.
   */
  reagent: string;
  /**
   * Step in the order of work, from 1.
   */
  step: number;
  /**
   * How often so much is given: once, or once in each brew.
   */
  times: number;
  /**
   * "g" or "mL".
   */
  unit: 'g' | 'mL';
  /**
   * Where it goes.
   */
  vessel: 'hot_liquor_tank' | 'mash_liquor' | 'mash_tun' | 'sparge_liquor' | 'kettle';
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
 * The pH at which an acid has done its work, with the volumes that may take.
 */
export interface EndPoint {
  /**
   * For people, such as "pour until the meter shows 5.6 (cooled to 20 °C), about 74 mL; have
   * 90 mL ready; stop at 90 mL".
   */
  display: string;
  /**
   * Volume to have ready and never to exceed: 2.5 % of days take more.
   */
  high: number;
  /**
   * Volume that may do, in the unit of the addition: 2.5 % of days take less.
   */
  low: number;
  /**
   * pH of a sample cooled to 20 °C at which to stop.
   */
  ph: number;
}
/**
 * Another plan beside this one, with what it costs; confidences are aimed anew for it.
 */
export interface Alternative {
  /**
   * What to weigh and measure.
   */
  additions: Addition[];
  /**
   * What the liquor is blended from.
   */
  blend: BlendPart[];
  /**
   * What it changes beside this plan.
   */
  changes: Change[];
  /**
   * What is done otherwise: the best plan with a salt fewer, with another acid in place of
   * one, with the least pure water that brings every range within reach, or with the one
   * reagent more that helps most.
   */
  code:
    | 'one_salt_fewer'
    | 'acid_swapped'
    | 'least_dilution'
    | 'slaked_lime'
    | 'boiled_first'
    | 'one_more_reagent';
  /**
   * How much worse the fit is as weighed, in its own measure, each thing to weigh counted
   * with its price; negative where it is better.
   */
  cost: number;
  /**
   * True when every range is met.
   */
  meets_every_range: boolean;
  /**
   * The salts or the acid given up, the reagent more, or "pure water".
   */
  subject: string;
  /**
   * The sentence.
   */
  text: string;
}
/**
 * One source's part of the liquor.
 */
export interface BlendPart {
  /**
   * For people, such as "970 L at 20 °C (70 %)".
   */
  display: string;
  /**
   * Residual alkalinity of the source, mg/L as CaCO3 (Kolbach 1953).
   */
  residual_alkalinity_mg_l_caco3: number;
  /**
   * Share of the liquor by mass, 0 to 1.
   */
  share: number;
  /**
   * Name of the source.
   */
  source: string;
  /**
   * Volume to draw, litres at 20 °C.
   */
  volume_l: number;
}
/**
 * A target that would miss its range by more or by less; or a pH whose chance would fall short
 * of its confidence by more or by less.
 */
export interface Change {
  /**
   * For people.
   */
  display: string;
  /**
   * Key of the target, "confidence" for that of the mash pH, or "sparge_confidence".
   */
  key:
    | 'calcium'
    | 'magnesium'
    | 'sodium'
    | 'potassium'
    | 'ammonium'
    | 'iron'
    | 'manganese'
    | 'chloride'
    | 'sulfate'
    | 'nitrate'
    | 'nitrite'
    | 'fluoride'
    | 'sulfate_to_chloride'
    | 'alkalinity'
    | 'mash_ph'
    | 'sparge_alkalinity'
    | 'sparge_ph'
    | 'kettle_ph'
    | 'confidence'
    | 'sparge_confidence';
  /**
   * How far it lies outside its range now, negative below it; 0 where it is met, null for a
   * ratio without chloride to compare with.
   */
  missed_by: number | null;
  /**
   * Unit of the numbers; empty for a ratio or a pH, whole "%" for a chance.
   */
  unit: string;
  /**
   * How far it would.
   */
  would_miss_by: number | null;
}
/**
 * One caution.
 */
export interface Caution {
  /**
   * Stable code, such as "acid_into_water".
   */
  code:
    | 'acid_into_water'
    | 'carbon_dioxide'
    | 'lime_burns'
    | 'sulfite'
    | 'hot_liquor'
    | 'report_mistaken'
    | 'report_against_bench'
    | 'report_finding'
    | 'report_does_not_balance'
    | 'limit_exceeded'
    | 'target_above_limit'
    | 'may_be_tasted'
    | 'nearly_full'
    | 'chlorine_left'
    | 'chloramine_stays'
    | 'zinc'
    | 'zinc_short'
    | 'zinc_not_weighed'
    | 'chalk_dissolves_in_part'
    | 'base_drops_chalk'
    | 'citrate_binds_calcium'
    | 'acid_and_base'
    | 'mash_ph_not_known'
    | 'liquor_too_concentrated'
    | 'gypsum_undissolved'
    | 'takes_up_no_more'
    | 'mash_ph_target_unusual'
    | 'rest_temperature_unusual'
    | 'strike_misses_rest'
    | 'sparge_temperature_unusual'
    | 'tank_colder_than_draw'
    | 'source_drawn_hot'
    | 'much_acidulated_malt'
    | 'acid_on_acidulated_malt'
    | 'sparge_overdosed'
    | 'confidence_not_reached'
    | 'mash_ph_unsure'
    | 'safety_data_sheet'
    | 'readings_not_predicted'
    | 'meter_decides'
    | 'rough_error_bar'
    | 'scale_expected'
    | 'chloride_on_steel'
    | 'fit_and_forecast_apart';
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
 * Something dissolved in the liquor as a whole: mash and sparge together, by mass, and what
 * goes into the kettle per kg of its water.
 */
export interface DissolvedLine {
  /**
   * Reagents that bring it, by their keys, what brings most first.
   */
  brought_by: string[];
  /**
   * Whether it has no range, and changes so much that a brewer wants to know.
   */
  changes_much: boolean;
  /**
   * For people, such as "phosphate, from phosphoric acid +130 mg/L".
   */
  display: string;
  /**
   * Whether the day has a range for it.
   */
  has_target: boolean;
  /**
   * Key of the component, such as "lactate"; "zinc" for that of the kettle.
   */
  key: string;
  /**
   * Name for people.
   */
  label: string;
  /**
   * Whether it is listed beside the targets: it has no range, and a reagent brings it or it
   * changes much.
   */
  listed: boolean;
  /**
   * What to know of it; empty where there is nothing.
   */
  note: string;
  /**
   * With all that goes in, mg/L.
   */
  planned_mg_l: number;
  /**
   * In the first source, before any addition, mg/L.
   */
  source_mg_l: number;
  /**
   * From how much it is said to be tasted, mg/L; null where no figure is known.
   */
  tasted_from_mg_l: number | null;
}
/**
 * How good the fit is, proven.
 */
export interface FitReport {
  certificate: Proof;
  /**
   * How much better another weighable plan could still be, each thing to weigh counted with
   * its price, as a part of the objective; 0 where this plan is proven the best that can be
   * weighed.
   */
  gap: number;
  /**
   * Iterations of the solver.
   */
  iterations: number;
  /**
   * Nodes of the search for it.
   */
  nodes: number;
  /**
   * Objective of the plan as it is weighed.
   */
  objective: number;
  /**
   * Objective of the best plan if the scale were infinitely fine: no weighable plan can be
   * better.
   */
  objective_before_rounding: number;
  /**
   * Objective of the best plan of an infinitely fine scale, each dose rounded to its nearest
   * step within its stock, of any number of salts.
   */
  objective_rounded: number;
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
 * A hard limit, and what the plan reaches of it.
 */
export interface HardLimit {
  /**
   * For people, such as "396 mg/L of at most 400".
   */
  display: string;
  /**
   * Key of what it is on.
   */
  key: string;
  /**
   * Name for people.
   */
  label: string;
  /**
   * The limit, mg/L.
   */
  limit_mg_l: number;
  /**
   * What the plan reaches with all that goes in, mg/L.
   */
  reached_mg_l: number;
}
/**
 * The wort at kettle full, before the boil.
 */
export interface KettleForecast {
  /**
   * The same for people, by volume or mass of an acid of the shelf where there is one.
   */
  acid_for_a_tenth_display: string;
  /**
   * Its 95 % interval, low and high, meq: the error is a factor, so the high end is farther
   * off.
   *
   * @minItems 2
   * @maxItems 2
   */
  acid_for_a_tenth_interval_95_meq: [number, number];
  /**
   * Acid that lowers it by 0.1, meq.
   */
  acid_for_a_tenth_meq: number;
  /**
   * Its standard deviation, meq: published figures for the buffering of wort differ by a
   * factor of two.
   */
  acid_for_a_tenth_sd_meq: number;
  /**
   * Hours of open boiling.
   */
  boil_hours: number;
  /**
   * Water that boils off, kg.
   */
  boiled_off_kg: number;
  /**
   * For people.
   */
  display: string;
  /**
   * 95 % interval, low and high; null with the standard deviation.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number] | null;
  /**
   * What the liquor and what goes into the kettle bring of each ion, as the kettle's water
   * holds it; malt brings its own, and the mash keeps some calcium.
   */
  ions: KettleIon[];
  /**
   * Water in the wort that is knocked out, kg: what the boil leaves, less what the kettle
   * keeps.
   */
  knocked_out_kg: number;
  /**
   * pH of a cooled sample before the boil.
   */
  ph: number;
  /**
   * pH after the boil, cooled sample.
   */
  ph_boiled: number;
  /**
   * Its standard deviation.
   */
  ph_boiled_sd: number | null;
  /**
   * pH of a cooled sample once what goes into the kettle before the boil is in: that before
   * where nothing does.
   */
  ph_dosed: number;
  /**
   * Its standard deviation; null where the mash pH or the sparge liquor is not known.
   */
  sd: number | null;
  /**
   * Water in it, kg.
   */
  water_kg: number;
}
/**
 * An ion of the liquor in the kettle.
 */
export interface KettleIon {
  /**
   * The same once the boil is over.
   */
  boiled_mg_l: number;
  /**
   * In the water of the full kettle, mg/L at 20 °C.
   */
  full_mg_l: number;
  /**
   * Key of the ion.
   */
  ion: string;
}
/**
 * A limit the best plan misses or rests on, with a unit of relief; a confidence draws the ends
 * of its pH in.
 */
export interface BindingLimit {
  /**
   * What it would change in the plan before rounding.
   */
  changes: Change[];
  /**
   * What limits: an end of a range, a hard limit on the liquor, a stock on hand, what
   * dissolves, or what can be drawn of a source.
   */
  code: 'range_low' | 'range_high' | 'limit' | 'stock' | 'solubility' | 'source';
  /**
   * One unit of relief: 1 mg/L, 0.1 of a ratio, 0.01 pH, a step of the scale or of a draw.
   */
  relief: number;
  /**
   * A target's or a reagent's key, what a hard limit is on, or the name of a source.
   */
  subject: string;
  /**
   * The sentence.
   */
  text: string;
  /**
   * Its unit; empty for a ratio or a pH.
   */
  unit: string;
  /**
   * What it is worth by the limit's multiplier, in the fit's own measure.
   */
  worth: number;
}
/**
 * The mash pH forecast.
 */
export interface MashForecast {
  /**
   * What reading and correcting it comes to; null where it is not read, has no range, or the
   * shelf has no acid for it.
   */
  correction: ForeseenCorrection | null;
  /**
   * pH against acid: what the mash would do with more or less of it, as far as the forecast
   * was checked.
   */
  curve: CurvePoint[];
  /**
   * For people, such as "5.42 (5.29–5.56, 95 %)".
   */
  display: string;
  /**
   * 80 % interval, low and high; null with the standard deviation.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_80: [number, number] | null;
  /**
   * 95 % interval, low and high; null with the standard deviation.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number] | null;
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
   * Chance that the pH lands in its target range; absent without a range, or where it is a
   * single value.
   */
  probability_in_range: number | null;
  /**
   * The measurement that would raise that chance most; null where none is worth its work.
   */
  raised_by: RaisedBy | null;
  /**
   * The requested chance, by which the mash pH is aimed, %; absent where there is none.
   */
  requested_confidence_percent: number | null;
  /**
   * Rest temperature, °C.
   */
  rest_temperature_c: number;
  /**
   * Temperature of the sample, °C.
   */
  sample_temperature_c: number;
  /**
   * Standard deviation of what the meter will show, pH; null where the forecast was not
   * checked, as a caution says.
   */
  sd: number | null;
  /**
   * Liquor per grain, L/kg.
   */
  thickness_l_per_kg: number;
  /**
   * Where the uncertainty comes from, largest first.
   */
  uncertainty_budget: Contribution[];
}
/**
 * What reading and correcting a mash comes to, before it is read.
 */
export interface ForeseenCorrection {
  /**
   * For people: the doses by reading.
   */
  display: string;
  /**
   * Its name, with its strength.
   */
  name: string;
  /**
   * Where it is read: after its first acid, or with all of it.
   */
  place: 'cold_liquor' | 'tank' | 'mash_liquor' | 'mash_first' | 'mash' | 'sparge_liquor' | 'kettle';
  /**
   * Chance that the mash lands in its range once it is read and corrected, 0 to 1.
   */
  probability_in_range: number;
  /**
   * Key of the acid that is due where it reads high.
   */
  reagent: string;
  /**
   * Doses by reading, the lowest reading first; between two of them, in proportion.
   */
  rows: CorrectionRow[];
  /**
   * Unit of the doses.
   */
  unit: 'g' | 'mL';
}
/**
 * What is due at a reading.
 */
export interface CorrectionRow {
  /**
   * Acid that is due then, beside what is in.
   */
  due: number;
  /**
   * Chance that the mash then lands in its range, 0 to 1.
   */
  probability_in_range: number;
  /**
   * What the meter shows, of a cooled sample.
   */
  reads: number;
}
/**
 * A point of the titration curve of the mash.
 */
export interface CurvePoint {
  /**
   * Acid beyond the plan, meq per kg of grist; negative for less.
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
 * A measurement that would raise the chance of a forecast.
 */
export interface RaisedBy {
  /**
   * Code of the measurement.
   */
  measurement: 'alkalinity' | 'malt_ph' | 'malt_titration';
  /**
   * The chance once it is measured, 0 to 1, should the forecast not move.
   */
  probability_in_range: number;
  /**
   * The malt or the waters to measure.
   */
  subject: string;
  /**
   * For people.
   */
  text: string;
}
/**
 * One cause of uncertainty.
 */
export interface Contribution {
  /**
   * Key, such as "malt_lots".
   */
  cause:
    | 'malt_lots'
    | 'malt_buffer'
    | 'sampling'
    | 'meter'
    | 'alkalinity'
    | 'calcium_effect'
    | 'acid_strength'
    | 'dissolving'
    | 'carbon';
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
 * What a meter should show at a step.
 */
export interface Reading {
  /**
   * For people, such as "5.42 (5.19–5.68)", or "your first reading + 68 ± 6 µS/cm".
   */
  display: string;
  /**
   * Expected value.
   */
  expected: number;
  /**
   * Of a pH the interval that holds 95 % of what the meter shows, low and high: skewed as the
   * titration curve is. Null for what is not skewed, and has the tolerance.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number] | null;
  /**
   * The same where the acid of the liquor was poured until the meter showed its end point and
   * not by its volume; null where there is no end point.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95_once_poured: [number, number] | null;
  /**
   * Name for people.
   */
  label: string;
  /**
   * By which meter.
   */
  meter: 'ph' | 'conductivity' | 'temperature';
  /**
   * What it means if it lies outside.
   */
  otherwise: string;
  /**
   * Where.
   */
  place: 'cold_liquor' | 'tank' | 'mash_liquor' | 'mash_first' | 'mash' | 'sparge_liquor' | 'kettle';
  /**
   * Of a conductivity how far it lies above the brewer's own first reading, of the liquor as
   * drawn; null where there is none.
   */
  rise: Rise | null;
  /**
   * Half width that is still as expected (95 %).
   */
  tolerance: number;
  /**
   * Unit; empty for pH.
   */
  unit: string;
  /**
   * Place and meter in one, such as "tank_conductivity".
   */
  what: string;
  /**
   * After which step, in words.
   */
  when: string;
}
/**
 * How far a reading lies above the brewer's own first one by the same meter. What both share, such
 * as the calibration of the meter and most of what is not known about the water, falls out.
 */
export interface Rise {
  /**
   * Standard deviation.
   */
  sd: number;
  /**
   * Expected value, in the unit of the reading; negative where it falls.
   */
  value: number;
}
/**
 * One reason, as data and as a sentence.
 */
export interface Reason {
  /**
   * Stable code, such as "source_above_range".
   */
  code:
    | 'nothing_needed'
    | 'out_of_reach'
    | 'source_above_range'
    | 'kettle_acid'
    | 'max_salts'
    | 'whole_steps'
    | 'hard_limit'
    | 'no_acid'
    | 'no_base'
    | 'nothing_brings'
    | 'stock_or_solubility'
    | 'ranges_conflict'
    | 'range_too_narrow'
    | 'aimed_inside_range'
    | 'aim_not_converged'
    | 'rests_on_range'
    | 'rests_on_limit'
    | 'temporary_hardness'
    | 'ranges_met'
    | 'not_computed';
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
   * Alkalinity that works against the mash, mg/L as CaCO3: the acid the liquor takes down
   * to pH 5.4 once its carbon dioxide has left.
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
  /**
   * pH of a cooled sample once carbon dioxide has left to the air.
   */
  ph_open: number;
  /**
   * Chance that the fresh liquor's pH lands in its target range; absent without a range, or
   * where it is a single value.
   */
  probability_in_range: number | null;
  /**
   * The requested chance, by which its pH is aimed, %; absent where there is none.
   */
  requested_confidence_percent: number | null;
  /**
   * Alkalinity that a titration to pH 4.5 finds, mg/L as CaCO3: it counts lactate and
   * citrate, which a mash does not.
   */
  titrated_alkalinity_mg_l_caco3: number;
}
/**
 * A target range and how it is met.
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
   * Key, such as "calcium", "sulfate_to_chloride", "mash_ph", "sparge_alkalinity",
   * "kettle_ph".
   */
  key:
    | 'calcium'
    | 'magnesium'
    | 'sodium'
    | 'potassium'
    | 'ammonium'
    | 'iron'
    | 'manganese'
    | 'chloride'
    | 'sulfate'
    | 'nitrate'
    | 'nitrite'
    | 'fluoride'
    | 'sulfate_to_chloride'
    | 'alkalinity'
    | 'mash_ph'
    | 'sparge_alkalinity'
    | 'sparge_ph'
    | 'kettle_ph'
    | 'confidence'
    | 'sparge_confidence';
  /**
   * Name for people.
   */
  label: string;
  /**
   * Low end of the range.
   */
  low: number | null;
  /**
   * What the plan reaches; null for a ratio without chloride.
   */
  planned: number | null;
  /**
   * Preferred point.
   */
  prefer: number | null;
  /**
   * Before any addition, in the first source alone; null for a ratio without chloride.
   */
  source: number | null;
  /**
   * "met", "below", "above", "unknown" where the figure cannot be relied on, or "free" where
   * no range was given.
   */
  state: 'met' | 'below' | 'above' | 'unknown' | 'free';
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
   * In how many equal portions.
   */
  portions: number;
  /**
   * Residual alkalinity of its liquor with all that goes in, mg/L as CaCO3: alkalinity that
   * works against the mash, less calcium/3.5 and magnesium/7 (Kolbach 1953).
   */
  residual_alkalinity_mg_l_caco3: number;
  /**
   * Temperature, °C.
   */
  temperature_c: number;
  /**
   * How often it is filled: once, or once in each brew.
   */
  times: number;
  /**
   * Which vessel.
   */
  vessel: 'hot_liquor_tank' | 'mash_liquor' | 'mash_tun' | 'sparge_liquor' | 'kettle';
  /**
   * Volume as read at its temperature, litres.
   */
  volume_l: number;
  /**
   * Mass of water, kg.
   */
  water_kg: number;
}
export interface WaterReport {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * Acetate.
   */
  acetate?: StatedConcentration | null;
  /**
   * Total alkalinity (m value, to pH 4.5 or methyl orange), or carbonate hardness.
   */
  alkalinity?: StatedAlkalinity | null;
  /**
   * Ammonium.
   */
  ammonium?: StatedConcentration | null;
  /**
   * Ascorbate.
   */
  ascorbate?: StatedConcentration | null;
  /**
   * This morning's readings: report and bench together say what the water is today.
   */
  bench?: {
    /**
     * Alkalinity.
     */
    alkalinity?: StatedAlkalinity | null;
    /**
     * Alkalinity from the drops of a kit.
     */
    alkalinity_drops?: {
      drops: NumberOfDrops;
      per_drop: Alkalinity1;
    } | null;
    /**
     * Alkalinity from acid to pH 4.5 or methyl orange.
     */
    alkalinity_titration?: {
      acid: StrengthOfTheTitrant;
      sample: VolumeOfTheSample;
      used: VolumeUsed;
    } | null;
    /**
     * Conductivity.
     */
    conductivity?: StatedConductivity | null;
    /**
     * Free chlorine.
     */
    free_chlorine?: StatedChlorine | null;
    /**
     * Alkalinity by Gran's method, from pH readings past the end point.
     */
    gran_titration?: {
      acid: StrengthOfTheTitrant1;
      /**
       * pH after each addition; those from about pH 4 down count.
       */
      readings: {
        ph: PH2;
        used: VolumeUsed1;
      }[];
      sample: VolumeOfTheSample1;
    } | null;
    /**
     * Hardness.
     */
    hardness?: StatedHardness | null;
    /**
     * Total hardness from the drops of a kit.
     */
    hardness_drops?: {
      drops: NumberOfDrops1;
      per_drop: Hardness;
    } | null;
    /**
     * Total hardness from EDTA.
     */
    hardness_titration?: {
      edta: StrengthOfTheTitrant2;
      sample: VolumeOfTheSample2;
      used: VolumeUsed2;
    } | null;
    /**
     * PH.
     */
    ph?: StatedPH | null;
    /**
     * Phenolphthalein alkalinity.
     */
    phenolphthalein_alkalinity?: StatedAlkalinity | null;
    /**
     * Temperature of the water this morning.
     */
    temperature?: Temperature3 | null;
    /**
     * Total chlorine.
     */
    total_chlorine?: StatedChlorine | null;
  } | null;
  /**
   * Bicarbonate; in place of an alkalinity, or beside it: then both must agree.
   */
  bicarbonate?: StatedConcentration | null;
  /**
   * Calcium.
   */
  calcium?: StatedConcentration | null;
  /**
   * Carbonate, beside bicarbonate.
   */
  carbonate?: StatedConcentration | null;
  /**
   * Chloride.
   */
  chloride?: StatedConcentration | null;
  /**
   * Citrate.
   */
  citrate?: StatedConcentration | null;
  /**
   * Electrical conductivity at 25 °C, or at 20 °C where the unit says so. It checks the ions.
   */
  conductivity?: StatedConductivity | null;
  /**
   * Dissolved solids or dry residue. They check the ions.
   */
  dissolved_solids?: StatedDissolvedSolids | null;
  /**
   * Kind of the document; it may be left out.
   */
  document?: 'water-report' | null;
  /**
   * Fluoride.
   */
  fluoride?: StatedConcentration | null;
  /**
   * Free chlorine, as Cl2.
   */
  free_chlorine?: StatedChlorine | null;
  /**
   * Total hardness. Calcium and magnesium follow from it where they are not stated.
   */
  hardness?: StatedHardness | null;
  /**
   * Your own identifier; the result carries it.
   */
  id?: string | null;
  /**
   * Iron.
   */
  iron?: StatedConcentration | null;
  /**
   * Lactate.
   */
  lactate?: StatedConcentration | null;
  /**
   * Magnesium.
   */
  magnesium?: StatedConcentration | null;
  /**
   * Malate.
   */
  malate?: StatedConcentration | null;
  /**
   * Manganese.
   */
  manganese?: StatedConcentration | null;
  /**
   * Name of the water, such as "well".
   */
  name: string;
  /**
   * Nitrate.
   */
  nitrate?: StatedConcentration | null;
  /**
   * Nitrite.
   */
  nitrite?: StatedConcentration | null;
  /**
   * Where and how it was sampled; the result carries it.
   */
  note?: string | null;
  /**
   * pH of the sample, at its temperature.
   */
  ph?: StatedPH | null;
  /**
   * Alkalinity to pH 8.3 (p value, to phenolphthalein). It checks the others.
   */
  phenolphthalein_alkalinity?: StatedAlkalinity | null;
  /**
   * Phosphate.
   */
  phosphate?: StatedConcentration | null;
  /**
   * Potassium.
   */
  potassium?: StatedConcentration | null;
  /**
   * Day of sampling.
   */
  sampled?: string | null;
  /**
   * Silica.
   */
  silica?: StatedConcentration | null;
  /**
   * Sodium.
   */
  sodium?: StatedConcentration | null;
  /**
   * Sulfate.
   */
  sulfate?: StatedConcentration | null;
  /**
   * Sulfite.
   */
  sulfite?: StatedConcentration | null;
  /**
   * Tartrate.
   */
  tartrate?: StatedConcentration | null;
  /**
   * Temperature of the sample; 20 °C where it is left out.
   */
  temperature?: Temperature3 | null;
  /**
   * The day of reading, from which the report's age follows.
   */
  today?: string | null;
  /**
   * Total chlorine, chloramines among it, as Cl2.
   */
  total_chlorine?: StatedChlorine | null;
  /**
   * Format version of the document.
   */
  underlet: 1 | null;
}
/**
 * A water report that was examined.
 */
export interface Water {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * How old the sample is, days; absent where one of the two days is not given.
   */
  age_days: number | null;
  /**
   * Today's measurements, where there were some.
   */
  bench: WaterBench | null;
  derived: DerivedFigures;
  /**
   * Kind of the document.
   */
  document: 'water';
  /**
   * Version of the engine that wrote it, such as "0.1.0".
   */
  engine: string;
  /**
   * What the report states, in the order of the document's keys.
   */
  entries: WaterEntry[];
  /**
   * Findings, most serious first.
   */
  findings: Finding[];
  /**
   * Your own identifier, from the input document.
   */
  id: string | null;
  /**
   * Figures that were perhaps read on the wrong basis, likeliest first: proposals, nothing
   * is changed by them.
   */
  mistakes: WaterMistake[];
  /**
   * Name of the water.
   */
  name: string;
  /**
   * Your own note, from the input document.
   */
  note: string | null;
  /**
   * What the water is today, from report and bench together.
   */
  reconciled: Reconciliation | null;
  /**
   * Why the reconciliation failed, where it did.
   */
  reconciliation_error: string | null;
  /**
   * Day of sampling, YYYY-MM-DD.
   */
  sampled: string | null;
  /**
   * Temperature of the sample, °C.
   */
  temperature_c: number | null;
  /**
   * Format version: 1.
   */
  underlet: 1;
}
/**
 * The bench of this morning.
 */
export interface WaterBench {
  /**
   * What was read, and what titrations come to, with their standard deviations.
   */
  entries: WaterEntry[];
  /**
   * Findings about them, most serious first.
   */
  findings: Finding[];
  /**
   * Temperature of the water, °C.
   */
  temperature_c: number | null;
}
/**
 * One entry of a report.
 */
export interface WaterEntry {
  /**
   * Detection limit that it lies below.
   */
  below: number | null;
  /**
   * As it was written, such as "12 to 18 mg/L as N".
   */
  display: string;
  /**
   * Greatest of a range.
   */
  high: number | null;
  /**
   * Key, such as "calcium".
   */
  key: string;
  /**
   * Name for people.
   */
  label: string;
  /**
   * Least of a range.
   */
  low: number | null;
  /**
   * The best single guess in milliequivalents per litre; absent where it carries no charge.
   */
  meq_per_l: number | null;
  /**
   * Standard deviation, where one is stated.
   */
  sd: number | null;
  /**
   * Unit of the numbers of this entry, such as "mg/L" or "mg/L as CaCO3"; empty for pH.
   */
  unit: string;
  /**
   * The best single guess: the value, half of a detection limit, the average or the middle of a
   * range.
   */
  value: number;
}
/**
 * One finding about a report.
 */
export interface Finding {
  /**
   * Stable code.
   */
  code:
    | 'ions_do_not_balance'
    | 'ions_missing'
    | 'hardness_disagrees'
    | 'dissolved_solids_disagree'
    | 'conductivity_disagrees'
    | 'alkalinity_against_ph'
    | 'bicarbonate_against_alkalinity'
    | 'alkalinity_parts_disagree'
    | 'carbonate_against_ph'
    | 'basis_not_named'
    | 'beyond_drinking_water'
    | 'limit_exceeded'
    | 'chlorine_to_remove'
    | 'chlorine_disagrees'
    | 'report_old'
    | 'report_undated'
    | 'sampled_after_today'
    | 'range_wide'
    | 'detection_limit_assumed';
  /**
   * The numbers it rests on.
   */
  evidence: FindingEvidence[];
  /**
   * How much it matters.
   */
  severity: 'warning' | 'doubt' | 'note';
  /**
   * Keys of the entries it is about; empty where it is about the whole report.
   */
  subjects: string[];
  /**
   * The finding in plain words.
   */
  text: string;
}
/**
 * A number that a finding rests on.
 */
export interface FindingEvidence {
  /**
   * What it is, such as "cations" or "EU parametric value".
   */
  label: string;
  /**
   * Its unit; empty for pH and ratios.
   */
  unit: string;
  /**
   * The number.
   */
  value: number;
}
/**
 * What follows from the entries taken at their word.
 */
export interface DerivedFigures {
  balance: WaterBalance;
  /**
   * Sum of all ions as they are dissolved, mg/L.
   */
  calculated_tds_mg_per_l: number;
  /**
   * Conductivity at 25 °C, µS/cm; absent where the ions make no water.
   */
  conductivity_25c_us_per_cm: number | null;
  /**
   * Hardness of calcium and magnesium, mg/L as CaCO3.
   */
  hardness_mg_l_caco3: number;
  /**
   * Residual alkalinity, mg/L as CaCO3: what the water does to a mash.
   */
  residual_alkalinity_mg_l_caco3: number;
  /**
   * Residue on evaporation by the ions, half of the bicarbonate gone, mg/L.
   */
  residue_on_evaporation_mg_per_l: number;
}
/**
 * Cations against anions.
 */
export interface WaterBalance {
  /**
   * Anions, meq/L.
   */
  anions_meq_per_l: number;
  /**
   * Cations, meq/L.
   */
  cations_meq_per_l: number;
  /**
   * Difference over sum, per cent.
   */
  charge_balance_error_percent: number;
  /**
   * Whether Standard Methods 1030 E accepts it.
   */
  is_acceptable: boolean;
}
/**
 * A figure that was perhaps read on the wrong basis: a proposal to ask about, never a change.
 */
export interface WaterMistake {
  /**
   * Cations less anions over their sum as written, per cent.
   */
  balance_percent: number;
  /**
   * The same with the mistake undone.
   */
  balance_undone_percent: number;
  /**
   * What undoing it would change.
   */
  changes: MistakeChange[];
  /**
   * What each check says, those that say nothing left out.
   */
  evidence: MistakeGain[];
  /**
   * Stable code.
   */
  kind:
    | 'sulfur_read_as_sulfate'
    | 'sulfate_read_as_sulfur'
    | 'nitrogen_read_as_nitrate'
    | 'nitrate_read_as_nitrogen'
    | 'alkalinity_read_as_bicarbonate'
    | 'bicarbonate_read_as_alkalinity'
    | 'hardness_read_as_calcium'
    | 'german_degrees_read_as_milligrams'
    | 'milliequivalents_read_as_milligrams'
    | 'milligrams_read_as_milliequivalents';
  /**
   * How many times likelier than the report as written.
   */
  odds: number;
  /**
   * Probability among "as written" and all usual mistakes, 0 to 1.
   */
  probability: number;
  /**
   * The proposal in plain words.
   */
  text: string;
}
/**
 * A figure with a mistake undone.
 */
export interface MistakeChange {
  /**
   * For people, such as "sulfate 240 mg/L instead of 80".
   */
  display: string;
  /**
   * Key of the entry.
   */
  key: string;
  /**
   * As it was read.
   */
  read: number;
  /**
   * As it would be.
   */
  undone: number;
  /**
   * Unit of the numbers.
   */
  unit: string;
}
/**
 * What one check says of a mistake.
 */
export interface MistakeGain {
  /**
   * The check, such as "ion balance".
   */
  check: string;
  /**
   * How many times likelier its result is with the mistake undone.
   */
  times_likelier: number;
}
/**
 * What the water is today: what fits report and bench best, electroneutral.
 */
export interface Reconciliation {
  /**
   * Sum of the squares of all residuals in their standard deviations.
   */
  chi_square: number;
  /**
   * How many measurements more there are than it takes to know the water.
   */
  degrees_of_freedom: number;
  /**
   * The measurement that disagrees most with the others; absent where nothing can.
   */
  disagreement: ReconciledDisagreement | null;
  /**
   * Ions, then alkalinity, hardness, pH, conductivity at 25 °C and inorganic carbon.
   */
  estimates: ReconciledEstimate[];
  liquor: ReconciledLiquor;
  /**
   * Every measurement beside what this water would read: those of the report, of the bench, and
   * what is usual of what nobody measured.
   */
  measurements: ReconciledMeasurement[];
  /**
   * Probability of so great a chi-square, or greater, if every standard deviation is right.
   */
  probability: number;
  /**
   * Temperature, °C; pH is at it.
   */
  temperature_c: number;
  /**
   * How well report and bench agree, in plain words.
   */
  text: string;
  /**
   * Entries that are no measurement of their own, or say nothing about the amounts.
   */
  unused: ReconciledUnused[];
}
/**
 * The measurement that disagrees most with the others.
 */
export interface ReconciledDisagreement {
  /**
   * Key of what was measured.
   */
  key: string;
  /**
   * Where it comes from.
   */
  origin: 'report' | 'bench' | 'usual';
  /**
   * Probability of a worst residual as great as this, or greater, if nothing is wrong.
   */
  probability: number;
  /**
   * Its residual over its own standard deviation.
   */
  standardised: number;
  /**
   * Those that may be the wrong one, the likeliest first.
   */
  suspects: ReconciledSuspect[];
}
/**
 * A measurement that may be the wrong one.
 */
export interface ReconciledSuspect {
  /**
   * Key of what was measured.
   */
  key: string;
  /**
   * Where it comes from.
   */
  origin: 'report' | 'bench' | 'usual';
  /**
   * Probability that it is this one, if just one is wrong.
   */
  probability: number;
}
/**
 * One quantity of today's water.
 */
export interface ReconciledEstimate {
  /**
   * For people, such as "82 mg/L (76 to 88)".
   */
  display: string;
  /**
   * 95 % interval, low and high.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number];
  /**
   * Whether report or bench state it; if not, it follows from the others, or is what is usual.
   */
  is_measured: boolean;
  /**
   * Key, such as "calcium", "alkalinity", "ph" or "inorganic_carbon".
   */
  key: string;
  /**
   * Name for people.
   */
  label: string;
  /**
   * Standard deviation.
   */
  sd: number;
  /**
   * Unit of the numbers; empty for pH.
   */
  unit: string;
  /**
   * What fits best.
   */
  value: number;
}
/**
 * The reconciled liquor as a source of a brew day takes it.
 */
export interface ReconciledLiquor {
  /**
   * Ions and weak acids in the order of the table, then inorganic carbon.
   */
  amounts: ReconciledAmount[];
  /**
   * What a plan should say of it.
   */
  remarks: ReconciledRemark[];
}
/**
 * An amount of today's liquor.
 */
export interface ReconciledAmount {
  /**
   * Its variance under its own key, and its covariance with each amount before it in the list
   * under that amount's key, (mmol/kg)².
   */
  covariance: {
    [k: string]: number | undefined;
  };
  /**
   * Key of the ion, or "inorganic_carbon".
   */
  key: string;
  /**
   * Amount, mmol per kg of water.
   */
  mmol_per_kg: number;
}
/**
 * A finding about today's liquor.
 */
export interface ReconciledRemark {
  /**
   * What it is about.
   */
  code: 'report_mistaken' | 'report_against_bench' | 'report_finding';
  /**
   * How grave it is.
   */
  severity: 'warning' | 'doubt' | 'note';
  /**
   * In plain words.
   */
  text: string;
}
/**
 * A measurement beside what today's water would read.
 */
export interface ReconciledMeasurement {
  /**
   * For people, such as "read 158 mg/L, today's water would read 161".
   */
  display: string;
  /**
   * Key of what was measured.
   */
  key: string;
  /**
   * Name for people, such as "alkalinity at the bench".
   */
  label: string;
  /**
   * Where it comes from.
   */
  origin: 'report' | 'bench' | 'usual';
  /**
   * What today's water would read.
   */
  predicted: number;
  /**
   * Standard deviation of today's truth about it.
   */
  sd: number;
  /**
   * Residual over its own standard deviation; absent where nothing else says anything about it.
   */
  standardised: number | null;
  /**
   * Unit of the numbers; empty for pH.
   */
  unit: string;
  /**
   * What was measured; half of a detection limit.
   */
  value: number;
}
/**
 * An entry that was not used.
 */
export interface ReconciledUnused {
  /**
   * Key of the entry.
   */
  key: string;
  /**
   * Where it comes from.
   */
  origin: 'report' | 'bench' | 'usual';
}
export interface Readings {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  brew_day: BrewDay;
  /**
   * Kind of the document; it may be left out.
   */
  document?: 'readings' | null;
  /**
   * What went into the mash after its first reading, in place of the rest that the plan has for it; an empty list where nothing did. Left out, all went as planned.
   */
  given?:
    | {
        after_mashing_in: TimeAfterMashingIn;
        amount: StockOnHand1;
        /**
         * Of a day of several brews, which of them was read, counted from 1; the first where it is left out. What all brews share (liquor as drawn, hot-liquor tank) and reference samples take none.
         */
        brew?: Number | null;
        /**
         * The reagent, one of the shelf that may go into the mash.
         */
        reagent:
          | (
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
              | 'acetic acid'
              | 'zinc sulfate heptahydrate'
              | 'zinc chloride'
            )
          | string;
      }[]
    | null;
  /**
   * Your own identifier; the result carries it.
   */
  id?: string | null;
  /**
   * Your own note; the result carries it.
   */
  note?: string | null;
  /**
   * Acid of which the liquor took another amount than the plan's, until its end point or so far; left out, it took that.
   */
  poured?:
    | {
        amount: StockOnHand2;
        /**
         * The acid, one of the shelf that may go into this vessel.
         */
        reagent:
          | (
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
              | 'acetic acid'
              | 'zinc sulfate heptahydrate'
              | 'zinc chloride'
            )
          | string;
        /**
         * Where it was poured; into the liquor of every brew alike where each has its own.
         */
        vessel: ('hot_liquor_tank' | 'mash_liquor' | 'sparge_liquor') | string;
      }[]
    | null;
  /**
   * What the meters said.
   */
  readings: {
    /**
     * How long after the grist was mashed in.
     */
    after_mashing_in?: TimeAfterMashingIn1 | null;
    /**
     * Of a day of several brews, which of them was read, counted from 1; the first where it is left out. What all brews share (liquor as drawn, hot-liquor tank) and reference samples take none.
     */
    brew?: Number | null;
    /**
     * In place of a place: what a reference sample should read, such as a buffer, a conductivity standard or melting ice.
     */
    known?: (PH | Conductivity | TemperatureOnTheThermometer) | null;
    /**
     * What was read: pH of a sample cooled to 20 °C, conductivity at 25 °C, or temperature.
     */
    meter: ('ph' | 'conductivity' | 'temperature') | string;
    /**
     * Where a reading of a brew was taken.
     */
    place?:
      | (
          | ('cold_liquor' | 'tank' | 'mash_liquor' | 'mash_first' | 'mash' | 'sparge_liquor' | 'kettle')
          | string
        )
      | null;
    /**
     * Which probe; the usual one where it is left out.
     */
    probe?: (('usual' | 'second') | string) | null;
    /**
     * Temperature of the sample of a mash or a wort whose pH was read; cooled to 20 °C where it is left out.
     */
    sample_temperature?: Temperature3 | null;
    /**
     * What the meter said.
     */
    value: PH | Conductivity | TemperatureOnTheThermometer;
  }[];
  /**
   * What was read of the runnings while the sparge ran, in the order in which they were read.
   */
  runnings?:
    | {
        /**
         * Of a day of several brews, which of them was read, counted from 1; the first where it is left out. What all brews share (liquor as drawn, hot-liquor tank) and reference samples take none.
         */
        brew?: Number | null;
        /**
         * What had run into the kettle by then: two readings of it tell how much more can run.
         */
        collected?: VolumeCollected | null;
        gravity: Gravity;
        ph: MashPH1;
        /**
         * Which probe; the usual one where it is left out.
         */
        probe?: (('usual' | 'second') | string) | null;
      }[]
    | null;
  /**
   * Format version of the document.
   */
  underlet: 1 | null;
}
/**
 * What the readings of a day say.
 */
export interface Diagnosis {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * Each reading beside what it should be, in the order of work; reference samples first.
   */
  compared: DiagnosisReading[];
  /**
   * What the mash and the full kettle of each brew that was read still need.
   */
  corrections: CorrectionDocument[];
  /**
   * Kind of the document.
   */
  document: 'diagnosis';
  /**
   * Version of the engine that wrote it, such as "0.1.0".
   */
  engine: string;
  /**
   * Every explanation that was weighed, the most probable first; their probabilities sum to
   * one.
   */
  explanations: DiagnosisExplanation[];
  /**
   * Your own identifier, from the input document.
   */
  id: string | null;
  /**
   * What each liquor that was read still takes of its acid.
   */
  liquor_corrections: LiquorCorrectionDocument[];
  /**
   * Name of the brew.
   */
  name: string;
  /**
   * How many faults the verdict names: the first of the explanations that are faults.
   */
  named: number;
  /**
   * Your own note, from the input document.
   */
  note: string | null;
  /**
   * Whether the runnings of each brew that were read may run on.
   */
  runnings: RunningsDocument[];
  /**
   * The verdict as a sentence.
   */
  sentence: string;
  /**
   * For people: what the readings say and what is still to be done, the texts of the next
   * three in the order of work.
   */
  to_do: string[];
  /**
   * Format version: 1.
   */
  underlet: 1;
  /**
   * In a word: as expected (no proof), not clear, one fault, several faults that cannot be
   * distinguished, or nothing that fits.
   */
  verdict:
    | 'as_expected'
    | 'outside_forecast'
    | 'outside_range'
    | 'doubtful'
    | 'fault'
    | 'indistinguishable'
    | 'unexplained';
}
/**
 * One reading beside what it should be.
 */
export interface DiagnosisReading {
  /**
   * Whether it lies within the interval, or the tolerance.
   */
  as_expected: boolean;
  /**
   * Which brew of a day of several; null for what all of them share, and on a day of one.
   */
  brew: number | null;
  /**
   * What it should be if nothing is wrong.
   */
  expected: number;
  /**
   * Of a pH of the brew the interval of 95 %, low and high, skewed; null for what is not, and
   * has the tolerance.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number] | null;
  /**
   * What a reference sample should read.
   */
  known: number | null;
  /**
   * By which meter.
   */
  meter: 'ph' | 'conductivity' | 'temperature';
  /**
   * What was read less what was expected.
   */
  off_by: number;
  /**
   * Where it was read; absent in a reference sample.
   */
  place: Place | null;
  /**
   * By which probe.
   */
  probe: 'usual' | 'second';
  /**
   * What was read.
   */
  read: number;
  /**
   * For people.
   */
  text: string;
  /**
   * Half width that is still as expected (95 %).
   */
  tolerance: number;
  /**
   * Unit of the numbers; empty for pH.
   */
  unit: string;
}
/**
 * What a mash or a full kettle that was read still needs.
 */
export interface CorrectionDocument {
  /**
   * What to do.
   */
  advice:
    | 'nothing'
    | 'give'
    | 'give_forgotten'
    | 'check_probe'
    | 'calibrate_probe'
    | 'read_again'
    | 'too_acid'
    | 'none_at_hand';
  /**
   * What the other probe shows at the same time; null without one.
   */
  also_reads: number | null;
  /**
   * Of which brew of the day, from 1.
   */
  brew: number;
  /**
   * What is due of each reagent at hand, what helps most first; one of them is enough.
   */
  doses: DoseDueDocument[];
  /**
   * Between which it lies with 95 %, low and high.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number];
  /**
   * Whether a reading lies outside what was foretold of it.
   */
  outside_forecast: boolean;
  /**
   * Whether it most likely lies outside its range: of a kettle, as it does where acid is due.
   */
  outside_range: boolean;
  /**
   * Most likely pH of mash or wort, readings and forecast weighed.
   */
  ph: number;
  /**
   * Where a meter is held in, in the order of work.
   */
  place: 'cold_liquor' | 'tank' | 'mash_liquor' | 'mash_first' | 'mash' | 'sparge_liquor' | 'kettle';
  /**
   * Chance that it lies in its range as it is, 0 to 1; null without a range.
   */
  probability_in_range: number | null;
  /**
   * pH that the last reading shows, as of a cooled sample taken late enough.
   */
  reads: number;
  /**
   * For people: what is read and believed, and what to do.
   */
  text: string;
}
/**
 * A dose that would bring mash or wort where it is wanted.
 */
export interface DoseDueDocument {
  /**
   * How much, in whole steps of the scale.
   */
  amount: number;
  /**
   * Cold water to stir an acid into, litres; null for what is no acid.
   */
  dilution_l: number | null;
  /**
   * For people, such as "45 mL".
   */
  display: string;
  /**
   * Between which it then lies with 95 %, low and high.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number];
  /**
   * Its name, with its strength where it has one.
   */
  name: string;
  /**
   * Most likely pH with it.
   */
  ph: number;
  /**
   * Chance that it then has more acid than can be taken back.
   */
  probability_below: number;
  /**
   * Chance that it then lands in its range, 0 to 1.
   */
  probability_in_range: number;
  /**
   * Key of the reagent.
   */
  reagent: string;
  /**
   * For people: how to give it, and where the mash then lands.
   */
  text: string;
  /**
   * g or mL.
   */
  unit: 'g' | 'mL';
}
/**
 * One explanation of the readings.
 */
export interface DiagnosisExplanation {
  /**
   * The addition that it is a slip with.
   */
  addition: DiagnosisAddition | null;
  /**
   * Chance of readings at least as far off were it the right one, 0 to 1.
   */
  chance: number;
  /**
   * What went wrong.
   */
  code:
    'nothing_wrong' | 'forgotten' | 'doubled' | 'half_dissolved' | 'half_strength' | 'swapped' | 'probe_off';
  /**
   * Its probability among those weighed, 0 to 1.
   */
  probability: number;
  /**
   * The probe that is off.
   */
  probe: DiagnosisProbe | null;
  /**
   * For people.
   */
  text: string;
}
/**
 * An addition that something slipped with.
 */
export interface DiagnosisAddition {
  /**
   * Which brew of a day of several; null where it concerns all of them, and on a day of one.
   */
  brew: number | null;
  /**
   * Its name, with its strength where it has one.
   */
  name: string;
  /**
   * Step of the plan.
   */
  step: number;
  /**
   * Key of the reagent that was weighed in its place, where one was.
   */
  swapped_for: string | null;
  /**
   * Where it goes.
   */
  vessel: 'hot_liquor_tank' | 'mash_liquor' | 'mash_tun' | 'sparge_liquor' | 'kettle';
}
/**
 * A probe that is off.
 */
export interface DiagnosisProbe {
  /**
   * What it reads.
   */
  meter: 'ph' | 'conductivity' | 'temperature';
  /**
   * What it shows too much: pH, a share of conductivity, or K.
   */
  off_by: number;
  /**
   * Standard deviation of that.
   */
  off_by_sd: number;
  /**
   * Which of the two.
   */
  probe: 'usual' | 'second';
}
/**
 * What liquor that was read still takes of its acid.
 */
export interface LiquorCorrectionDocument {
  /**
   * What to do.
   */
  advice:
    | 'nothing'
    | 'give'
    | 'give_forgotten'
    | 'check_probe'
    | 'calibrate_probe'
    | 'read_again'
    | 'too_acid'
    | 'none_at_hand';
  /**
   * Of which brew of the day, from 1.
   */
  brew: number;
  /**
   * pH that it should show there.
   */
  end_ph: number;
  /**
   * Between which it lies with 95 %, low and high.
   *
   * @minItems 2
   * @maxItems 2
   */
  mash_interval_95: [number, number] | null;
  /**
   * pH of the mash that all readings foretell with this and the acid of the plan; null of sparge
   * liquor, and once a mash was read.
   */
  mash_ph: number | null;
  /**
   * Whether it lies outside what was foretold of it.
   */
  outside_forecast: boolean;
  /**
   * Where a meter is held in, in the order of work.
   */
  place: 'cold_liquor' | 'tank' | 'mash_liquor' | 'mash_first' | 'mash' | 'sparge_liquor' | 'kettle';
  /**
   * The acid that is still due; null where none is.
   */
  pour: PourDocument | null;
  /**
   * pH that the last reading shows.
   */
  reads: number;
  /**
   * For people: what is read, and what to do.
   */
  text: string;
}
/**
 * Acid that is poured until a meter shows the end point.
 */
export interface PourDocument {
  /**
   * Most likely amount, in whole steps of the scale.
   */
  amount: number;
  /**
   * Cold water to stir it into, litres.
   */
  dilution_l: number | null;
  /**
   * For people, such as "45 mL".
   */
  display: string;
  /**
   * What is not to be exceeded: 2.5 % of days take more.
   */
  most: number;
  /**
   * Its name, with its strength where it has one.
   */
  name: string;
  /**
   * Key of the reagent.
   */
  reagent: string;
  /**
   * g or mL.
   */
  unit: 'g' | 'mL';
}
/**
 * What to do about the runnings of a sparge.
 */
export interface RunningsDocument {
  /**
   * What to do.
   */
  advice: 'go_on' | 'stop' | 'acidify_sparge';
  /**
   * Of which brew of the day, from 1.
   */
  brew: number;
  /**
   * Their extract by the last reading, °P.
   */
  gravity: number;
  /**
   * Between which their pH lies with 95 %, low and high.
   *
   * @minItems 2
   * @maxItems 2
   */
  interval_95: [number, number];
  /**
   * pH that the last reading shows.
   */
  reads: number;
  /**
   * How much more can run until then, litres; null without two readings that say what was
   * collected.
   */
  remaining_l: number | null;
  /**
   * Extract at which to stop, °P: where their pH will be too high, or where they are too thin.
   */
  stop_gravity: number;
  /**
   * For people: what was read, and what to do.
   */
  text: string;
}
export interface TankDay {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * Kind of the document; it may be left out.
   */
  document?: 'tank-day' | null;
  /**
   * What the last day left in the tank: `heel` of its ledger, whole. Left out for a tank that is empty and clean.
   */
  heel?: {
    /**
     * Carbon dioxide that has left, g.
     */
    carbon_dioxide_g?: NumberOfAHeel | null;
    /**
     * Combined chlorine in the tank, g as Cl2.
     */
    combined_chlorine_g?: NumberOfAHeel | null;
    /**
     * Free chlorine in the tank, g as Cl2.
     */
    free_chlorine_g?: NumberOfAHeel | null;
    /**
     * What it is, as a source of a brew day takes it.
     */
    liquor: {
      /**
       * Ions, weak acids and inorganic carbon.
       */
      amounts: {
        /**
         * Its variance under its own key, and its covariance with each other amount under that amount's key, (mmol/kg)²; each two amounts state it once.
         */
        covariance: {
          /**
           * Of this amount.
           */
          acetate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ammonium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ascorbate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          calcium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          chloride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          citrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          fluoride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          inorganic_carbon?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          iron?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          lactate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          magnesium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          malate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          manganese?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          phosphate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          potassium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          silica?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sodium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          tartrate?: CovarianceInMmolKg | null;
        };
        /**
         * Key of the ion, or "inorganic_carbon".
         */
        key:
          | (
              | 'calcium'
              | 'magnesium'
              | 'sodium'
              | 'potassium'
              | 'ammonium'
              | 'iron'
              | 'manganese'
              | 'chloride'
              | 'sulfate'
              | 'nitrate'
              | 'nitrite'
              | 'fluoride'
              | 'lactate'
              | 'acetate'
              | 'citrate'
              | 'malate'
              | 'tartrate'
              | 'phosphate'
              | 'sulfite'
              | 'ascorbate'
              | 'silica'
              | 'inorganic_carbon'
            )
          | string;
        mmol_per_kg: AmountInMmolKg1;
      }[];
      /**
       * What a plan should say of it.
       */
      remarks?:
        | {
            /**
             * What it is about.
             */
            code: ('report_mistaken' | 'report_against_bench' | 'report_finding') | string;
            /**
             * How grave it is.
             */
            severity: ('warning' | 'doubt' | 'note') | string;
            /**
             * In plain words.
             */
            text: string;
          }[]
        | null;
    };
    /**
     * How the tank would differ, had one thing been off; by the covariance of its liquor where it is left out.
     */
    perturbations?:
      | {
          /**
           * Difference in the tank of each amount of its liquor, mmol.
           */
          amounts_mmol: {
            /**
             * Of this amount.
             */
            acetate?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            ammonium?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            ascorbate?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            calcium?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            chloride?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            citrate?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            fluoride?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            inorganic_carbon?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            iron?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            lactate?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            magnesium?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            malate?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            manganese?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            nitrate?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            nitrite?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            phosphate?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            potassium?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            silica?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            sodium?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            sulfate?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            sulfite?: NumberOfAHeel | null;
            /**
             * Of this amount.
             */
            tartrate?: NumberOfAHeel | null;
          };
          /**
           * Difference in carbon dioxide that has left, g.
           */
          carbon_dioxide_g?: NumberOfAHeel | null;
          /**
           * Difference in combined chlorine, g as Cl2.
           */
          combined_chlorine_g?: NumberOfAHeel | null;
          /**
           * Difference in free chlorine, g as Cl2.
           */
          free_chlorine_g?: NumberOfAHeel | null;
          /**
           * Which of the supply's causes, from 0.
           */
          place?: Number | null;
          /**
           * The rate of the tank that was off.
           */
          rate?: (('scale_area' | 'film' | 'evaporation') | string) | null;
          /**
           * Difference in scale, g.
           */
          scale_g?: NumberOfAHeel | null;
          /**
           * Difference in steam that has left, kg.
           */
          steam_kg?: NumberOfAHeel | null;
          /**
           * The supply that was off.
           */
          supply?: string | null;
          /**
           * Difference in temperature, K.
           */
          temperature_c?: NumberOfAHeel | null;
          /**
           * Difference in water, kg.
           */
          water_kg?: NumberOfAHeel | null;
        }[]
      | null;
    /**
     * Scale since the tank was first filled, g.
     */
    scale_g?: NumberOfAHeel | null;
    /**
     * Steam that has left, kg.
     */
    steam_kg?: NumberOfAHeel | null;
    temperature_c: Temperature5;
    water_kg: MassOfWater;
  } | null;
  /**
   * Your own identifier; the result carries it.
   */
  id?: string | null;
  /**
   * What is done, in the order of work.
   */
  lines: {
    /**
     * How much is dosed.
     */
    amount?: StockOnHand | null;
    /**
     * How long heating or holding takes.
     */
    duration?: Time | null;
    /**
     * The line's own words, such as "strike".
     */
    label?: string | null;
    /**
     * What is dosed.
     */
    reagent?:
      | (
          | (
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
              | 'acetic acid'
              | 'zinc sulfate heptahydrate'
              | 'zinc chloride'
            )
          | string
        )
      | null;
    /**
     * Strength of a solution or assay of a solid; the usual one where it is left out.
     */
    strength?: (Strength | StrengthInMolL) | null;
    /**
     * Name of the supply, to fill or recover.
     */
    supply?: string | null;
    /**
     * Temperature of the water that is recovered, or to heat to.
     */
    temperature?: Temperature3 | null;
    /**
     * Where a draw goes.
     */
    to?: (('mash' | 'sparge' | 'elsewhere') | string) | null;
    /**
     * Volume as read at its temperature, to fill, recover or draw.
     */
    volume?: AvailableVolume | null;
    /**
     * What is done: water in from a "supply"; supply water that has cooled wort "recovered" hot; a reagent; heating, or cooling, in so many hours; holding; liquor out.
     */
    work: ('fill' | 'recover' | 'dose' | 'heat' | 'hold' | 'draw') | string;
  }[];
  /**
   * Name of the day.
   */
  name: string;
  /**
   * Your own note; the result carries it.
   */
  note?: string | null;
  /**
   * Waters that feed the tank.
   */
  supplies: {
    /**
     * Acetate.
     */
    acetate?: StatedConcentration | null;
    /**
     * Total alkalinity (m value, to pH 4.5 or methyl orange), or carbonate hardness.
     */
    alkalinity?: StatedAlkalinity | null;
    /**
     * Ammonium.
     */
    ammonium?: StatedConcentration | null;
    /**
     * Ascorbate.
     */
    ascorbate?: StatedConcentration | null;
    /**
     * Bicarbonate; in place of an alkalinity, or beside it: then both must agree.
     */
    bicarbonate?: StatedConcentration | null;
    /**
     * Calcium.
     */
    calcium?: StatedConcentration | null;
    /**
     * Carbonate, beside bicarbonate.
     */
    carbonate?: StatedConcentration | null;
    /**
     * Chloride.
     */
    chloride?: StatedConcentration | null;
    /**
     * Citrate.
     */
    citrate?: StatedConcentration | null;
    /**
     * Electrical conductivity at 25 °C, or at 20 °C where the unit says so. It checks the ions.
     */
    conductivity?: StatedConductivity | null;
    /**
     * Dissolved solids or dry residue. They check the ions.
     */
    dissolved_solids?: StatedDissolvedSolids | null;
    /**
     * Fluoride.
     */
    fluoride?: StatedConcentration | null;
    /**
     * Free chlorine, as Cl2.
     */
    free_chlorine?: StatedChlorine | null;
    /**
     * Total hardness. Calcium and magnesium follow from it where they are not stated.
     */
    hardness?: StatedHardness | null;
    inlet_temperature: Temperature6;
    /**
     * Iron.
     */
    iron?: StatedConcentration | null;
    /**
     * Lactate.
     */
    lactate?: StatedConcentration | null;
    /**
     * The liquor of a reconciled water, out of its water document (`reconciled.liquor`), in place of the figures of a report: its uncertainty is part of the error bars.
     */
    liquor?: {
      /**
       * Ions, weak acids and inorganic carbon.
       */
      amounts: {
        /**
         * Its variance under its own key, and its covariance with each other amount under that amount's key, (mmol/kg)²; each two amounts state it once.
         */
        covariance: {
          /**
           * Of this amount.
           */
          acetate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ammonium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ascorbate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          calcium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          chloride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          citrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          fluoride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          inorganic_carbon?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          iron?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          lactate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          magnesium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          malate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          manganese?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          phosphate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          potassium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          silica?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sodium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          tartrate?: CovarianceInMmolKg | null;
        };
        /**
         * Key of the ion, or "inorganic_carbon".
         */
        key:
          | (
              | 'calcium'
              | 'magnesium'
              | 'sodium'
              | 'potassium'
              | 'ammonium'
              | 'iron'
              | 'manganese'
              | 'chloride'
              | 'sulfate'
              | 'nitrate'
              | 'nitrite'
              | 'fluoride'
              | 'lactate'
              | 'acetate'
              | 'citrate'
              | 'malate'
              | 'tartrate'
              | 'phosphate'
              | 'sulfite'
              | 'ascorbate'
              | 'silica'
              | 'inorganic_carbon'
            )
          | string;
        mmol_per_kg: AmountInMmolKg2;
      }[];
      /**
       * What a plan should say of it.
       */
      remarks?:
        | {
            /**
             * What it is about.
             */
            code: ('report_mistaken' | 'report_against_bench' | 'report_finding') | string;
            /**
             * How grave it is.
             */
            severity: ('warning' | 'doubt' | 'note') | string;
            /**
             * In plain words.
             */
            text: string;
          }[]
        | null;
    } | null;
    /**
     * Magnesium.
     */
    magnesium?: StatedConcentration | null;
    /**
     * Malate.
     */
    malate?: StatedConcentration | null;
    /**
     * Manganese.
     */
    manganese?: StatedConcentration | null;
    /**
     * Most that can be drawn for all brews of the day, cold.
     */
    max_amount?: AvailableVolume | null;
    /**
     * Name of the water, such as "well".
     */
    name: string;
    /**
     * Nitrate.
     */
    nitrate?: StatedConcentration | null;
    /**
     * Nitrite.
     */
    nitrite?: StatedConcentration | null;
    /**
     * pH of the sample, at its temperature.
     */
    ph?: StatedPH | null;
    /**
     * Alkalinity to pH 8.3 (p value, to phenolphthalein). It checks the others.
     */
    phenolphthalein_alkalinity?: StatedAlkalinity | null;
    /**
     * Phosphate.
     */
    phosphate?: StatedConcentration | null;
    /**
     * Potassium.
     */
    potassium?: StatedConcentration | null;
    /**
     * Silica.
     */
    silica?: StatedConcentration | null;
    /**
     * Sodium.
     */
    sodium?: StatedConcentration | null;
    /**
     * Sulfate.
     */
    sulfate?: StatedConcentration | null;
    /**
     * Sulfite.
     */
    sulfite?: StatedConcentration | null;
    /**
     * Tartrate.
     */
    tartrate?: StatedConcentration | null;
    /**
     * Temperature of the sample; 20 °C where it is left out.
     */
    temperature?: Temperature3 | null;
    /**
     * Total chlorine, chloramines among it, as Cl2.
     */
    total_chlorine?: StatedChlorine | null;
  }[];
  /**
   * The liquor tank.
   */
  tank: {
    capacity: VolumeOfTheTank1;
    /**
     * What lies below the outlet and no draw reaches; nothing where it is left out.
     */
    dead_volume?: AvailableVolume | null;
    /**
     * What it is called.
     */
    name?: string | null;
    /**
     * Figures in place of what these answers stand for; the usual where they are left out.
     */
    rates?: {
      /**
       * Share of the water that leaves as steam in an hour at 80 °C.
       */
      evaporation?: Share | null;
      /**
       * Standard deviation of that.
       */
      evaporation_sd?: Share | null;
      /**
       * Film of water under the surface through which carbon dioxide diffuses, mm: 0.25 where it is stirred, some 2 under a lid.
       */
      film?: FilmOfWaterInMm | null;
      /**
       * Standard deviation of that.
       */
      film_sd?: StandardDeviationOfTheFilm | null;
      /**
       * Area of the scale that calcite grows on, cm² per L of liquor.
       */
      scale_area?: AreaOfScaleInCmL | null;
      /**
       * Standard deviation of that.
       */
      scale_area_sd?: StandardDeviationOfTheArea | null;
    } | null;
    /**
     * Old scale in the tank, which new scale grows on: bare metal, scale on the heater or in patches, or on walls and floor; "some" where it is left out.
     */
    scale?: (('clean' | 'some' | 'coated') | string) | null;
    /**
     * What is above the liquor: the tank full or shut tight, a lid with a vent, no lid, or liquor stirred or recirculated with a vented lid or none; "covered" where it is left out.
     */
    surface?: (('shut' | 'covered' | 'open' | 'stirred') | string) | null;
  };
  /**
   * Format version of the document.
   */
  underlet: 1 | null;
}
/**
 * A day of the tank, worked through.
 */
export interface TankLedger {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * Kind of the document.
   */
  document: 'tank-ledger';
  /**
   * Version of the engine that wrote it, such as "0.1.0".
   */
  engine: string;
  /**
   * What to watch, most severe first.
   */
  findings: TankFinding[];
  heel: TankHeel;
  /**
   * Your own identifier, from the input document.
   */
  id: string | null;
  /**
   * The lines in the order of work, each with what it led to.
   */
  lines: TankLine[];
  losses: TankLosses1;
  /**
   * Name of the day.
   */
  name: string;
  /**
   * Your own note, from the input document.
   */
  note: string | null;
  /**
   * Name of the tank.
   */
  tank: string;
  /**
   * Format version: 1.
   */
  underlet: 1;
}
/**
 * One thing to watch.
 */
export interface TankFinding {
  /**
   * What to mind when acting on it.
   */
  caution: string;
  /**
   * Stable code.
   */
  code:
    | 'acid_before_heating'
    | 'scale_expected'
    | 'dose_not_dissolving'
    | 'gypsum_supersaturated'
    | 'anhydrite_on_heater'
    | 'limit_exceeded'
    | 'chlorine_drawn'
    | 'scale_in_cooler'
    | 'chloride_on_steel';
  /**
   * The line it is about, counted from 0.
   */
  line: number;
  /**
   * Its numbers.
   */
  numbers: TankNumber[];
  /**
   * How much it matters.
   */
  severity: 'warning' | 'doubt' | 'note';
  /**
   * Where the limit or the law comes from, and how far that was checked.
   */
  source: string;
  /**
   * In plain words.
   */
  text: string;
}
/**
 * A number of a finding.
 */
export interface TankNumber {
  /**
   * What it is.
   */
  key: string;
  /**
   * Standard deviation, where one is known.
   */
  sd: number | null;
  /**
   * Its unit.
   */
  unit: string;
  /**
   * The number.
   */
  value: number;
}
/**
 * What is left for the next day.
 */
export interface TankHeel {
  /**
   * Carbon dioxide that left since then, g.
   */
  carbon_dioxide_g: number;
  /**
   * Combined chlorine in the tank, g as Cl2.
   */
  combined_chlorine_g: number;
  /**
   * Free chlorine in the tank, g as Cl2.
   */
  free_chlorine_g: number;
  liquor: ReconciledLiquor1;
  /**
   * How the tank would differ, had one thing been off since it was first filled: what makes
   * error bars add up over days.
   */
  perturbations: TankPerturbation[];
  /**
   * Scale since the tank was first filled, g.
   */
  scale_g: number;
  /**
   * Steam that left since then, kg.
   */
  steam_kg: number;
  /**
   * Its temperature, °C.
   */
  temperature_c: number;
  /**
   * Water in the tank, kg.
   */
  water_kg: number;
}
/**
 * What it is, as a source of a brew day takes it.
 */
export interface ReconciledLiquor1 {
  /**
   * Ions and weak acids in the order of the table, then inorganic carbon.
   */
  amounts: ReconciledAmount[];
  /**
   * What a plan should say of it.
   */
  remarks: ReconciledRemark[];
}
/**
 * How the tank would differ, had one thing been off by its standard deviation.
 */
export interface TankPerturbation {
  /**
   * Difference in the tank of each amount of `liquor`, by its key, mmol.
   */
  amounts_mmol: {
    [k: string]: number | undefined;
  };
  /**
   * Difference in carbon dioxide that left since then, g.
   */
  carbon_dioxide_g: number;
  /**
   * Difference in combined chlorine, g as Cl2.
   */
  combined_chlorine_g: number;
  /**
   * Difference in free chlorine, g as Cl2.
   */
  free_chlorine_g: number;
  /**
   * Which of the supply's causes, from 0.
   */
  place: number | null;
  /**
   * The rate of the tank that was off, by its key.
   */
  rate: string | null;
  /**
   * Difference in scale since the tank was first filled, g.
   */
  scale_g: number;
  /**
   * Difference in steam that left since then, kg.
   */
  steam_kg: number;
  /**
   * The supply that was off, by its name; without rate or supply it is the heel itself,
   * written by hand.
   */
  supply: string | null;
  /**
   * Difference in temperature, K.
   */
  temperature_c: number;
  /**
   * Difference in water, kg.
   */
  water_kg: number;
}
/**
 * A line and what the tank holds after it.
 */
export interface TankLine {
  /**
   * Saturation index of calcite at its temperature: scale may form above 0; absent without
   * calcium or carbonate.
   */
  calcite_si: TankFigure | null;
  /**
   * Chlorine in it; absent where there is none.
   */
  chlorine: TankChlorine | null;
  /**
   * Ions that there are, then alkalinity; empty for an empty tank.
   */
  composition: TankAmount[];
  /**
   * What was drawn, on a draw.
   */
  drawn: TankDrawn | null;
  /**
   * The line's own words.
   */
  label: string;
  losses: TankLosses;
  /**
   * pH at its temperature; absent for an empty tank.
   */
  ph: TankFigure | null;
  /**
   * pH of a sample cooled to 20 °C without loss of carbon dioxide.
   */
  ph_20c: TankFigure | null;
  /**
   * Temperature, °C.
   */
  temperature_c: number;
  volume_l: TankFigure4;
  /**
   * Water, kg.
   */
  water_kg: number;
  /**
   * What was done.
   */
  work: 'fill' | 'recover' | 'dose' | 'heat' | 'hold' | 'draw';
}
/**
 * A number with its standard deviation.
 */
export interface TankFigure {
  /**
   * Standard deviation.
   */
  sd: number;
  /**
   * The number.
   */
  value: number;
}
/**
 * Chlorine as a test reads it.
 */
export interface TankChlorine {
  /**
   * Free chlorine, mg/L as Cl2 at 20 °C.
   */
  free_mg_per_l: number;
  /**
   * Free and combined chlorine together, mg/L as Cl2 at 20 °C.
   */
  total_mg_per_l: number;
}
/**
 * An ion, a weak acid or the alkalinity.
 */
export interface TankAmount {
  /**
   * For people, such as "74.3 ± 2.9 mg/L".
   */
  display: string;
  /**
   * Key, such as "calcium" or "alkalinity".
   */
  key: string;
  /**
   * Standard deviation.
   */
  sd: number;
  /**
   * Unit of the numbers.
   */
  unit: string;
  /**
   * The amount.
   */
  value: number;
}
/**
 * Liquor that was drawn.
 */
export interface TankDrawn {
  /**
   * Chlorine in it, which a source of a brew day takes as its `free_chlorine` and
   * `total_chlorine`; absent where there is none.
   */
  chlorine: TankChlorine | null;
  liquor: ReconciledLiquor2;
  /**
   * Where to.
   */
  to: 'mash' | 'sparge' | 'elsewhere';
  /**
   * Water in it, kg.
   */
  water_kg: number;
}
/**
 * What it is, as a source of a brew day takes it.
 */
export interface ReconciledLiquor2 {
  /**
   * Ions and weak acids in the order of the table, then inorganic carbon.
   */
  amounts: ReconciledAmount[];
  /**
   * What a plan should say of it.
   */
  remarks: ReconciledRemark[];
}
/**
 * What left the tank on this line, draws one.
 */
export interface TankLosses {
  carbon_dioxide_g: TankFigure1;
  scale_g: TankFigure2;
  steam_kg: TankFigure3;
}
/**
 * A number with its standard deviation.
 */
export interface TankFigure1 {
  /**
   * Standard deviation.
   */
  sd: number;
  /**
   * The number.
   */
  value: number;
}
/**
 * A number with its standard deviation.
 */
export interface TankFigure2 {
  /**
   * Standard deviation.
   */
  sd: number;
  /**
   * The number.
   */
  value: number;
}
/**
 * A number with its standard deviation.
 */
export interface TankFigure3 {
  /**
   * Standard deviation.
   */
  sd: number;
  /**
   * The number.
   */
  value: number;
}
/**
 * A number with its standard deviation.
 */
export interface TankFigure4 {
  /**
   * Standard deviation.
   */
  sd: number;
  /**
   * The number.
   */
  value: number;
}
/**
 * What left the tank on this day.
 */
export interface TankLosses1 {
  carbon_dioxide_g: TankFigure1;
  scale_g: TankFigure2;
  steam_kg: TankFigure3;
}
export interface IonFit {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * Water that it may be diluted with.
   */
  dilution?: {
    /**
     * Acetate.
     */
    acetate?: StatedConcentration | null;
    /**
     * Total alkalinity (m value, to pH 4.5 or methyl orange), or carbonate hardness.
     */
    alkalinity?: StatedAlkalinity | null;
    /**
     * Ammonium.
     */
    ammonium?: StatedConcentration | null;
    /**
     * Ascorbate.
     */
    ascorbate?: StatedConcentration | null;
    /**
     * Bicarbonate; in place of an alkalinity, or beside it: then both must agree.
     */
    bicarbonate?: StatedConcentration | null;
    /**
     * Calcium.
     */
    calcium?: StatedConcentration | null;
    /**
     * Carbonate, beside bicarbonate.
     */
    carbonate?: StatedConcentration | null;
    /**
     * Chloride.
     */
    chloride?: StatedConcentration | null;
    /**
     * Citrate.
     */
    citrate?: StatedConcentration | null;
    /**
     * Electrical conductivity at 25 °C, or at 20 °C where the unit says so. It checks the ions.
     */
    conductivity?: StatedConductivity | null;
    /**
     * Dissolved solids or dry residue. They check the ions.
     */
    dissolved_solids?: StatedDissolvedSolids | null;
    /**
     * Fluoride.
     */
    fluoride?: StatedConcentration | null;
    /**
     * Free chlorine, as Cl2.
     */
    free_chlorine?: StatedChlorine | null;
    /**
     * Total hardness. Calcium and magnesium follow from it where they are not stated.
     */
    hardness?: StatedHardness | null;
    /**
     * Iron.
     */
    iron?: StatedConcentration | null;
    /**
     * Lactate.
     */
    lactate?: StatedConcentration | null;
    /**
     * The liquor of a reconciled water, out of its water document (`reconciled.liquor`), in place of the figures of a report: its uncertainty is part of the error bars.
     */
    liquor?: {
      /**
       * Ions, weak acids and inorganic carbon.
       */
      amounts: {
        /**
         * Its variance under its own key, and its covariance with each other amount under that amount's key, (mmol/kg)²; each two amounts state it once.
         */
        covariance: {
          /**
           * Of this amount.
           */
          acetate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ammonium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ascorbate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          calcium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          chloride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          citrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          fluoride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          inorganic_carbon?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          iron?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          lactate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          magnesium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          malate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          manganese?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          phosphate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          potassium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          silica?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sodium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          tartrate?: CovarianceInMmolKg | null;
        };
        /**
         * Key of the ion, or "inorganic_carbon".
         */
        key:
          | (
              | 'calcium'
              | 'magnesium'
              | 'sodium'
              | 'potassium'
              | 'ammonium'
              | 'iron'
              | 'manganese'
              | 'chloride'
              | 'sulfate'
              | 'nitrate'
              | 'nitrite'
              | 'fluoride'
              | 'lactate'
              | 'acetate'
              | 'citrate'
              | 'malate'
              | 'tartrate'
              | 'phosphate'
              | 'sulfite'
              | 'ascorbate'
              | 'silica'
              | 'inorganic_carbon'
            )
          | string;
        mmol_per_kg: AmountInMmolKg3;
      }[];
      /**
       * What a plan should say of it.
       */
      remarks?:
        | {
            /**
             * What it is about.
             */
            code: ('report_mistaken' | 'report_against_bench' | 'report_finding') | string;
            /**
             * How grave it is.
             */
            severity: ('warning' | 'doubt' | 'note') | string;
            /**
             * In plain words.
             */
            text: string;
          }[]
        | null;
    } | null;
    /**
     * Magnesium.
     */
    magnesium?: StatedConcentration | null;
    /**
     * Malate.
     */
    malate?: StatedConcentration | null;
    /**
     * Manganese.
     */
    manganese?: StatedConcentration | null;
    /**
     * Most that can be drawn for all brews of the day, cold.
     */
    max_amount?: AvailableVolume | null;
    /**
     * Name of the water, such as "well".
     */
    name: string;
    /**
     * Nitrate.
     */
    nitrate?: StatedConcentration | null;
    /**
     * Nitrite.
     */
    nitrite?: StatedConcentration | null;
    /**
     * pH of the sample, at its temperature.
     */
    ph?: StatedPH | null;
    /**
     * Alkalinity to pH 8.3 (p value, to phenolphthalein). It checks the others.
     */
    phenolphthalein_alkalinity?: StatedAlkalinity | null;
    /**
     * Phosphate.
     */
    phosphate?: StatedConcentration | null;
    /**
     * Potassium.
     */
    potassium?: StatedConcentration | null;
    /**
     * Silica.
     */
    silica?: StatedConcentration | null;
    /**
     * Sodium.
     */
    sodium?: StatedConcentration | null;
    /**
     * Sulfate.
     */
    sulfate?: StatedConcentration | null;
    /**
     * Sulfite.
     */
    sulfite?: StatedConcentration | null;
    /**
     * Tartrate.
     */
    tartrate?: StatedConcentration | null;
    /**
     * Temperature of the sample; 20 °C where it is left out.
     */
    temperature?: Temperature3 | null;
    /**
     * Total chlorine, chloramines among it, as Cl2.
     */
    total_chlorine?: StatedChlorine | null;
  } | null;
  /**
   * Kind of the document; it may be left out.
   */
  document?: 'ion-fit' | null;
  /**
   * Your own identifier; the result carries it.
   */
  id?: string | null;
  /**
   * Most different salts to weigh; as many as help where it is left out.
   */
  max_salts?: Number | null;
  /**
   * Your own note; the result carries it.
   */
  note?: string | null;
  /**
   * Salts and bases at hand.
   */
  shelf?:
    | {
        /**
         * What a kg of a solid or a L of a liquid costs, in any currency: of plans that are as good, the cheapest is weighed; the lightest where it is left out.
         */
        cost?: CostPerKgOrL | null;
        /**
         * Smallest dose that makes sense; one step where it is left out.
         */
        min_dose?: StockOnHand | null;
        /**
         * The reagent.
         */
        reagent:
          | (
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
              | 'acetic acid'
              | 'zinc sulfate heptahydrate'
              | 'zinc chloride'
            )
          | string;
        /**
         * Step of the scale or measuring cylinder; 1 g or 1 mL where neither it nor the brewhouse states one.
         */
        step?: ScaleStep | null;
        /**
         * Stock on hand, for all brews; plenty where it is left out.
         */
        stock?: StockOnHand | null;
        /**
         * Strength of a solution or assay of a solid; the usual one where it is left out.
         */
        strength?: (Strength | StrengthInMolL) | null;
      }[]
    | null;
  /**
   * The water at hand.
   */
  source: {
    /**
     * Acetate.
     */
    acetate?: StatedConcentration | null;
    /**
     * Total alkalinity (m value, to pH 4.5 or methyl orange), or carbonate hardness.
     */
    alkalinity?: StatedAlkalinity | null;
    /**
     * Ammonium.
     */
    ammonium?: StatedConcentration | null;
    /**
     * Ascorbate.
     */
    ascorbate?: StatedConcentration | null;
    /**
     * Bicarbonate; in place of an alkalinity, or beside it: then both must agree.
     */
    bicarbonate?: StatedConcentration | null;
    /**
     * Calcium.
     */
    calcium?: StatedConcentration | null;
    /**
     * Carbonate, beside bicarbonate.
     */
    carbonate?: StatedConcentration | null;
    /**
     * Chloride.
     */
    chloride?: StatedConcentration | null;
    /**
     * Citrate.
     */
    citrate?: StatedConcentration | null;
    /**
     * Electrical conductivity at 25 °C, or at 20 °C where the unit says so. It checks the ions.
     */
    conductivity?: StatedConductivity | null;
    /**
     * Dissolved solids or dry residue. They check the ions.
     */
    dissolved_solids?: StatedDissolvedSolids | null;
    /**
     * Fluoride.
     */
    fluoride?: StatedConcentration | null;
    /**
     * Free chlorine, as Cl2.
     */
    free_chlorine?: StatedChlorine | null;
    /**
     * Total hardness. Calcium and magnesium follow from it where they are not stated.
     */
    hardness?: StatedHardness | null;
    /**
     * Iron.
     */
    iron?: StatedConcentration | null;
    /**
     * Lactate.
     */
    lactate?: StatedConcentration | null;
    /**
     * The liquor of a reconciled water, out of its water document (`reconciled.liquor`), in place of the figures of a report: its uncertainty is part of the error bars.
     */
    liquor?: {
      /**
       * Ions, weak acids and inorganic carbon.
       */
      amounts: {
        /**
         * Its variance under its own key, and its covariance with each other amount under that amount's key, (mmol/kg)²; each two amounts state it once.
         */
        covariance: {
          /**
           * Of this amount.
           */
          acetate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ammonium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          ascorbate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          calcium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          chloride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          citrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          fluoride?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          inorganic_carbon?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          iron?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          lactate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          magnesium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          malate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          manganese?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          nitrite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          phosphate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          potassium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          silica?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sodium?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfate?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          sulfite?: CovarianceInMmolKg | null;
          /**
           * Of this amount.
           */
          tartrate?: CovarianceInMmolKg | null;
        };
        /**
         * Key of the ion, or "inorganic_carbon".
         */
        key:
          | (
              | 'calcium'
              | 'magnesium'
              | 'sodium'
              | 'potassium'
              | 'ammonium'
              | 'iron'
              | 'manganese'
              | 'chloride'
              | 'sulfate'
              | 'nitrate'
              | 'nitrite'
              | 'fluoride'
              | 'lactate'
              | 'acetate'
              | 'citrate'
              | 'malate'
              | 'tartrate'
              | 'phosphate'
              | 'sulfite'
              | 'ascorbate'
              | 'silica'
              | 'inorganic_carbon'
            )
          | string;
        mmol_per_kg: AmountInMmolKg4;
      }[];
      /**
       * What a plan should say of it.
       */
      remarks?:
        | {
            /**
             * What it is about.
             */
            code: ('report_mistaken' | 'report_against_bench' | 'report_finding') | string;
            /**
             * How grave it is.
             */
            severity: ('warning' | 'doubt' | 'note') | string;
            /**
             * In plain words.
             */
            text: string;
          }[]
        | null;
    } | null;
    /**
     * Magnesium.
     */
    magnesium?: StatedConcentration | null;
    /**
     * Malate.
     */
    malate?: StatedConcentration | null;
    /**
     * Manganese.
     */
    manganese?: StatedConcentration | null;
    /**
     * Most that can be drawn for all brews of the day, cold.
     */
    max_amount?: AvailableVolume | null;
    /**
     * Name of the water, such as "well".
     */
    name: string;
    /**
     * Nitrate.
     */
    nitrate?: StatedConcentration | null;
    /**
     * Nitrite.
     */
    nitrite?: StatedConcentration | null;
    /**
     * pH of the sample, at its temperature.
     */
    ph?: StatedPH | null;
    /**
     * Alkalinity to pH 8.3 (p value, to phenolphthalein). It checks the others.
     */
    phenolphthalein_alkalinity?: StatedAlkalinity | null;
    /**
     * Phosphate.
     */
    phosphate?: StatedConcentration | null;
    /**
     * Potassium.
     */
    potassium?: StatedConcentration | null;
    /**
     * Silica.
     */
    silica?: StatedConcentration | null;
    /**
     * Sodium.
     */
    sodium?: StatedConcentration | null;
    /**
     * Sulfate.
     */
    sulfate?: StatedConcentration | null;
    /**
     * Sulfite.
     */
    sulfite?: StatedConcentration | null;
    /**
     * Tartrate.
     */
    tartrate?: StatedConcentration | null;
    /**
     * Temperature of the sample; 20 °C where it is left out.
     */
    temperature?: Temperature3 | null;
    /**
     * Total chlorine, chloramines among it, as Cl2.
     */
    total_chlorine?: StatedChlorine | null;
  };
  /**
   * Targets of the liquor.
   */
  targets: {
    /**
     * Alkalinity of the liquor.
     */
    alkalinity?: RangeOfAlkalinity | null;
    /**
     * Ammonium.
     */
    ammonium?: RangeOfConcentration | null;
    /**
     * Calcium.
     */
    calcium?: RangeOfConcentration | null;
    /**
     * Chloride.
     */
    chloride?: RangeOfConcentration | null;
    /**
     * Fluoride.
     */
    fluoride?: RangeOfConcentration | null;
    /**
     * Iron.
     */
    iron?: RangeOfConcentration | null;
    /**
     * Magnesium.
     */
    magnesium?: RangeOfConcentration | null;
    /**
     * Manganese.
     */
    manganese?: RangeOfConcentration | null;
    /**
     * Nitrate.
     */
    nitrate?: RangeOfConcentration | null;
    /**
     * Nitrite.
     */
    nitrite?: RangeOfConcentration | null;
    /**
     * Potassium.
     */
    potassium?: RangeOfConcentration | null;
    /**
     * Sodium.
     */
    sodium?: RangeOfConcentration | null;
    /**
     * Sulfate.
     */
    sulfate?: RangeOfConcentration | null;
    /**
     * Sulfate to chloride, by mass.
     */
    sulfate_to_chloride?: RangeOfRatio | null;
    /**
     * How much a target counts beside the others; 1 where it is left out.
     */
    weights?: {
      /**
       * Weight of this target.
       */
      alkalinity?: Weight | null;
      /**
       * Weight of this target.
       */
      ammonium?: Weight | null;
      /**
       * Weight of this target.
       */
      calcium?: Weight | null;
      /**
       * Weight of this target.
       */
      chloride?: Weight | null;
      /**
       * Weight of this target.
       */
      fluoride?: Weight | null;
      /**
       * Weight of this target.
       */
      iron?: Weight | null;
      /**
       * Weight of this target.
       */
      magnesium?: Weight | null;
      /**
       * Weight of this target.
       */
      manganese?: Weight | null;
      /**
       * Weight of this target.
       */
      nitrate?: Weight | null;
      /**
       * Weight of this target.
       */
      nitrite?: Weight | null;
      /**
       * Weight of this target.
       */
      potassium?: Weight | null;
      /**
       * Weight of this target.
       */
      sodium?: Weight | null;
      /**
       * Weight of this target.
       */
      sulfate?: Weight | null;
      /**
       * Weight of this target.
       */
      sulfate_to_chloride?: Weight | null;
    } | null;
  };
  /**
   * Temperature of the liquor when it is dosed; 20 °C where it is left out.
   */
  temperature?: Temperature3 | null;
  /**
   * Format version of the document.
   */
  underlet: 1 | null;
  volume: LiquorVolume3;
}
/**
 * What a fit of ions comes to.
 */
export interface FittedIons {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * What it is made of, the diluting water last; shares are not rounded.
   */
  blend: BlendPart[];
  /**
   * Dangers, and what to be careful about.
   */
  cautions: Caution[];
  /**
   * Kind of the document.
   */
  document: 'fitted-ions';
  /**
   * Version of the engine that wrote it, such as "0.1.0".
   */
  engine: string;
  fit: IonFitReport;
  /**
   * Your own identifier, from the input document.
   */
  id: string | null;
  /**
   * True when every range is met.
   */
  meets_every_range: boolean;
  /**
   * Your own note, from the input document.
   */
  note: string | null;
  /**
   * What to weigh.
   */
  salts: SaltToWeigh[];
  /**
   * One line: is every range met?
   */
  summary: string;
  /**
   * Format version: 1.
   */
  underlet: 1;
  /**
   * The resulting water: each ion that it holds or that has a target, alkalinity, and
   * sulfate to chloride.
   */
  water: TargetLine[];
  /**
   * Mass of the liquor, kg.
   */
  water_kg: number;
}
/**
 * How good the fit is, proven.
 */
export interface IonFitReport {
  certificate: Proof1;
  /**
   * How much better another weighing could still be, each salt counted with its price, as a
   * part of the objective; 0 where this is proven the best, up to a millionth.
   */
  gap: number;
  /**
   * Iterations of the solver.
   */
  iterations: number;
  /**
   * Nodes of the search for it.
   */
  nodes: number;
  /**
   * Objective as weighed; the search counts each salt and each gram with a little price
   * beside it.
   */
  objective: number;
  /**
   * Objective of the best fit if the scale were infinitely fine: nothing can be below it.
   */
  objective_before_weighing: number;
}
/**
 * Proof that the fit before weighing is the best one.
 */
export interface Proof1 {
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
 * One weighing, or measuring out.
 */
export interface SaltToWeigh {
  /**
   * How much, in whole steps of the scale.
   */
  amount: number;
  /**
   * How much the best fit of an infinitely fine scale takes, of any number of salts.
   */
  before_weighing: number;
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
   * "g" or "mL".
   */
  unit: 'g' | 'mL';
  /**
   * What it does, such as "calcium +23 mg/L, sulfate +56 mg/L".
   */
  why: string;
}
export interface EquilibriumInput {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * Acetate.
   */
  acetate?: StatedConcentration | null;
  /**
   * Total alkalinity (m value, to pH 4.5 or methyl orange), or carbonate hardness.
   */
  alkalinity?: StatedAlkalinity | null;
  /**
   * Ammonium.
   */
  ammonium?: StatedConcentration | null;
  /**
   * Ascorbate.
   */
  ascorbate?: StatedConcentration | null;
  /**
   * Bicarbonate; in place of an alkalinity, or beside it: then both must agree.
   */
  bicarbonate?: StatedConcentration | null;
  /**
   * Calcium.
   */
  calcium?: StatedConcentration | null;
  /**
   * Carbonate, beside bicarbonate.
   */
  carbonate?: StatedConcentration | null;
  /**
   * Chloride.
   */
  chloride?: StatedConcentration | null;
  /**
   * Citrate.
   */
  citrate?: StatedConcentration | null;
  /**
   * Electrical conductivity at 25 °C, or at 20 °C where the unit says so. It checks the ions.
   */
  conductivity?: StatedConductivity | null;
  /**
   * Dissolved solids or dry residue. They check the ions.
   */
  dissolved_solids?: StatedDissolvedSolids | null;
  /**
   * Kind of the document; it may be left out.
   */
  document?: 'equilibrium-input' | null;
  /**
   * Fluoride.
   */
  fluoride?: StatedConcentration | null;
  /**
   * Free chlorine, as Cl2.
   */
  free_chlorine?: StatedChlorine | null;
  /**
   * Total hardness. Calcium and magnesium follow from it where they are not stated.
   */
  hardness?: StatedHardness | null;
  /**
   * Your own identifier; the result carries it.
   */
  id?: string | null;
  /**
   * Iron.
   */
  iron?: StatedConcentration | null;
  /**
   * Lactate.
   */
  lactate?: StatedConcentration | null;
  /**
   * Decimal logarithm of the partial pressure of carbon dioxide in atm. It is given with `alkalinity`.
   */
  log10_pco2?: Log10OfThePressureOfCarbonDioxideInAtm | null;
  /**
   * Magnesium.
   */
  magnesium?: StatedConcentration | null;
  /**
   * Malate.
   */
  malate?: StatedConcentration | null;
  /**
   * Manganese.
   */
  manganese?: StatedConcentration | null;
  /**
   * Nitrate.
   */
  nitrate?: StatedConcentration | null;
  /**
   * Nitrite.
   */
  nitrite?: StatedConcentration | null;
  /**
   * Your own note; the result carries it.
   */
  note?: string | null;
  /**
   * pH of the sample, at its temperature.
   */
  ph?: StatedPH | null;
  /**
   * Alkalinity to pH 8.3 (p value, to phenolphthalein). It checks the others.
   */
  phenolphthalein_alkalinity?: StatedAlkalinity | null;
  /**
   * Phosphate.
   */
  phosphate?: StatedConcentration | null;
  /**
   * Potassium.
   */
  potassium?: StatedConcentration | null;
  /**
   * Silica.
   */
  silica?: StatedConcentration | null;
  /**
   * Sodium.
   */
  sodium?: StatedConcentration | null;
  /**
   * Sulfate.
   */
  sulfate?: StatedConcentration | null;
  /**
   * Sulfite.
   */
  sulfite?: StatedConcentration | null;
  /**
   * Tartrate.
   */
  tartrate?: StatedConcentration | null;
  /**
   * Temperature of the sample; 20 °C where it is left out.
   */
  temperature?: Temperature3 | null;
  /**
   * Total inorganic carbon, as C. It is given with `alkalinity` or `ph`.
   */
  total_carbon?: Concentration | null;
  /**
   * Total chlorine, chloramines among it, as Cl2.
   */
  total_chlorine?: StatedChlorine | null;
  /**
   * Format version of the document.
   */
  underlet?: 1 | null;
}
/**
 * A water at equilibrium. What is both an argument and a result has the same name and unit in
 * both.
 */
export interface Equilibrium {
  /**
   * What users attach; the answer carries it.
   */
  [key: `x-${string}`]: unknown;
  /**
   * Alkalinity, mg/L as CaCO3: as given, or as pH and carbon make it.
   */
  alkalinity: number;
  /**
   * Conductivity referred to 25 °C, µS/cm, as a meter that corrects for natural water shows
   * it.
   */
  conductivity_25c_us_per_cm: number;
  /**
   * Conductivity at the water's temperature, µS/cm.
   */
  conductivity_us_per_cm: number;
  /**
   * Kind of the document.
   */
  document: 'equilibrium';
  /**
   * Version of the engine that wrote it, such as "0.1.0".
   */
  engine: string;
  /**
   * Your own identifier, from the input document.
   */
  id: string | null;
  /**
   * Ionic strength, mol/kg of water.
   */
  ionic_strength: number;
  /**
   * Decimal logarithm of the partial pressure of carbon dioxide in atm that it is in balance
   * with; null without carbon.
   */
  log10_pco2: number | null;
  /**
   * Your own note, from the input document.
   */
  note: string | null;
  /**
   * pH on the activity scale, at the water's temperature.
   */
  ph: number;
  /**
   * By mineral: decimal logarithm of ion activity product over solubility constant, where
   * its ions are there.
   */
  saturation_indices: {
    [k: string]: number | undefined;
  };
  /**
   * Exact derivatives of each result, and of each saturation index by its mineral's name, to
   * each argument that counts, in the units of both: `sensitivities.calcite.calcium` is per
   * mg/L of calcium.
   */
  sensitivities: {
    [k: string]:
      | {
          [k: string]: number | undefined;
        }
      | undefined;
  };
  /**
   * Molality by formula, mol/kg of water.
   */
  species: {
    [k: string]: number | undefined;
  };
  /**
   * Temperature, °C.
   */
  temperature: number;
  /**
   * Total inorganic carbon, mg/L as C.
   */
  total_carbon: number;
  /**
   * Format version: 1.
   */
  underlet: 1;
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
    | 'wrong_document'
    | 'wrong_type'
    | 'missing_key'
    | 'unknown_key'
    | 'unknown_name'
    | 'not_a_number'
    | 'not_finite'
    | 'not_a_date'
    | 'wrong_unit'
    | 'out_of_range'
    | 'range_reversed'
    | 'empty_list'
    | 'too_many'
    | 'duplicate'
    | 'contradiction'
    | 'overdraw'
    | 'overflow'
    | 'dry'
    | 'no_equilibrium'
    | 'no_plan';
  /**
   * What was expected.
   */
  expected: string;
  /**
   * What was read there.
   */
  found: string;
  /**
   * How to fix it.
   */
  hint: string;
  /**
   * Where: the field's path, such as `grist[1].mass`; empty for the whole document.
   */
  path: string;
}
