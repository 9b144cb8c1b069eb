//! The ledger itself: lines entered one after the other, and the copies that make its error bars.

use super::contents::{House, State};
use super::error::{LedgerError, overdraw, overflow};
use super::line::{Destination, Line, Supply, Tank, Work};
use crate::checker::Checker;
use crate::component::Component;
use crate::error::Problem;
use crate::liquor::{Dose, Liquor};
use crate::math;
use crate::treatment::{Chlorine, Habits};

/// What may be off, the same way on every line and every day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cause {
    /// A habit of the tank, by its place in [`Habits::KEYS`].
    Habit(usize),
    /// A cause of a heel that came without its own, by its place.
    Heel(usize),
    /// A cause of the supply of this name, by its place among [`Supply::causes`].
    Supply(String, usize),
}

/// A tank in which one thing was off by its standard deviation from the first filling on.
#[derive(Clone, Debug, PartialEq)]
pub struct Perturbed {
    /// What was off.
    pub cause: Cause,
    /// The tank as it then is.
    pub state: State,
}

/// Liquor that was drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// Where to.
    pub to: Destination,
    /// Water in it, kg.
    pub water_kg: f64,
    /// What it is.
    pub liquor: Liquor,
    /// Its chlorine.
    pub chlorine: Chlorine,
    /// What each cause moves in a kg of its water.
    pub off: Vec<Dose>,
}

/// Standard deviations after a line.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Bars {
    /// Alkalinity, eq/kg.
    pub alkalinity_eq_per_kg: f64,
    /// Calcium, mol/kg.
    pub calcium_mol_per_kg: f64,
    /// Inorganic carbon, mol/kg.
    pub carbon_mol_per_kg: f64,
    /// Volume as read, L.
    pub volume_l: f64,
    /// Scale since the tank was first filled, g.
    pub scale_g: f64,
}

/// A line and what it led to.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The line as it was entered.
    pub line: Line,
    /// The tank before it.
    pub before: Heel,
    /// The tank after it.
    pub after: Heel,
    /// What was drawn, if it is a draw.
    pub drawn: Option<Drawn>,
}

impl Entry {
    /// Scale that formed on this line, g.
    pub fn scale_g(&self) -> f64 {
        self.after.state().scale_g() - self.before.state().scale_g()
    }

    /// How sure the tank after it is known.
    pub fn bars(&self) -> Bars {
        self.after.bars()
    }
}

/// What a day leaves in the tank for the next, error bars and all.
#[derive(Clone, Debug, PartialEq)]
pub struct Heel {
    state: State,
    perturbed: Vec<Perturbed>,
}

impl Heel {
    /// An empty, clean tank.
    pub const ZERO: Heel = Heel {
        state: State::EMPTY,
        perturbed: Vec::new(),
    };

    /// So many litres of a liquor that is known exactly, as read at its temperature.
    pub fn of(liquor: &Liquor, volume_l: f64) -> Heel {
        Heel::left(State::of(liquor, volume_l), Vec::new())
    }

    /// A tank as it was left, and as it would have been had something been off.
    pub fn left(state: State, perturbed: Vec<Perturbed>) -> Heel {
        Heel { state, perturbed }
    }

    /// The tank as it was left.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The tank as it would be, had something been off.
    pub fn perturbed(&self) -> &[Perturbed] {
        &self.perturbed
    }

    /// What each cause moves in a kg of its water.
    pub fn off(&self) -> Vec<Dose> {
        let liquor = self.state.liquor().as_dose();
        let of = |one: &Perturbed| one.state.liquor().as_dose().plus(&liquor.times(-1.0));
        self.perturbed.iter().map(of).collect()
    }

    /// Standard deviation of a figure of the tank.
    pub fn sd(&self, figure: impl Fn(&State) -> f64) -> f64 {
        let middle = figure(&self.state);
        let one = |one: &Perturbed| figure(&one.state) - middle;
        math::root_of_squares(&self.perturbed.iter().map(one).collect::<Vec<f64>>())
    }

    fn bars(&self) -> Bars {
        let calcium = |state: &State| state.liquor().ions.get(Component::Calcium);
        Bars {
            alkalinity_eq_per_kg: self.sd(|state| state.liquor().alkalinity_eq_per_kg),
            calcium_mol_per_kg: self.sd(calcium),
            carbon_mol_per_kg: self.sd(|state| state.liquor().carbon_mol_per_kg),
            volume_l: self.sd(State::volume_l),
            scale_g: self.sd(State::scale_g),
        }
    }

