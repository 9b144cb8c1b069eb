//! From a brew day to its plan.

use std::fmt;

use underlet_tables::parameters;

use super::confidence::Aimed;
use super::day::Boil;
use super::dechlorination::{Dose, Removal};
use super::plan::{
    Addition, BlendPart, Cause, CurvePoint, FitReport, KettleForecast, KettleIon, MashForecast,
    Plan, Proof, SpargeForecast, State, TargetLine, VesselLiquor,
};
use super::unsure::Unsure;
use super::{BrewDay, Draw, alternatives, cautions, readings, reasons, words};
use crate::aqueous::{Aqueous, EquilibriumError, titrated_alkalinity_eq_per_kg};
use crate::fit::{
    Answer, DoseOption, FitError, Liquors, Question, SourceOption, Vessel, Wanted, Waters,
};
use crate::ion::Ion;
use crate::liquor::{Liquor, mg_per_l_caco3, water_density_kg_per_l, water_kg};
use crate::mash::{DoseUncertainty, Forecast, Mash, Wort, ph_at_temperature};
use crate::math;
use crate::quantity;
use crate::reagent::Preparation;

/// Why a checked day has no plan: its amounts differ by more than the arithmetic can hold.
#[derive(Clone, Debug, PartialEq)]
pub enum PlanError {
    /// They cannot be put into one proven fit.
    Fit(FitError),
    /// A liquor of the day has no equilibrium.
    Equilibrium(EquilibriumError),
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PlanError::Fit(fit) => write!(f, "no proven plan: {fit}"),
            PlanError::Equilibrium(error) => write!(f, "no equilibrium: {error}"),
        }
    }
}

impl std::error::Error for PlanError {}

/// Ions of the liquor that are followed into the kettle.
const KETTLE_IONS: [Ion; 5] = [
    Ion::Calcium,
    Ion::Magnesium,
    Ion::Sodium,
    Ion::Chloride,
    Ion::Sulfate,
];
/// Standard normal deviates that hold 80 % and 95 % between them.
const TWO_SIDED_80: f64 = 1.281_551_565_544_600_4;
pub(super) const TWO_SIDED_95: f64 = 1.959_963_984_540_054;
/// How far a figure may lie outside its range and still be met: what a display rounds away.
const DISPLAY_SHARE: f64 = 0.004;
const DISPLAY_PH: f64 = 0.005;
/// Step of pH that acid for the kettle is told by.
const TENTH_PH: f64 = 0.1;
/// The curve of the mash: points on either side of the plan, and how far apart in mEq per kg of grist.
const CURVE_POINTS: i32 = 10;
const CURVE_STEP_MEQ_PER_KG: f64 = 2.0;

/// Everything about a day that the parts of its plan are written from.
pub(super) struct Settled<'a> {
    pub day: &'a BrewDay,
    pub question: Question<'a>,
    pub answer: Answer,
    pub liquors: Liquors,
    unsure: Unsure,
    pub forecast: Forecast,
    /// Chance that the mash lands in its range, where that is more than a single value.
    pub chance: Option<f64>,
    /// How the mash pH was aimed, where the day asks for a confidence.
    pub aimed: Option<Aimed>,
    /// How chlorine is taken out of the sources, where there is some.
    pub removal: Option<Removal<'a>>,
    pub ph_untreated: f64,
    pub waters: WaterPh,
}

impl BrewDay {
    /// The plan of the day.
    ///
    /// # Errors
    /// [`PlanError`] where the amounts differ by more than double precision can hold in one fit.
    ///
    /// ```
    /// use underlet::brewday::{BrewDay, EXAMPLES};
    /// let day = BrewDay::from_json(EXAMPLES[0].1).unwrap();
    /// let plan = day.plan().unwrap();
    /// assert!(plan.meets_every_range);
    /// assert_eq!(plan.additions[0].vessel_label, "hot-liquor tank");
    /// ```
    pub fn plan(&self) -> Result<Plan, PlanError> {
        Ok(self.settled()?.plan())
    }

