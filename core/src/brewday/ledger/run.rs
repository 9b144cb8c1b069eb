//! The ledger itself: lines entered one after the other, and the copies that make its error bars.

use super::contents::{House, State};
use super::error::{Fault, LedgerError};
use super::line::{Destination, Line, Supply, Tank, Work, amount, temperature};
use crate::ion::Ion;
use crate::liquor::Liquor;
use crate::math;

/// Copies in each of which one thing is off: four habits, alkalinity and calcium of the supplies.
const COPIES: usize = 6;

/// Liquor that was drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drawn {
    /// Where to.
    pub to: Destination,
    /// Water in it, kg.
    pub water_kg: f64,
    /// What it is.
    pub liquor: Liquor,
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
    pub before: State,
    /// The tank after it.
    pub after: State,
    /// How sure that is.
    pub bars: Bars,
    /// What was drawn, if it is a draw.
    pub drawn: Option<Drawn>,
}

impl Entry {
    /// Scale that formed on this line, g.
    pub fn scale_g(&self) -> f64 {
        self.after.scale_g() - self.before.scale_g()
    }
}

/// What a day leaves in the tank for the next, error bars and all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heel {
    state: State,
    copies: [State; COPIES],
}

impl Heel {
    /// An empty, clean tank.
    pub const NOTHING: Heel = Heel {
        state: State::EMPTY,
        copies: [State::EMPTY; COPIES],
    };

    /// So many litres of a liquor that is known exactly, as read at its temperature.
    pub fn of(liquor: &Liquor, volume_l: f64) -> Heel {
        let state = State::of(liquor, volume_l);
        Heel {
            state,
            copies: [state; COPIES],
        }
    }

    /// The tank as it was left.
    pub fn state(&self) -> &State {
        &self.state
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
        Ledger::open(tank, supplies, Heel::NOTHING)
    }

