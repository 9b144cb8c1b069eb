//! What is in the tank, and what has left it.

use super::error::{dry, no_equilibrium, no_supply};
use super::line::{Supply, Work};
use crate::aqueous::{Aqueous, Equilibrium, EquilibriumError};
use crate::component::{Component, Composition};
use crate::error::Problem;
use crate::liquor::{Dose, Liquor, water_density_kg_per_l, water_kg};
use crate::math;
use crate::quantity::CACO3_G_PER_EQ;
use crate::treatment::{Chlorine, Holding, Rates, hold, met};

/// A tank between two lines. What left is counted from its first filling on, through every heel.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Contents {
    /// Water in the tank, kg.
    pub water_kg: f64,
    /// All that is dissolved in it, mol and eq.
    pub dissolved: Dose,
    /// Chlorine in it, free and combined, in mol of Cl2 in all its water: how fast hot liquor
    /// loses it is not known, so none is lost but to what is dosed against it.
    pub chlorine: Chlorine,
    /// Its temperature, °C; without meaning in an empty tank.
    pub temperature_c: f64,
    /// Calcite on walls and heater, mol.
    pub calcite_mol: f64,
    /// Carbon dioxide that left for the air, mol; negative where more came in.
    pub carbon_dioxide_mol: f64,
    /// Steam that left, kg.
    pub steam_kg: f64,
}

/// Share of a reading by which it may miss a limit and still keep it: rounding, no more.
const ROUNDING: f64 = 1.0e-12;

impl Contents {
    /// An empty, clean tank.
    pub const EMPTY: Contents = Contents {
        water_kg: 0.0,
        dissolved: Dose {
            ions: Composition::ZERO,
            alkalinity_eq: 0.0,
            carbon_mol: 0.0,
        },
        chlorine: Chlorine {
            free_mol_per_kg: 0.0,
            combined_mol_per_kg: 0.0,
        },
        temperature_c: 0.0,
        calcite_mol: 0.0,
        carbon_dioxide_mol: 0.0,
        steam_kg: 0.0,
    };

    /// So many litres of a liquor, as read at its temperature.
    pub fn of(liquor: &Liquor, volume_l: f64) -> Contents {
        let water_kg = water_kg(volume_l, liquor.temperature_c);
        Contents {
            water_kg,
            dissolved: liquor.as_dose().times(water_kg),
            temperature_c: liquor.temperature_c,
            ..Contents::EMPTY
        }
    }

    /// Litres as read at its temperature.
    pub fn volume_l(&self) -> f64 {
        self.water_kg / water_density_kg_per_l(self.temperature_c)
    }

    /// The liquor in it; pure water for an empty tank.
    pub fn liquor(&self) -> Liquor {
        let empty = Liquor {
            temperature_c: self.temperature_c,
            ..Liquor::default()
        };
        if self.water_kg > 0.0 {
            empty.dosed(&self.dissolved, 1.0 / self.water_kg)
        } else {
            empty
        }
    }

    /// Chlorine in a kg of its water.
    pub fn chlorine_per_kg(&self) -> Chlorine {
        if self.water_kg > 0.0 {
            self.chlorine.times(1.0 / self.water_kg)
        } else {
            Chlorine::default()
        }
    }

    /// pH, saturation, conductivity: computed on request.
    ///
    /// # Errors
    /// [`EquilibriumError`] where the liquor has no equilibrium.
    pub fn equilibrium(&self) -> Result<Equilibrium, EquilibriumError> {
        Aqueous::at(self.temperature_c).closed(&self.liquor())
    }

    /// Scale, g.
    pub fn scale_g(&self) -> f64 {
        2.0 * CACO3_G_PER_EQ * self.calcite_mol
    }

    /// The tank after some work that keeps its limits.
    pub(super) fn after(
        &self,
        work: &Work,
        context: &TankContext<'_>,
    ) -> Result<Contents, Problem> {
        match *work {
            Work::Fill { supply, volume_l } => {
                let liquor = context.supply(supply)?;
                Ok(self.joined(&liquor, volume_l, context.chlorine(supply)))
            }
            Work::Recover {
                supply,
                volume_l,
                temperature_c,
            } => {
                let liquor = Liquor {
                    temperature_c,
                    ..context.supply(supply)?
                };
                Ok(self.joined(&liquor, volume_l, context.chlorine(supply)))
            }
            Work::Dose {
                preparation,
                amount,
            } => {
                self.not_dry()?;
                let dose = preparation.dose_per_unit().times(amount);
                let (dissolved, chlorine) = met(&self.dissolved.plus(&dose), &self.chlorine);
                Ok(Contents {
                    dissolved,
                    chlorine,
                    ..*self
                })
            }
            Work::Heat { to_c, hours } => self.hold(to_c, hours, context),
            Work::Hold { hours } => self.hold(self.temperature_c, hours, context),
            Work::Draw { volume_l, .. } => {
                let drawn_kg = water_kg(volume_l, self.temperature_c).min(self.water_kg);
                Ok(self.less(drawn_kg))
            }
        }
    }