    /// All that the plan is written from.
    pub(super) fn settled(&self) -> Result<Settled<'_>, PlanError> {
        let mut removal = self.removal();
        let mut question = self.question_by(removal.as_ref());
        let (mut answer, mut aimed) = self.answer(&mut question).map_err(PlanError::Fit)?;
        if let Some(by) = removal.take() {
            if by.suffices(&question.waters, &answer.shares) {
                by.settle(&mut question, &answer.shares);
                removal = Some(by);
            } else {
                question = self.question_by(None);
                (answer, aimed) = self.answer(&mut question).map_err(PlanError::Fit)?;
            }
        }
        let liquors = question.liquors(&answer.shares, &answer.doses);
        let mash = self.mash_of(&question, liquors.mash);
        let unsure = Unsure::of(self, &question, &answer.shares, &answer.doses, &mash);
        let forecast = mash.forecast(&unsure.doses());
        let chance = self.chance_of(&mash, &unsure.doses());
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
            chance,
            aimed,
            removal,
            ph_untreated,
            waters,
        })
    }

    /// Chance that a mash lands in the range asked for. No pH is met to the last digit: a single wanted value has no chance worth
    /// telling.
    fn chance_of(&self, mash: &Mash<'_>, unsure: &DoseUncertainty<'_>) -> Option<f64> {
        let range = self
            .targets
            .mash_ph
            .filter(|range| range.low != range.high)?;
        Some(mash.probability_between(unsure, range.low, range.high))
    }

    pub(super) fn waters(&self) -> Waters {
        let mass = |draw: &Draw| water_kg(draw.volume_l, draw.temperature_c);
        Waters {
            tank_kg: self.tank.as_ref().map(mass),
            mash_kg: mass(&self.mash),
            sparge_kg: self.sparge.as_ref().map_or(0.0, mass),
        }
    }

    /// Temperature of what stands in a vessel when it is dosed.
    fn temperature_c(&self, vessel: Vessel) -> f64 {
        match (vessel, &self.tank, &self.sparge) {
            (Vessel::HotLiquorTank, Some(tank), _) => tank.temperature_c,
            (Vessel::SpargeLiquor, _, Some(sparge)) => sparge.temperature_c,
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
                    shelved.at.contains(&vessel) && !shelved.is_dechlorinator()
                })
            {
                doses.push(DoseOption {
                    preparation: shelved.preparation,
                    vessel,
                    step: shelved.step,
                    smallest: shelved.smallest,
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
                    at_most_kg: source.at_most_l.map(|litres| litres * cold),
                })
                .collect(),
            draw_step_kg: draw_step_l(waters.blended_kg() / cold) * cold,
            waters,
            grist: &self.grist,
            doses,
            stocks: self.shelf.iter().map(|shelved| shelved.stock).collect(),
            targets: self.targets.clone(),
            most_salts: self.most_salts,
        }
    }

    /// Most of a reagent that dissolves where it goes, g or mL. What goes into the tun dissolves in the mash or not at
    /// all: its effective share tells, and up to what amount that share holds.
    pub(super) fn most(
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
    fn first_source(&self) -> Liquor {
        self.sources
            .first()
            .map(|source| source.liquor)
            .unwrap_or_default()
    }

    pub(super) fn mash_of(&self, question: &Question<'_>, liquor: Liquor) -> Mash<'_> {
        Mash {
            grist: &self.grist,
            water_kg: question.waters.mash_kg,
            liquor,
        }
    }
}

/// A water meter or a sight glass is read to about a hundredth of what is drawn: 1, 5, 10, 50 … litres.
pub(super) fn draw_step_l(total_l: f64) -> f64 {
    let mut step = 1.0;
    for factor in [5.0, 2.0, 5.0, 2.0, 5.0, 2.0, 5.0] {
        if step * factor * 100.0 > total_l {
            break;
        }
        step *= factor;
    }
    step
}

/// Where a value stands against a range.
fn state(value: f64, low: Option<f64>, high: Option<f64>, slack: f64) -> State {
    match (low, high) {
        (None, None) => State::Free,
        (Some(low), _) if value < low - slack => State::Below,
        (_, Some(high)) if value > high + slack => State::Above,
        _ => State::Met,
    }
}

/// Whether every range is met, and that in words; `asked` says whether there is any.
pub(super) fn verdict(targets: &[TargetLine], asked: bool) -> (bool, String) {
    let missed: Vec<&str> = targets
        .iter()
        .filter(|line| matches!(line.state, State::Below | State::Above))
        .map(|line| line.label.as_str())
        .collect();
    let words = if !asked {
        "No range was asked for".to_owned()
    } else if missed.is_empty() {
        "Every range is met".to_owned()
    } else {
        format!("Not met: {}", missed.join(", "))
    };
    (missed.is_empty(), words)
}

impl Settled<'_> {
    /// Whether the forecast lies in a wanted range of mash pH, of more than one value.
    pub(super) fn is_mash_ph_met(&self, range: &Wanted) -> bool {
        range.low != range.high
            && state(self.forecast.ph, range.low, range.high, DISPLAY_PH) == State::Met
    }

    fn plan(&self) -> Plan {
        let targets = self.targets();
        let (meets_every_range, verdict) = verdict(&targets, !targets.is_empty());
        let mash = self.mash();
        let chance = self.chance.zip(mash.confidence_asked_percent);
        let chance = chance.map_or_else(String::new, |(chance, asked)| {
            format!(
                " Its chance to land in its range is {:.0} %, {asked} % asked.",
                chance * 100.0
            )
        });
        Plan {
            underlet: crate::FORMAT_VERSION,
            document: "plan",
            name: self.day.name.clone(),
            brewhouse: self.day.brewhouse.clone(),
            summary: format!(
                "{verdict}. The mash should settle at pH {}.{chance}",
                mash.display
            ),
            meets_every_range,
            vessels: self.vessels(),
            blend: self.blend(),
            additions: self.additions(),
            sparge: self.sparge(),
            kettle: self.kettle(),
            readings: readings::readings(self),
            reasons: reasons::reasons(self, &targets),
            limits: alternatives::limits(self),
            alternatives: alternatives::alternatives(self, &targets),
            cautions: cautions::cautions(self),
            assumptions: cautions::assumptions(self.day),
            fit: self.fit(),
            targets,
            mash,
        }
    }

    fn vessels(&self) -> Vec<VesselLiquor> {
        let waters = &self.question.waters;
        let draws = [
            (
                Vessel::HotLiquorTank,
                self.day.tank.as_ref(),
                waters.tank_kg.unwrap_or(0.0),
            ),
            (Vessel::MashTun, Some(&self.day.mash), waters.mash_kg),
            (
                Vessel::SpargeLiquor,
                self.day.sparge.as_ref(),
                waters.sparge_kg,
            ),
        ];
        draws
            .into_iter()
            .filter_map(|(vessel, draw, water_kg)| {
                let draw = draw?;
                Some(VesselLiquor {
                    vessel,
                    label: vessel.label().to_owned(),
                    volume_l: draw.volume_l,
                    temperature_c: draw.temperature_c,
                    water_kg,
                    display: format!(
                        "{} at {} ({water_kg:.0} kg of water)",
                        words::volume(draw.volume_l),
                        words::temperature(draw.temperature_c)
                    ),
                })
            })
            .collect()
    }

    pub(super) fn blend(&self) -> Vec<BlendPart> {
        let water_kg = self.question.waters.blended_kg();
        let sources = self.day.sources.iter().zip(&self.answer.shares);
        sources
            .map(|(source, &share)| blend_part(&source.name, share, water_kg))
            .collect()
    }

    /// Places of what is given among the doses of the question, in the order of work: salts and bases before acids in
    /// each vessel, since they dissolve while there is time and the acid is trimmed last.
    pub(super) fn order_of_work(&self) -> Vec<usize> {
        let mut order = Vec::new();
        for vessel in Vessel::ALL {
            for acids in [false, true] {
                let doses = self.question.doses.iter().zip(&self.answer.doses);
                order.extend(
                    doses
                        .enumerate()
                        .filter(|(_, (option, amount))| {
                            option.vessel == vessel
                                && option.preparation.is_acid() == acids
                                && **amount > 0.0
                        })
                        .map(|(index, _)| index),
                );
            }
        }
        order
    }

    pub(super) fn additions(&self) -> Vec<Addition> {
        let mut additions = self.dechlorination();
        for index in self.order_of_work() {
            let (Some(option), Some(&amount)) =
                (self.question.doses.get(index), self.answer.doses.get(index))
            else {
                continue;
            };
            let (vessel, unit) = (option.vessel, option.preparation.unit());
            additions.push(Addition {
                step: u32::try_from(additions.len())
                    .unwrap_or(u32::MAX)
                    .saturating_add(1),
                vessel,
                vessel_label: vessel.label().to_owned(),
                reagent: option.preparation.reagent.key.to_owned(),
                name: option.preparation.label(),
                amount: words::tidy(amount),
                unit,
                display: words::amount(amount, unit),
                before_rounding: self
                    .answer
                    .doses_before_rounding
                    .get(index)
                    .copied()
                    .unwrap_or(amount),
                when: when(vessel, option.preparation.is_acid()).to_owned(),
                how: option.preparation.reagent.handling.to_owned(),
                why: self.effect(index, option),
            });
        }
        additions
    }

    /// How much takes chlorine out, before anything else goes in.
    pub(super) fn dechlorination_doses(&self) -> Vec<Dose> {
        self.removal.as_ref().map_or_else(Vec::new, |removal| {
            removal.doses(&self.question.waters, &self.answer.shares)
        })
    }

    fn dechlorination(&self) -> Vec<Addition> {
        let Some(removal) = &self.removal else {
            return Vec::new();
        };
        let preparation = &removal.shelved.preparation;
        let doses = self.dechlorination_doses();
        let addition = |(place, dose): (u32, Dose)| Addition {
            step: place,
            vessel: dose.vessel,
            vessel_label: dose.vessel.label().to_owned(),
            reagent: preparation.reagent.key.to_owned(),
            name: preparation.label(),
            amount: dose.amount,
            unit: preparation.unit(),
            display: words::amount(dose.amount, preparation.unit()),
            before_rounding: dose.before_rounding,
            when: "first of all, with the liquor moving".to_owned(),
            how: preparation.reagent.handling.to_owned(),
            why: removal.why(&self.answer.shares),
        };
        (1..).zip(doses).map(addition).collect()
    }

    /// What an addition does, seen by leaving it out.
    fn effect(&self, index: usize, option: &DoseOption) -> String {
        let mut without = self.answer.doses.clone();
        if let Some(dose) = without.get_mut(index) {
            *dose = 0.0;
        }
        let other = self.question.liquors(&self.answer.shares, &without);
        let change = self.liquors.overall.ions - other.overall.ions;
        let base = self.liquors.overall.alkalinity_eq_per_kg - other.overall.alkalinity_eq_per_kg;
        let mut effects = words::effects(change.iter(), base);
        if option.vessel != Vessel::SpargeLiquor {
            let ph = self.day.mash_of(&self.question, other.mash).ph();
            let shift = self.forecast.ph - ph;
            if shift.abs() >= DISPLAY_PH {
                effects.push(format!("mash pH {}", words::change(shift, 2)));
            }
        }
        if option.preparation.is_acid() && option.vessel != Vessel::MashTun {
            let titrated = |liquor: &Liquor| mg_per_l_caco3(titrated_alkalinity_eq_per_kg(liquor));
            let fall = titrated(&self.liquors.sparge) - titrated(&other.sparge);
            if self.question.waters.sparge_kg > 0.0 && fall.abs() >= 0.5 {
                effects.push(format!(
                    "sparge alkalinity {} mg/L as CaCO3",
                    words::change(fall, 0)
                ));
            }
        }
        effects.join(", ")
    }

    pub(super) fn targets(&self) -> Vec<TargetLine> {
        self.lines(&self.liquors, self.forecast.ph, self.waters.sparge_closed)
    }

    /// What other shares and doses would reach.
    pub(super) fn targets_at(&self, shares: &[f64], doses: &[f64]) -> Vec<TargetLine> {
        let liquors = self.question.liquors(shares, doses);
        let mash_ph = self.day.mash_of(&self.question, liquors.mash).ph();
        let mut sparge_ph = self.waters.sparge_closed;
        if self.day.targets.sparge_ph.is_some() {
            let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
            let closed = aqueous.closed(&liquors.sparge);
            sparge_ph = closed.map_or(sparge_ph, |water| water.ph);
        }
        self.lines(&liquors, mash_ph, sparge_ph)
    }

    /// The chance of landing in the range with other shares and doses, as unsure as those of the plan.
    pub(super) fn chance_at(&self, shares: &[f64], doses: &[f64]) -> Option<f64> {
        let liquor = self.question.liquors(shares, doses).mash;
        let mash = self.day.mash_of(&self.question, liquor);
        self.day.chance_of(&mash, &self.unsure.doses())
    }

    fn lines(&self, liquors: &Liquors, mash_ph: f64, sparge_ph: f64) -> Vec<TargetLine> {
        let source = self.day.first_source();
        let overall = &liquors.overall;
        let wanted = &self.day.targets;
        let mut lines = Vec::new();
        for (ion, range) in &wanted.ions {
            let mg = |mol_per_kg: f64| ion.mg_per_l(mol_per_kg);
            let figures = (mg(source.ions.get(*ion)), mg(overall.ions.get(*ion)));
            lines.push(line((ion.key(), ion.key(), "mg/L"), figures, range, &mg));
        }
        if let Some(range) = &wanted.sulfate_to_chloride {
            let figures = (sulfate_to_chloride(&source), sulfate_to_chloride(overall));
            lines.push(line(
                ("sulfate_to_chloride", "sulfate to chloride", ""),
                figures,
                range,
                &|ratio| ratio,
            ));
        }
        if let Some(range) = &wanted.mash_ph {
            let figures = (self.ph_untreated, mash_ph);
            lines.push(line(("mash_ph", "mash pH", ""), figures, range, &|ph| ph));
        }
        if let (Some(range), Some(_)) = (&wanted.sparge_alkalinity, &self.day.sparge) {
            let titrated = |liquor: &Liquor| mg_per_l_caco3(titrated_alkalinity_eq_per_kg(liquor));
            let figures = (titrated(&source), titrated(&liquors.sparge));
            let names = ("sparge_alkalinity", "sparge alkalinity", "mg/L as CaCO3");
            lines.push(line(names, figures, range, &mg_per_l_caco3));
        }
        if let (Some(range), Some(_)) = (&wanted.sparge_ph, &self.day.sparge) {
            let figures = (self.waters.source, sparge_ph);
            lines.push(line(
                ("sparge_ph", "sparge pH", ""),
                figures,
                range,
                &|ph| ph,
            ));
        }
        lines
    }

    pub(super) fn mash(&self) -> MashForecast {
        let forecast = &self.forecast;
        let grist_kg: f64 = self.day.grist.iter().map(|malt| malt.mass_kg).sum();
        let variance = forecast.sd * forecast.sd;
        MashForecast {
            ph: forecast.ph,
            sd: forecast.sd,
            interval_80: forecast.interval(TWO_SIDED_80),
            interval_95: forecast.interval(TWO_SIDED_95),
            sample_temperature_c: parameters::SAMPLE_TEMPERATURE.value,
            ph_at_rest_temperature: ph_at_temperature(forecast.ph, self.day.rest_temperature_c),
            rest_temperature_c: self.day.rest_temperature_c,
            probability_in_range: self.chance,
            confidence_asked_percent: self.aimed.as_ref().map(Aimed::percent),
            ph_untreated: self.ph_untreated,
            thickness_l_per_kg: self.day.mash.volume_l / grist_kg,
            causes: forecast
                .causes
                .iter()
                .map(|cause| Cause {
                    cause: cause.key.to_owned(),
                    label: cause.label.to_owned(),
                    sd: cause.sd,
                    share: cause.sd * cause.sd / variance,
                })
                .collect(),
            curve: self.curve(grist_kg),
            display: format!(
                "{} ± {} (95 %)",
                words::ph(forecast.ph),
                words::ph(TWO_SIDED_95 * forecast.sd)
            ),
        }
    }

    fn curve(&self, grist_kg: f64) -> Vec<CurvePoint> {
        let mash = self.day.mash_of(&self.question, self.liquors.mash);
        let per_kg = |eq: f64| eq / grist_kg * 1000.0;
        let acid_eq = (-CURVE_POINTS..=CURVE_POINTS)
            .map(|step| f64::from(step) * CURVE_STEP_MEQ_PER_KG / 1000.0 * grist_kg);
        mash.titration_curve(&self.unsure.doses(), acid_eq)
            .into_iter()
            .map(|point| CurvePoint {
                acid_meq_per_kg: per_kg(point.acid_eq),
                ph: point.ph,
                sd: point.sd,
            })
            .collect()
    }

    fn sparge(&self) -> Option<SpargeForecast> {
        self.day.sparge.as_ref()?;
        let alkalinity = mg_per_l_caco3(titrated_alkalinity_eq_per_kg(&self.liquors.sparge));
        let WaterPh {
            sparge_closed: ph_closed,
            sparge_open: ph_open,
            ..
        } = self.waters;
        Some(SpargeForecast {
            alkalinity_mg_l_caco3: alkalinity,
            ph_closed,
            ph_open,
            display: format!(
                "alkalinity {} mg/L as CaCO3; pH {} when fresh, up to {} once it has stood open",
                words::figure(alkalinity, "mg/L", false),
                words::ph(ph_closed),
                words::ph(ph_open)
            ),
        })
    }

    fn kettle(&self) -> KettleForecast {
        let mash = self.day.mash_of(&self.question, self.liquors.mash);
        let wort = Wort::kettle_full(
            &mash,
            &self.forecast,
            self.question.waters.sparge_kg,
            &self.liquors.sparge,
            self.unsure.doses().alkalinity_eq_per_kg,
        );
        let [acid_eq, _] = wort.acid_needed(wort.ph - TENTH_PH);
        let Boil {
            hours,
            boiled_off_kg,
        } = self.day.boil(wort.water_kg);
        let [ph_boiled, _] = wort.after_boil(hours);
        let half_width = TWO_SIDED_95 * wort.sd;
        KettleForecast {
            ph: wort.ph,
            sd: wort.sd,
            interval_95: [wort.ph - half_width, wort.ph + half_width],
            water_kg: wort.water_kg,
            acid_for_a_tenth_meq: acid_eq * 1000.0,
            ph_boiled,
            boil_hours: hours,
            boiled_off_kg,
            ions: self.kettle_ions(&mash, wort.water_kg, boiled_off_kg),
            display: format!(
                "about {} ± {} (95 %) before the boil, about {} after {} of it; {} mEq of acid lower it by 0.1",
                words::ph(wort.ph),
                words::ph(half_width),
                words::ph(ph_boiled),
                if hours == 1.0 {
                    "an hour".to_owned()
                } else {
                    quantity::BOIL_TIME.write(hours)
                },
                words::number(acid_eq * 1000.0)
            ),
        }
    }

    /// What the liquor brings of each ion into the kettle, as its water holds it before and after the boil. What malt brings, and what
    /// the mash keeps, is not counted.
    fn kettle_ions(&self, mash: &Mash<'_>, water_kg: f64, boiled_off_kg: f64) -> Vec<KettleIon> {
        let sparged_kg = math::at_least(water_kg - mash.water_kg, 0.0);
        let liquor = Liquor::mix(&[
            (water_kg - sparged_kg, &mash.liquor),
            (sparged_kg, &self.liquors.sparge),
        ]);
        let left_kg = water_kg - boiled_off_kg;
        let Some(liquor) = liquor.filter(|_| left_kg > 0.0) else {
            return Vec::new();
        };
        KETTLE_IONS
            .map(|ion| {
                let full = ion.mg_per_l(liquor.ions.get(ion));
                KettleIon {
                    ion: ion.key(),
                    full_mg_l: full,
                    boiled_mg_l: full * water_kg / left_kg,
                }
            })
            .to_vec()
    }

    fn fit(&self) -> FitReport {
        FitReport {
            objective: self.answer.objective,
            objective_rounded: self.answer.objective_rounded,
            objective_before_rounding: self.answer.objective_before_rounding,
            gap: self.answer.gap,
            nodes: self.answer.nodes,
            certificate: Proof::of(&self.answer.certificate),
            iterations: self.answer.iterations,
        }
    }
}

