//! Holding from its first to its last hour, step by step.

use super::extrapolation::{Jacobian, MOST_COLUMNS, Start, step};
use super::holding::{AfterHold, Holding};
use super::laws::{Laws, Moved, corner_c, less};
use super::rates::Rates;
use crate::aqueous::{Equilibrium, EquilibriumError};
use crate::component::Component;
use crate::liquor::Liquor;
use crate::math;

/// Share of the calcium and of the carbon that a step may err by, and what it always may, mol/kg.
const NEAR: f64 = 1e-8;
const ALWAYS_NEAR: f64 = 1e-13;
/// Share of the water that a step may err by.
const NEAR_WATER: f64 = 1e-10;
/// Share of what is there by which derivatives are taken.
const DIFFERENCE: f64 = 1e-6;
/// Factor of the length after a step that converged early, and of one that did not converge.
const LONGER: f64 = 2.0;
const SHORTER: f64 = 0.5;
/// Least and largest share of a step that passed the moment of saturation with which it is tried
/// again.
const SHARES: [f64; 2] = [0.02, 0.9];
/// Share of all the hours below which no step is worth trying.
const SHORTEST: f64 = 1e-12;

/// What is held, and how.
pub(super) struct Course<'h> {
    start: &'h Liquor,
    holding: &'h Holding,
    rates: &'h Rates,
    /// The laws of liquor whose temperature stays the same.
    steady: Option<Laws>,
    /// When a ramp passes the temperature at which the law of calcite has a corner.
    corner: f64,
    tolerance: Moved,
}

/// Liquor after some of the hours.
struct Moment {
    hours: f64,
    moved: Moved,
    state: Equilibrium,
    /// Calcite that would come down or dissolve in an hour, mol.
    calcite_per_hour: f64,
    /// Whether scale forms from now on.
    forms: bool,
}

