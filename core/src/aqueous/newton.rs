//! Newton's method in the logarithms of a few activities.
//!
//! A metal or an acid family takes part once in each of its species, so its activity follows from
//! the ligands it meets in one division: total over the sum of what a unit of activity would hold.
//! What is left to find is the ligands (hydrogen, carbonate and sulfate in most waters), the ionic
//! strength, and the freedoms of the problem. A pH or a partial pressure that is given fixes an
//! activity outright, and its freedom takes that activity's place among the unknowns. Species are
//! products of activities, so that a step costs no exponential but those of the activity
//! coefficients.

use underlet_tables::parameters;

use super::conditions::{Condition, EquilibriumError, FREEDOMS, Freedom};
use super::constants::Constants;
use super::linear::{System, solve};
use super::saturation::Solids;
use super::species::{BALANCES, CARBON_DIOXIDE, CARBONATE, CARRIERS, COMMON, HYDROGEN, STRENGTH};
use super::state::Equilibrium;
use crate::component::Component;
use crate::liquor::Liquor;
use crate::math::{self, LN_10};
use balances::{Balances, WITHOUT_PHOSPHATE, within_range};

mod balances;
mod carried;
mod start;
mod tally;

/// Largest relative error of a balance at the end.
const TOLERANCE: f64 = 2.0e-13;
/// An error that rounding can leave; accepted where no step improves it further.
const ROUNDING: f64 = 1.0e-11;
/// Most steps: four to eight are usual.
const STEPS: u32 = 60;
/// Longest step in a logarithm: farther away the linear system says little.
const LONGEST_STEP: f64 = 3.0;
/// A step may take away at most this share of what is there of a metal, so that some is always
/// left.
const LARGEST_SHARE: f64 = 0.9;
/// Largest factor of the ionic strength in one step.
const STRENGTH_FACTOR: f64 = 4.0;
/// A step in the unknowns.
struct Step {
    /// In the logarithms of the ligands, and in the ionic strength.
    ligands: [f64; BALANCES],
    extents: [f64; FREEDOMS],
}

/// The equilibrium of a liquor.
///
/// # Errors
/// [`EquilibriumError`] where the balances cannot be closed.
pub(super) fn equilibrium_of(
    constants: &Constants,
    liquor: &Liquor,
    freedoms: &[Freedom],
) -> Result<Equilibrium, EquilibriumError> {
    let mut balances = Balances::new(constants, liquor, freedoms);
    balances.start();
    if run(&mut balances).is_err() {
        balances.restart_from_brackets();
        run(&mut balances)?;
    }
    let mut equilibrium = equilibrium(&balances, liquor);
    for (slot, freedom) in equilibrium.freedoms.iter_mut().zip(freedoms) {
        *slot = Some(*freedom);
    }
    Ok(equilibrium)
}

/// Newton steps until every balance closes.
fn run(balances: &mut Balances<'_>) -> Result<(), EquilibriumError> {
    match balances.count {
        COMMON => run_in::<COMMON>(balances),
        WITHOUT_PHOSPHATE => run_in::<WITHOUT_PHOSPHATE>(balances),
        _ => run_in::<BALANCES>(balances),
    }
}

fn run_in<const N: usize>(balances: &mut Balances<'_>) -> Result<(), EquilibriumError> {
    let solids = balances
        .freedoms
        .iter()
        .any(|freedom| matches!(freedom.condition, Condition::Saturation(..)));
    let mut best = f64::INFINITY;
    let mut idle = 0;
    for _ in 0..STEPS {
        balances.fill::<N>();
        balances.set_lone_extents();
        let errors = balances.errors::<N>();
        let mut system = None;
        if solids {
            system = Some(balances.system::<N>(&errors));
        }
        if balances.residual < best / 2.0 {
            idle = 0;
        } else {
            idle += 1;
        }
        best = best.min(balances.residual);
        if balances.residual <= TOLERANCE || (balances.residual <= ROUNDING && idle >= 2) {
            return Ok(());
        }
        balances.iterations += 1;
        let step = match system {
            None => step_with_fixed::<N>(balances, errors),
            Some(system) => step_of::<N>(system),
        };
        match step {
            Some(step) => take(balances, &step),
            None => break,
        }
    }
    if balances.ionic_strength >= parameters::MAX_IONIC_STRENGTH.value
        || balances.dissolved > parameters::MAX_DISSOLVED.value
    {
        return Err(EquilibriumError::TooConcentrated);
    }
    Err(EquilibriumError::NotConverged {
        residual: balances.residual,
    })
}

/// The step where nothing but pH and partial pressure is given: their freedoms stand in for
/// hydrogen and carbonate.
fn step_with_fixed<const N: usize>(balances: &Balances<'_>, mut errors: [f64; N]) -> Option<Step> {
    let mut matrix = balances.jacobian::<N>();
    bend(balances, &mut errors);
    let mut place_of = [None; 2];
    for (place, freedom) in balances.freedoms.iter().enumerate() {
        match freedom.condition {
            Condition::Ph(_) => place_of[HYDROGEN] = Some(place),
            Condition::Log10Pco2(_) => place_of[CARBONATE] = Some(place),
            Condition::Saturation(..) => {}
        }
    }
    if let Some(place) = place_of[CARBONATE] {
        for (row, slope) in matrix
            .iter_mut()
            .zip(balances.slopes_to_freedom::<N>(place))
        {
            row[HYDROGEN] -= 2.0 * row[CARBONATE];
            row[CARBONATE] = slope;
        }
    }
    if let Some(place) = place_of[HYDROGEN] {
        for (row, slope) in matrix
            .iter_mut()
            .zip(balances.slopes_to_freedom::<N>(place))
        {
            row[HYDROGEN] = slope;
        }
    }
    if !solve(&mut matrix, &mut errors) {
        return None;
    }
    let mut step = Step {
        ligands: [0.0; BALANCES],
        extents: [0.0; FREEDOMS],
    };
    step.ligands[..N].copy_from_slice(&errors);
    for (ligand, place) in place_of.into_iter().enumerate() {
        if let Some(place) = place {
            step.extents[place] = step.ligands[ligand];
            step.ligands[ligand] = 0.0;
        }
    }
    if balances.gas.is_some() {
        step.ligands[CARBONATE] = -2.0 * step.ligands[HYDROGEN];
    }
    Some(step)
}

