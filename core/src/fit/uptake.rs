//! What a liquor takes up: salts that dissolve in it, within the concentrations for which it can be
//! computed.
//!
//! Ionic strength is linear in the doses, and the solubility of gypsum is not. Both are kept as a
//! most of each dose: where the best plan exceeds them, the largest doses are cut down until the
//! liquor takes them up, and the plan is made again with no more than that. Plans that exceed
//! nothing, as all usual ones, are made once.

use underlet_tables::parameters;

use super::aim::{Aimed, solve_aimed};
use super::day::optimum;
use super::ions::{IonFitResult, IonProblem, fit_ions};
use super::mash_and_sparge::MashAndSparge;
use super::problem::{DoseOption, Problem};
use super::result::{FitError, FitResult};
use crate::aqueous::{Aqueous, Mineral};
use crate::component::Component;
use crate::liquor::{Dose, Liquor};
use crate::math;
use crate::recipe::{BrewDay, Vessel};

/// Product of calcium and sulfate, (mol/kg)², below which gypsum dissolves at any temperature: its
/// constant is never smaller, and activities are smaller than concentrations.
const SURELY_DISSOLVED: f64 = 1.0e-5;
/// Ionic strength beyond the limit that is rounding, as a share of it.
const ROUNDING: f64 = 1.0e-6;
/// Halvings in which a cut is found: to the last digit of a double.
const HALVINGS: usize = 60;
/// Times that a plan is made again with less: one for each salt that takes the place of another.
const ROUNDS: usize = 12;
/// Rounds after which no other reagent may take the place of one that was cut down, and no other
/// blend that of the one it was cut down for.
const ROUNDS_WITH_SUBSTITUTES: usize = 6;

/// What a liquor has too much of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Excess {
    /// Calcium and sulfate: gypsum does not dissolve.
    Gypsum,
    /// Ions altogether: the models were not checked for so many.
    Ions,
}

/// A vessel whose liquor takes up no more of what the targets ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Full {
    pub vessel: Vessel,
    pub of: Excess,
}

impl Excess {
    /// Every one.
    pub const ALL: [Excess; 2] = [Excess::Gypsum, Excess::Ions];

    /// What a liquor has too much of at a temperature, if anything.
    pub fn of(liquor: &Liquor, temperature_c: f64) -> Option<Excess> {
        let mut all = Excess::ALL.into_iter();
        all.find(|excess| excess.is_in(liquor, temperature_c))
    }

    /// Whether a liquor has too much of it at a temperature.
    pub fn is_in(self, liquor: &Liquor, temperature_c: f64) -> bool {
        match self {
            Excess::Gypsum => !dissolves(liquor, temperature_c),
            Excess::Ions => is_beyond_models(liquor),
        }
    }

    /// How much a dose adds to it.
    fn added_by(self, dose: &Dose) -> f64 {
        match self {
            Excess::Gypsum => dose.ions.get(Component::Calcium) + dose.ions.get(Component::Sulfate),
            Excess::Ions => ionic_strength(dose),
        }
    }
}

/// Whether gypsum dissolves in a liquor, as far as its equilibrium is known.
fn dissolves(liquor: &Liquor, temperature_c: f64) -> bool {
    let product = liquor.ions.get(Component::Calcium) * liquor.ions.get(Component::Sulfate);
    if product < SURELY_DISSOLVED {
        return true;
    }
    let state = Aqueous::at(temperature_c).closed(liquor);
    let index = state.map(|state| state.saturation_index(Mineral::Gypsum));
    index.is_ok_and(|index| index <= parameters::CHECKED_GYPSUM_INDEX.value)
}

/// Whether a liquor has more ions than the models were checked for.
pub(crate) fn is_beyond_models(liquor: &Liquor) -> bool {
    let limit = parameters::CHECKED_IONIC_STRENGTH.value * (1.0 + ROUNDING);
    liquor.ionic_strength_mol_per_kg() > limit
}

/// What a dose adds to the ionic strength of a kg of water, mol, acids that it neutralises left
/// out.
fn ionic_strength(dose: &Dose) -> f64 {
    (dose.ions.charge_squared() + math::at_least(dose.alkalinity_eq, 0.0)) / 2.0
}

