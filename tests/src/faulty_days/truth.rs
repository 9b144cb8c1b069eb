//! What really happened on a day, and what the meters then said: the vessels followed once, with
//! every uncertain thing drawn, by the engine's chemistry but none of its checks.

use underlet::aqueous::Aqueous;
use underlet::component::Component;
use underlet::fit::{DoseOption, Problem};
use underlet::liquor::{Liquor, alkalinity_eq_per_kg};
use underlet::mash::{Assumptions, Chemistry, Malt, Mash, Wort};
use underlet::math::{NoRoot, falling_root};
use underlet::readings::diagnosis::{Diagnostics, Fault, MeterReading, Probe, Sample, Slip};
use underlet::reagent::Preparation;
use underlet::{Addition, BrewDay, Meter, Place, Plan, Vessel};
use underlet_tables::parameters;

use super::day::is_by;
use crate::dice::Dice;
use crate::reconciliation::world::normal;

/// How far a faulty probe is off: pH, and share of conductivity.
pub const PH_OFF: f64 = 0.2;
/// What laboratories differ by in the pH of liquor: 0.13 (Standard Methods 4500-H+).
const LABORATORY_PH_SD: f64 = 0.13;
/// Share that a faulty conductivity meter is off by.
pub const CONDUCTIVITY_OFF: f64 = 0.1;

/// What is really wrong on a day: the fault, and to which side a probe is off.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrong {
    /// The fault.
    pub fault: Fault,
    /// +1 where a probe shows too much, −1 where too little.
    pub side: f64,
}

/// What the meters said, every reading's value filled in.
pub fn read(
    dice: &mut Dice,
    day: &BrewDay,
    plan: &Plan,
    wrong: Option<&Wrong>,
    meters: &[MeterReading],
) -> Vec<MeterReading> {
    let brew = Brew::draw(dice, day, plan, wrong.map(|wrong| &wrong.fault));
    let offsets = [Probe::Usual, Probe::Second].map(|probe| {
        let offset = [Meter::Ph, Meter::Conductivity, Meter::Temperature]
            .map(|meter| sound_offset(meter) * normal(dice) + fault_offset(wrong, meter, probe));
        // Cold samples, hot ones and reference samples have a temperature each.
        let correction = [(); 3]
            .map(|()| parameters::CHECK_CONDUCTIVITY_CORRECTION_RELATIVE_SD.value * normal(dice));
        (probe, offset, correction)
    });
    let read_one = |reading: &MeterReading| {
        let (is_known, truth) = match reading.sample {
            Sample::Known(stated) => (
                true,
                stated + known_sd(reading.meter, stated) * normal(dice),
            ),
            Sample::Brew(place) => (false, brew.shows(place, reading.meter)),
        };
        let (_, offset, correction) = offsets
            .iter()
            .find(|(probe, ..)| *probe == reading.probe)
            .expect("two probes");
        let correction = match reading.sample {
            Sample::Brew(Place::ColdLiquor | Place::Tank) => correction[0],
            Sample::Brew(_) => correction[1],
            Sample::Known(_) => correction[2],
        };
        let scatter = scatter(reading, is_known, truth) * normal(dice);
        let value = match reading.meter {
            Meter::Ph => truth + offset[0],
            Meter::Conductivity => truth * (1.0 + offset[1] + correction),
            Meter::Temperature => truth + offset[2],
        };
        let least = if reading.meter == Meter::Temperature {
            -10.0
        } else {
            0.0
        };
        MeterReading {
            value: (value + scatter).max(least),
            ..*reading
        }
    };
    meters.iter().map(read_one).collect()
}

/// The same readings without any scatter, the day otherwise as the table's means have it.
pub fn noise_free(
    checks: &Diagnostics,
    wrong: &Wrong,
    meters: &[MeterReading],
) -> Vec<MeterReading> {
    let values = checks.shown(Some(&wrong.fault), meters);
    let values = values.expect("a fault of the day");
    let readings = meters.iter().zip(values);
    readings
        .map(|(reading, value)| {
            let off = fault_offset(Some(wrong), reading.meter, reading.probe);
            let value = match reading.meter {
                Meter::Conductivity => value * (1.0 + off),
                Meter::Ph | Meter::Temperature => value + off,
            };
            MeterReading { value, ..*reading }
        })
        .collect()
}

