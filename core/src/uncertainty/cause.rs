//! The causes of uncertainty, by name.

use super::UncertaintyCause;

/// One thing that is not known exactly. Where there are several of a kind it says which.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Cause {
    /// The distilled-water pH of this lot of a malt.
    MaltLots,
    /// The buffering of a malt.
    MaltBuffering,
    /// The mash liquor's alkalinity, and all that varies with it.
    Alkalinity,
    /// Protons that calcium and magnesium set free from malt phosphate.
    CalciumEffect,
    /// Strength and measuring of the acids in the mash.
    AcidStrength,
    /// The share of partly soluble reagents that dissolves in the mash.
    Dissolving,
    /// Carbon dioxide that has left the mash.
    CarbonDioxide,
    /// The time and way of sampling.
    Sampling,
    /// The meter itself.
    Meter,
    /// Strength of a source: it is richer in all that it holds.
    SourceStrength(usize),
    /// Alkalinity of a source as reported, beyond its strength.
    SourceAlkalinity(usize),
    /// pH of a source.
    SourcePh(usize),
    /// An independent component of the covariance of a source that was reconciled.
    SourceComponent {
        /// Place of the source.
        source: usize,
        /// Place of the component.
        place: usize,
    },
    /// What an addition brings: as weighed, or as strong as it is.
    Dose(usize),
    /// Carbon dioxide that has left by the time liquor is dosed.
    CarbonDioxideDosed,
    /// Carbon dioxide that has left by the time liquor is hot.
    CarbonDioxideHot,
    /// A rate of a tank, by its place in [`Rates::KEYS`](crate::treatment::Rates::KEYS).
    TankRate(usize),
    /// A component of a heel that came without causes of its own, by its place.
    Heel(usize),
    /// A component of the supply of this name, by its place.
    Supply(String, usize),
}

impl Cause {
    /// Its code in the budget of a mash pH, where it is one of those causes.
    pub const fn in_budget(&self) -> Option<UncertaintyCause> {
        Some(match self {
            Cause::MaltLots => UncertaintyCause::MaltLots,
            Cause::MaltBuffering => UncertaintyCause::MaltBuffer,
            Cause::Alkalinity => UncertaintyCause::Alkalinity,
            Cause::CalciumEffect => UncertaintyCause::CalciumEffect,
            Cause::AcidStrength => UncertaintyCause::AcidStrength,
            Cause::Dissolving => UncertaintyCause::Dissolving,
            Cause::CarbonDioxide => UncertaintyCause::Carbon,
            Cause::Sampling => UncertaintyCause::Sampling,
            Cause::Meter => UncertaintyCause::Meter,
            _ => return None,
        })
    }

    /// Stable key, such as `malt_lots`; the same for all of a kind.
    pub fn key(&self) -> &'static str {
        self.key_and_label().0
    }

    /// Name for people, in the words of the field; the same for all of a kind.
    pub fn label(&self) -> &'static str {
        self.key_and_label().1
    }

    fn key_and_label(&self) -> (&'static str, &'static str) {
        match self {
            Cause::MaltLots => ("malt_lots", "differences between malt lots"),
            Cause::MaltBuffering => ("malt_buffer", "the buffering of the malts"),
            Cause::Alkalinity => ("alkalinity", "the alkalinity of the water"),
            Cause::CalciumEffect => (
                "calcium_effect",
                "the effect of calcium and magnesium on malt",
            ),
            Cause::AcidStrength => ("acid_strength", "the strength and measuring of the acid"),
            Cause::Dissolving => ("dissolving", "how much of the chalk dissolves"),
            Cause::CarbonDioxide => ("carbon", "how much carbon dioxide has left"),
            Cause::Sampling => ("sampling", "the time and way of sampling"),
            Cause::Meter => ("meter", "the pH meter"),
            Cause::SourceStrength(_) => ("source_strength", "the strength of the source"),
            Cause::SourceAlkalinity(_) => ("source_alkalinity", "the alkalinity of the source"),
            Cause::SourcePh(_) => ("source_ph", "the pH of the source"),
            Cause::SourceComponent { .. } => ("source_component", "the analyses of the source"),
            Cause::Dose(_) => ("dose", "the weighing and strength of the addition"),
            Cause::CarbonDioxideDosed => (
                "carbon_dosed",
                "how much carbon dioxide has left before dosing",
            ),
            Cause::CarbonDioxideHot => {
                ("carbon_hot", "how much carbon dioxide has left on heating")
            }
            Cause::TankRate(_) => ("tank_rate", "the rates of the tank"),
            Cause::Heel(_) => ("heel", "the analyses of what was left in the tank"),
            Cause::Supply(..) => ("supply", "the analyses of the supply"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Cause, UncertaintyCause};

    #[test]
    fn the_causes_of_a_budget_have_the_keys_of_their_codes() {
        let causes = [
            Cause::MaltLots,
            Cause::MaltBuffering,
            Cause::Sampling,
            Cause::Meter,
            Cause::Alkalinity,
            Cause::CalciumEffect,
            Cause::AcidStrength,
            Cause::Dissolving,
            Cause::CarbonDioxide,
        ];
        let codes: Vec<_> = causes.iter().filter_map(Cause::in_budget).collect();
        assert_eq!(codes, UncertaintyCause::ALL);
        for (cause, code) in causes.iter().zip(codes) {
            assert_eq!(cause.key(), code.as_str());
        }
        assert_eq!(Cause::Dose(0).in_budget(), None);
    }
}