    /// Opens the ledger of a tank with what an earlier day left in it.
    ///
    /// # Errors
    /// [`LedgerError`] where tank, supply or heel have figures that are none.
    pub fn open(tank: Tank, supplies: Vec<Supply>, heel: Heel) -> Result<Ledger, LedgerError> {
        check_tank(&tank, heel.state()).map_err(|fault| fault.at(None, &tank.name))?;
        for supply in &supplies {
            check_supply(supply).map_err(|fault| fault.at(None, &supply.name))?;
        }
        Ok(Ledger {
            tank,
            supplies,
            entries: Vec::new(),
            now: heel,
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
            .map_err(|fault| fault.at(Some(place), &line.label))?;
        let entry = Entry {
            line,
            before: self.now.state,
            after: now.state,
            bars: bars(&now),
            drawn,
        };
        self.now = now;
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
        bars(&self.now)
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
    fn worked(&self, work: &Work) -> Result<(Heel, Option<Drawn>), Fault> {
        work.check()?;
        let before = &self.now.state;
        if let Work::Draw { volume_l, .. } = *work {
            let there_l = before.drawable_l(self.tank.dead_l);
            if State::exceeds(volume_l, there_l) {
                return Err(Fault::overdraw(volume_l, there_l, self.tank.dead_l));
            }
        }
        let after = before.after(work, &self.house(None))?;
        let drawing = matches!(work, Work::Draw { .. });
        if !drawing && State::exceeds(after.volume_l(), self.tank.capacity_l) {
            return Err(Fault::overflow(after.volume_l(), self.tank.capacity_l));
        }
        let mut copies = self.now.copies;
        for (place, copy) in copies.iter_mut().enumerate() {
            let house = self.house(Some(place));
            // A copy that is off by nothing so far need not be worked out again; one that ran dry tells nothing any more.
            let is_the_same = copy == before && self.is_off_by_nothing(place);
            let ran_dry = copy.water_kg <= 0.0 && before.water_kg > 0.0;
            *copy = if is_the_same || ran_dry {
                after
            } else {
                copy.after(work, &house)?
            };
        }
        let drawn = match *work {
            Work::Draw { to, .. } => Some(Drawn {
                to,
                water_kg: before.drawn(&after),
                liquor: before.liquor(),
            }),
            _ => None,
        };
        let now = Heel {
            state: after,
            copies,
        };
        Ok((now, drawn))
    }

    /// What the tank works with, one thing being off in a copy.
    fn house(&self, copy: Option<usize>) -> House<'_> {
        let displaced = self.tank.habits.displaced(&self.tank.habits_sd);
        let habits = copy.and_then(|place| displaced.get(place).copied());
        let off = |place: usize| f64::from(u8::from(copy == Some(place)));
        House {
            headspace: self.tank.headspace,
            habits: habits.unwrap_or(self.tank.habits),
            supplies: &self.supplies,
            alkalinity_off: off(COPIES - 2),
            calcium_off: off(COPIES - 1),
        }
    }

    fn is_off_by_nothing(&self, copy: usize) -> bool {
        let displaced = self.tank.habits.displaced(&self.tank.habits_sd);
        let certain = |sd: fn(&Supply) -> f64| self.supplies.iter().all(|s| sd(s) == 0.0);
        match displaced.get(copy) {
            Some(habits) => *habits == self.tank.habits,
            None if copy == COPIES - 1 => certain(|supply| supply.calcium_sd_mol_per_kg),
            None => certain(|supply| supply.alkalinity_sd_eq_per_kg),
        }
    }
}

fn bars(now: &Heel) -> Bars {
    let figures = |state: &State| {
        let liquor = state.liquor();
        [
            liquor.alkalinity_eq_per_kg,
            liquor.ions.get(Ion::Calcium),
            liquor.carbon_mol_per_kg,
            state.volume_l(),
            state.scale_g(),
        ]
    };
    let middle = figures(&now.state);
    let aside = now.copies.each_ref().map(figures);
    let [alkalinity, calcium, carbon, volume, scale] = [0, 1, 2, 3, 4].map(|place: usize| {
        math::root_of_squares(&aside.map(|figures| figures[place] - middle[place]))
    });
    Bars {
        alkalinity_eq_per_kg: alkalinity,
        calcium_mol_per_kg: calcium,
        carbon_mol_per_kg: carbon,
        volume_l: volume,
        scale_g: scale,
    }
}

fn check_tank(tank: &Tank, state: &State) -> Result<(), Fault> {
    amount("capacity in L", tank.capacity_l)?;
    amount("dead space in L", tank.dead_l)?;
    amount("water in kg", state.water_kg)?;
    temperature(state.temperature_c)?;
    if State::exceeds(state.volume_l(), tank.capacity_l) {
        return Err(Fault::overflow(state.volume_l(), tank.capacity_l));
    }
    let sd = &tank.habits_sd;
    amount("sd of the carbon dioxide's time", sd.carbon_time_h)?;
    amount("sd of the scale's time", sd.scale_time_h)?;
    amount("sd of the scale's reach", sd.scale_reach)?;
    amount("sd of evaporation", sd.evaporation_per_hour)?;
    if tank.habits.are_possible() {
        Ok(())
    } else {
        Err(Fault::habits())
    }
}

fn check_supply(supply: &Supply) -> Result<(), Fault> {
    amount("alkalinity sd", supply.alkalinity_sd_eq_per_kg)?;
    amount("calcium sd", supply.calcium_sd_mol_per_kg)?;
    amount("carbon", supply.liquor.carbon_mol_per_kg)?;
    // Negative where mineral acid is in excess, but a number.
    amount("alkalinity", supply.liquor.alkalinity_eq_per_kg.abs())?;
    for (ion, held) in supply.liquor.ions.iter() {
        amount(ion.key(), held)?;
    }
    temperature(supply.liquor.temperature_c)
}
