//! One solver for every equilibrium of a liquor.
//!
//! Unknowns are the logarithms of the masters' activities, the ionic strength, and the *freedoms*
//! of the problem: how much carbon, alkalinity, mineral or dose moves. Each freedom is paired with
//! a *condition*: a pH, a partial pressure, a saturation index. With no freedom the liquor is
//! closed and its pH follows. Newton's method with the analytic Jacobian, steps limited, nothing
//! allocated.

use underlet_tables::parameters;

use super::conditions::{Condition, EquilibriumError, FREEDOMS, Freedom};
use super::constants::Constants;
use super::newton::equilibrium_of;
use super::saturation::Mineral;
use super::state::Equilibrium;
use crate::component::{Component, Composition};
use crate::liquor::{Dose, Liquor};
use crate::math;

/// What a liquor exchanges with the gas above it.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Gas {
    /// Nothing: a full or covered vessel.
    Closed,
    /// Carbon dioxide, until it is in balance with a partial pressure.
    Open {
        /// log10 of the partial pressure of carbon dioxide, atm.
        log10_pco2: f64,
    },
}

impl Gas {
    /// Open to the air.
    pub fn air() -> Gas {
        Gas::Open {
            log10_pco2: air_log10_pco2(),
        }
    }
}

/// log10 of the pressure of carbon dioxide in air, atm.
pub fn air_log10_pco2() -> f64 {
    math::log10(parameters::AIR_CO2_PRESSURE.value)
}

/// Equilibria at one temperature: make it once, use it often.
#[derive(Clone, Debug)]
pub struct Aqueous {
    pub(super) temperature_c: f64,
    pub(super) constants: Constants,
}

/// Saturation index above which a mineral is treated as supersaturated.
const SUPERSATURATED: f64 = 1.0e-9;

const CARBON: Dose = Dose {
    ions: Composition::ZERO,
    alkalinity_eq: 0.0,
    carbon_mol: 1.0,
};
const ALKALINITY: Dose = Dose {
    ions: Composition::ZERO,
    alkalinity_eq: 1.0,
    carbon_mol: 0.0,
};

impl Aqueous {
    /// Constants at a temperature, 0 to 100 °C; outside, the nearer end.
    pub fn at(temperature_c: f64) -> Aqueous {
        let temperature_c = if temperature_c > 0.0 {
            temperature_c.min(100.0)
        } else {
            0.0
        };
        Aqueous {
            temperature_c,
            constants: Constants::at(temperature_c),
        }
    }

    /// A liquor that exchanges nothing: its alkalinity and carbon set the pH.
    ///
    /// # Errors
    /// [`EquilibriumError`], where there is no equilibrium.
    pub fn closed(&self, liquor: &Liquor) -> Result<Equilibrium, EquilibriumError> {
        self.solve(liquor, &[])
    }

    /// A water of known pH and alkalinity: its carbon follows (the liquor's own is ignored).
    ///
    /// # Errors
    /// [`EquilibriumError::AlkalinityAgainstPh`] where this pH cannot carry this alkalinity.
    pub fn with_ph(&self, liquor: &Liquor, ph: f64) -> Result<Equilibrium, EquilibriumError> {
        let bare = Liquor {
            carbon_mol_per_kg: 0.0,
            ..*liquor
        };
        self.solve(
            &bare,
            &[Freedom {
                moves: CARBON,
                condition: Condition::Ph(ph),
            }],
        )
        .map_err(|error| {
            let without = self.solve(
                &bare,
                &[Freedom {
                    moves: ALKALINITY,
                    condition: Condition::Ph(ph),
                }],
            );
            match without {
                Ok(state) if state.liquor.alkalinity_eq_per_kg > liquor.alkalinity_eq_per_kg => {
                    EquilibriumError::AlkalinityAgainstPh {
                        alkalinity_eq_per_kg: liquor.alkalinity_eq_per_kg,
                        ph,
                    }
                }
                Err(brine @ EquilibriumError::TooConcentrated) => brine,
                _ => error,
            }
        })
    }

    /// A water of known pH and carbon: its alkalinity follows (the liquor's own is ignored).
    ///
    /// # Errors
    /// [`EquilibriumError`], where there is no equilibrium.
    pub fn with_ph_and_carbon(
        &self,
        liquor: &Liquor,
        ph: f64,
    ) -> Result<Equilibrium, EquilibriumError> {
        let bare = Liquor {
            alkalinity_eq_per_kg: 0.0,
            ..*liquor
        };
        self.solve(
            &bare,
            &[Freedom {
                moves: ALKALINITY,
                condition: Condition::Ph(ph),
            }],
        )
    }

    /// A liquor open to a partial pressure of carbon dioxide (log10 of atm): carbon comes or goes.
    ///
    /// # Errors
    /// [`EquilibriumError`], where there is no equilibrium.
    pub fn open(&self, liquor: &Liquor, log10_pco2: f64) -> Result<Equilibrium, EquilibriumError> {
        self.solve(
            liquor,
            &[Freedom {
                moves: CARBON,
                condition: Condition::Log10Pco2(log10_pco2),
            }],
        )
    }

