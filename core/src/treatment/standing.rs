//! Liquor that is heated, cooled or held: carbon dioxide leaves, scale forms, steam goes off.
//!
//! *Where it would end*: open to air, calcite at saturation ([`crate::aqueous::Aqueous::precipitated`]). *How far it gets*: of the
//! carbon dioxide that would leave, the share `1 - exp(-t/τ)`; then, of the calcite that this liquor could still drop closed,
//! `reach (1 - exp(-t/τ))`. Both times are stated at 80 °C and go with temperature by an activation energy; a heating ramp
//! counts by Simpson's rule over a straight line from start to end. Both shares at 1 give the full equilibrium.
//!
//! Coarse: only calcite is let down (gypsum and brushite are watched, not dropped); one time stands for wall, heater and suspended
//! grains alike; steam follows the vapour pressure and ignores draughts.

use underlet_tables::{Parameter, parameters};

use super::air_log10_pco2;
use crate::aqueous::{Aqueous, EquilibriumError, Mineral};
use crate::ion::{Composition, Ion};
use crate::liquor::{Dose, Liquor};
use crate::math;

/// Whether the room above the liquor is in touch with air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Headspace {
    /// A lid with a vent, or no lid: carbon dioxide and steam leave.
    Vented,
    /// Full or shut: neither does.
    Sealed,
}

/// How fast and how far a tank goes, or the standard deviations of that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Hours at 80 °C in which two thirds of the carbon dioxide that can leave has left.
    pub carbon_time_h: f64,
    /// Hours at 80 °C in which two thirds of the scale that will form has formed.
    pub scale_time_h: f64,
    /// Share, 0 to 1, of the calcite on the way to equilibrium that comes down in the end.
    pub scale_reach: f64,
    /// Share of the water that leaves as steam in an hour at 80 °C.
    pub evaporation_per_hour: f64,
}

impl Habits {
    /// A lidded tank a metre deep of which nothing else is known.
    pub fn usual() -> Habits {
        Habits::from_table(|parameter| parameter.value)
    }

    /// Standard deviations of [`Habits::usual`].
    pub fn usual_sd() -> Habits {
        Habits::from_table(|parameter| parameter.sd)
    }

    /// A tank whose habits are known exactly.
    pub const CERTAIN: Habits = Habits {
        carbon_time_h: 0.0,
        scale_time_h: 0.0,
        scale_reach: 0.0,
        evaporation_per_hour: 0.0,
    };

    fn from_table(take: fn(&Parameter) -> f64) -> Habits {
        Habits {
            carbon_time_h: take(&parameters::HOT_CARBON_TIME),
            scale_time_h: take(&parameters::SCALE_TIME),
            scale_reach: take(&parameters::SCALE_REACH),
            evaporation_per_hour: take(&parameters::TANK_EVAPORATION),
        }
    }

    /// The four habits, each alone put off by its standard deviation; shares stay between 0 and 1.
    pub fn displaced(&self, sd: &Habits) -> [Habits; 4] {
        [
            Habits {
                carbon_time_h: self.carbon_time_h + sd.carbon_time_h,
                ..*self
            },
            Habits {
                scale_time_h: self.scale_time_h + sd.scale_time_h,
                ..*self
            },
            Habits {
                scale_reach: self.reach_off_by(sd.scale_reach),
                ..*self
            },
            Habits {
                evaporation_per_hour: (self.evaporation_per_hour + sd.evaporation_per_hour)
                    .min(1.0),
                ..*self
            },
        ]
    }

    /// The reach off by so much, to the side where there is room.
    fn reach_off_by(&self, sd: f64) -> f64 {
        if self.scale_reach + sd <= 1.0 {
            self.scale_reach + sd
        } else {
            math::at_least(self.scale_reach - sd, 0.0)
        }
    }

    /// True where every figure is one: times above 0, shares from 0 to 1.
    pub fn are_possible(&self) -> bool {
        let time = |hours: f64| hours.is_finite() && hours > 0.0;
        let share = |share: f64| (0.0..=1.0).contains(&share);
        time(self.carbon_time_h)
            && time(self.scale_time_h)
            && share(self.scale_reach)
            && share(self.evaporation_per_hour)
    }
}

/// How liquor stands: from one temperature to another in so many hours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Temperature at the start, °C.
    pub from_c: f64,
    /// Temperature at the end, °C; the same for liquor that is held.
    pub to_c: f64,
    /// Hours.
    pub hours: f64,
    /// Whether it is in touch with air.
    pub headspace: Headspace,
}

/// What became of liquor that stood. Amounts are per kg of water at the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stood {
    /// The liquor at the end, per kg of the water that is left.
    pub liquor: Liquor,
    /// Share of the water that is left.
    pub water_share: f64,
    /// Carbon dioxide that left for the air, mol; negative where it came in.
    pub carbon_dioxide_mol: f64,
    /// Calcite that came down, mol.
    pub calcite_mol: f64,
}

impl Standing {
    /// Hours at 80 °C that bring as much, by an activation energy in kJ/mol.
    fn hours_at_80c(&self, energy: &Parameter) -> f64 {
        let middle_c = (self.from_c + self.to_c) / 2.0;
        let rate = |celsius| rate_beside_80c(energy.value, celsius);
        self.hours * (rate(self.from_c) + 4.0 * rate(middle_c) + rate(self.to_c)) / 6.0
    }
}

