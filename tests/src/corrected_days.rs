//! Does a brewer who follows the corrections end where they say? Asked of a seeded world in which
//! the truth is known: water, malts, acids and meters are drawn from what the engine states of
//! them, and the mash is followed by the engine's balance but none of its error bars.

use underlet::component::Component;
use underlet::fit::{DoseOption, Liquors, Problem};
use underlet::mash::{Assumptions, Chemistry, Malt, Mash};
use underlet::readings::correction::{Advice, BrewLog, Corrector, GivenDose};
use underlet::readings::diagnosis::MeterReading;
use underlet::{BrewDay, Meter, Place, Vessel};
use underlet_tables::parameters;

use crate::dice::Dice;
use crate::faulty_days::{day, truth};
use crate::reconciliation::world::normal;

/// A mash of which everything is known.
struct TrueMash<'d> {
    day: &'d BrewDay,
    question: Problem<'d>,
    shares: Vec<f64>,
    malts: Vec<Malt>,
    assumed: Assumptions,
    /// True strength of each dose over its nominal one.
    strengths: Vec<f64>,
}

impl<'d> TrueMash<'d> {
    fn draw(dice: &mut Dice, day: &'d BrewDay) -> TrueMash<'d> {
        let plan = day.plan().expect("a plan");
        let mut question = day.problem();
        for source in &mut question.sources {
            source.liquor = truth::supply(dice, &source.liquor);
        }
        let malts = truth::malts(dice, day);
        let [calcium, magnesium] = [
            parameters::CALCIUM_PROTONS_PER_EQUIVALENT,
            parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT,
        ]
        .map(|of| of.value + of.sd * normal(dice));
        let strengths = question.doses.iter().map(|option| {
            let is_acid = option.preparation.is_acid();
            let sd = if is_acid {
                parameters::ACID_STRENGTH_RELATIVE_SD.value
            } else {
                parameters::CHECK_SALT_RELATIVE_SD.value
            };
            1.0 + sd * normal(dice)
        });
        let strengths = strengths.collect();
        TrueMash {
            day,
            shares: plan.blend.iter().map(|part| part.share).collect(),
            malts,
            assumed: Assumptions {
                carbon_share: dice.real(0.0, 1.0),
                calcium_protons: calcium,
                magnesium_protons: magnesium,
            },
            strengths,
            question,
        }
    }

    /// Its liquors with some of the doses as a brewer measured them.
    fn liquors(&self, doses: &[f64], is_in: impl Fn(&DoseOption) -> bool) -> Liquors {
        let doses = doses.iter().zip(&self.strengths).zip(&self.question.doses);
        let true_doses = doses.map(|((dose, strength), option)| {
            let is_in = f64::from(u8::from(is_in(option)));
            is_in * dose * strength
        });
        let true_doses: Vec<f64> = true_doses.collect();
        self.question.liquors(&self.shares, &true_doses)
    }

    /// Its pH with doses as a brewer measured them.
    fn ph(&self, doses: &[f64]) -> f64 {
        let liquor = self.liquors(doses, |_| true).mash;
        debug_assert!(liquor.ions.get(Component::Calcium).is_finite());
        let chemistry = Chemistry::at(liquor.ionic_strength_mol_per_kg()).assuming(self.assumed);
        let mash = Mash {
            grist: &self.malts,
            water_kg: self.question.waters.mash_kg,
            liquor,
        };
        mash.ph_with_acid(&chemistry, 0.0)
    }

    /// The place of a reagent for the mash tun among the doses.
    fn place_in_tun(&self, reagent: &str) -> usize {
        let place = self.question.doses.iter().position(|option| {
            option.vessel == Vessel::MashTun && option.preparation.reagent.key == reagent
        });
        place.expect("offered")
    }

    /// What meters show in the liquor as drawn, and in the tun before the grist.
    fn liquor_readings(&self, dice: &mut Dice, doses: &[f64], ph_off: f64) -> Vec<MeterReading> {
        let drawn = self.liquors(doses, |_| false).blend;
        let mash = self
            .liquors(doses, |option| option.vessel.comes_before_grist())
            .mash;
        let (derived, shown) = (
            1.0 + parameters::CONDUCTIVITY_MODEL_RELATIVE_SD.value * normal(dice),
            1.0 + parameters::CHECK_CONDUCTIVITY_RELATIVE_SD.value * normal(dice),
        );
        let samples = [
            (Place::ColdLiquor, drawn, 1.0),
            (Place::MashLiquor, mash, dice.real(0.0, 1.0)),
        ];
        let readings = samples.into_iter().flat_map(|(place, liquor, kept)| {
            let [ph, conductivity] = truth::sample(&liquor, kept);
            let ph = MeterReading::at(place, Meter::Ph, ph + ph_off);
            let conductivity = conductivity * derived * shown;
            let conductivity = MeterReading::at(place, Meter::Conductivity, conductivity);
            [ph, conductivity].map(|one| MeterReading {
                value: one.value + truth::scatter(&one, false, one.value) * normal(dice),
                ..one
            })
        });
        readings.collect()
    }

    /// The range that is wanted.
    fn range(&self) -> [f64; 2] {
        let range = self.day.targets.mash_ph.expect("a range");
        [
            range.low.expect("a low end"),
            range.high.expect("a high end"),
        ]
    }
}

/// What was stated of a mash, and how it was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    /// Stated chance that it lies in its range.
    pub inside: f64,
    /// Stated chance that it lies below what no acid takes back.
    pub below: f64,
    /// Its pH less the middle of its range.
    pub off: f64,
    /// Half the width of the range.
    pub half_width: f64,
}

impl Stated {
    fn is_inside(&self) -> bool {
        self.off.abs() <= self.half_width
    }
}