/// A liquor that was poured to its end point.
pub struct Poured {
    /// Volume that it took, beside the ends that the plan states.
    pub volume: (f64, [f64; 2]),
    /// What a meter shows in it later, when it is hot, beside the interval that the plan states.
    pub reading: (f64, [f64; 2]),
}

/// The liquors of a day that are poured to the end points of its plan: the meter is off by what
/// laboratories differ by, anew for every reading.
pub fn poured(dice: &mut Dice, day: &BrewDay, plan: &Plan) -> Vec<Poured> {
    let mut question = day.problem();
    for source in &mut question.sources {
        source.liquor = supply(dice, &source.liquor);
    }
    let doses = given(dice, day, plan, None, &mut question);
    let shares: Vec<f64> = plan.blend.iter().map(|part| part.share).collect();
    let kept = kept_dosed(dice);
    let mut all = Vec::new();
    for addition in &plan.additions {
        let Some(end_point) = &addition.end_point else {
            continue;
        };
        let index = place_of(&question.doses, addition);
        let strength = doses[index] / addition.amount;
        let [shown_too_much, later] = [(); 2].map(|()| LABORATORY_PH_SD * normal(dice));
        let with = |volume: f64| {
            let of = |(place, option): (usize, &DoseOption)| match addition.vessel {
                _ if place == index => volume * strength,
                Vessel::SpargeLiquor => doses[place],
                _ if option.vessel.comes_before_grist() => doses[place],
                _ => 0.0,
            };
            let doses: Vec<f64> = question.doses.iter().enumerate().map(of).collect();
            let liquors = question.liquors(&shares, &doses);
            match addition.vessel {
                Vessel::SpargeLiquor => liquors.sparge,
                _ => liquors.mash,
            }
        };
        let above_end =
            |volume: f64| sample(&with(volume), kept)[0] + shown_too_much - end_point.ph;
        let volume = falling_root(above_end, 0.0, 3.0 * addition.amount);
        let volume = volume.unwrap_or_else(NoRoot::nearer_end);
        let [ph, _] = sample(&with(volume), dice.real(0.0, 1.0));
        let place = match addition.vessel {
            Vessel::SpargeLiquor => Place::SpargeLiquor,
            _ => Place::MashLiquor,
        };
        let mut readings = plan.readings.iter();
        let stated = readings.find(|one| (one.place, one.meter) == (place, Meter::Ph));
        let stated = stated.and_then(|one| one.interval_95_once_poured);
        all.push(Poured {
            volume: (volume, [end_point.low, end_point.high]),
            reading: (ph + later, stated.expect("of liquor that was poured")),
        });
    }
    all
}

/// Share of the carbon dioxide beyond air's that liquor has kept when it is dosed.
fn kept_dosed(dice: &mut Dice) -> f64 {
    let kept = parameters::CHECK_CARBON_KEPT_DOSED;
    (kept.value + kept.sd * normal(dice)).clamp(0.0, 1.0)
}

/// The place of an addition among the doses that are offered.
fn place_of(offered: &[DoseOption], addition: &Addition) -> usize {
    let place = offered.iter().position(|option| {
        option.vessel == addition.vessel && option.preparation.reagent.key == addition.reagent
    });
    place.expect("offered")
}

/// What a sound probe is off by (standard deviation): pH, share of conductivity, K.
fn sound_offset(meter: Meter) -> f64 {
    match meter {
        Meter::Ph => {
            let (all, repeat) = (
                parameters::METER_SD.value,
                parameters::BENCH_PH_REPEAT_SD.value,
            );
            (all * all - repeat * repeat).sqrt()
        }
        Meter::Conductivity => parameters::CHECK_CONDUCTIVITY_RELATIVE_SD.value,
        Meter::Temperature => parameters::CHECK_THERMOMETER_SD.value,
    }
}

fn fault_offset(wrong: Option<&Wrong>, meter: Meter, probe: Probe) -> f64 {
    match wrong {
        Some(Wrong {
            fault:
                Fault::Probe {
                    meter: doubted,
                    probe: which,
                },
            side,
        }) if (meter, probe) == (*doubted, *which) => match meter {
            Meter::Ph => side * PH_OFF,
            Meter::Conductivity => side * CONDUCTIVITY_OFF,
            Meter::Temperature => 0.0,
        },
        _ => 0.0,
    }
}