/// How many times as fast as at 80 °C (Arrhenius), energy in kJ/mol.
fn rate_beside_80c(energy: f64, celsius: f64) -> f64 {
    let kelvin = |celsius: f64| celsius + parameters::ICE_POINT.value;
    let reference = kelvin(parameters::HOT_REFERENCE_TEMPERATURE.value);
    let inverse = 1.0 / reference - 1.0 / kelvin(celsius);
    math::exp(1000.0 * energy / parameters::GAS_CONSTANT.value * inverse)
}

/// A mole of calcite taken out of liquor.
pub(super) fn calcite_removed() -> Dose {
    let ions = Composition::NOTHING.with(Ion::Calcium, -1.0);
    Dose {
        ions,
        alkalinity_eq: ions.strong_charge(),
        carbon_mol: -1.0,
    }
}

/// Liquor after standing.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium, or an hour or a temperature is no number.
pub fn stood(
    liquor: &Liquor,
    standing: &Standing,
    habits: &Habits,
) -> Result<Stood, EquilibriumError> {
    let numbers = [standing.from_c, standing.to_c, standing.hours];
    let possible = numbers.iter().all(|number| number.is_finite()) && standing.hours >= 0.0;
    if !(possible && habits.are_possible()) {
        return Err(EquilibriumError::NotAnAmount);
    }
    let vented = f64::from(u8::from(standing.headspace == Headspace::Vented));
    let way = |energy, time_h: f64| 1.0 - math::exp(-standing.hours_at_80c(energy) / time_h);
    let shares = Shares {
        carbon: vented * way(&parameters::HOT_CARBON_ENERGY, habits.carbon_time_h),
        scale: habits.scale_reach * way(&parameters::SCALE_ENERGY, habits.scale_time_h),
    };
    let steamed_h = standing.hours_at_80c(&parameters::EVAPORATION_ENERGY);
    let water_share = math::exp(-vented * habits.evaporation_per_hour * steamed_h);
    towards_equilibrium(liquor, standing.to_c, water_share, shares)
}

/// How far on the way to equilibrium, 0 to 1.
#[derive(Clone, Copy)]
pub(super) struct Shares {
    /// Of the carbon dioxide that would leave.
    pub carbon: f64,
    /// Of the calcite that would come down.
    pub scale: f64,
}

/// Concentrates liquor to a share of its water, then goes its shares of the way at a temperature.
pub(super) fn towards_equilibrium(
    liquor: &Liquor,
    temperature_c: f64,
    water_share: f64,
    shares: Shares,
) -> Result<Stood, EquilibriumError> {
    let nothing = Liquor {
        temperature_c,
        ..Liquor::default()
    };
    let mut now = nothing.dosed(&liquor.as_dose(), 1.0 / water_share);
    let hot = Aqueous::at(temperature_c);
    let calcite = [(Mineral::Calcite, 0.0)];
    let mut carbon = 0.0;
    if shares.carbon > 0.0 {
        let (end, down) = hot.precipitated(&now, &calcite, Some(air_log10_pco2()))?;
        let calcite_carbon: f64 = down.iter().sum();
        carbon =
            shares.carbon * (now.carbon_mol_per_kg - end.liquor.carbon_mol_per_kg - calcite_carbon);
        now.carbon_mol_per_kg = math::at_least(now.carbon_mol_per_kg - carbon, 0.0);
    }
    let (_, down) = hot.precipitated(&now, &calcite, None)?;
    let scale = shares.scale * down.iter().sum::<f64>();
    Ok(Stood {
        liquor: now.dosed(&calcite_removed(), scale),
        water_share,
        carbon_dioxide_mol: carbon * water_share,
        calcite_mol: scale * water_share,
    })
}

/// Standard deviations of what became of liquor that stood.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Spread {
    /// Alkalinity, eq/kg.
    pub alkalinity_eq_per_kg: f64,
    /// Calcium, mol/kg.
    pub calcium_mol_per_kg: f64,
    /// Inorganic carbon, mol/kg.
    pub carbon_mol_per_kg: f64,
    /// Calcite that came down, mol per kg of water at the start.
    pub calcite_mol: f64,
}

/// Error bars of [`stood`]: each habit put off by its standard deviation alone, the four differences taken as independent. First
/// order, so it is coarse where a share nears 0 or 1.
///
/// # Errors
/// As [`stood`].
pub fn stood_spread(
    liquor: &Liquor,
    standing: &Standing,
    habits: &Habits,
    sd: &Habits,
) -> Result<Spread, EquilibriumError> {
    let figures = |stood: &Stood| {
        [
            stood.liquor.alkalinity_eq_per_kg,
            stood.liquor.ions.get(Ion::Calcium),
            stood.liquor.carbon_mol_per_kg,
            stood.calcite_mol,
        ]
    };
    let middle = figures(&stood(liquor, standing, habits)?);
    let mut squares = [0.0; 4];
    for displaced in habits.displaced(sd) {
        let aside = figures(&stood(liquor, standing, &displaced)?);
        for ((square, aside), middle) in squares.iter_mut().zip(aside).zip(middle) {
            *square += (aside - middle) * (aside - middle);
        }
    }
    let [alkalinity, calcium, carbon, calcite] = squares.map(f64::sqrt);
    Ok(Spread {
        alkalinity_eq_per_kg: alkalinity,
        calcium_mol_per_kg: calcium,
        carbon_mol_per_kg: carbon,
        calcite_mol: calcite,
    })
}