    /// Room for what may be off on a day, in its order; what was off before and cannot be today comes behind.
    fn with_causes(mut self, causes: impl Iterator<Item = Cause>) -> Heel {
        let state = self.state;
        let mut perturbed = Vec::new();
        for cause in causes {
            let before = self.perturbed.iter().position(|one| one.cause == cause);
            perturbed.push(before.map_or(Perturbed { cause, state }, |place| {
                self.perturbed.remove(place)
            }));
        }
        perturbed.append(&mut self.perturbed);
        Heel { state, perturbed }
    }
}

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
        if State::exceeds(full_l, tank.capacity_l) {
            return Err(at(overflow("tank", full_l, tank.capacity_l), &tank.name));
        }
        for (place, supply) in supplies.iter().enumerate() {
            let mut checker = Checker::new();
            checker.inside(&format!("supplies[{place}]"), |of| supply.examine(of));
            if let Some(problem) = first(checker) {
                return Err(at(problem, &supply.name));
            }
        }
        let habits = (0..Habits::KEYS.len()).map(Cause::Habit);
        let of_supply = |supply: &Supply| {
            (0..supply.causes.len())
                .map(|place| Cause::Supply(supply.name.clone(), place))
                .collect::<Vec<_>>()
        };
        let now = heel.with_causes(habits.chain(supplies.iter().flat_map(of_supply)));
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
    /// [`LedgerError`] that names the line; the ledger then stands as it was.
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
    pub fn state(&self) -> &State {
        &self.now.state
    }

    /// How sure that is.
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
        let before = &self.now.state;
        if let Work::Draw { volume_l, .. } = *work {
            let there_l = before.drawable_l(self.tank.dead_l);
            if State::exceeds(volume_l, there_l) {
                return Err(overdraw(volume_l, there_l, self.tank.dead_l));
            }
        }
        let after = before.after(work, &self.house(None))?;
        let drawing = matches!(work, Work::Draw { .. });
        if !drawing && State::exceeds(after.volume_l(), self.tank.capacity_l) {
            let key = if matches!(work, Work::Heat { .. }) {
                "temperature"
            } else {
                "volume"
            };
            return Err(overflow(key, after.volume_l(), self.tank.capacity_l));
        }
        let mut perturbed = self.now.perturbed.clone();
        for one in &mut perturbed {
            // What is off by nothing so far need not be worked out again; what ran dry tells nothing any more.
            let is_the_same = one.state == *before && !self.moves(&one.cause, work);
            let ran_dry = one.state.water_kg <= 0.0 && before.water_kg > 0.0;
            one.state = if is_the_same || ran_dry {
                after
            } else {
                one.state.after(work, &self.house(Some(&one.cause)))?
            };
        }
        let drawn = match *work {
            Work::Draw { to, .. } => Some(Drawn {
                to,
                water_kg: before.drawn(&after),
                liquor: before.liquor(),
                chlorine: before.chlorine_per_kg(),
                off: self.now.off(),
            }),
            _ => None,
        };
        Ok((Heel::left(after, perturbed), drawn))
    }

    /// What the tank works with, one thing being off.
    fn house(&self, cause: Option<&Cause>) -> House<'_> {
        let (habits, off) = match cause {
            Some(Cause::Habit(place)) => (self.displaced(*place), None),
            Some(Cause::Supply(name, place)) => {
                let of = self.supplies.iter().position(|supply| supply.name == *name);
                (None, of.map(|of| (of, *place)))
            }
            Some(Cause::Heel(_)) | None => (None, None),
        };
        House {
            headspace: self.tank.headspace,
            habits: habits.unwrap_or(self.tank.habits),
            supplies: &self.supplies,
            off,
        }
    }

    fn displaced(&self, habit: usize) -> Option<Habits> {
        let displaced = self.tank.habits.displaced(&self.tank.habits_sd);
        displaced.get(habit).copied()
    }

    /// Whether a cause makes any difference to a line.
    fn moves(&self, cause: &Cause, work: &Work) -> bool {
        match (cause, *work) {
            (Cause::Habit(place), Work::Heat { .. } | Work::Hold { .. }) => {
                self.displaced(*place) != Some(self.tank.habits)
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
