//! The plan of a settled day.

use underlet_tables::{ReagentKind, parameters};

use super::document::{Addition, BlendPart, FitReport, Plan, Proof, VesselLiquor};
use super::targets::verdict;
use super::{alternatives, cautions, reasons};
use crate::aqueous::titrated_alkalinity_eq_per_kg;
use crate::document::{DocumentKind, Head};
use crate::fit::{DechlorinationDose as Dose, DoseOption, Given, Settled};
use crate::liquor::{Liquor, mg_per_l_caco3, water_density_kg_per_l};
use crate::readings;
use crate::reagent::Preparation;
use crate::recipe::{Meter, Vessel};
use crate::words::{self, DISPLAY_PH};

/// A powder frees vapour all at once (common practice, no source).
const SALT_INTO_KETTLE: &str =
    "Stir it in before the wort boils: thrown into the boil it foams over.";

impl Settled<'_> {
    pub(crate) fn plan(&self) -> Plan {
        let targets = self.targets();
        let (meets_every_range, verdict) = verdict(&targets, !targets.is_empty());
        let mash = self.mash();
        let chance = words::landing(
            ". Its",
            mash.probability_in_range,
            mash.confidence_asked_percent,
        );
        let limits = alternatives::limits(self);
        Plan {
            head: Head::of(DocumentKind::Plan, &self.day.attached),
            name: self.day.name.clone(),
            brewhouse: self.day.brewhouse.name.clone(),
            brews: self.day.brews,
            summary: format!(
                "{verdict}. The mash should settle at pH {}{chance}.",
                mash.display
            ),
            meets_every_range,
            vessels: self.vessels(),
            blend: self.blend(),
            additions: self.additions(),
            sparge: self.sparge(),
            kettle: self.kettle(),
            readings: readings::readings(self),
            reasons: reasons::reasons(self, &targets, &limits),
            limits,
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
                let times = self.times(vessel);
                let portions = match vessel {
                    Vessel::SpargeLiquor => self.day.sparge_portions,
                    _ => 1,
                };
                let mut display = format!(
                    "{} at {} ({water_kg:.0} kg of water)",
                    words::volume(draw.volume_l),
                    words::temperature(draw.temperature_c)
                );
                if times > 1 {
                    display = format!("{times} × {display}");
                }
                if portions > 1 {
                    let each = words::volume(draw.volume_l / portions as f64);
                    display = format!("{display} in {portions} portions of {each}");
                }
                Some(VesselLiquor {
                    vessel,
                    label: vessel.label().to_owned(),
                    volume_l: draw.volume_l,
                    temperature_c: draw.temperature_c,
                    water_kg,
                    times,
                    portions,
                    display,
                })
            })
            .collect()
    }

    /// How often a vessel is filled and dosed: the tank once, the others in each brew.
    fn times(&self, vessel: Vessel) -> usize {
        if vessel == Vessel::HotLiquorTank {
            1
        } else {
            self.day.brews
        }
    }

    /// When something is done, said of each brew where there are several.
    pub(crate) fn when(&self, vessel: Vessel, when: &str) -> String {
        match self.times(vessel) {
            1 => when.to_owned(),
            brews => format!("{when}, in each of {brews} brews"),
        }
    }

    pub(crate) fn blend(&self) -> Vec<BlendPart> {
        let water_kg = self.question.waters.blended_kg();
        let sources = self.day.sources.iter().zip(&self.answer.shares);
        sources
            .map(|(source, &share)| blend_part(&source.name, share, water_kg))
            .collect()
    }

    /// Places of what is given among the doses of the question, in the order of work: salts and bases before acids in
    /// each vessel, since they dissolve while there is time and the acid is trimmed last.
    pub(crate) fn order_of_work(&self) -> Vec<usize> {
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

    pub(crate) fn additions(&self) -> Vec<Addition> {
        let mut additions = self.dechlorination();
        for index in self.order_of_work() {
            let (Some(option), Some(&amount)) =
                (self.question.doses.get(index), self.answer.doses.get(index))
            else {
                continue;
            };
            let before = self.answer.doses_before_rounding.get(index);
            additions.push(self.addition(
                option.vessel,
                &option.preparation,
                [amount, before.copied().unwrap_or(amount)],
                self.when_given(option.vessel, option.preparation.is_acid()),
                self.effect(index, option),
            ));
        }
        self.kettle_additions(&mut additions);
        for (step, addition) in (1..).zip(&mut additions) {
            addition.step = step;
        }
        additions
    }

    /// How much takes chlorine out, before anything else goes in.
    pub(crate) fn dechlorination_doses(&self) -> Vec<Dose> {
        self.removal.as_ref().map_or_else(Vec::new, |removal| {
            removal.doses(&self.question.waters, &self.answer.shares)
        })
    }

    fn dechlorination(&self) -> Vec<Addition> {
        let Some(removal) = &self.removal else {
            return Vec::new();
        };
        let added = |dose: Dose| {
            self.addition(
                dose.vessel,
                &removal.shelved.preparation,
                [dose.amount, dose.before_rounding],
                "first of all, with the liquor moving",
                removal.why(&self.answer.shares),
            )
        };
        self.dechlorination_doses().into_iter().map(added).collect()
    }

    /// When an addition is made.
    fn when_given(&self, vessel: Vessel, acid: bool) -> &'static str {
        let reads_ph = self.day.brewhouse.meters.contains(&Meter::Ph);
        match (vessel, acid) {
            (Vessel::HotLiquorTank, _) => "after filling, before heating, with the liquor moving",
            (Vessel::MashTun, false) => "into the mash, spread over the grist as it goes in",
            (Vessel::MashTun, true) => "into the mash liquor, stirred in before the grist",
            (Vessel::SpargeLiquor, _) => "once the mash liquor is drawn, before sparging",
            (Vessel::Kettle, _) if reads_ph => "at kettle full, once its pH has been read",
            (Vessel::Kettle, _) => "at kettle full",
        }
    }

    /// Acid and zinc for the kettle.
    fn kettle_additions(&self, additions: &mut Vec<Addition>) {
        let mut add = |given: &Given<'_>, when, why| {
            let amounts = [given.amount, given.before_rounding];
            let preparation = &given.shelved.preparation;
            additions.push(self.addition(Vessel::Kettle, preparation, amounts, when, why));
        };
        let kettle = self.in_kettle();
        if let Some(acid) = &kettle.acid {
            let meters = &self.day.brewhouse.meters;
            add(
                acid,
                self.when_given(Vessel::Kettle, true),
                kettle.why_acid(acid, meters),
            );
        }
        if let Some(zinc) = self.zinc().filter(|zinc| zinc.amount > 0.0) {
            add(&zinc, "at the end of the boil", self.why_zinc(&zinc));
        }
    }

    /// Something weighed or measured out, as weighed and as it was asked for; its step is for the whole list to say.
    fn addition(
        &self,
        vessel: Vessel,
        preparation: &Preparation,
        [amount, before_rounding]: [f64; 2],
        when: &str,
        why: String,
    ) -> Addition {
        let unit = preparation.unit();
        Addition {
            step: 0,
            vessel,
            vessel_label: vessel.label().to_owned(),
            reagent: preparation.reagent.key.to_owned(),
            name: preparation.label(),
            amount: words::tidy(amount),
            unit,
            times: self.times(vessel),
            display: unit.amount(amount).to_string(),
            before_rounding,
            when: self.when(vessel, when),
            how: match (vessel, preparation.reagent.kind) {
                (Vessel::Kettle, ReagentKind::Salt) => SALT_INTO_KETTLE,
                _ => preparation.reagent.handling,
            }
            .to_owned(),
            why,
        }
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
        if option.vessel.comes_to_mash() {
            let ph = self.day.mash_of(&self.question, other.mash).ph();
            let shift = self.forecast.ph - ph;
            if shift.abs() >= DISPLAY_PH {
                effects.push(format!("mash pH {}", words::change(shift, 2)));
            }
        }
        if option.preparation.is_acid() && option.vessel.comes_to_sparge() {
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

/// A source's share of so much water.
pub(crate) fn blend_part(source: &str, share: f64, water_kg: f64) -> BlendPart {
    let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let share = if share > 1e-9 { share } else { 0.0 };
    let volume_l = share * water_kg / cold;
    BlendPart {
        source: source.to_owned(),
        share,
        volume_l,
        display: format!("{volume_l:.0} L cold ({:.0} %)", share * 100.0),
    }
}
