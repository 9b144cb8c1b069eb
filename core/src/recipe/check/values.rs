//! Each part of a recipe by itself.

use underlet_tables::Reagent;

use super::{MOST_MALTS, MOST_REAGENTS, MOST_SOURCES, problem};
use crate::checker::{self, Checker};
use crate::component::Component;
use crate::error::{Code, Problem};
use crate::naming::{self, Name};
use crate::quantity::{self, Quantity, Substance};
use crate::recipe::{
    BrewDay, Brewhouse, Draw, Kettle, LimitedQuantity, MOST_BREWS, MOST_PORTIONS, Meter, Shelved,
    Source, TargetRange, Targets, Vessel,
};

/// Checks each value by itday.
pub(super) fn brew_day(of: &mut Checker, day: &BrewDay, has_mash: bool) {
    day.attached.examine(of);
    of.text("name", &day.name);
    of.inside("brewhouse", |of| brewhouse(of, &day.brewhouse));
    of.quantity("batch", day.batch, &quantity::BATCH);
    of.count("brews", day.brews, [1, MOST_BREWS]);
    of.list("sources", &day.sources, [1, MOST_SOURCES], source);
    if let Some(tank) = &day.tank {
        of.inside("hot_liquor_tank", |of| {
            draw(of, tank, ["fill", "temperature"]);
        });
    }
    of.list("grist", &day.grist, [1, MOST_MALTS], |of, malt| {
        malt.examine(of);
    });
    if has_mash {
        of.inside("mash", |of| mash(of, day));
    } else {
        of.at::<()>("mash", Err(no_mash()));
    }
    if let Some(sparge) = &day.sparge {
        of.inside("sparge", |of| {
            draw(of, sparge, LIQUOR);
            of.count("portions", day.sparge_portions, [1, MOST_PORTIONS]);
        });
    }
    of.inside("kettle", |of| kettle(of, &day.kettle));
    of.inside("targets", |of| targets(of, day));
    let vessels = Vessels::of(day);
    of.list("shelf", &day.shelf, [0, MOST_REAGENTS], |of, item| {
        shelved(of, item);
        at(of, item, vessels);
    });
    if let Some(most) = day.max_salts {
        of.count("max_salts", most, [0, MOST_REAGENTS]);
    }
}

fn targets(of: &mut Checker, day: &BrewDay) {
    let Targets {
        ions,
        sulfate_to_chloride,
        mash_ph,
        sparge_alkalinity,
        sparge_ph,
        limits,
    } = &day.targets;
    let others = [
        ("sulfate_to_chloride", sulfate_to_chloride, &quantity::RATIO),
        ("mash_ph", mash_ph, &quantity::MASH_PH),
        (
            "sparge_alkalinity",
            sparge_alkalinity,
            &quantity::ALKALINITY,
        ),
        ("sparge_ph", sparge_ph, &quantity::PH),
        ("kettle_ph", &day.kettle.ph, &quantity::KETTLE_PH),
    ];
    ranges(of, ions, &others);
    of.inside("limits", |of| for_all_limits(of, limits));
    let confidences = [day.mash_ph_confidence, day.sparge_ph_confidence];
    of.inside("confidence", |of| {
        of.optional("mash_ph", confidences[0], &quantity::CONFIDENCE);
        of.optional("sparge_ph", confidences[1], &quantity::CONFIDENCE);
    });
    let has_range = [mash_ph, sparge_ph].map(|range| range.is_some_and(|range| range.is_wide()));
    for problem in unranged_confidences(confidences, has_range) {
        of.at::<()>("confidence", Err(problem));
    }
}

/// Keys of the liquor of mash and sparge.
const LIQUOR: [&str; 2] = ["liquor", "liquor_temperature"];

fn draw(of: &mut Checker, draw: &Draw, [volume, temperature]: [&str; 2]) {
    of.quantity(volume, draw.volume_l, &quantity::LIQUOR_VOLUME);
    of.quantity(temperature, draw.temperature_c, &quantity::TEMPERATURE);
}

fn mash(of: &mut Checker, day: &BrewDay) {
    draw(of, &day.mash, LIQUOR);
    let rest_c = day.rest_temperature_c;
    of.quantity("rest_temperature", rest_c, &quantity::TEMPERATURE);
}

fn no_mash() -> Problem {
    problem(
        Code::MissingKey,
        "nothing",
        "an object",
        "Write \"mash\": {\"liquor\": …, \"liquor_temperature\": …, \"rest_temperature\": …}.",
    )
}

