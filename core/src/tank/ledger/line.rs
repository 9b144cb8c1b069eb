//! The tank, what feeds it, and what is written into its ledger.

use crate::error::codes;
use crate::liquor::{Dose, Liquor};
use crate::reagent::Preparation;
use crate::treatment::{Chlorine, Rates, ScaleCover, Surface};

/// A liquor tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// What it is called.
    pub name: String,
    /// Litres it holds to the brim, as read.
    pub capacity_l: f64,
    /// Litres below the outlet that no draw reaches, as read.
    pub dead_l: f64,
    /// How fast hot liquor changes in it.
    pub rates: Rates,
    /// Standard deviations of these.
    pub rates_sd: Rates,
}

impl Tank {
    /// A tank with a vented lid and some scale in it.
    pub fn new(name: &str, capacity_l: f64, dead_l: f64) -> Tank {
        Tank {
            name: name.to_owned(),
            capacity_l,
            dead_l,
            rates: Rates::usual(ScaleCover::Some, Surface::Covered),
            rates_sd: Rates::usual_sd(ScaleCover::Some, Surface::Covered),
        }
    }

    /// The same tank with usual rates for these answers.
    #[must_use]
    pub fn with(self, scale: ScaleCover, surface: Surface) -> Tank {
        Tank {
            rates: Rates::usual(scale, surface),
            rates_sd: Rates::usual_sd(scale, surface),
            ..self
        }
    }
}

/// Water that feeds the tank, at the temperature it comes in cold.
#[derive(Clone, Debug, PartialEq)]
pub struct Supply {
    /// What it is called.
    pub name: String,
    /// The water.
    pub liquor: Liquor,
    /// Its chlorine.
    pub chlorine: Chlorine,
    /// Independent components of its uncertainty, each with what a standard deviation of it moves
    /// in a kg of water.
    pub components: Vec<Dose>,
}

impl Supply {
    /// Water that is known exactly.
    pub fn new(name: &str, liquor: Liquor) -> Supply {
        Supply {
            name: name.to_owned(),
            liquor,
            chlorine: Chlorine::default(),
            components: Vec::new(),
        }
    }
}

codes! {
    /// Where liquor is drawn to.
    pub enum Destination {
        /// The mash tun.
        Mash = "mash",
        /// Over the grains.
        Sparge = "sparge",
        /// Another brewhouse, a cleaning tank, the drain.
        Elsewhere = "elsewhere",
    }
}

/// What is done to the tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Work {
    /// Cold water from a supply.
    Fill {
        /// Place of the supply, from 0.
        supply: usize,
        /// Litres, as read at the temperature it comes in with.
        volume_l: f64,
    },
    /// Supply water that has cooled wort: untreated, hot, and closed on its way, so that it still
    /// holds its carbon dioxide.
    Recover {
        /// Place of the supply, from 0.
        supply: usize,
        /// Litres, as read at the temperature it comes in with.
        volume_l: f64,
        /// Temperature it comes in with, °C.
        temperature_c: f64,
    },
    /// A reagent, dissolved and stirred in.
    Dose {
        /// What.
        preparation: Preparation,
        /// How much: g of a solid, mL of a solution.
        amount: f64,
    },
    /// Heating, or cooling, in so many hours; on a timer as well as by hand.
    Heat {
        /// Temperature in the end, °C.
        to_c: f64,
        /// Hours it takes.
        hours: f64,
    },
    /// Standing at its temperature.
    Hold {
        /// Hours.
        hours: f64,
    },
    /// Liquor out.
    Draw {
        /// Litres, as read in the tank at its temperature.
        volume_l: f64,
        /// Where to.
        to: Destination,
    },
}

codes! {
    /// What is done with the tank on a line of its ledger.
    pub enum WorkCode {
        /// Water in from a supply.
        Fill = "fill",
        /// Supply water in that has cooled wort and comes hot.
        Recover = "recover",
        /// A reagent in.
        Dose = "dose",
        /// Heating, or cooling.
        Heat = "heat",
        /// Standing at its temperature.
        Hold = "hold",
        /// Liquor out.
        Draw = "draw",
    }
}

impl Work {
    /// Which work it is.
    pub const fn code(&self) -> WorkCode {
        match self {
            Work::Fill { .. } => WorkCode::Fill,
            Work::Recover { .. } => WorkCode::Recover,
            Work::Dose { .. } => WorkCode::Dose,
            Work::Heat { .. } => WorkCode::Heat,
            Work::Hold { .. } => WorkCode::Hold,
            Work::Draw { .. } => WorkCode::Draw,
        }
    }
}

/// A line of the ledger.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The line's own words: "fill", "timer from 22:00", "strike".
    pub label: String,
    /// What is done.
    pub work: Work,
}

impl Line {
    /// A line.
    pub fn new(label: &str, work: Work) -> Line {
        Line {
            label: label.to_owned(),
            work,
        }
    }
}
