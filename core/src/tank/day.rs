//! A day of the tank as it was read, and how it is worked through.

use crate::checker::{Checker, duplicates};
use crate::component::Component;
use crate::document::Attached;
use crate::error::{ErrorCode, InputError, Problem};
use crate::liquor::{Dose, water_density_kg_per_l, water_kg};
use crate::quantity;
use crate::recipe::Source;
use crate::recipe::check::fields::MAX_AMOUNT;
use crate::tank::ledger::{
    Heel, Ledger, LedgerError, Line, Supply, Tank, Work, no_supply, suits_tank,
};
use crate::uncertainty::LiquorCovariance;
use crate::water_report::{FindingSeverity, ReconciledRemark, RemarkCode};
use underlet_tables::parameters;

/// Water that feeds the tank on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct TankSupply {
    /// The water, its charges closed, with its uncertainty.
    pub supply: Supply,
    /// Most that can be drawn on this day, litres at 20 °C.
    pub max_amount_l: Option<f64>,
    /// Remarks for everything that is made with it.
    pub remarks: Vec<ReconciledRemark>,
}

/// A day of the tank in canonical units. [`TankDay::check`] says whether it makes sense.
#[derive(Clone, Debug, PartialEq)]
pub struct TankDay {
    /// What the user attached: the ledger carries it.
    pub attached: Attached,
    /// Name of the day.
    pub name: String,
    /// The tank.
    pub tank: Tank,
    /// What feeds it.
    pub supplies: Vec<TankSupply>,
    /// What the last day left in it.
    pub heel: Heel,
    /// Remarks on the heel.
    pub heel_remarks: Vec<ReconciledRemark>,
    /// What is done, in the order of work.
    pub lines: Vec<Line>,
}

impl TankSupply {
    /// A source of a brew day, coming in at a temperature. The ledger needs water without charge:
    /// where the ions of the report do not balance, sodium or chloride is added until they do. A
    /// remark says so, as a warning where the report is off by more than a report usually is.
    pub fn of(source: &Source, temperature_c: f64) -> TankSupply {
        let mut liquor = source.liquor;
        liquor.temperature_c = temperature_c;
        let open = liquor.alkalinity_eq_per_kg - liquor.ions.strong_charge();
        let closing = if open > 0.0 {
            Component::Sodium
        } else {
            Component::Chloride
        };
        liquor
            .ions
            .set(closing, liquor.ions.get(closing) + open.abs());
        liquor.alkalinity_eq_per_kg = liquor.ions.strong_charge();
        let mut remarks: Vec<ReconciledRemark> = Vec::new();
        if closing.mg_per_l(open.abs()) >= REMARK_THRESHOLD_MG_PER_L {
            remarks.push(ReconciledRemark {
                code: RemarkCode::ReportFinding,
                severity: if source.liquor.charge_balance().is_acceptable() {
                    FindingSeverity::Note
                } else {
                    FindingSeverity::Warning
                },
                text: format!(
                    "\"{}\": its ions are out of balance by {} meq/kg; {} mg/L of {} was added to \
                     close it.",
                    source.name,
                    quantity::significant(1e3 * open.abs(), 2),
                    quantity::significant(closing.mg_per_l(open.abs()), 2),
                    closing.key()
                ),
            });
        }
        if let Some(reconciled) = &source.reconciled {
            remarks.extend(reconciled.remarks.iter().map(|remark| ReconciledRemark {
                severity: match remark.severity {
                    FindingSeverity::Warning => FindingSeverity::Warning,
                    FindingSeverity::Doubt | FindingSeverity::Note => FindingSeverity::Note,
                },
                text: format!("\"{}\": {}", source.name, remark.text),
                ..remark.clone()
            }));
        }
        TankSupply {
            supply: Supply {
                name: source.name.clone(),
                liquor,
                chlorine: source.chlorine,
                components: components(source),
            },
            max_amount_l: source.max_amount_l,
            remarks,
        }
    }
}

/// Sodium or chloride below this needs no remark, mg/L.
const REMARK_THRESHOLD_MG_PER_L: f64 = 1.0;

/// Independent components of a source's uncertainty: those of its covariance; of a report alone its
/// alkalinity. Carbon goes along with it as at one pH, and the ions make room for it, each by the
/// same share of itself.
fn components(source: &Source) -> Vec<Dose> {
    if let Some(reconciled) = &source.reconciled {
        return reconciled.covariance.independent_components();
    }
    let place = LiquorCovariance::ALKALINITY;
    let sd = source.covariance(place, place).sqrt();
    let liquor = &source.liquor;
    let charges = |(ion, held): (Component, f64)| ion.charge().abs() * held;
    let all_charges: f64 = liquor.ions.iter().map(charges).sum();
    let mut component = Dose {
        alkalinity_eq: sd,
        ..Dose::default()
    };
    if liquor.alkalinity_eq_per_kg > 0.0 {
        component.carbon_mol = sd * liquor.carbon_mol_per_kg / liquor.alkalinity_eq_per_kg;
    }
    if all_charges > 0.0 {
        for (ion, held) in liquor.ions.iter().filter(|(ion, _)| ion.charge() != 0.0) {
            let share = held / all_charges;
            component.ions.set(ion, sd * share * ion.charge().signum());
        }
    } else {
        component.ions.set(Component::Sodium, sd);
    }
    vec![component]
}