fn brewhouse(of: &mut Checker, house: &Brewhouse) {
    of.text("name", &house.name);
    for (key, value, quantity) in [
        (
            "grain_take_up",
            house.grain_take_up_l_per_kg,
            &quantity::GRAIN_TAKE_UP,
        ),
        (
            "tank_dead_volume",
            house.tank_dead_l,
            &quantity::DEAD_VOLUME,
        ),
        ("tun_dead_volume", house.tun_dead_l, &quantity::DEAD_VOLUME),
        (
            "kettle_dead_volume",
            house.kettle_dead_l,
            &quantity::DEAD_VOLUME,
        ),
    ] {
        of.quantity(key, value, quantity);
    }
    of.optional("boil_off", house.boil_off_l_per_h, &quantity::BOIL_OFF_RATE);
    of.quantity("scale_step", house.scale_step_g, &quantity::SCALE_STEP);
    of.quantity("measure_step", house.measure_step_ml, &quantity::SCALE_STEP);
    some_of(of, "meters", house.meters.len(), &Meter::NAMES);
}

/// A list of names is left out rather than empty.
fn some_of(of: &mut Checker, key: &str, length: usize, names: &[Name<'_>]) {
    let expected = naming::some_of(names);
    let advice = || naming::some_of_advice(key, names);
    of.at(
        key,
        checker::list_length(length, [1, usize::MAX], expected, advice),
    );
}

/// A water that can be drawn, of a day or a fit.
pub(super) fn source(of: &mut Checker, source: &Source) {
    of.text("name", &source.name);
    let liquor = &source.liquor;
    if let Some(reconciled) = &source.reconciled {
        of.inside("liquor", |of| {
            liquor.examine(of);
            reconciled.covariance.examine(of, "covariance");
        });
    } else {
        for (ion, amount) in liquor.ions.iter() {
            of.concentration(ion.key(), amount, &quantity::ION, &ion.substance());
        }
        let alkalinity = liquor.alkalinity_eq_per_kg;
        of.quantity("alkalinity", alkalinity, &quantity::ALKALINITY);
        let carbon = liquor.carbon_mol_per_kg * 1e3;
        of.quantity("inorganic_carbon", carbon, &quantity::DISSOLVED_AMOUNT);
        of.quantity("temperature", liquor.temperature_c, &quantity::TEMPERATURE);
    }
    source.chlorine.examine(of);
    of.optional(
        "max_amount",
        source.max_amount_l,
        &quantity::AVAILABLE_VOLUME,
    );
}

fn kettle(of: &mut Checker, kettle: &Kettle) {
    of.optional("boil", kettle.boil_h, &quantity::BOIL_TIME);
    of.optional("boil_off", kettle.boil_off_l, &quantity::BOIL_OFF);
    if let Some(zinc) = kettle.zinc_mol_per_kg {
        of.concentration("zinc", zinc, &quantity::ZINC, &Substance::ZINC);
    }
}

/// A target beside the ions: its key, its range, and its quantity.
pub(super) type Other<'w> = (&'static str, &'w Option<TargetRange>, &'static Quantity);

/// Targets, each with its weight.
pub(super) fn ranges(of: &mut Checker, ions: &[(Component, TargetRange)], others: &[Other<'_>]) {
    let others = || {
        others
            .iter()
            .filter_map(|(key, range, of)| Some((*key, (**range)?, *of)))
    };
    of.inside("weights", |of| {
        for (ion, range) in ions {
            of.quantity(ion.key(), range.weight, &quantity::WEIGHT);
        }
        for (key, range, _) in others() {
            of.quantity(key, range.weight, &quantity::WEIGHT);
        }
    });
    for (ion, range) in ions {
        of.at(ion.key(), is_stated(*ion));
        of.range(ion.key(), &range.range(), &quantity::ION, &ion.substance());
    }
    each_once(of, ions.iter().map(|(ion, _)| ion.key()));
    for (key, range, quantity) in others() {
        of.range(key, &range.range(), quantity, &Substance::NONE);
    }
}

fn for_all_limits(of: &mut Checker, limits: &[(LimitedQuantity, f64)]) {
    for (limited, most) in limits {
        match *limited {
            LimitedQuantity::Component(ion) => {
                of.at(ion.key(), is_stated(ion));
                let (ion_key, substance) = (ion.key(), ion.substance());
                of.concentration(ion_key, ion.mol_per_kg(*most), &quantity::ION, &substance);
            }
            LimitedQuantity::DissolvedSolids => {
                of.quantity(limited.key(), *most, &quantity::DISSOLVED_SOLIDS);
            }
        }
    }
    each_once(of, limits.iter().map(|(limited, _)| limited.key()));
}

fn each_once<'n>(of: &mut Checker, keys: impl Iterator<Item = &'n str>) {
    for problem in checker::duplicates(keys, "Keep one of the two.") {
        of.at::<()>("", Err(problem));
    }
}