    /// What a draw takes out.
    pub(super) fn drawn(&self, after: &Contents) -> f64 {
        self.water_kg - after.water_kg
    }

    /// Litres that can be drawn above a dead space.
    pub(super) fn drawable_l(&self, dead_l: f64) -> f64 {
        math::at_least(self.volume_l() - dead_l, 0.0)
    }

    /// True where a reading is above a limit by more than rounding.
    pub(super) fn exceeds(reading: f64, limit: f64) -> bool {
        reading > limit + ROUNDING * (reading + limit)
    }

    fn not_dry(&self) -> Result<(), Problem> {
        if self.water_kg > 0.0 {
            Ok(())
        } else {
            Err(dry())
        }
    }

    fn joined(&self, liquor: &Liquor, volume_l: f64, chlorine: Chlorine) -> Contents {
        let added = Contents::of(liquor, volume_l);
        let water_kg = self.water_kg + added.water_kg;
        let temperature_c = if water_kg > 0.0 {
            let share = added.water_kg / water_kg;
            self.temperature_c + share * (added.temperature_c - self.temperature_c)
        } else {
            liquor.temperature_c
        };
        let came = chlorine.times(added.water_kg);
        let dissolved = self.dissolved.plus(&added.dissolved);
        let (dissolved, chlorine) = met(&dissolved, &self.chlorine.plus(&came));
        Contents {
            water_kg,
            dissolved,
            chlorine,
            temperature_c,
            ..*self
        }
    }

    fn less(&self, drawn_kg: f64) -> Contents {
        let water_kg = self.water_kg - drawn_kg;
        // From the difference itself, so that the last drop is as strong as the first.
        let kept = if self.water_kg > 0.0 {
            water_kg / self.water_kg
        } else {
            1.0
        };
        Contents {
            water_kg,
            dissolved: self.dissolved.times(kept),
            chlorine: self.chlorine.times(kept),
            ..*self
        }
    }

    fn hold(&self, to_c: f64, hours: f64, context: &TankContext<'_>) -> Result<Contents, Problem> {
        self.not_dry()?;
        let holding = Holding {
            from_c: self.temperature_c,
            to_c,
            hours,
        };
        let end = hold(&self.liquor(), &holding, &context.rates).map_err(no_equilibrium)?;
        let water_kg = self.water_kg * end.water_share;
        Ok(Contents {
            water_kg,
            dissolved: end.liquor.as_dose().times(water_kg),
            chlorine: self.chlorine,
            temperature_c: to_c,
            calcite_mol: self.calcite_mol + end.calcite_mol * self.water_kg,
            carbon_dioxide_mol: self.carbon_dioxide_mol + end.carbon_dioxide_mol * self.water_kg,
            steam_kg: self.steam_kg + (self.water_kg - water_kg),
        })
    }
}

/// What a tank works with: its rates and its supplies, as they are or one of them perturbed.
pub(super) struct TankContext<'h> {
    pub rates: Rates,
    pub supplies: &'h [Supply],
    /// Place of the supply that is perturbed, and of its component.
    pub component: Option<(usize, usize)>,
}

impl TankContext<'_> {
    fn chlorine(&self, place: usize) -> Chlorine {
        self.supplies
            .get(place)
            .map_or_else(Chlorine::default, |supply| supply.chlorine)
    }

    fn supply(&self, place: usize) -> Result<Liquor, Problem> {
        let supply = self.supplies.get(place);
        let supply = supply.ok_or_else(|| no_supply(place, self.supplies.len()))?;
        let component = match self.component {
            Some((of, component)) if of == place => supply.components.get(component),
            _ => None,
        };
        Ok(component.map_or(supply.liquor, |moved| displaced(&supply.liquor, moved)))
    }
}

/// A liquor moved by a component. An ion of which there is less than that is gone, and takes its
/// charge along.
fn displaced(liquor: &Liquor, component: &Dose) -> Liquor {
    let mut moved = liquor.dosed(component, 1.0);
    for ion in Component::ALL {
        let lacking = math::at_least(-moved.ions.get(ion), 0.0);
        if lacking > 0.0 {
            moved.ions.set(ion, 0.0);
            moved.alkalinity_eq_per_kg += ion.charge() * lacking;
        }
    }
    moved.carbon_mol_per_kg = math::at_least(moved.carbon_mol_per_kg, 0.0);
    moved
}