fn known_sd(meter: Meter, stated: f64) -> f64 {
    match meter {
        Meter::Ph => parameters::CHECK_KNOWN_PH_SD.value,
        Meter::Conductivity => parameters::CHECK_KNOWN_CONDUCTIVITY_RELATIVE_SD.value * stated,
        Meter::Temperature => parameters::CHECK_KNOWN_TEMPERATURE_SD.value,
    }
}

/// Scatter of one reading: of pH in liquor what laboratories differ by, less the probe's own.
pub(crate) fn scatter(reading: &MeterReading, is_known: bool, value: f64) -> f64 {
    match reading.meter {
        Meter::Ph => match reading.sample {
            Sample::Brew(place) if !matches!(place, Place::Mash | Place::Kettle) && !is_known => {
                (LABORATORY_PH_SD.powi(2) - sound_offset(Meter::Ph).powi(2)).sqrt()
            }
            _ => parameters::BENCH_PH_REPEAT_SD.value,
        },
        Meter::Conductivity => {
            let relative = parameters::CHECK_CONDUCTIVITY_REPEAT_RELATIVE_SD.value * value;
            relative.hypot(parameters::CHECK_CONDUCTIVITY_REPEAT_ABSOLUTE_SD.value)
        }
        Meter::Temperature => parameters::CHECK_THERMOMETER_REPEAT_SD.value,
    }
}

/// What the brew really was.
struct Brew {
    samples: Vec<(Place, [f64; 2])>,
    mash_ph: f64,
    kettle_ph: f64,
    temperatures: Vec<(Place, f64)>,
}

impl Brew {
    fn draw(dice: &mut Dice, day: &BrewDay, plan: &Plan, fault: Option<&Fault>) -> Brew {
        let mut question = day.problem();
        for source in &mut question.sources {
            source.liquor = supply(dice, &source.liquor);
        }
        let doses = given(dice, day, plan, fault, &mut question);
        let shares: Vec<f64> = plan.blend.iter().map(|part| part.share).collect();
        let after = |keep: &dyn Fn(&DoseOption) -> bool| {
            let options = question.doses.iter().zip(&doses);
            let doses: Vec<f64> = options
                .map(|(option, amount)| if keep(option) { *amount } else { 0.0 })
                .collect();
            question.liquors(&shares, &doses)
        };
        let in_tank = |option: &DoseOption| option.vessel == Vessel::HotLiquorTank;
        let before_grist = |option: &DoseOption| option.vessel.comes_before_grist();
        let all = after(&|_| true);
        let dosed = kept_dosed(dice);
        let hot = dice.real(0.0, 1.0);
        let derived = 1.0 + parameters::CONDUCTIVITY_MODEL_RELATIVE_SD.value * normal(dice);
        let mut samples = Vec::new();
        let mut take = |place: Place, liquor: &Liquor, kept: f64| {
            let [ph, conductivity] = sample(liquor, kept);
            samples.push((place, [ph, conductivity * derived]));
        };
        take(Place::ColdLiquor, &after(&|_| false).blend, 1.0);
        take(Place::Tank, &after(&in_tank).mash, dosed);
        take(Place::MashLiquor, &after(&before_grist).mash, hot);
        take(Place::SpargeLiquor, &all.sparge, hot);
        let (mash_ph, kettle_ph) = worts(dice, day, &question, &all.mash, &all.sparge);
        let mut set =
            |celsius: f64| celsius + parameters::CHECK_TEMPERATURE_SET_SD.value * normal(dice);
        let sparge_c = day.sparge.map_or(0.0, |sparge| sparge.temperature_c);
        let tank_c = day.tank.map_or(0.0, |tank| tank.temperature_c);
        let temperatures = vec![
            (Place::Tank, set(tank_c)),
            (Place::MashLiquor, set(day.mash.temperature_c)),
            (Place::Mash, set(day.rest_temperature_c)),
            (Place::SpargeLiquor, set(sparge_c)),
        ];
        Brew {
            samples,
            mash_ph,
            kettle_ph,
            temperatures,
        }
    }