/// Most units of a dose in a mass of water, given to pure water alone; `None` where it brings no
/// ions.
pub(super) fn most_alone(per_unit: &Dose, water_kg: f64) -> Option<f64> {
    let added = ionic_strength(per_unit);
    (added > 0.0).then(|| parameters::CHECKED_IONIC_STRENGTH.value * water_kg / added)
}

/// Amounts of which the largest are cut down until a liquor takes them up. `added` is what a unit
/// of each adds to the excess.
fn cut_down(amounts: &[f64], added: &[f64], takes_up: impl Fn(&[f64]) -> bool) -> Vec<f64> {
    let at = |level: f64| -> Vec<f64> {
        let pairs = amounts.iter().zip(added);
        let cut = |(amount, added): (&f64, &f64)| {
            if *added > 0.0 {
                amount.min(level / added)
            } else {
                *amount
            }
        };
        pairs.map(cut).collect()
    };
    let pairs = amounts.iter().zip(added);
    let largest = pairs.fold(0.0, |most: f64, (amount, added)| most.max(amount * added));
    let (mut low, mut high) = (0.0, largest);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if takes_up(&at(middle)) {
            low = middle;
        } else {
            high = middle;
        }
    }
    at(low)
}

/// Solves the problem of a day, aimed, with no more in any vessel than its liquor takes up; `full`
/// gets the vessels that take up no more.
///
/// # Errors
/// As [`solve_aimed`].
pub(super) fn solve_taken_up(
    day: &BrewDay,
    problem: &mut Problem<'_>,
    full: &mut Vec<Full>,
) -> Result<(FitResult, MashAndSparge<Option<Aimed>>), FitError> {
    full.clear();
    let mut round = 0;
    loop {
        let mut attempt = problem.clone();
        let (found, aimed) = solve_aimed(day, &mut attempt)?;
        let plan = [&found.shares[..], &found.doses];
        if round >= ROUNDS || !limit(day, problem, plan, round, full) {
            *problem = attempt;
            return Ok((found, aimed));
        }
        round += 1;
        // Before rounding is where a plan is soonest made again.
        while round < ROUNDS_WITH_SUBSTITUTES {
            let best = optimum(problem)?;
            if !limit(day, problem, [&best.shares, &best.doses], round, full) {
                break;
            }
            round += 1;
        }
    }
}

/// Solves a fit of ions with no more than its liquor takes up at a temperature: also gives what of
/// the targets ask for too much, if they do.
///
/// # Errors
/// As [`fit_ions`].
pub(crate) fn fit_ions_taken_up(
    problem: &mut IonProblem,
    temperature_c: f64,
) -> Result<(IonFitResult, Option<Excess>), FitError> {
    let (mut full, mut round) = (None, 0);
    loop {
        let found = fit_ions(problem)?;
        let liquor = problem.liquor(found.dilution, &found.amounts);
        let Some(of) = Excess::of(&liquor, temperature_c).filter(|_| round < ROUNDS) else {
            return Ok((found, full));
        };
        let salts = problem.salts.iter();
        let added: Vec<f64> = salts.map(|salt| of.added_by(&salt.per_unit)).collect();
        let cut = cut_down(&found.amounts, &added, |amounts| {
            let liquor = problem.liquor(found.dilution, amounts);
            !of.is_in(&liquor, temperature_c)
        });
        let mosts = problem.salts.iter_mut().map(|salt| &mut salt.most);
        if !lower(mosts, &found.amounts, &cut, &added, round) {
            return Ok((found, full));
        }
        full = Some(of);
        round += 1;
    }
}

/// Lowers the most of each dose to a cut amount. Gives whether any was higher. In later rounds
/// nothing may take the place of what was cut.
fn lower<'m>(
    mosts: impl Iterator<Item = &'m mut Option<f64>>,
    amounts: &[f64],
    cut: &[f64],
    added: &[f64],
    round: usize,
) -> bool {
    let has_substitutes = round < ROUNDS_WITH_SUBSTITUTES;
    let mut lowered = false;
    for (((most, amount), cut), added) in mosts.zip(amounts).zip(cut).zip(added) {
        let is_cut = cut < amount || (!has_substitutes && *added > 0.0);
        if is_cut && most.is_none_or(|most| *cut < most) {
            *most = Some(*cut);
            lowered = true;
        }
    }
    lowered
}