/// A day at each of its stages.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CorrectedDay {
    /// With all acid of the plan at once, and the chance that the plan states.
    pub as_planned: Stated,
    /// After one reading and its correction, with the chance that the plan foretells of it.
    pub foreseen: Option<Stated>,
    /// After one reading and its correction, and after two, with the chances stated then.
    pub corrected: [Stated; 2],
    /// After one reading of it, of its liquor and of the liquor as drawn, and their correction.
    pub with_liquor: Stated,
    /// Corrections that gave something.
    pub doses: usize,
}

/// Shares over many days, %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shares {
    /// In the range.
    pub inside: f64,
    /// As was stated.
    pub stated: f64,
    /// Within a tenth of its middle.
    pub within_a_tenth: f64,
    /// Below the range.
    pub below: f64,
}

/// Shares of some stages.
pub fn shares<'s>(stages: impl Iterator<Item = &'s Stated>) -> Shares {
    let stages: Vec<&Stated> = stages.collect();
    let percent = |sum: f64| 100.0 * sum / stages.len().max(1) as f64;
    let count = |is: &dyn Fn(&Stated) -> bool| {
        percent(stages.iter().filter(|stage| is(stage)).count() as f64)
    };
    Shares {
        inside: count(&Stated::is_inside),
        stated: percent(stages.iter().map(|stage| stage.inside).sum()),
        within_a_tenth: count(&|stage| stage.off.abs() <= 0.1),
        below: count(&|stage| stage.off < -stage.half_width),
    }
}

/// So many days, from a seed.
pub fn try_out(days: usize, seed: u64) -> Vec<CorrectedDay> {
    let dice = &mut Dice(seed);
    (0..days).map(|_| correct(dice)).collect()
}

/// A brewer who follows the plan, reads the mash, gives what is due, reads it again and gives what
/// is due then.
fn correct(dice: &mut Dice) -> CorrectedDay {
    let day = day::draw_with_base(dice);
    let plan = day.plan().expect("a plan");
    let corrector = Corrector::of(&day).expect("a plan");
    let mash = TrueMash::draw(dice, &day);
    let [low, high] = mash.range();
    let stated = |inside: f64, below: f64, ph: f64| Stated {
        inside,
        below,
        off: ph - (low + high) / 2.0,
        half_width: (high - low) / 2.0,
    };
    let planned = truth::amounts(&plan, &mash.question);
    let chance = plan.mash.probability_in_range.expect("a range");
    let as_planned = stated(chance, 0.0, mash.ph(&planned));

    let probe_off = offset_sd() * normal(dice);
    let mut read = |place: Place, ph: f64| {
        let own = parameters::MASH_PH_DEFINITION_SD
            .value
            .hypot(parameters::BENCH_PH_REPEAT_SD.value);
        let shown = ph + probe_off + own * normal(dice);
        MeterReading::at(place, Meter::Ph, shown)
    };
    let (mut doses, place) = (corrector.first_doses(), place_of_first(&plan));
    let mut taken = vec![read(place, mash.ph(&doses)).at_minutes(20.0)];
    let mut given = Vec::new();
    let mut corrected = Vec::new();
    for minutes in [25.0, 45.0] {
        let log = BrewLog::of(taken.as_slice()).with_given(given.as_slice());
        let (inside, below, amount) = due(&corrector, &log);
        if let Some((reagent, amount)) = amount {
            doses[mash.place_in_tun(reagent)] += amount;
            given.push(GivenDose {
                brew: 1,
                reagent: reagent.to_owned(),
                amount,
                minutes,
            });
        }
        let ph = mash.ph(&doses);
        corrected.push(stated(inside, below, ph));
        taken.push(read(Place::Mash, ph).at_minutes(minutes + 15.0));
    }
    let mut with_liquor = vec![taken[0]];
    with_liquor.extend(mash.liquor_readings(dice, &planned, probe_off));
    let log = BrewLog::of(with_liquor).with_given([]);
    let (inside, below, amount) = due(&corrector, &log);
    let mut doses = corrector.first_doses();
    if let Some((reagent, amount)) = amount {
        doses[mash.place_in_tun(reagent)] += amount;
    }
    let with_liquor = stated(inside, below, mash.ph(&doses));
    let foreseen = plan.mash.correction.as_ref().map(|foreseen| Stated {
        inside: foreseen.probability_in_range,
        ..corrected[0]
    });
    CorrectedDay {
        as_planned,
        foreseen,
        corrected: [corrected[0], corrected[1]],
        with_liquor,
        doses: given.len(),
    }
}

fn place_of_first(plan: &underlet::Plan) -> Place {
    let mut readings = plan.readings.iter();
    if readings.any(|reading| reading.place == Place::MashFirst) {
        Place::MashFirst
    } else {
        Place::Mash
    }
}

/// What a probe is off by, standard deviation.
fn offset_sd() -> f64 {
    let (all, repeat) = (
        parameters::METER_SD.value,
        parameters::BENCH_PH_REPEAT_SD.value,
    );
    (all * all - repeat * repeat).sqrt()
}

/// Stated chances to land inside and below, and the dose to give.
fn due(corrector: &Corrector<'_>, log: &BrewLog) -> (f64, f64, Option<(&'static str, f64)>) {
    let corrections = corrector.correct(log).expect("liquors");
    let correction = corrections.mashes.first().expect("a reading");
    let gives = matches!(correction.advice, Advice::Give | Advice::CheckProbe);
    match correction.doses.first().filter(|_| gives) {
        Some(due) => (
            due.probability_in_range,
            due.probability_below,
            Some((due.preparation.reagent.key, due.amount)),
        ),
        None => (correction.probability_in_range.expect("a range"), 0.0, None),
    }
}