    fn shows(&self, place: Place, meter: Meter) -> f64 {
        let sample = self.samples.iter().find(|(of, _)| *of == place);
        let temperature = self.temperatures.iter().find(|(of, _)| *of == place);
        match (place, meter) {
            (Place::Mash, Meter::Ph) => self.mash_ph,
            (Place::Kettle, Meter::Ph) => self.kettle_ph,
            (_, Meter::Ph) => sample.expect("liquor").1[0],
            (_, Meter::Conductivity) => sample.expect("liquor").1[1],
            (_, Meter::Temperature) => temperature.expect("a vessel").1,
        }
    }
}

/// The malts of a day as their lots are.
pub(crate) fn malts(dice: &mut Dice, day: &BrewDay) -> Vec<Malt> {
    let lots = day.grist.iter().map(|malt| {
        let mut malt = malt.clone();
        malt.curve.distilled_water_ph += malt.curve.distilled_water_ph_sd * normal(dice);
        malt.curve.bends_between_ph = [malt.curve.distilled_water_ph; 2];
        let [_, buffering] = malt.curve.buffering_between(normal(dice));
        malt.curve.buffering_eq_per_kg_ph = buffering;
        malt
    });
    lots.collect()
}

/// The amounts of a plan in the order of what is offered.
pub(crate) fn amounts(plan: &Plan, question: &Problem<'_>) -> Vec<f64> {
    let mut doses = vec![0.0; question.doses.len()];
    for addition in together(&plan.additions) {
        doses[place_of(&question.doses, &addition)] = addition.amount;
    }
    doses
}

/// A supply as it is today: strength, alkalinity (with calcium, so that it stays without charge)
/// and pH drawn about the report.
pub(crate) fn supply(dice: &mut Dice, report: &Liquor) -> Liquor {
    let strength = parameters::SUPPLY_RELATIVE_SD.value;
    let alkalinity = report.alkalinity_eq_per_kg;
    let least = alkalinity_eq_per_kg(parameters::ALKALINITY_REPORT_ABSOLUTE_SD.value);
    let all = (parameters::ALKALINITY_REPORT_RELATIVE_SD.value * alkalinity).max(least);
    let own = (all * all - (strength * alkalinity).powi(2)).sqrt();
    let factor = 1.0 + strength * normal(dice);
    let change = (own * normal(dice)).max(-0.8 * alkalinity);
    let today_alkalinity = alkalinity * factor + change;
    let calcium = report.ions.get(Component::Calcium) * factor + change / 2.0;
    let ions = (report.ions * factor).with(Component::Calcium, calcium.max(0.0));
    let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
    let ph = aqueous.closed(report).expect("a water").ph
        + LABORATORY_PH_SD.hypot(parameters::SUPPLY_PH_SD.value) * normal(dice);
    let today = Liquor {
        ions,
        alkalinity_eq_per_kg: today_alkalinity,
        ..*report
    };
    aqueous
        .with_ph(&today, ph)
        .map_or(today, |state| state.liquor)
}

/// What really went in, each addition a little off, one of them a slip.
fn given(
    dice: &mut Dice,
    day: &BrewDay,
    plan: &Plan,
    fault: Option<&Fault>,
    question: &mut Problem<'_>,
) -> Vec<f64> {
    let offered = question.doses.clone();
    let mut doses = vec![0.0; offered.len()];
    let slipped = fault.and_then(|fault| match fault {
        Fault::Addition { step, slip, .. } => {
            let mut additions = plan.additions.iter();
            Some((additions.find(|one| one.step == *step)?, *slip))
        }
        _ => None,
    });
    for addition in together(&plan.additions) {
        let index = place_of(&offered, &addition);
        let slip = slipped
            .filter(|(of, _)| (of.vessel, &of.reagent) == (addition.vessel, &addition.reagent))
            .map(|(_, slip)| slip);
        let times = match slip {
            Some(Slip::Forgotten) => 0.0,
            Some(Slip::Doubled) => 2.0,
            Some(Slip::HalfDissolved | Slip::HalfStrength) => 0.5,
            Some(Slip::SwappedFor(_)) | None => 1.0,
            Some(other) => unreachable!("{other:?} is not tried"),
        };
        if let Some(Slip::SwappedFor(other)) = slip {
            question.doses[index].preparation = Preparation::usual(other).expect("a reagent");
        }
        let preparation = &question.doses[index].preparation;
        let sd = if preparation.is_acid() {
            parameters::ACID_STRENGTH_RELATIVE_SD.value
        } else {
            parameters::CHECK_SALT_RELATIVE_SD.value
        };
        let dissolves = match addition.vessel {
            Vessel::MashTun | Vessel::Kettle => None,
            Vessel::HotLiquorTank => preparation
                .solubility_units_per_kg(day.tank.expect("a tank").temperature_c)
                .map(|most| most * question.waters.dosed_kg(addition.vessel)),
            Vessel::MashLiquor => preparation
                .solubility_units_per_kg(day.mash.temperature_c)
                .map(|most| most * question.waters.dosed_kg(addition.vessel)),
            Vessel::SpargeLiquor => preparation
                .solubility_units_per_kg(day.sparge.expect("a sparge").temperature_c)
                .map(|most| most * question.waters.dosed_kg(addition.vessel)),
        };
        let amount = addition.amount * times * (1.0 + sd * normal(dice));
        doses[index] = amount.min(dissolves.unwrap_or(f64::INFINITY));
    }
    doses
}

