//! Codes of a plan, each in one list.

use crate::error::codes;
use crate::water_report::RemarkCode;

codes! {
    /// Stable short code of a reason: programs match on it, so a code is never renamed.
    pub enum ReasonCode {
        /// Nothing needs to be added, or there are no targets.
        NothingNeeded = "nothing_needed",
        /// No brewing liquor reaches the target, so that it is left aside.
        OutOfReach = "out_of_reach",
        /// The water already brings more of an ion than its range allows.
        SourceAboveRange = "source_above_range",
        /// The acid for the kettle brings an ion beyond its range.
        KettleAcid = "kettle_acid",
        /// The largest number of salts keeps a target outside its range.
        MaxSalts = "max_salts",
        /// Whole steps of the scale, or the least dose, keep a target outside its range.
        WholeSteps = "whole_steps",
        /// A hard limit on the liquor keeps a target outside its range.
        HardLimit = "hard_limit",
        /// No acid on the shelf may go where it is needed.
        NoAcid = "no_acid",
        /// Nothing on the shelf brings alkalinity where it is needed.
        NoBase = "no_base",
        /// Nothing on the shelf brings the ion.
        NothingBrings = "nothing_brings",
        /// It takes more of a reagent than is in stock or than the liquor takes up.
        StockOrSolubility = "stock_or_solubility",
        /// Going further would cost more in other ranges.
        RangesConflict = "ranges_conflict",
        /// The range is too narrow for the requested confidence.
        RangeTooNarrow = "range_too_narrow",
        /// For the requested confidence, the pH is aimed inside its range.
        AimedInsideRange = "aimed_inside_range",
        /// The aim of a pH and the doses for it did not converge.
        AimNotConverged = "aim_not_converged",
        /// A target lies at an end of its range.
        RestsOnRange = "rests_on_range",
        /// A hard limit on the liquor holds the plan back.
        RestsOnLimit = "rests_on_limit",
        /// Lime, boiling or dilution would take out what the acid is given for.
        TemporaryHardness = "temporary_hardness",
        /// Every range is met.
        RangesMet = "ranges_met",
        /// A part of the explanation could not be computed, and why.
        NotComputed = "not_computed",
    }
}

