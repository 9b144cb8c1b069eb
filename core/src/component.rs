//! The dissolved components the engine keeps account of, and an amount for each.

use std::ops::{Add, Mul, Sub};

use underlet_tables::{COMPONENTS, ComponentKind, ComponentRow};

use crate::naming::keyed;
use crate::quantity::{Substance, WATER_KG_PER_L_20C};

/// Declares the enum from the rows of the table.
macro_rules! components {
    ($(#[doc = $doc:literal] $name:ident,)+) => {
        /// A dissolved component, shown and read by its key: `"sulfate".parse()`. Strong ions keep
        /// their charge at every pH a brewer meets; weak acids are counted whole, as the uncharged
        /// acid, and their charge follows the pH.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[non_exhaustive]
        pub enum Component { $(#[doc = $doc] $name,)+ }

        impl Component {
            /// How many there are.
            pub const COUNT: usize = [$(Component::$name,)+].len();
            /// All of them, in the order of the table.
            pub const ALL: [Component; Component::COUNT] = [$(Component::$name,)+];
        }
    };
}

underlet_tables::with_components!(components);

impl Component {
    /// The row of the component table.
    pub fn row(self) -> &'static ComponentRow {
        &COMPONENTS[self as usize]
    }

    /// Key in documents, such as `calcium`.
    pub fn key(self) -> &'static str {
        self.row().key
    }

    /// Symbol for people, such as `Ca`.
    pub fn symbol(self) -> &'static str {
        self.row().symbol
    }

    /// Charge number of a strong ion; 0 for a weak acid, which is counted uncharged.
    pub fn charge(self) -> f64 {
        f64::from(self.row().charge)
    }

    /// Molar mass of what a report states, g/mol.
    pub fn molar_mass_g_per_mol(self) -> f64 {
        self.row().molar_mass_g_per_mol
    }

    /// A concentration in mg/L, as a report states it at 20 °C, in mol per kg of water.
    pub fn mol_per_kg(self, mg_per_l: f64) -> f64 {
        mg_per_l / (1000.0 * self.molar_mass_g_per_mol() * WATER_KG_PER_L_20C)
    }

    /// mol per kg of water in mg/L at 20 °C.
    pub fn mg_per_l(self, mol_per_kg: f64) -> f64 {
        mol_per_kg * 1000.0 * self.molar_mass_g_per_mol() * WATER_KG_PER_L_20C
    }

    /// What the `quantity` room needs to read a concentration of it.
    pub fn substance(self) -> Substance<'static> {
        let row = self.row();
        Substance {
            formula: row.reported_formula,
            molar_mass_g_per_mol: row.molar_mass_g_per_mol,
            charge: row.charge,
        }
    }

    /// True for an acid family whose charge follows the pH.
    pub fn is_weak_acid(self) -> bool {
        self.row().kind == ComponentKind::WeakAcid
    }

    /// The component of that key, such as `calcium`.
    pub(crate) fn from_key(key: &str) -> Option<Component> {
        Component::ALL.into_iter().find(|ion| ion.key() == key)
    }
}

keyed!(Component);

/// An amount of every component: mol per kg of water in a liquor, mol in a dose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Composition([f64; Component::COUNT]);

impl Default for Composition {
    fn default() -> Self {
        Composition::ZERO
    }
}

impl Composition {
    /// Nothing dissolved.
    pub const ZERO: Composition = Composition([0.0; Component::COUNT]);

    /// The amount of one component.
    pub fn get(&self, ion: Component) -> f64 {
        self.0[ion as usize]
    }

    /// Sets the amount of one component.
    pub fn set(&mut self, ion: Component, amount: f64) {
        self.0[ion as usize] = amount;
    }

    /// The composition with one amount set.
    #[must_use]
    pub fn with(mut self, ion: Component, amount: f64) -> Self {
        self.set(ion, amount);
        self
    }

    /// Component and amount, in the order of the table.
    pub fn iter(&self) -> impl Iterator<Item = (Component, f64)> + '_ {
        Component::ALL.into_iter().zip(self.0.iter().copied())
    }

    /// The amounts alone, in the order of the table.
    pub(crate) fn amounts(&self) -> impl Iterator<Item = f64> + '_ {
        self.0.iter().copied()
    }

    /// Net charge of the strong ions, equivalents: the alkalinity these ions leave room for.
    pub fn strong_charge(&self) -> f64 {
        self.iter().map(|(ion, amount)| ion.charge() * amount).sum()
    }

    /// Sum over strong ions of amount times charge squared; half of it is their ionic strength.
    pub fn charge_squared(&self) -> f64 {
        self.iter()
            .map(|(ion, amount)| ion.charge() * ion.charge() * amount)
            .sum()
    }
}

impl Add for Composition {
    type Output = Composition;
    fn add(mut self, other: Composition) -> Composition {
        for (mine, theirs) in self.0.iter_mut().zip(other.0) {
            *mine += theirs;
        }
        self
    }
}

impl Sub for Composition {
    type Output = Composition;
    fn sub(self, other: Composition) -> Composition {
        self + other * -1.0
    }
}

impl Mul<f64> for Composition {
    type Output = Composition;
    fn mul(mut self, factor: f64) -> Composition {
        for amount in &mut self.0 {
            *amount *= factor;
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_component_is_found_by_its_key() {
        assert_eq!(COMPONENTS.len(), Component::COUNT);
        for ion in Component::ALL {
            assert_eq!(ion.key(), format!("{ion:?}").to_lowercase());
            assert_eq!(Component::from_key(ion.key()), Some(ion));
            assert_eq!(ion.is_weak_acid(), ion.row().charge == 0);
        }
    }

    #[test]
    fn gypsum_in_water_carries_no_net_charge() {
        let gypsum = Composition::ZERO
            .with(Component::Calcium, 1.0)
            .with(Component::Sulfate, 1.0);
        assert_eq!(gypsum.strong_charge(), 0.0);
        assert_eq!((gypsum * 0.001).charge_squared(), 0.008);
    }
}