/// Turns differences of positive amounts into what a step in logarithms needs: `2 S (T - S) / (T +
/// S)` is nearly `S ln(T/S)`, and a sum is much closer to a power of its ligand's activity than to
/// a straight line in its logarithm.
fn bend<const N: usize>(balances: &Balances<'_>, errors: &mut [f64; N]) {
    for (balance, error) in errors.iter_mut().enumerate() {
        let sum = balances.sums[balance];
        let is_moved = balances
            .moved
            .iter()
            .take(balances.freedoms.len())
            .any(|moved| moved[balance] != 0.0);
        if balance != STRENGTH && sum > 0.0 && sum + *error > 0.0 && !is_moved {
            *error *= 2.0 * sum / (2.0 * sum + *error);
        }
    }
}

/// The step of a system with all freedoms among its unknowns.
fn step_of<const N: usize>(mut system: System) -> Option<Step> {
    if !system.eliminate() {
        return None;
    }
    let mut step = Step {
        ligands: [0.0; BALANCES],
        extents: [0.0; FREEDOMS],
    };
    step.ligands[..N].copy_from_slice(&system.step[..N]);
    step.extents.copy_from_slice(&system.step[N..N + FREEDOMS]);
    Some(step)
}

/// Takes a step, no longer than is safe.
fn take(balances: &mut Balances<'_>, step: &Step) {
    let mut longest: f64 = 0.0;
    for (balance, length) in step.ligands.iter().enumerate() {
        if balance != STRENGTH {
            longest = longest.max(length.abs());
        }
    }
    let mut share = if longest > LONGEST_STEP {
        LONGEST_STEP / longest
    } else {
        1.0
    };
    if !balances.freedoms.is_empty() {
        for one in &balances.carried[..balances.carried_count] {
            let moves = balances.freedoms.iter().zip(step.extents);
            let taken: f64 = moves
                .map(|(freedom, step)| -step * freedom.moves.ions.get(one.ion()))
                .sum();
            if taken * share > LARGEST_SHARE * one.present {
                share = LARGEST_SHARE * one.present / taken;
            }
        }
    }
    for (balance, length) in step.ligands.iter().enumerate() {
        if balance != STRENGTH && *length != 0.0 {
            balances.activity[balance] *= math::exp_of_step(share * length);
        }
    }
    let strength = balances.ionic_strength + share * step.ligands[STRENGTH];
    let [least, most] = [
        balances.ionic_strength / STRENGTH_FACTOR,
        balances.ionic_strength * STRENGTH_FACTOR,
    ];
    balances.set_strength(within_range(strength.clamp(least, most)));
    for (extent, length) in balances.extents.iter_mut().zip(step.extents) {
        *extent += share * length;
    }
    for (slope, length) in balances.dissolved_slopes.iter().zip(step.ligands) {
        balances.dissolved += share * slope * length;
    }
    for (brought, length) in balances.brought.iter().zip(step.extents) {
        balances.dissolved += share * brought * length;
    }
    balances.set_water();
    balances.set_open_carbonate();
}

/// The equilibrium at these activities.
fn equilibrium(balances: &Balances<'_>, liquor: &Liquor) -> Equilibrium {
    let mut now = *liquor;
    for (extent, freedom) in balances.extents.iter().zip(balances.freedoms) {
        now = now.dosed(&freedom.moves, *extent);
    }
    let mut molality = balances.molality;
    for one in &balances.carried[..balances.carried_count] {
        for amount in &mut molality[CARRIERS[one.carrier].species()] {
            *amount *= one.activity;
        }
    }
    let metal = |ion| {
        balances
            .carried_of(ion)
            .map_or(0.0, |one| balances.carried[one].activity)
    };
    let [hydrogen, carbonate] = [HYDROGEN, CARBONATE].map(|ligand| balances.activity[ligand]);
    let ln_gas = balances.constants.ln_k[CARBON_DIOXIDE]
        + math::ln(carbonate * hydrogen * hydrogen / balances.water);
    Equilibrium {
        liquor: now,
        ph: balances.ph.unwrap_or_else(|| -math::log10(hydrogen)),
        ionic_strength_mol_per_kg: balances.ionic_strength,
        water_activity: balances.water,
        residual: balances.residual,
        iterations: balances.iterations,
        log10_pco2: (ln_gas - balances.constants.ln_k_henry) / LN_10,
        extents: balances.extents,
        molality,
        solids: Solids {
            calcium: metal(Component::Calcium),
            magnesium: metal(Component::Magnesium),
            ligands: balances.activity,
            water: balances.water,
            ln_k: balances.constants.ln_k_mineral,
        },
        freedoms: [None; FREEDOMS],
    }
}