/// Additions with the parts of an acid for the mash put together.
fn together(additions: &[Addition]) -> Vec<Addition> {
    let mut whole: Vec<Addition> = Vec::new();
    for addition in additions {
        let same = |one: &&mut Addition| {
            one.part.is_some() && (one.vessel, &one.reagent) == (addition.vessel, &addition.reagent)
        };
        match whole.iter_mut().find(same) {
            Some(one) => one.amount += addition.amount,
            None => whole.push(addition.clone()),
        }
    }
    whole
}

/// pH and conductivity at 25 °C of liquor that has kept a share of its carbon dioxide beyond air's.
pub(crate) fn sample(liquor: &Liquor, kept: f64) -> [f64; 2] {
    let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
    let air = parameters::AIR_CO2_PRESSURE.value.log10();
    let closed = aqueous.closed(liquor).expect("a liquor");
    let state = if closed.log10_pco2 > air {
        let open = aqueous.open(liquor, air).expect("a liquor");
        let least = open.liquor.carbon_mol_per_kg;
        let carbon_mol_per_kg = least + kept * (liquor.carbon_mol_per_kg - least);
        aqueous
            .closed(&Liquor {
                carbon_mol_per_kg,
                ..*liquor
            })
            .expect("a liquor")
    } else {
        closed
    };
    [state.ph, state.conductivity_25c_us_per_cm()]
}

/// pH of mash and kettle-full wort, malts and all that the mash assumes drawn about their means.
fn worts(
    dice: &mut Dice,
    day: &BrewDay,
    question: &Problem<'_>,
    liquor: &Liquor,
    sparge: &Liquor,
) -> (f64, f64) {
    let malts = malts(dice, day);
    let [calcium, magnesium] = [
        parameters::CALCIUM_PROTONS_PER_EQUIVALENT,
        parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT,
    ]
    .map(|of| of.value + of.sd * normal(dice));
    let chemistry = Chemistry::at(liquor.ionic_strength_mol_per_kg()).assuming(Assumptions {
        carbon_share: dice.real(0.0, 1.0),
        calcium_protons: calcium,
        magnesium_protons: magnesium,
    });
    let mash = Mash {
        grist: &malts,
        water_kg: question.waters.mash_kg,
        liquor: *liquor,
    };
    let sampled = parameters::MASH_PH_DEFINITION_SD.value * normal(dice);
    let mash_ph = mash.ph_with_acid(&chemistry, 0.0) + sampled;
    let mut sure = mash.forecast();
    (sure.ph, sure.sd) = (mash_ph, 0.0);
    let grist_kg: f64 = malts.iter().map(|malt| malt.mass_kg).sum();
    let kept_kg = parameters::GRAIN_RETENTION.value * grist_kg;
    let wort = Wort::kettle_full(
        &mash,
        &sure,
        kept_kg,
        question.waters.sparge_kg,
        sparge,
        0.0,
    );
    (mash_ph, wort.ph + wort.sd * normal(dice))
}

/// Whether a day has a reading by the probe that is doubted, or by any where an addition is.
pub fn is_read(wrong: &Wrong, meters: &[MeterReading]) -> bool {
    match wrong.fault {
        Fault::Addition { .. } => true,
        Fault::Probe { meter, probe } => meters.iter().any(|reading| is_by(reading, meter, probe)),
        ref other => unreachable!("{other:?} is not tried"),
    }
}
