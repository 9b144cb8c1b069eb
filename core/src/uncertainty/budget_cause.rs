//! What makes a mash pH uncertain.

use crate::error::codes;

codes! {
    /// A cause of uncertainty of a mash pH.
    pub enum UncertaintyCause {
        /// Differences between lots of a malt.
        MaltLots = "malt_lots",
        /// Buffering of the malts.
        MaltBuffer = "malt_buffer",
        /// Time and way of sampling.
        Sampling = "sampling",
        /// The pH meter.
        Meter = "meter",
        /// Alkalinity of the water.
        Alkalinity = "alkalinity",
        /// What calcium and magnesium do to the phosphates of the malt.
        CalciumEffect = "calcium_effect",
        /// Strength of the acids.
        AcidStrength = "acid_strength",
        /// How much of a reagent dissolves.
        Dissolving = "dissolving",
        /// How much carbon dioxide has left.
        Carbon = "carbon",
    }
}