    /// A liquor from which minerals precipitate until none is above its saturation index; open to a
    /// partial pressure of carbon dioxide where one is given. Gives the state and the amount of
    /// each mineral, mol per kg of water. Nothing dissolves: what is not supersaturated stays
    /// out.
    ///
    /// # Errors
    /// [`EquilibriumError`], where there is no equilibrium.
    pub fn precipitated(
        &self,
        liquor: &Liquor,
        minerals: &[(Mineral, f64)],
        log10_pco2: Option<f64>,
    ) -> Result<(Equilibrium, Vec<f64>), EquilibriumError> {
        let open = log10_pco2.map(|pressure| Freedom {
            moves: CARBON,
            condition: Condition::Log10Pco2(pressure),
        });
        if minerals.len() + usize::from(open.is_some()) > FREEDOMS {
            return Err(EquilibriumError::TooManyMinerals);
        }
        let mut forming = vec![false; minerals.len()];
        // Each round lets the most supersaturated mineral form, or gives up one that would have to
        // dissolve.
        for _ in 0..4 * (minerals.len() + 1) {
            let freedoms: Vec<Freedom> = open
                .into_iter()
                .chain(
                    minerals
                        .iter()
                        .zip(&forming)
                        .filter(|(_, forming)| **forming)
                        .map(|((mineral, index), _)| Freedom {
                            moves: mineral.removed(),
                            condition: Condition::Saturation(*mineral, *index),
                        }),
                )
                .collect();
            let state = self.solve(liquor, &freedoms)?;
            let mut amounts = vec![0.0; minerals.len()];
            let formed = minerals
                .iter()
                .enumerate()
                .filter(|(place, _)| forming[*place])
                .map(|(place, _)| place);
            for (extent, place) in state
                .extents
                .iter()
                .skip(usize::from(open.is_some()))
                .zip(formed)
            {
                amounts[place] = *extent;
            }
            if let Some(place) = amounts.iter().position(|amount| *amount < 0.0) {
                forming[place] = false;
                continue;
            }
            let excess =
                |place: usize| state.saturation_index(minerals[place].0) - minerals[place].1;
            let next = (0..minerals.len())
                .filter(|place| !forming[*place] && excess(*place) > SUPERSATURATED)
                .max_by(|a, b| excess(*a).total_cmp(&excess(*b)));
            match next {
                Some(place) => forming[place] = true,
                None => return Ok((state, amounts)),
            }
        }
        Err(EquilibriumError::NotConverged {
            residual: f64::INFINITY,
        })
    }

    /// What would have to come down, mol per kg of water, for closed liquor to be just saturated
    /// with a mineral; negative where it would have to dissolve.
    ///
    /// # Errors
    /// [`EquilibriumError`], where there is no equilibrium.
    pub fn surplus(&self, liquor: &Liquor, mineral: Mineral) -> Result<f64, EquilibriumError> {
        let freedom = Freedom {
            moves: mineral.removed(),
            condition: Condition::Saturation(mineral, 0.0),
        };
        let state = self.solve(liquor, &[freedom])?;
        Ok(state.extents.first().copied().unwrap_or(0.0))
    }

    /// How many units of a dose (per kg of water) bring a liquor to a pH; open to a partial
    /// pressure of carbon dioxide where one is given. Negative where the dose would have to be
    /// taken away.
    ///
    /// # Errors
    /// [`EquilibriumError::OutOfReach`] where no amount does.
    pub fn dosed_to_ph(
        &self,
        liquor: &Liquor,
        dose: &Dose,
        ph: f64,
        log10_pco2: Option<f64>,
    ) -> Result<(Equilibrium, f64), EquilibriumError> {
        let dosing = Freedom {
            moves: *dose,
            condition: Condition::Ph(ph),
        };
        let state = match log10_pco2 {
            None => self.solve(liquor, &[dosing]),
            Some(pressure) => {
                let open = Freedom {
                    moves: CARBON,
                    condition: Condition::Log10Pco2(pressure),
                };
                self.solve(liquor, &[dosing, open])
            }
        };
        let state = state.map_err(|error| match error {
            EquilibriumError::NotConverged { .. } => EquilibriumError::OutOfReach { ph },
            other => other,
        })?;
        let amount = state.extents[0];
        Ok((state, amount))
    }

    fn solve(
        &self,
        liquor: &Liquor,
        freedoms: &[Freedom],
    ) -> Result<Equilibrium, EquilibriumError> {
        let liquor = Liquor {
            temperature_c: self.temperature_c,
            ..*liquor
        };
        check(&liquor, freedoms)?;
        equilibrium_of(&self.constants, &liquor, freedoms)
    }
}

impl Mineral {
    /// What a mole takes out of the liquor.
    fn removed(self) -> Dose {
        let (metal, [_, carbonate, sulfate, _, fluoride, phosphate], _) = self.made_of();
        let ions = Composition::ZERO
            .with(metal, -1.0)
            .with(Component::Sulfate, -sulfate)
            .with(Component::Fluoride, -fluoride)
            .with(Component::Phosphate, -phosphate);
        Dose {
            ions,
            alkalinity_eq: ions.strong_charge(),
            carbon_mol: -carbonate,
        }
    }
}

fn check(liquor: &Liquor, freedoms: &[Freedom]) -> Result<(), EquilibriumError> {
    let amounts = liquor
        .ions
        .iter()
        .all(|(_, amount)| amount.is_finite() && amount >= 0.0);
    let carbon = liquor.carbon_mol_per_kg.is_finite() && liquor.carbon_mol_per_kg >= 0.0;
    let conditions = freedoms.iter().all(|freedom| match freedom.condition {
        Condition::Ph(ph) => ph.is_finite(),
        Condition::Log10Pco2(pressure) => pressure.is_finite(),
        Condition::Saturation(_, index) => index.is_finite(),
    });
    if amounts && carbon && conditions && liquor.alkalinity_eq_per_kg.is_finite() {
        Ok(())
    } else {
        Err(EquilibriumError::NotAnAmount)
    }
}