codes! {
    /// Stable short code of a caution: programs match on it, so a code is never renamed.
    pub enum CautionCode {
        /// Acid goes into water, never the reverse.
        AcidIntoWater = "acid_into_water",
        /// Acid sets carbon dioxide free from hard water.
        CarbonDioxide = "carbon_dioxide",
        /// Slaked lime burns.
        LimeBurns = "lime_burns",
        /// Sulfite and acid give off sulfur dioxide.
        Sulfite = "sulfite",
        /// Hot liquor scalds.
        HotLiquor = "hot_liquor",
        /// A figure of a water report was perhaps read on the wrong basis.
        ReportMistaken = "report_mistaken",
        /// Report and bench disagree.
        ReportAgainstBench = "report_against_bench",
        /// A finding about the water.
        ReportFinding = "report_finding",
        /// Cations and anions of a water report do not balance.
        ReportDoesNotBalance = "report_does_not_balance",
        /// A water exceeds a figure for drinking water.
        LimitExceeded = "limit_exceeded",
        /// A target lies above the figure for drinking water.
        TargetAboveLimit = "target_above_limit",
        /// The plan brings more of something than is said to be tasted.
        MayBeTasted = "may_be_tasted",
        /// A vessel is nearly full.
        NearlyFull = "nearly_full",
        /// The liquor keeps its chlorine.
        ChlorineLeft = "chlorine_left",
        /// Ascorbic acid is slow with chloramine.
        ChloramineStays = "chloramine_stays",
        /// Zinc poisons yeast where there is too much of it.
        Zinc = "zinc",
        /// There is less zinc in stock than the target needs.
        ZincShort = "zinc_short",
        /// The scale cannot weigh so little zinc.
        ZincNotWeighed = "zinc_not_weighed",
        /// Chalk dissolves only in part.
        ChalkDissolvesInPart = "chalk_dissolves_in_part",
        /// A base precipitates chalk in hard or hot liquor.
        BaseDropsChalk = "base_drops_chalk",
        /// Citric acid binds calcium, which is not computed.
        CitrateBindsCalcium = "citrate_binds_calcium",
        /// Acid and base in one liquor undo each other.
        AcidAndBase = "acid_and_base",
        /// The mash pH lies where no forecast was compared with a measured mash.
        MashPhNotKnown = "mash_ph_not_known",
        /// A liquor holds more than its figures were checked for.
        LiquorTooConcentrated = "liquor_too_concentrated",
        /// Calcium and sulfate come together that do not dissolve together.
        GypsumUndissolved = "gypsum_undissolved",
        /// The targets ask for more than a liquor takes up.
        TakesUpNoMore = "takes_up_no_more",
        /// A mash pH is asked for at which no usual beer is mashed.
        MashPhTargetUnusual = "mash_ph_target_unusual",
        /// The rest is hotter or cooler than usual.
        RestTemperatureUnusual = "rest_temperature_unusual",
        /// The strike liquor does not bring the grist to its rest.
        StrikeMissesRest = "strike_misses_rest",
        /// The sparge liquor is hotter or cooler than usual.
        SpargeTemperatureUnusual = "sparge_temperature_unusual",
        /// Liquor is drawn from a tank that is colder.
        TankColderThanDraw = "tank_colder_than_draw",
        /// A source comes hot, and is counted as cold liquor.
        SourceDrawnHot = "source_drawn_hot",
        /// More acidulated malt than usual.
        MuchAcidulatedMalt = "much_acidulated_malt",
        /// Acid and acidulated malt come into the same mash.
        AcidOnAcidulatedMalt = "acid_on_acidulated_malt",
        /// The sparge liquor is more acid than it should be.
        SpargeOverdosed = "sparge_overdosed",
        /// The chance of landing in a range is less than the requested confidence.
        ConfidenceNotReached = "confidence_not_reached",
        /// The mash pH may well miss its range.
        MashPhUnsure = "mash_ph_unsure",
        /// Safety data sheets and local codes come first.
        SafetyDataSheet = "safety_data_sheet",
        /// What the meters should show in the liquor could not be computed.
        ReadingsNotPredicted = "readings_not_predicted",
        /// A calibrated pH meter decides.
        MeterDecides = "meter_decides",
        /// The error bar of the mash pH is a rough one.
        RoughErrorBar = "rough_error_bar",
        /// Calcite comes down in the liquor that is heated.
        ScaleExpected = "scale_expected",
        /// More chloride than stainless steel usually bears.
        ChlorideOnSteel = "chloride_on_steel",
        /// Fit and forecast differ by more than a fifth of a tolerance.
        FitAndForecastApart = "fit_and_forecast_apart",
    }
}

impl From<RemarkCode> for CautionCode {
    fn from(code: RemarkCode) -> CautionCode {
        match code {
            RemarkCode::ReportMistaken => CautionCode::ReportMistaken,
            RemarkCode::ReportAgainstBench => CautionCode::ReportAgainstBench,
            RemarkCode::ReportFinding => CautionCode::ReportFinding,
        }
    }
}

codes! {
    /// What limits a plan.
    pub enum LimitCode {
        /// The low end of a range.
        RangeLow = "range_low",
        /// The high end of a range.
        RangeHigh = "range_high",
        /// A hard limit on the liquor.
        Limit = "limit",
        /// A stock on hand.
        Stock = "stock",
        /// What dissolves, and can be computed, of a dose.
        Solubility = "solubility",
        /// What can be drawn of a source.
        Source = "source",
    }
}

codes! {
    /// What is done otherwise.
    pub enum AlternativeCode {
        /// The best plan with a salt fewer.
        OneSaltFewer = "one_salt_fewer",
        /// Another acid in place of one.
        AcidSwapped = "acid_swapped",
        /// The least pure water that brings every range within reach.
        LeastDilution = "least_dilution",
        /// A hard water softened by slaked lime before the brew.
        SlakedLime = "slaked_lime",
        /// A hard water boiled before the brew.
        BoiledFirst = "boiled_first",
        /// The one reagent more that helps most.
        OneMoreReagent = "one_more_reagent",
    }
}

codes! {
    /// Stable short code of a measurement that would make a forecast surer.
    pub enum MeasurementCode {
        /// The alkalinity of the water, titrated today.
        Alkalinity = "alkalinity",
        /// The pH of a malt in distilled water.
        MaltPh = "malt_ph",
        /// The pH and the buffering of a malt, by a titration in distilled water.
        MaltTitration = "malt_titration",
    }
}