/// Targets and limits are set on what a water report states; weak acids come from reagents alone.
fn is_stated(component: Component) -> Result<(), Problem> {
    if !component.is_weak_acid() {
        return Ok(());
    }
    Err(problem(
        Code::UnknownKey,
        format!("the key \"{}\"", component.key()),
        "an ion of a water report",
        "Leave it out: a reagent brings it with its acid.",
    ))
}

/// A confidence is that of landing in a range, which needs to be one.
pub(crate) fn unranged_confidences(
    confidences: [Option<f64>; 2],
    has_range: [bool; 2],
) -> Vec<Problem> {
    let asked = [
        ("mash_ph", "mash pH", "5.3 to 5.5"),
        ("sparge_ph", "sparge pH", "5.5 to 6"),
    ];
    let unranged = |((key, name, example), (confidence, has_range)): (_, (Option<f64>, bool))| {
        (confidence.is_some() && !has_range).then(|| {
            problem(
                Code::Contradiction,
                format!("a confidence without a range of {name} to land in"),
                format!("a \"{key}\" with two ends, or one end"),
                format!("Write \"{key}\": \"{example}\", or leave \"confidence\" out."),
            )
        })
    };
    asked
        .into_iter()
        .zip(confidences.into_iter().zip(has_range))
        .filter_map(unranged)
        .collect()
}

/// A reagent as it is bought and weighed, wherever it goes.
pub(super) fn shelved(of: &mut Checker, item: &Shelved) {
    item.preparation.examine(of);
    of.quantity("step", item.step, &quantity::SCALE_STEP);
    of.quantity("min_dose", item.min_dose, &quantity::STOCK);
    of.optional("stock", item.stock, &quantity::STOCK);
}

/// The vessels that a reagent may go into.
fn at(of: &mut Checker, item: &Shelved, vessels: Vessels) {
    some_of(of, "at", item.at.len(), &Vessel::NAMES);
    for problem in vessels.misplaced(&item.at, Some(item.preparation.reagent)) {
        of.at::<()>("at", Err(problem));
    }
}

/// What a day has of vessels, and whether brews share them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Vessels {
    /// Whether there is a hot-liquor tank.
    pub has_tank: bool,
    /// Whether there is a sparge.
    pub has_sparge: bool,
    /// Brews of one liquor.
    pub brews: usize,
}

impl Vessels {
    fn of(day: &BrewDay) -> Vessels {
        Vessels {
            has_tank: day.tank.is_some(),
            has_sparge: day.sparge.is_some(),
            brews: day.brews,
        }
    }

    /// What is wrong with the vessels that a reagent may go into: those that the day does not have,
    /// that brews share, or that are no place for it. It is unknown where it could not be read.
    pub fn misplaced(self, at: &[Vessel], reagent: Option<&Reagent>) -> Vec<Problem> {
        let wrong = |vessel: &Vessel, expected: String, hint: String| {
            problem(Code::Contradiction, vessel.key(), expected, hint)
        };
        let mut problems = Vec::new();
        for vessel in at {
            let (there, key) = match vessel {
                Vessel::HotLiquorTank => (self.has_tank, "hot_liquor_tank"),
                Vessel::SpargeLiquor => (self.has_sparge, "sparge"),
                Vessel::MashTun => (true, "mash"),
                Vessel::Kettle => (true, "kettle"),
            };
            if !there {
                problems.push(wrong(
                    vessel,
                    format!("a vessel of this day, which has no \"{key}\""),
                    format!(
                        "Give the day a \"{key}\", or leave \"{}\" out.",
                        vessel.key()
                    ),
                ));
            }
        }
        if self.has_tank && self.brews > 1 && at.contains(&Vessel::SpargeLiquor) {
            problems.push(wrong(
                &Vessel::SpargeLiquor,
                format!(
                    "a vessel whose liquor is for one brew alone: the tank also holds the mash \
                     liquor of the next of {} brews",
                    self.brews
                ),
                "Leave it out: dose the tank, or the mash tun.".to_owned(),
            ));
        }
        for (vessel, reagent) in at
            .iter()
            .filter_map(|vessel| reagent.map(|of| (vessel, of)))
        {
            if !Shelved::suits(reagent, *vessel) {
                problems.push(wrong(
                    vessel,
                    format!(
                        "a vessel for {}: salts, acids and zinc go into the kettle, and zinc \
                         nowhere else",
                        reagent.key
                    ),
                    format!("Leave \"{}\" out.", vessel.key()),
                ));
            }
        }
        problems
    }
}