/// Limits the doses to what the liquors take up, where a plan has more. Gives whether it had.
fn limit(
    day: &BrewDay,
    problem: &mut Problem<'_>,
    [shares, doses]: [&[f64]; 2],
    round: usize,
    full: &mut Vec<Full>,
) -> bool {
    let mut had_more = false;
    for vessel in Vessel::ALL {
        let temperature_c = day.temperature_c(vessel);
        let Some(liquor) = liquor_in(problem, vessel, shares, doses) else {
            continue;
        };
        let Some(of) = Excess::of(&liquor, temperature_c) else {
            continue;
        };
        let added = added_in(problem, vessel, of);
        let given = |(dose, added): (&f64, &f64)| *dose > 0.0 && *added > 0.0;
        if !doses.iter().zip(&added).any(given) {
            continue;
        }
        let cut = cut_down(doses, &added, |doses| {
            let liquor = liquor_in(problem, vessel, shares, doses);
            liquor.is_none_or(|liquor| !of.is_in(&liquor, temperature_c))
        });
        let mosts = problem.doses.iter_mut().map(|option| &mut option.most);
        had_more |= lower(mosts, doses, &cut, &added, round);
        if round >= ROUNDS_WITH_SUBSTITUTES {
            keep_blend(problem, shares);
        }
        let is_full = Full { vessel, of };
        if !full.contains(&is_full) {
            full.push(is_full);
        }
    }
    had_more
}

/// Gives every source no more than its share: the blend stays as it is, since shares are one
/// together.
fn keep_blend(problem: &mut Problem<'_>, shares: &[f64]) {
    let blended_kg = problem.waters.blended_kg();
    for (source, share) in problem.sources.iter_mut().zip(shares) {
        source.max_amount_kg = Some(share * blended_kg * (1.0 + ROUNDING));
    }
}

/// The liquor of a vessel once it is dosed; `None` where the day has none, gives nothing to the
/// kettle, or may give nothing to the mash liquor before the grist.
pub(crate) fn liquor_in(
    problem: &Problem<'_>,
    vessel: Vessel,
    shares: &[f64],
    doses: &[f64],
) -> Option<Liquor> {
    let waters = &problem.waters;
    let mash_with = |is_in: fn(Vessel) -> bool| {
        let options = problem.doses.iter().zip(doses);
        let given = options.map(|(option, dose)| if is_in(option.vessel) { *dose } else { 0.0 });
        let given: Vec<f64> = given.collect();
        problem.liquors(shares, &given).mash
    };
    match vessel {
        Vessel::HotLiquorTank => {
            waters.tank_kg?;
            Some(mash_with(|vessel| vessel == Vessel::HotLiquorTank))
        }
        Vessel::MashLiquor => {
            let mut options = problem.doses.iter();
            let is_dosed = options.any(|option| option.vessel == Vessel::MashLiquor);
            is_dosed.then(|| mash_with(Vessel::comes_before_grist))
        }
        Vessel::MashTun => Some(problem.liquors(shares, doses).mash),
        Vessel::SpargeLiquor if waters.sparge_kg > 0.0 => {
            Some(problem.liquors(shares, doses).sparge)
        }
        Vessel::Kettle => {
            let mut options = problem.doses.iter().zip(doses);
            let is_dosed =
                options.any(|(option, dose)| option.vessel == Vessel::Kettle && *dose > 0.0);
            is_dosed.then(|| problem.liquors(shares, doses).overall)
        }
        Vessel::SpargeLiquor => None,
    }
}

/// What a unit of each dose adds to an excess in a vessel, per kg of its water.
fn added_in(problem: &Problem<'_>, vessel: Vessel, of: Excess) -> Vec<f64> {
    let added = |option: &DoseOption| {
        let reaches = match vessel {
            Vessel::MashLiquor => option.vessel.comes_before_grist(),
            Vessel::MashTun => option.vessel.comes_to_mash(),
            Vessel::SpargeLiquor => option.vessel.comes_to_sparge(),
            Vessel::HotLiquorTank | Vessel::Kettle => option.vessel == vessel,
        };
        if reaches {
            of.added_by(&option.dose_per_unit()) / problem.waters.dosed_kg(option.vessel)
        } else {
            0.0
        }
    };
    problem.doses.iter().map(added).collect()
}