/// Longest lists a day of the tank can have.
pub(crate) const MOST_SUPPLIES: usize = 6;
pub(crate) const MOST_LINES: usize = 200;

impl TankDay {
    /// Whether every value of the day is one that a tank can have. Whether there is water for a
    /// line shows as the day is worked through.
    ///
    /// # Errors
    /// Every problem, as reading the same day from JSON would report it.
    pub fn check(&self) -> Result<(), InputError> {
        let mut checker = Checker::new();
        let of = &mut checker;
        self.attached.examine(of);
        of.text("name", &self.name);
        of.inside("tank", |of| self.tank.examine(of));
        of.list("supplies", &self.supplies, [1, MOST_SUPPLIES], |of, one| {
            one.supply.examine(of);
            of.optional_field(MAX_AMOUNT, one.max_amount_l);
        });
        let names = self.supplies.iter().map(|one| one.supply.name.as_str());
        for problem in duplicates(names, "Join the two, or rename one.") {
            of.at::<()>("supplies", Err(problem));
        }
        of.inside("heel", |of| self.heel.examine(of));
        of.list("lines", &self.lines, [1, MOST_LINES], |of, line| {
            of.text("label", &line.label);
            if let Work::Dose { preparation, .. } = line.work {
                of.at("reagent", suits_tank(preparation.reagent));
            }
            line.work.examine(of);
            if let Work::Fill { supply, .. } | Work::Recover { supply, .. } = line.work
                && supply >= self.supplies.len()
            {
                of.at::<()>("", Err(no_supply(supply, self.supplies.len())));
            }
        });
        checker.into_result()
    }

    /// The supplies as a ledger takes them.
    pub(super) fn plain_supplies(&self) -> Vec<Supply> {
        self.supplies
            .iter()
            .map(|supply| supply.supply.clone())
            .collect()
    }

    pub(super) fn worked(&self, problems: &mut Vec<Problem>) -> Option<Ledger> {
        let opened = Ledger::open(self.tank.clone(), self.plain_supplies(), self.heel.clone());
        let mut report = |error: LedgerError, place: usize| {
            let line = error.line.map(|_| place);
            problems.push(LedgerError { line, ..error }.into_problem());
        };
        let mut ledger = match opened {
            Ok(ledger) => ledger,
            Err(error) => {
                report(error, 0);
                return None;
            }
        };
        for (place, line) in self.lines.iter().enumerate() {
            if let Err(error) = ledger.enter(line.clone()) {
                let code = error.problem.code;
                if let Some(work) = self.as_far_as_possible(&ledger, line.work, code) {
                    // What then still fails has been reported.
                    let _ = ledger.enter(Line {
                        work,
                        ..line.clone()
                    });
                }
                report(error, place);
            }
        }
        Some(ledger)
    }

    /// What a line can do at most, so that the lines after it are judged by a day that could be.
    fn as_far_as_possible(&self, ledger: &Ledger, work: Work, code: ErrorCode) -> Option<Work> {
        let state = ledger.state();
        let room_l = self.tank.capacity_l - state.volume_l();
        match (code, work) {
            (ErrorCode::Overdraw, Work::Draw { to, .. }) => Some(Work::Draw {
                volume_l: state.volume_l() - self.tank.dead_l,
                to,
            }),
            (ErrorCode::Overflow, Work::Fill { supply, .. }) => Some(Work::Fill {
                supply,
                volume_l: room_l,
            }),
            (
                ErrorCode::Overflow,
                Work::Recover {
                    supply,
                    temperature_c,
                    ..
                },
            ) => Some(Work::Recover {
                supply,
                volume_l: room_l,
                temperature_c,
            }),
            _ => None,
        }
    }

    /// A supply that gives more than it has: the line that is one too many.
    pub(super) fn check_supplies(&self, problems: &mut Vec<Problem>) {
        let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
        for (place, of) in self.supplies.iter().enumerate() {
            let Some(most_l) = of.max_amount_l else {
                continue;
            };
            let mut drawn_l = 0.0;
            for (line, entry) in self.lines.iter().enumerate() {
                drawn_l += match entry.work {
                    Work::Fill { supply, volume_l } if supply == place => {
                        water_kg(volume_l, of.supply.liquor.temperature_c) / cold
                    }
                    Work::Recover {
                        supply,
                        volume_l,
                        temperature_c,
                    } if supply == place => water_kg(volume_l, temperature_c) / cold,
                    _ => 0.0,
                };
                if drawn_l > most_l * (1.0 + SIGHT) {
                    problems.push(Problem {
                        code: ErrorCode::Overdraw,
                        path: format!("lines[{line}].volume"),
                        found: format!(
                            "{} of \"{}\" by this line",
                            quantity::LIQUOR_VOLUME.write(drawn_l),
                            of.supply.name
                        ),
                        expected: format!(
                            "at most {} of cold water",
                            quantity::LIQUOR_VOLUME.write(most_l)
                        ),
                        hint: "Raise its \"max_amount\", leave it out, or take another supply."
                            .to_owned(),
                    });
                    break;
                }
            }
        }
    }
}

/// Share of a volume that a sight glass cannot tell apart.
const SIGHT: f64 = 0.001;