impl<'h> Course<'h> {
    pub fn new(start: &'h Liquor, holding: &'h Holding, rates: &'h Rates) -> Course<'h> {
        let is_held = holding.from_c == holding.to_c;
        let near = |amount: f64| NEAR * amount + ALWAYS_NEAR;
        let calcium = start.ions.get(Component::Calcium);
        let way = (corner_c() - holding.from_c) / (holding.to_c - holding.from_c);
        Course {
            start,
            holding,
            rates,
            steady: is_held.then(|| Laws::at(holding.from_c, rates)),
            corner: if is_held { 0.0 } else { way * holding.hours },
            tolerance: [near(calcium), near(start.carbon_mol_per_kg), NEAR_WATER],
        }
    }

    /// The liquor after all the hours.
    pub fn end(&self) -> Result<AfterHold, EquilibriumError> {
        let mut now = self.moment(0.0, [0.0; 3], false)?;
        now.forms = now.calcite_per_hour > 0.0;
        let mut length = self.holding.hours;
        while now.hours < self.holding.hours {
            (now, length) = self.next(&now, length)?;
        }
        let [calcite, gas, steam] = now.moved;
        let mut liquor = less(self.start, now.moved);
        liquor.temperature_c = self.holding.to_c;
        Ok(AfterHold {
            liquor,
            water_share: math::exp(-steam),
            carbon_dioxide_mol: gas,
            calcite_mol: calcite,
        })
    }

    /// The moment after the next step, and the length to try from there. Hours in which scale forms
    /// and hours in which it does not are followed apart: a step that would pass the moment of
    /// saturation ends there.
    fn next(&self, now: &Moment, usual: f64) -> Result<(Moment, f64), EquilibriumError> {
        let stop = if now.hours < self.corner {
            self.corner.min(self.holding.hours)
        } else {
            self.holding.hours
        };
        let left = stop - now.hours;
        let jacobian = self.jacobian(now);
        let mut usual = usual;
        let mut length = usual.min(left);
        let mut forms = now.forms;
        let mut is_cut = false;
        loop {
            let Some((mut next, columns)) = self.after(now, length, forms, &jacobian) else {
                length *= SHORTER;
                usual = length;
                if length < SHORTEST * self.holding.hours {
                    return Err(EquilibriumError::NotConverged {
                        residual: length / self.holding.hours,
                    });
                }
                continue;
            };
            let matters = |of: &Moment| (of.calcite_per_hour * length).abs() > self.tolerance[0];
            let passes = matters(&next) && forms != (next.calcite_per_hour > 0.0);
            if passes && forms == now.forms {
                is_cut = matters(now);
                if is_cut {
                    let share =
                        now.calcite_per_hour / (now.calcite_per_hour - next.calcite_per_hour);
                    length *= share.clamp(SHARES[0], SHARES[1]);
                } else {
                    forms = !forms;
                }
                continue;
            }
            if length >= left {
                next.hours = stop;
            }
            next.forms = if matters(&next) {
                next.calcite_per_hour > 0.0
            } else {
                forms != is_cut
            };
            let early = columns + 1 < MOST_COLUMNS;
            let longer = if early { LONGER * length } else { length };
            return Ok((next, math::at_least(longer, usual)));
        }
    }

    /// The moment after one step, and how much it took; `None` where the step is too long.
    fn after(
        &self,
        now: &Moment,
        length: f64,
        forms: bool,
        jacobian: &Jacobian,
    ) -> Option<(Moment, usize)> {
        let rates = |hours: f64, moved: Moved| self.rates(now.hours + hours, moved, forms);
        let [calcite, gas] = *jacobian;
        let start = Start {
            moved: now.moved,
            per_hour: self.with_laws(now.hours, |laws| {
                laws.rates(&now.state, now.moved[2], forms)
            }),
            jacobian: [if forms { calcite } else { [0.0; 2] }, gas],
        };
        // A step that is too long may leave less than nothing on its way, which is an error.
        let step = step(rates, &start, length, self.tolerance).ok()??;
        // What has come down stays.
        let [calcite, gas, steam] = step.end;
        let calcite = math::at_least(calcite, now.moved[0]);
        let most = self.start.carbon_mol_per_kg - calcite;
        let moved = [calcite, gas.min(most), steam];
        let end = self.moment(now.hours + length, moved, forms).ok()?;
        Some((end, step.columns))
    }

    /// What moves in an hour.
    fn rates(&self, hours: f64, moved: Moved, forms: bool) -> Result<Moved, EquilibriumError> {
        self.with_laws(hours, |laws| {
            let state = laws.equilibrium(&less(self.start, moved))?;
            Ok(laws.rates(&state, moved[2], forms))
        })
    }

    /// How calcite and carbon dioxide per hour change with both, by small differences.
    fn jacobian(&self, now: &Moment) -> Jacobian {
        let share = DIFFERENCE * math::exp(-now.moved[2]);
        let carbon = share * now.state.liquor.carbon_mol_per_kg;
        let calcium = share * now.state.liquor.ions.get(Component::Calcium);
        let here = self.with_laws(now.hours, |laws| laws.rates(&now.state, now.moved[2], true));
        let mut jacobian = Jacobian::default();
        for (place, by) in [carbon.min(calcium), carbon].into_iter().enumerate() {
            let mut moved = now.moved;
            moved[place] += by;
            let Ok(there) = self.rates(now.hours, moved, true) else {
                continue;
            };
            for (row, (there, here)) in jacobian.iter_mut().zip(there.into_iter().zip(here)) {
                row[place] = if by > 0.0 { (there - here) / by } else { 0.0 };
            }
        }
        jacobian
    }

    fn moment(&self, hours: f64, moved: Moved, forms: bool) -> Result<Moment, EquilibriumError> {
        self.with_laws(hours, |laws| {
            let state = laws.equilibrium(&less(self.start, moved))?;
            Ok(Moment {
                hours,
                moved,
                calcite_per_hour: laws.rates(&state, moved[2], true)[0],
                state,
                forms,
            })
        })
    }

    fn with_laws<T>(&self, hours: f64, ask: impl FnOnce(&Laws) -> T) -> T {
        if let Some(laws) = &self.steady {
            return ask(laws);
        }
        let Holding {
            from_c,
            to_c,
            hours: all,
        } = *self.holding;
        let part = if all > 0.0 { hours / all } else { 1.0 };
        ask(&Laws::at(from_c + part * (to_c - from_c), self.rates))
    }
}
