//! A brew day settled: what is drawn and dosed, by the fit, and what it comes to.

use std::fmt;

use underlet_tables::parameters;

use super::aim::{Aimed, Both};
use super::dechlorination::Removal;
use super::uncertainty::Unsure;
use crate::aqueous::{Aqueous, EquilibriumError};
use crate::component::Component;
use crate::error::InputError;
use crate::fit::{Answer, DoseOption, FitError, Liquors, Question, SourceOption, Waters};
use crate::liquor::{Dose, Liquor, water_density_kg_per_l, water_kg};
use crate::mash::{Forecast, Mash};
use crate::math;
use crate::plan::Plan;
use crate::reagent::Preparation;
use crate::recipe::{BOILING_C, BrewDay, Draw, Vessel};

/// Why a day has no plan: it does not make sense, or its amounts differ by more than the arithmetic
/// can hold.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum PlanError {
    /// The day does not make sense: every problem that [`BrewDay::check`] found.
    Input(InputError),
    /// They cannot be put into one proven fit.
    Fit(FitError),
    /// A liquor of the day has no equilibrium.
    Equilibrium(EquilibriumError),
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PlanError::Input(error) => write!(f, "{error}"),
            PlanError::Fit(fit) => write!(f, "no proven plan: {fit}"),
            PlanError::Equilibrium(error) => write!(f, "no equilibrium: {error}"),
        }
    }
}

impl std::error::Error for PlanError {}

/// Everything about a day that the parts of its plan are written from.
pub(crate) struct Settled<'a> {
    pub day: &'a BrewDay,
    pub question: Question<'a>,
    pub answer: Answer,
    pub liquors: Liquors,
    pub unsure: Unsure,
    pub forecast: Forecast,
    /// Chance of landing in its range, where that is more than a single value.
    pub chances: Both<Option<f64>>,
    /// How each pH was aimed, where the day asks for a confidence.
    pub aimed: Both<Option<Aimed>>,
    /// How chlorine is taken out of the sources, where there is some.
    pub removal: Option<Removal<'a>>,
    pub ph_untreated: f64,
    pub waters: WaterPh,
}

impl BrewDay {
    /// The plan of the day.
    ///
    /// # Errors
    /// [`PlanError`] where the day does not make sense, or its amounts differ by more than double
    /// precision can hold in one fit.
    ///
    /// ```
    /// use underlet::{BrewDay, EXAMPLES};
    /// let day = BrewDay::from_json(EXAMPLES[0].1).unwrap();
    /// let plan = day.plan().unwrap();
    /// assert!(plan.meets_every_range);
    /// assert_eq!(plan.additions[0].vessel_label, "hot-liquor tank");
    /// ```
    pub fn plan(&self) -> Result<Plan, PlanError> {
        self.check().map_err(PlanError::Input)?;
        Ok(self.settled()?.plan())
    }

