//! The list of every input quantity. Limits are what the quantity can sensibly be: wide enough for
//! every brewhouse, narrow enough to catch a slipped decimal point or a wrong unit (common
//! practice, no source).

use super::{Dimension, Quantity};

macro_rules! quantities {
    ($($(#[doc = $doc:literal])+ $ident:ident = $name:literal, $dimension:ident, $bound:tt $low:tt .. $high:literal, $example:literal;)+) => {
        $(
            $(#[doc = $doc])+
            pub static $ident: Quantity = Quantity {
                name: $name,
                dimension: Dimension::$dimension,
                low: $low as f64,
                low_is_open: quantities!(@open $bound),
                high: $high as f64,
                example: $example,
            };
        )+

        /// Every input quantity.
        pub static LIST: &[&Quantity] = &[$(&$ident,)+];
    };
    (@open above) => { true };
    (@open from) => { false };
}

quantities! {
    /// Volume of liquor; a trial mash in a beaker takes a tenth of a litre.
    LIQUOR_VOLUME = "liquor volume", Volume, from 0.01 .. 1e6, "6.5 hL";
    /// What a hot-liquor tank or another vessel holds.
    TANK_VOLUME = "volume of the tank", Volume, from 0.01 .. 1e6, "10 hL";
    /// What a source can give; 0 for a source that is off today.
    AVAILABLE_VOLUME = "available volume", Volume, from 0.0 .. 1e9, "250 L";
    /// Standard deviation of a volume.
    VOLUME_SD = "standard deviation of the volume", Volume, from 0.0 .. 1e6, "5 L";
    /// Mass of a malt or adjunct.
    MALT_MASS = "mass of malt", Mass, from 0.0001 .. 1e6, "175 kg";
    /// Temperature of liquor or mash.
    TEMPERATURE = "temperature", Temperature, from 0.0 .. 100.0, "66.5 °C";
    /// What a thermometer shows, one that is off in melting ice among them.
    THERMOMETER = "temperature on the thermometer", Temperature, from (-10.0) .. 110.0, "66.5 °C";
    /// Standard deviation of a temperature: a difference, so 1 K is 1 °C and 1 °F is 5/9 °C.
    TEMPERATURE_SD = "standard deviation of the temperature", TemperatureDifference, from 0.0 .. 50.0, "0.5 °C";
    /// Concentration of an ion or another solute.
    ION = "concentration", Concentration, from 0.0 .. 20_000.0, "80 mg/L";
    /// Standard deviation of a concentration.
    ION_SD = "standard deviation of the concentration", Concentration, from 0.0 .. 20_000.0, "4 mg/L";
    /// Alkalinity to the methyl-orange end point.
    ALKALINITY = "alkalinity", Alkalinity, from 0.0 .. 2000.0, "180 mg/L as CaCO3";
    /// Standard deviation of an alkalinity.
    ALKALINITY_SD = "standard deviation of the alkalinity", Alkalinity, from 0.0 .. 2000.0, "5 mg/L as CaCO3";
    /// Total, calcium or magnesium hardness.
    HARDNESS = "hardness", Hardness, from 0.0 .. 10_000.0, "14 °dH";
    /// Standard deviation of a hardness.
    HARDNESS_SD = "standard deviation of the hardness", Hardness, from 0.0 .. 10_000.0, "0.5 °dH";
    /// pH of a water or a liquor.
    PH = "pH", Ph, from 0.0 .. 14.0, "7.4";
    /// Decimal logarithm of the partial pressure of carbon dioxide in atm: about -3.4 in air.
    LOG10_PCO2 = "log10 of the pressure of carbon dioxide in atm,", Ratio, from (-10.0) .. 1.0, "-3.4";
    /// pH of a mash, a wort or run-off.
    MASH_PH = "mash pH", Ph, from 4.0 .. 8.0, "5.4";
    /// pH of wort in the full kettle.
    KETTLE_PH = "kettle pH", Ph, from 4.0 .. 7.0, "5.2";
    /// pH of a malt's mash in distilled water.
    MALT_PH = "malt pH", Ph, from 2.0 .. 8.0, "5.7";
    /// Standard deviation of a pH.
    PH_SD = "standard deviation of the pH", Ph, from 0.0 .. 2.0, "0.05";
    /// Smallest step of the scale or the measuring cylinder.
    SCALE_STEP = "scale step", Amount, from 1e-6 .. 10_000.0, "0.1 g";
    /// What lies on the shelf of a reagent.
    STOCK = "stock on hand", Amount, from 0.0 .. 1e6, "500 g";
    /// What a reagent costs, per kg of a solid or L of a liquid, in any currency.
    COST = "cost per kg or L", Ratio, from 0.0 .. 1e6, "2.5";
    /// Strength of an acid or base, or assay of a salt, by mass.
    STRENGTH = "strength", Strength, above 0.0 .. 100.0, "80 %";
    /// Strength of a solution by amount; concentrated mineral acids and lyes stay below the limit.
    MOLARITY = "strength in mol/L", Molarity, above 0.0 .. 30.0, "1 mol/L";
    /// Buffering of a malt.
    BUFFERING = "buffering", Buffering, from 0.0 .. 1000.0, "35 meq/(kg pH)";
    /// Standard deviation of a buffering.
    BUFFERING_SD = "standard deviation of the buffering", Buffering, from 0.0 .. 1000.0, "5 meq/(kg pH)";
    /// Curvature of a malt's titration curve, meq/(kg pH²).
    CURVATURE = "curvature in meq/(kg pH²)", Ratio, from (-1000.0) .. 1000.0, "4";
    /// Standard deviation of a curvature, meq/(kg pH²).
    CURVATURE_SD = "standard deviation of the curvature", Ratio, from 0.0 .. 1000.0, "2";
    /// Correlation of two errors.
    CORRELATION = "correlation", Ratio, from (-1.0) .. 1.0, "0.3";
    /// Acid or base per mass of malt, from a titration.
    ACIDITY = "acidity", Acidity, from 0.0 .. 10_000.0, "44 meq/kg";
    /// Lactic acid in acidulated malt.
    LACTIC_ACID = "lactic acid content", Strength, above 0.0 .. 20.0, "3 %";
    /// Sample of a titration.
    SAMPLE_VOLUME = "volume of the sample", SmallVolume, from 1.0 .. 2000.0, "100 mL";
    /// Acid or EDTA that a titration took.
    TITRANT_VOLUME = "volume used", SmallVolume, from 0.0 .. 1000.0, "18.4 mL";
    /// Strength of the acid or EDTA of a titration.
    TITRANT_STRENGTH = "strength of the titrant", Molarity, above 0.0 .. 2.0, "0.02 mol/L";
    /// An amount of a reconciled liquor, mmol/kg; inorganic carbon of an acid water can be next to
    /// nothing.
    MMOL_PER_KG = "amount in mmol/kg", Ratio, from 0.0 .. 2000.0, "2.1";
    /// What any liquor can hold of a component or of inorganic carbon, whatever was done to it.
    DISSOLVED_AMOUNT = "dissolved amount in mmol/kg", Ratio, from 0.0 .. 1e6, "2.1";
    /// Alkalinity of any liquor, negative where mineral acid is in excess.
    ALKALINITY_LEFT = "alkalinity in meq/kg", Ratio, from (-1e6) .. 1e6, "3.6";
    /// What two such amounts vary together.
    COVARIANCE = "covariance in (mmol/kg)²", Ratio, from (-4e6) .. 4e6, "0.01";
    /// Drops of a kit that were counted: whole numbers.
    DROPS = "number of drops", Ratio, from 0.0 .. 200.0, "9";
    /// Hours for which liquor is heated or held.
    STANDING_TIME = "time", Time, from 0.0 .. 1000.0, "9 h";
    /// How long wort boils.
    BOIL_TIME = "boiling time", Time, above 0.0 .. 24.0, "75 min";
    /// Time since the grist was mashed in.
    TIME_IN_MASH = "time after mashing in", Time, from 0.0 .. 6.0, "20 min";
    /// Extract of runnings or wort, as a hydrometer or a refractometer shows it of a cooled sample.
    GRAVITY = "gravity", Extract, from (-3.0) .. 45.0, "2.4 °P";
    /// What ran off into the kettle so far.
    COLLECTED = "volume collected", Volume, from 0.0 .. 1e6, "880 L";
    /// What boils off.
    BOIL_OFF = "volume that boils off", Volume, from 0.0 .. 1e6, "90 L";
    /// Zinc to be given: a slipped decimal point would poison the yeast.
    ZINC = "zinc", Concentration, above 0.0 .. 1.0, "0.15 mg/L";
    /// What boils off in an hour.
    BOIL_OFF_RATE = "volume that boils off in an hour", Flow, from 0.0 .. 1e5, "60 L/h";
    /// What lies below the outlet of a vessel.
    DEAD_VOLUME = "dead volume", Volume, from 0.0 .. 1e5, "12 L";
    /// What drained grains keep; pressed ones keep half a litre, unpressed ones hardly twice as
    /// much as usual.
    GRAIN_ABSORPTION = "grain absorption", Thickness, from 0.0 .. 3.0, "1.05 L/kg";
    /// How many times a recipe is brewed.
    RECIPE_SCALE = "recipe scale", Ratio, above 0.0 .. 1000.0, "0.25";
    /// What new scale grows on in a tank, cm² per L of liquor.
    SCALE_AREA = "area of scale in cm²/L", Ratio, from 0.0 .. 10_000.0, "15";
    /// Standard deviation of that.
    SCALE_AREA_SD = "standard deviation of the area", Ratio, from 0.0 .. 10_000.0, "12";
    /// Film of water that carbon dioxide diffuses through, mm: still water is no thicker.
    FILM = "film of water in mm", Ratio, from 0.001 .. 1000.0, "2";
    /// Standard deviation of that.
    FILM_SD = "standard deviation of the film", Ratio, from 0.0 .. 1000.0, "1";
    /// Mass of water in a tank.
    WATER_MASS = "mass of water", Mass, from 0.0 .. 1e9, "120 kg";
    /// Mass of water in a mash.
    WATER_OF_A_MASH = "mash water", Mass, above 0.0 .. 1e6, "520 kg";
    /// A number of the heel that a tank's ledger gave out.
    HEEL_NUMBER = "number of a heel", Ratio, from (-1e12) .. 1e12, "0.5";
    /// Ratio of two quantities of one kind.
    RATIO = "ratio", Ratio, from 0.0 .. 1000.0, "0.5";
    /// Share of a whole.
    SHARE = "share", Ratio, from 0.0 .. 1.0, "25 %";
    /// Chance that too much is given.
    OVERSHOOT_RISK = "overshoot risk", Ratio, from 0.001 .. 1.0, "3 %";
    /// Requested chance to keep a limit.
    CONFIDENCE = "confidence", Ratio, from 0.5 .. 0.99, "80 %";
    /// Relative standard deviation.
    RELATIVE_SD = "relative standard deviation", Ratio, from 0.0 .. 1.0, "5 %";
    /// Colour of a malt or a beer.
    COLOUR = "colour", Colour, from 0.0 .. 20_000.0, "8 EBC";
    /// How much something counts against the rest. What should not count at all is left out.
    WEIGHT = "weight", Ratio, from 1e-6 .. 1000.0, "1";
    /// How many of a kind: whole numbers.
    COUNT = "number", Ratio, from 0.0 .. 30.0, "4";
    /// Liquor to grist in the mash.
    THICKNESS = "mash thickness", Thickness, above 0.0 .. 100.0, "3 L/kg";
    /// Free or total chlorine, as Cl2.
    CHLORINE = "chlorine", Concentration, from 0.0 .. 100.0, "0.3 mg/L";
    /// Electrical conductivity at 25 °C, or at 20 °C where the unit says so.
    CONDUCTIVITY = "conductivity", Conductivity, from 0.0 .. 100_000.0, "560 µS/cm";
    /// Dissolved solids or dry residue.
    DISSOLVED_SOLIDS = "dissolved solids", DissolvedSolids, from 0.0 .. 100_000.0, "350 mg/L";
}
