//! The evaluation of a solved day: pH of its liquors, chances, targets, and the readings that the
//! meters should show.

use underlet_tables::parameters;

use super::dissolved::{self, DissolvedLine};
use super::document::TargetLine;
use super::doubt::Doubts;
use super::targets::{Reached, Untreated, is_missed, meet_what_is_read, targets};
use crate::aqueous::{Aqueous, EquilibriumError};
use crate::fit::{MashAndSparge, Solution, chances};
use crate::liquor::Liquor;
use crate::math;
use crate::readings::{self, Reading, Scenario, StepEndPoint};
use crate::recipe::{Meter, Place};

/// A solution followed through the brew.
pub(crate) struct Evaluation {
    pub untreated: Untreated,
    pub sparge_ph: SpargePh,
    /// Chance that each pH lands in its range, where that is more than a single value.
    pub chances: MashAndSparge<Option<f64>>,
    /// Each target as planned.
    pub targets: Vec<TargetLine>,
    /// Everything that is dissolved.
    pub dissolved: Vec<DissolvedLine>,
    /// Which of its figures cannot be relied on.
    pub doubts: Doubts,
    /// What the meters should show.
    pub readings: Vec<Reading>,
    /// The end points that acids are poured to.
    pub end_points: Vec<StepEndPoint>,
    /// Why the meters' readings in liquor are not predicted, where that is so.
    pub no_readings: Option<EquilibriumError>,
}

/// pH of the sparge liquor, sample cooled to where pH is read.
pub(crate) struct SpargePh {
    /// Before carbon dioxide leaves.
    pub closed: f64,
    /// In equilibrium with air.
    pub open: f64,
}

impl SpargePh {
    fn of(aqueous: &Aqueous, sparge: &Liquor) -> Result<SpargePh, EquilibriumError> {
        let air = math::log10(parameters::AIR_CO2_PRESSURE.value);
        let closed = aqueous.closed(sparge)?;
        // Air drives carbon dioxide out; liquor with less than it would take up from air is left as
        // it is.
        let open = if closed.log10_pco2 > air {
            aqueous.open(sparge, air)?.ph
        } else {
            closed.ph
        };
        Ok(SpargePh {
            closed: closed.ph,
            open,
        })
    }
}

impl Evaluation {
    /// Follows a solution through the brew.
    ///
    /// # Errors
    /// [`EquilibriumError`] where a liquor has no equilibrium.
    pub fn of(solution: &Solution<'_>) -> Result<Evaluation, EquilibriumError> {
        let source = solution.day.first_source();
        let fitted = &solution.fitted;
        let planned = Scenario::planned(solution);
        let (mut foretold, no_readings) = match readings::foretold(solution, &planned) {
            Ok((_, foretold)) => (foretold, None),
            Err(error) => (readings::of_mash_alone(solution), Some(error)),
        };
        let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
        let sparge_ph = SpargePh::of(&aqueous, &solution.liquors.sparge)?;
        let untreated = Untreated {
            mash_ph: solution.problem.mash(source).ph(),
            source_ph: aqueous.closed(&source)?.ph,
        };
        let reached = Reached {
            overall: solution.liquors.overall,
            sparge: solution.liquors.sparge,
            mash_ph: solution.forecast.ph,
            sparge_ph: Some(sparge_ph.closed),
            kettle: &solution.kettle,
        };
        let doubts = Doubts::of(solution);
        let mut targets = targets(solution, &untreated, &reached);
        if targets.iter().any(is_missed) {
            let (shares, doses) = (
                &fitted.shares_before_rounding,
                &fitted.doses_before_rounding,
            );
            let before = targets_at(solution, &untreated, shares, doses)?;
            meet_what_is_read(&mut targets, &before);
        }
        doubts.mark(solution, &mut targets);
        let mut chances = chances(
            solution.day,
            &solution.problem,
            [&fitted.shares, &fitted.doses],
            &solution.uncertainty,
        );
        // Of what is not known no chance is stated, and no reading is predicted.
        chances.mash = chances.mash.filter(|_| doubts.mash_ph.is_none());
        chances.sparge = chances.sparge.filter(|_| !doubts.sparge);
        let is_known = |place: Place| match place {
            Place::MashFirst | Place::Mash => doubts.mash_ph.is_none(),
            Place::SpargeLiquor => !doubts.sparge,
            Place::Kettle => !doubts.kettle_ph(solution),
            _ => true,
        };
        foretold
            .readings
            .retain(|one| one.meter != Meter::Ph || is_known(one.place));
        Ok(Evaluation {
            untreated,
            sparge_ph,
            chances,
            targets,
            dissolved: dissolved::lines(solution),
            doubts,
            readings: foretold.readings,
            end_points: foretold.end_points,
            no_readings,
        })
    }

    /// The targets with other shares and doses.
    ///
    /// # Errors
    /// [`EquilibriumError`] where the sparge liquor has a target of pH and no equilibrium.
    pub fn targets_at(
        &self,
        solution: &Solution<'_>,
        shares: &[f64],
        doses: &[f64],
    ) -> Result<Vec<TargetLine>, EquilibriumError> {
        targets_at(solution, &self.untreated, shares, doses)
    }

    /// The chances with other shares and doses, as uncertain as those of the plan.
    pub fn chances_at(
        solution: &Solution<'_>,
        shares: &[f64],
        doses: &[f64],
    ) -> MashAndSparge<Option<f64>> {
        chances(
            solution.day,
            &solution.problem,
            [shares, doses],
            &solution.uncertainty,
        )
    }
}

fn targets_at(
    solution: &Solution<'_>,
    untreated: &Untreated,
    shares: &[f64],
    doses: &[f64],
) -> Result<Vec<TargetLine>, EquilibriumError> {
    let liquors = solution.problem.liquors(shares, doses);
    let mash_ph = solution.problem.mash(liquors.mash).ph();
    let sparge_ph = if solution.targets.sparge_ph.is_some() {
        let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
        Some(aqueous.closed(&liquors.sparge)?.ph)
    } else {
        None
    };
    let model = solution.kettle_model();
    let kettle = model.dosed(&liquors, [shares, doses], mash_ph);
    let reached = Reached {
        overall: liquors.overall,
        sparge: liquors.sparge,
        mash_ph,
        sparge_ph,
        kettle: &kettle,
    };
    Ok(targets(solution, untreated, &reached))
}