/// pH of waters, samples cooled to where pH is read.
pub(super) struct WaterPh {
    /// The first source.
    source: f64,
    /// The sparge liquor before carbon dioxide leaves, and once it has stood open to the air.
    pub sparge_closed: f64,
    sparge_open: f64,
}

impl WaterPh {
    fn of(source: &Liquor, sparge: &Liquor) -> Result<WaterPh, EquilibriumError> {
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

/// A source's share of so much water.
pub(super) fn blend_part(source: &str, share: f64, water_kg: f64) -> BlendPart {
    let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let volume_l = share * water_kg / cold;
    BlendPart {
        source: source.to_owned(),
        share,
        volume_l,
        display: format!("{volume_l:.0} L cold ({:.0} %)", share * 100.0),
    }
}

/// Sulfate to chloride by mass; zero where there is no chloride to compare with.
pub(super) fn sulfate_to_chloride(liquor: &Liquor) -> f64 {
    let mg = |ion: Ion| ion.mg_per_l(liquor.ions.get(ion));
    let chloride = mg(Ion::Chloride);
    if chloride > 0.0 {
        mg(Ion::Sulfate) / chloride
    } else {
        0.0
    }
}

/// A target's line. `names` are key, label and unit; `figures` the source's and the plan's, in the unit;
/// `in_unit` turns the range's canonical numbers into it.
pub(super) fn line(
    names: (&str, &str, &str),
    figures: (f64, f64),
    range: &Wanted,
    in_unit: &dyn Fn(f64) -> f64,
) -> TargetLine {
    let (key, label, unit) = names;
    let (source, planned) = figures;
    let is_ph = matches!(key, "mash_ph" | "sparge_ph");
    let in_unit = |value: f64| words::tidy(in_unit(value));
    let (low, high) = (range.low.map(in_unit), range.high.map(in_unit));
    let slack = if is_ph {
        DISPLAY_PH
    } else {
        DISPLAY_SHARE * math::at_least(planned.abs(), 1.0)
    };
    let write = |value: f64| words::figure(value, unit, is_ph);
    let display = format!("{} → {} {unit}", write(source), write(planned));
    TargetLine {
        key: key.to_owned(),
        label: label.to_owned(),
        unit: unit.to_owned(),
        source,
        planned,
        low,
        high,
        prefer: range.prefer.map(in_unit),
        state: state(planned, low, high, slack),
        display: display.trim_end().to_owned() + &words::wanted(low, high, write),
    }
}

/// When an addition is made.
fn when(vessel: Vessel, acid: bool) -> &'static str {
    match (vessel, acid) {
        (Vessel::HotLiquorTank, _) => "after filling, before heating, with the liquor moving",
        (Vessel::MashTun, false) => "into the mash, spread over the grist as it goes in",
        (Vessel::MashTun, true) => "into the mash liquor, stirred in before the grist",
        (Vessel::SpargeLiquor, _) => "once the mash liquor is drawn, before sparging",
    }
}
