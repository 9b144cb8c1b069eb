//! Minerals that liquor may form.

use underlet_tables::{acid_steps as step, equilibria as k};

use super::species::{BALANCES, Constant};
use crate::component::Component;
use crate::math::{self, LN_10};
use Constant::{Proton, Row};

/// A solid that liquor may form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Mineral {
    /// CaCO₃, the usual scale.
    Calcite,
    /// CaCO₃, its less stable form.
    Aragonite,
    /// CaSO₄·2H₂O.
    Gypsum,
    /// CaSO₄.
    Anhydrite,
    /// Mg(OH)₂.
    Brucite,
    /// CaHPO₄·2H₂O.
    Brushite,
}

impl Mineral {
    /// Every mineral.
    pub const ALL: [Mineral; 6] = [
        Mineral::Calcite,
        Mineral::Aragonite,
        Mineral::Gypsum,
        Mineral::Anhydrite,
        Mineral::Brucite,
        Mineral::Brushite,
    ];

    /// Name for people, such as `calcite`.
    pub const fn name(self) -> &'static str {
        match self {
            Mineral::Calcite => "calcite",
            Mineral::Aragonite => "aragonite",
            Mineral::Gypsum => "gypsum",
            Mineral::Anhydrite => "anhydrite",
            Mineral::Brucite => "brucite",
            Mineral::Brushite => "brushite",
        }
    }

    /// Its metal, numbers of the ligands in the order of the balances, and molecules of water.
    pub(super) const fn made_of(self) -> (Component, [f64; BALANCES], f64) {
        match self {
            Mineral::Calcite | Mineral::Aragonite => {
                (Component::Calcium, [0.0, 1.0, 0.0, 0.0, 0.0, 0.0], 0.0)
            }
            Mineral::Gypsum => (Component::Calcium, [0.0, 0.0, 1.0, 0.0, 0.0, 0.0], 2.0),
            Mineral::Anhydrite => (Component::Calcium, [0.0, 0.0, 1.0, 0.0, 0.0, 0.0], 0.0),
            Mineral::Brucite => (Component::Magnesium, [-2.0, 0.0, 0.0, 0.0, 0.0, 0.0], 2.0),
            Mineral::Brushite => (Component::Calcium, [1.0, 0.0, 0.0, 0.0, 0.0, 1.0], 2.0),
        }
    }

    /// Constants of its dissolution into metal and ligands.
    pub(super) fn constants(self) -> &'static [Constant] {
        match self {
            Mineral::Calcite => &[Row(&k::CALCITE, 1.0)],
            Mineral::Aragonite => &[Row(&k::ARAGONITE, 1.0)],
            Mineral::Gypsum => &[Row(&k::GYPSUM, 1.0)],
            Mineral::Anhydrite => &[Row(&k::ANHYDRITE, 1.0)],
            Mineral::Brucite => &[Row(&k::BRUCITE, 1.0)],
            Mineral::Brushite => &[Row(&k::BRUSHITE, 1.0), Proton(&step::PHOSPHATE_3, -1.0)],
        }
    }
}

/// What saturation indices are made of: activities of metals, of ligands in the order of the
/// balances and of water, and ln K.
#[derive(Clone, Debug)]
pub(super) struct Solids {
    pub calcium: f64,
    pub magnesium: f64,
    pub ligands: [f64; BALANCES],
    pub water: f64,
    pub ln_k: [f64; Mineral::ALL.len()],
}

impl Solids {
    /// log10 of ion activity product over constant; minus infinity where an ion is absent.
    pub fn saturation_index(&self, mineral: Mineral) -> f64 {
        let (ion, counts, water) = mineral.made_of();
        let metal = match ion {
            Component::Magnesium => self.magnesium,
            _ => self.calcium,
        };
        let mut ln = math::ln(metal) + water * math::ln(self.water);
        for (count, activity) in counts.iter().zip(self.ligands) {
            if *count != 0.0 {
                ln += count * math::ln(activity);
            }
        }
        (ln - self.ln_k[mineral as usize]) / LN_10
    }
}