    /// All that the plan is written from. Acid for the kettle is settled after the fit; where it brings sulfate or chloride, the fit is
    /// asked once more with them there already. Where no plan keeps its hard limits then, the first stands.
    pub(crate) fn settled(&self) -> Result<Settled<'_>, PlanError> {
        let settled = self.settled_with(Dose::default())?;
        let Some(acid) = settled.in_kettle().acid else {
            return Ok(settled);
        };
        let per_kg = acid.dose().times(1.0 / settled.question.waters.kettle_kg);
        if per_kg.ions.get(Component::Sulfate) + per_kg.ions.get(Component::Chloride) == 0.0 {
            return Ok(settled);
        }
        match self.settled_with(per_kg) {
            Err(PlanError::Fit(FitError::Infeasible { .. })) => Ok(settled),
            again => again,
        }
    }

    fn settled_with(&self, in_kettle: Dose) -> Result<Settled<'_>, PlanError> {
        let mut removal = self.removal();
        let mut question = self.question_by(removal.as_ref());
        question.in_kettle = in_kettle;
        let (mut answer, mut aimed) = self.answer(&mut question).map_err(PlanError::Fit)?;
        if let Some(by) = removal.take() {
            if by.suffices(&question.waters, &answer.shares) {
                by.settle(&mut question, &answer.shares);
                removal = Some(by);
            } else {
                question = self.question_by(None);
                question.in_kettle = in_kettle;
                (answer, aimed) = self.answer(&mut question).map_err(PlanError::Fit)?;
            }
        }
        let liquors = question.liquors(&answer.shares, &answer.doses);
        let mash = self.mash_of(&question, liquors.mash);
        let unsure = Unsure::of(self, &question, &answer.shares, &answer.doses, &mash);
        let forecast = mash.forecast(&unsure.doses());
        let chances = self.chances(&question, [&answer.shares, &answer.doses], &unsure);
        let source = self.first_source();
        let ph_untreated = self.mash_of(&question, source).ph();
        let waters = WaterPh::of(&source, &liquors.sparge).map_err(PlanError::Equilibrium)?;
        Ok(Settled {
            day: self,
            question,
            answer,
            liquors,
            unsure,
            forecast,
            chances,
            aimed,
            removal,
            ph_untreated,
            waters,
        })
    }

    pub(crate) fn waters(&self) -> Waters {
        let mass = |draw: &Draw| water_kg(draw.volume_l, draw.temperature_c);
        let mash_kg = mass(&self.mash);
        let sparge_kg = self.sparge.as_ref().map_or(0.0, mass);
        Waters {
            tank_kg: self.tank.as_ref().map(mass),
            mash_kg,
            sparge_kg,
            kettle_kg: math::at_least(mash_kg + sparge_kg - self.kept_kg(), 0.0),
            brews: self.brews as f64,
        }
    }

    /// Temperature of what stands in a vessel when it is dosed.
    fn temperature_c(&self, vessel: Vessel) -> f64 {
        match (vessel, &self.tank, &self.sparge) {
            (Vessel::HotLiquorTank, Some(tank), _) => tank.temperature_c,
            (Vessel::SpargeLiquor, _, Some(sparge)) => sparge.temperature_c,
            (Vessel::Kettle, ..) => BOILING_C,
            _ => self.mash.temperature_c,
        }
    }

    /// The day as a question to the fit.
    pub fn question(&self) -> Question<'_> {
        self.question_by(self.removal().as_ref())
    }

    /// The same with chlorine taken out so, or left in.
    fn question_by(&self, removal: Option<&Removal<'_>>) -> Question<'_> {
        let waters = self.waters();
        let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
        let mut doses = Vec::new();
        for vessel in Vessel::ALL {
            for (stock, shelved) in
                self.shelf.iter().enumerate().filter(|(_, shelved)| {
                    shelved.is_for_fit(vessel) && waters.dosed_kg(vessel) > 0.0
                })
            {
                doses.push(DoseOption {
                    preparation: shelved.preparation,
                    vessel,
                    step: shelved.step,
                    min_dose: shelved.min_dose,
                    most: self.most(&waters, &shelved.preparation, vessel),
                    stock,
                });
            }
        }
        Question {
            sources: self
                .sources
                .iter()
                .enumerate()
                .map(|(place, source)| SourceOption {
                    liquor: self.without_chlorine(place, removal),
                    max_amount_kg: source.max_amount_l.map(|litres| litres * cold),
                })
                .collect(),
            draw_step_kg: draw_step_l(waters.blended_kg() / cold) * cold,
            waters,
            grist: &self.grist,
            doses,
            stocks: self.shelf.iter().map(|shelved| shelved.stock).collect(),
            targets: self.targets.clone(),
            max_salts: self.max_salts,
            in_kettle: Dose::default(),
        }
    }

    /// Most of a reagent that dissolves where it goes, g or mL. What goes into the tun dissolves in the mash or not at
    /// all: its effective share tells, and up to what amount that share holds.
    pub(crate) fn most(
        &self,
        waters: &Waters,
        preparation: &Preparation,
        vessel: Vessel,
    ) -> Option<f64> {
        let per_kg = if vessel == Vessel::MashTun {
            preparation.most_in_mash_per_kg()
        } else {
            preparation.solubility_units_per_kg(self.temperature_c(vessel))
        };
        per_kg.map(|units| units * waters.dosed_kg(vessel))
    }

    /// The water drawn where nothing speaks against it, as it is.
    pub(crate) fn first_source(&self) -> Liquor {
        self.sources
            .first()
            .map(|source| source.liquor)
            .unwrap_or_default()
    }

    pub(crate) fn mash_of(&self, question: &Question<'_>, liquor: Liquor) -> Mash<'_> {
        Mash {
            grist: &self.grist,
            water_kg: question.waters.mash_kg,
            liquor,
        }
    }
}

/// A water meter or a sight glass is read to about a hundredth of what is drawn: 1, 5, 10, 50 … litres.
pub(crate) fn draw_step_l(total_l: f64) -> f64 {
    let mut step = 1.0;
    for factor in [5.0, 2.0, 5.0, 2.0, 5.0, 2.0, 5.0] {
        if step * factor * 100.0 > total_l {
            break;
        }
        step *= factor;
    }
    step
}

/// pH of waters, samples cooled to where pH is read.
pub(crate) struct WaterPh {
    /// The first source.
    pub source: f64,
    /// The sparge liquor before carbon dioxide leaves, and once it has stood open to the air.
    pub sparge_closed: f64,
    pub sparge_open: f64,
}

impl WaterPh {
    pub(crate) fn of(source: &Liquor, sparge: &Liquor) -> Result<WaterPh, EquilibriumError> {
        let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
        let air = math::log10(parameters::AIR_CO2_PRESSURE.value);
        let closed = aqueous.closed(sparge)?;
        // Standing open drives carbon dioxide out; liquor that holds less than air gives stays as it is.
        let open = if closed.log10_pco2 > air {
            aqueous.open(sparge, air)?.ph
        } else {
            closed.ph
        };
        Ok(WaterPh {
            source: aqueous.closed(source)?.ph,
            sparge_closed: closed.ph,
            sparge_open: open,
        })
    }
}
