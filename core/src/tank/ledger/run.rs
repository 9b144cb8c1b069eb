//! The ledger itself: lines entered one after the other, by the tank and by its copies.

use super::contents::{Contents, TankContext};
use super::entry::{Drawn, Entry};
use super::error::{LedgerError, overdraw, overflow};
use super::heel::{Bars, Heel};
use super::line::{Line, Supply, Tank, Work};
use crate::checker::Checker;
use crate::error::Problem;
use crate::treatment::Rates;
use crate::uncertainty::Cause;

/// A tank's ledger.
#[derive(Clone, Debug)]
pub struct Ledger {
    tank: Tank,
    supplies: Vec<Supply>,
    entries: Vec<Entry>,
    now: Heel,
}

impl Ledger {
    /// Opens the ledger of an empty, clean tank.
    ///
    /// # Errors
    /// [`LedgerError`] where tank or supply have figures that are none.
    pub fn empty(tank: Tank, supplies: Vec<Supply>) -> Result<Ledger, LedgerError> {
        Ledger::open(tank, supplies, Heel::ZERO)
    }

    /// Opens the ledger of a tank with what an earlier day left in it.
    ///
    /// # Errors
    /// [`LedgerError`] where tank, supply or heel have figures that are none.
    pub fn open(tank: Tank, supplies: Vec<Supply>, heel: Heel) -> Result<Ledger, LedgerError> {
        let mut checker = Checker::new();
        checker.inside("tank", |of| tank.examine(of));
        checker.inside("heel", |of| heel.examine(of));
        let first = |checker: Checker| checker.into_problems().into_iter().next();
        let at = |problem: Problem, label: &str| LedgerError::at(problem, None, label);
        if let Some(problem) = first(checker) {
            return Err(at(problem, &tank.name));
        }
        let full_l = heel.state().volume_l();
        if Contents::exceeds(full_l, tank.capacity_l) {
            return Err(at(overflow("tank", full_l, tank.capacity_l), &tank.name));
        }
        for (place, supply) in supplies.iter().enumerate() {
            let mut checker = Checker::new();
            checker.inside(&format!("supplies[{place}]"), |of| supply.examine(of));
            if let Some(problem) = first(checker) {
                return Err(at(problem, &supply.name));
            }
        }
        let rates = (0..Rates::KEYS.len()).map(Cause::TankRate);
        let of_supply = |supply: &Supply| {
            (0..supply.components.len())
                .map(|place| Cause::Supply(supply.name.clone(), place))
                .collect::<Vec<_>>()
        };
        let now = heel.with_causes(rates.chain(supplies.iter().flat_map(of_supply)));
        Ok(Ledger {
            tank,
            supplies,
            entries: Vec::new(),
            now,
        })
    }

    /// Writes a line and works it out.
    ///
    /// # Errors
    /// [`LedgerError`] that names the line; the ledger is then as it was.
    pub fn enter(&mut self, line: Line) -> Result<&Entry, LedgerError> {
        let place = self.entries.len();
        let (now, drawn) = self
            .worked(&line.work)
            .map_err(|problem| LedgerError::at(problem, Some(place), &line.label))?;
        let entry = Entry {
            line,
            before: std::mem::replace(&mut self.now, now.clone()),
            after: now,
            drawn,
        };
        self.entries.push(entry);
        // Just pushed, so there is one.
        Ok(&self.entries[place])
    }

    /// Writes lines until one fails.
    ///
    /// # Errors
    /// [`LedgerError`] of the first line that cannot be.
    pub fn enter_all(&mut self, lines: impl IntoIterator<Item = Line>) -> Result<(), LedgerError> {
        for line in lines {
            self.enter(line)?;
        }
        Ok(())
    }

    /// The tank now.
    pub fn state(&self) -> &Contents {
        self.now.state()
    }

    /// Its standard deviations.
    pub fn bars(&self) -> Bars {
        self.now.bars()
    }

    /// The tank now, error bars and all.
    pub fn now(&self) -> &Heel {
        &self.now
    }

    /// The tank as it was before the first line.
    pub fn opened(&self) -> &Heel {
        self.entries
            .first()
            .map_or(&self.now, |entry| &entry.before)
    }

    /// The lines so far with what they led to.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Ends the day: what the next one starts from.
    pub fn close(self) -> Heel {
        self.now
    }

    /// Tank and copies after some work, and what was drawn.
    fn worked(&self, work: &Work) -> Result<(Heel, Option<Drawn>), Problem> {
        let mut checker = Checker::new();
        work.examine(&mut checker);
        if let Some(problem) = checker.into_problems().into_iter().next() {
            return Err(problem);
        }
        let before = self.now.state();
        if let Work::Draw { volume_l, .. } = *work {
            let there_l = before.drawable_l(self.tank.dead_l);
            if Contents::exceeds(volume_l, there_l) {
                return Err(overdraw(volume_l, there_l, self.tank.dead_l));
            }
        }
        let after = before.after(work, &self.context(None))?;
        let drawing = matches!(work, Work::Draw { .. });
        if !drawing && Contents::exceeds(after.volume_l(), self.tank.capacity_l) {
            let key = if matches!(work, Work::Heat { .. }) {
                "temperature"
            } else {
                "volume"
            };
            return Err(overflow(key, after.volume_l(), self.tank.capacity_l));
        }
        let mut perturbed = self.now.perturbed().to_vec();
        for one in &mut perturbed {
            // A copy that differs in nothing so far need not be worked out again; one that ran dry
            // says nothing any more.
            let is_the_same = one.state == *before && !self.moves(&one.cause, work);
            let ran_dry = one.state.water_kg <= 0.0 && before.water_kg > 0.0;
            one.state = if is_the_same || ran_dry {
                after
            } else {
                one.state.after(work, &self.context(Some(&one.cause)))?
            };
        }
        let drawn = match *work {
            Work::Draw { to, .. } => Some(Drawn {
                to,
                water_kg: before.drawn(&after),
                liquor: before.liquor(),
                chlorine: before.chlorine_per_kg(),
                moved: self.now.moved(),
            }),
            _ => None,
        };
        Ok((Heel::left(after, perturbed), drawn))
    }

    /// What the tank works with, one cause perturbed.
    fn context(&self, cause: Option<&Cause>) -> TankContext<'_> {
        let (rates, component) = match cause {
            Some(Cause::TankRate(place)) => (self.perturbed(*place), None),
            Some(Cause::Supply(name, place)) => {
                let of = self.supplies.iter().position(|supply| supply.name == *name);
                (None, of.map(|of| (of, *place)))
            }
            _ => (None, None),
        };
        TankContext {
            rates: rates.unwrap_or(self.tank.rates),
            supplies: &self.supplies,
            component,
        }
    }

    fn perturbed(&self, rate: usize) -> Option<Rates> {
        let perturbed = self.tank.rates.perturbed(&self.tank.rates_sd);
        perturbed.get(rate).copied()
    }

    /// Whether a cause makes any difference to a line.
    fn moves(&self, cause: &Cause, work: &Work) -> bool {
        match (cause, *work) {
            (Cause::TankRate(place), Work::Heat { .. } | Work::Hold { .. }) => {
                self.perturbed(*place) != Some(self.tank.rates)
            }
            (Cause::Supply(name, _), Work::Fill { supply, .. } | Work::Recover { supply, .. }) => {
                self.supplies
                    .get(supply)
                    .is_some_and(|supply| supply.name == *name)
            }
            _ => false,
        }
    }
}
