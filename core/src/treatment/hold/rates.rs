//! How much scale a tank has, how its surface is covered, and what that means for its rates.

use underlet_tables::{Parameter, parameters};

use crate::error::codes;

codes! {
    /// How much old scale is in a tank: what new scale grows on.
    pub enum ScaleCover {
        /// Bare metal: scale may take hours to begin, or form at once on a hot heater.
        Clean = "clean",
        /// Scale on the heater or in patches.
        Some = "some",
        /// Scale on walls and floor.
        Coated = "coated",
    }
}

codes! {
    /// What is above the liquor, and whether it moves: how fast carbon dioxide leaves it.
    pub enum Surface {
        /// Full or shut tight: neither carbon dioxide nor steam leaves.
        Shut = "shut",
        /// A lid with a vent above still liquor.
        Covered = "covered",
        /// No lid above still liquor.
        Open = "open",
        /// Stirred or recirculated, with a vented lid or none.
        Stirred = "stirred",
    }
}

/// How fast hot liquor changes in a tank, or the standard deviations of that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rates {
    /// Area of the scale that calcite grows on, cm² per L of liquor.
    pub scale_area_cm2_per_l: f64,
    /// Film of water under the surface through which carbon dioxide diffuses, mm; the thinner, the
    /// faster it leaves. `None` for a tank that is shut: neither carbon dioxide nor steam leaves.
    pub film_mm: Option<f64>,
    /// Share of the water that leaves as steam in an hour at 80 °C.
    pub evaporation_per_hour: f64,
}

impl Rates {
    /// What a brewer's answers stand for.
    pub fn usual(scale: ScaleCover, surface: Surface) -> Rates {
        Rates::from_table(scale, surface, |parameter| parameter.value)
    }

    /// Standard deviations of [`Rates::usual`].
    pub fn usual_sd(scale: ScaleCover, surface: Surface) -> Rates {
        Rates::from_table(scale, surface, |parameter| parameter.sd)
    }

    /// Their keys in a document.
    pub const KEYS: [&str; 3] = ["scale_area", "film", "evaporation"];

    /// Standard deviations of a tank whose rates are known exactly.
    pub const CERTAIN: Rates = Rates {
        scale_area_cm2_per_l: 0.0,
        film_mm: None,
        evaporation_per_hour: 0.0,
    };

    fn from_table(scale: ScaleCover, surface: Surface, take: fn(&Parameter) -> f64) -> Rates {
        let area = match scale {
            ScaleCover::Clean => parameters::SCALE_AREA_CLEAN,
            ScaleCover::Some => parameters::SCALE_AREA_SOME,
            ScaleCover::Coated => parameters::SCALE_AREA_COATED,
        };
        let film = match surface {
            Surface::Shut => None,
            Surface::Covered => Some(parameters::FILM_COVERED),
            Surface::Open => Some(parameters::FILM_OPEN),
            Surface::Stirred => Some(parameters::FILM_STIRRED),
        };
        Rates {
            scale_area_cm2_per_l: take(&area),
            film_mm: film.as_ref().map(take),
            evaporation_per_hour: take(&parameters::TANK_EVAPORATION),
        }
    }

    /// The rates in the order of their keys, each alone perturbed by its standard deviation.
    pub(crate) fn perturbed(&self, sd: &Rates) -> [Rates; Rates::KEYS.len()] {
        let evaporation = self.evaporation_per_hour + sd.evaporation_per_hour;
        [
            Rates {
                scale_area_cm2_per_l: away(self.scale_area_cm2_per_l, sd.scale_area_cm2_per_l),
                ..*self
            },
            Rates {
                film_mm: self
                    .film_mm
                    .map(|film| away(film, sd.film_mm.unwrap_or(0.0))),
                ..*self
            },
            Rates {
                evaporation_per_hour: evaporation.min(1.0),
                ..*self
            },
        ]
    }

    /// True where every figure is one: an area from 0, a film above 0, a share from 0 to 1.
    pub(super) fn are_possible(&self) -> bool {
        let film = self.film_mm;
        self.scale_area_cm2_per_l.is_finite()
            && self.scale_area_cm2_per_l >= 0.0
            && film.is_none_or(|film| film.is_finite() && film > 0.0)
            && (0.0..=1.0).contains(&self.evaporation_per_hour)
    }
}

/// Less by a standard deviation, since half the area or the film changes a night by more than half
/// as much again; more where the standard deviation leaves nothing.
fn away(value: f64, sd: f64) -> f64 {
    if sd < value { value - sd } else { value + sd }
}
