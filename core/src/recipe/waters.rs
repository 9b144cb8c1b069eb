//! Masses of water on a brew day.

use super::Vessel;

/// Masses of water, kg. Several brews, one like the other, may share one tank, or one blend where
/// there is no tank.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Waters {
    /// In the hot-liquor tank before anything is drawn; `None` where there is no tank to dose.
    pub tank_kg: Option<f64>,
    /// Mash liquor of a brew.
    pub mash_kg: f64,
    /// Sparge liquor of a brew; 0 without a sparge.
    pub sparge_kg: f64,
    /// In the full kettle of a brew: what the grains let through.
    pub kettle_kg: f64,
    /// How many brews.
    pub brews: f64,
}

impl Waters {
    /// All the brewing liquor of a brew.
    pub fn brewing_kg(&self) -> f64 {
        self.mash_kg + self.sparge_kg
    }

    /// What is blended from the sources, for all brews.
    pub fn blended_kg(&self) -> f64 {
        self.tank_kg.unwrap_or(self.brews * self.brewing_kg())
    }

    /// How often a vessel is dosed: the tank once, the others in each brew.
    pub fn times(&self, vessel: Vessel) -> f64 {
        if vessel.is_shared() { 1.0 } else { self.brews }
    }

    /// Water that a dose is spread over in a vessel, each time it is dosed. The sparge liquor is
    /// what stays in the tank after the mash liquor is drawn: of one brew, since of several the
    /// tank would hold the next one's mash liquor as well, and a document may not state that.
    pub fn dosed_kg(&self, vessel: Vessel) -> f64 {
        match vessel {
            Vessel::HotLiquorTank => self.blended_kg(),
            Vessel::MashLiquor | Vessel::MashTun => self.mash_kg,
            Vessel::SpargeLiquor => self
                .tank_kg
                .map_or(self.sparge_kg, |tank| tank - self.mash_kg),
            Vessel::Kettle => self.kettle_kg,
        }
    }
}
