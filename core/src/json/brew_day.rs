//! Reads a `brew-day` document.

use underlet_tables::{REAGENTS, Reagent, parameters};

use super::malt::malt;
use super::today_liquor::today_liquor;
use super::{Name, ObjectReader};
use crate::brewday::{BOILING_C, BrewDay, Draw, Kettle, Shelved, Source, Targets, Vessel, Wanted};
use crate::error::Code;
use crate::ion::{Composition, Ion};
use crate::liquor::{Liquor, assumed_ph, water_density_kg_per_l, water_kg};
use crate::mash::Malt;
use crate::quantity::{self, Amount, BareAmount, Range, Strength, Substance};
use crate::reagent::Preparation;
use crate::report;
use crate::treatment::Chlorine;

/// Longest lists a brew day can have.
const MOST_SOURCES: usize = 6;
const MOST_MALTS: usize = 30;
pub(super) const MOST_REAGENTS: usize = 30;
/// Liquor per grain that a mash can have, L/kg: a slipped decimal point lies outside (common practice, no source).
const THICKNESS_L_PER_KG: [f64; 2] = [1.0, 20.0];
/// Least buffering of a whole grist: a tenth of malt among sugar has several times as much.
const LEAST_BUFFERING_MEQ_PER_KG_PH: f64 = 1.0;

/// Reads the whole document; what it returns is a day only if no problem was met.
pub(super) fn brew_day(day: &mut ObjectReader<'_>) -> Option<BrewDay> {
    day.describe("underlet", "Format version of the document.");
    day.version("underlet", u64::from(crate::FORMAT_VERSION));
    day.describe("name", "Name of the brew.");
    let name = day.text("name");
    day.describe("brewhouse", "Name of the brewhouse.");
    let brewhouse = day.optional_text("brewhouse");
    day.describe(
        "sources",
        "Waters to draw from; the first is drawn where nothing speaks against it.",
    );
    let sources = day.list("sources", 1, MOST_SOURCES, source);
    day.describe("hot_liquor_tank", "The tank that mash and sparge liquor are drawn from; leave it out where liquor comes ready and only the tun can be dosed.");
    let has_tank = day.has("hot_liquor_tank");
    let tank = day.optional_object("hot_liquor_tank", |tank| draw(tank, "fill", "temperature"));
    day.describe("grist", "Malts and adjuncts.");
    let grist = day.list("grist", 1, MOST_MALTS, malt);
    day.describe("mash", "Liquor let into the grist.");
    let mash = day.object("mash", |mash| {
        let liquor = draw(mash, "liquor", "liquor_temperature");
        mash.describe("rest_temperature", "Temperature at which the mash rests.");
        let rest = mash.quantity("rest_temperature", &quantity::TEMPERATURE);
        Some((liquor?, rest?))
    });
    day.describe(
        "sparge",
        "Liquor for sparging; leave it out without a sparge.",
    );
    let has_sparge = day.has("sparge");
    let sparge = day.optional_object("sparge", |sparge| {
        draw(sparge, "liquor", "liquor_temperature")
    });
    day.describe(
        "kettle",
        "The boil; an hour of it, at the usual rate, where it is left out.",
    );
    let kettle = day.optional_object("kettle", |kettle| Some(boil(kettle)));
    day.describe(
        "targets",
        "What the beer wants; ions count over all the brewing liquor.",
    );
    let targets = day.optional_object("targets", |of| Some(targets(of)));
    let (targets, mash_ph_confidence) = targets.unwrap_or_default();
    day.describe("shelf", "Reagents at hand.");
    let shelf = day.list("shelf", 0, MOST_REAGENTS, |item| {
        shelved(item, has_tank, has_sparge)
    });
    day.describe(
        "most_salts",
        "Most different salts and bases to weigh, wherever they go; acids are not counted. As many as help where it is left out.",
    );
    let most_salts = count(day, "most_salts");
    day.describe(
        "alternatives",
        "Whether to tell what else could be done: a salt fewer, another acid, dilution, one reagent more.",
    );
    let alternatives = day.optional_flag("alternatives");

    unique(
        day,
        "sources",
        sources.iter().map(|source| source.name.as_str()),
        "Join the two, or rename one.",
    );
    unique(
        day,
        "shelf",
        shelf.iter().map(|item| item.preparation.reagent.key),
        "Keep one of the two.",
    );
    check_grist(day, &grist, mash.as_ref().map(|(liquor, _)| liquor));
    check_volumes(
        day,
        &sources,
        tank.as_ref(),
        mash.as_ref().map(|(liquor, _)| liquor),
        (has_sparge, sparge.as_ref()),
    );
    check_boil(
        day,
        kettle.as_ref(),
        &grist,
        mash.as_ref().map(|(liquor, _)| liquor),
        sparge.as_ref(),
    );

    let (mash, rest_temperature_c) = mash?;
    Some(BrewDay {
        name: name?,
        brewhouse: brewhouse.unwrap_or_else(|| "Brewhouse".to_owned()),
        sources,
        tank,
        grist,
        mash,
        rest_temperature_c,
        sparge,
        kettle: kettle.unwrap_or_default(),
        targets,
        mash_ph_confidence,
        shelf,
        most_salts,
        alternatives: alternatives.unwrap_or(false),
    })
}

/// A whole number.
pub(super) fn count(of: &mut ObjectReader<'_>, key: &'static str) -> Option<usize> {
    let number = of.optional_quantity(key, &quantity::COUNT)?;
    let whole = (0..=MOST_REAGENTS).find(|count| *count as f64 == number);
    if whole.is_none() {
        of.problem(
            key,
            Code::OutOfRange,
            number.to_string(),
            format!("a whole number up to {MOST_REAGENTS}"),
            format!("Write \"{key}\": 4."),
        );
    }
    whole
}

fn boil(kettle: &mut ObjectReader<'_>) -> Kettle {
    kettle.describe("boil", "How long it boils.");
    let boil_h = kettle.optional_quantity("boil", &quantity::BOIL_TIME);
    kettle.describe("boil_off", "What boils off in all, as read boiling hot.");
    Kettle {
        boil_h,
        boil_off_l: kettle.optional_quantity("boil_off", &quantity::BOIL_OFF),
    }
}

fn draw(
    of: &mut ObjectReader<'_>,
    volume: &'static str,
    temperature: &'static str,
) -> Option<Draw> {
    of.describe(volume, "Volume as read at its temperature.");
    let volume_l = of.quantity(volume, &quantity::LIQUOR_VOLUME);
    of.describe(temperature, "Temperature of that liquor.");
    let temperature_c = of.quantity(temperature, &quantity::TEMPERATURE);
    Some(Draw {
        volume_l: volume_l?,
        temperature_c: temperature_c?,
    })
}

pub(super) fn source(source: &mut ObjectReader<'_>) -> Option<Source> {
    source.describe("name", "Name of the water, such as \"well\".");
    let name = source.text("name");
    let mut ions = Composition::NOTHING;
    for ion in Ion::ALL.into_iter().filter(|ion| !ion.is_weak_acid()) {
        if let Some(amount) =
            source.optional_concentration(ion.key(), &quantity::ION, &ion.substance())
        {
            ions.set(ion, amount);
        }
    }
    source.describe(
        "liquor",
        "Today's liquor out of a water document (its `today.liquor`), in place of ions, alkalinity and pH: how surely it is known \
         counts in the error bars.",
    );
    let reconciled = source.optional_object("liquor", today_liquor);
    let is_reconciled = source.has("liquor");
    let alkalinity = alkalinity(source, is_reconciled);
    source.describe("ph", "pH of the report; without it 7.5 is taken.");
    let ph = source.optional_quantity("ph", &quantity::PH);
    let chlorine = chlorine(source);
    source.describe("at_most", "Most that can be drawn for this brew, cold.");
    let at_most_l = source.optional_quantity("at_most", &quantity::AVAILABLE_VOLUME);
    if is_reconciled {
        check_alone(source);
        return Some(Source {
            chlorine: chlorine?,
            ..Source::reconciled(name?, &reconciled?, at_most_l)
        });
    }
    let temperature_c = parameters::SAMPLE_TEMPERATURE.value;
    let mut liquor = Liquor {
        ions,
        alkalinity_eq_per_kg: alkalinity?,
        carbon_mol_per_kg: 0.0,
        temperature_c,
    };
    let carbon = report::carbon_mol_per_kg(&liquor, ph.unwrap_or_else(assumed_ph));
    let Some(carbon) = carbon else {
        source.problem(
            "ph",
            Code::Contradiction,
            format!(
                "pH {} beside an alkalinity of {}",
                ph.unwrap_or_else(assumed_ph),
                quantity::ALKALINITY.write(liquor.alkalinity_eq_per_kg)
            ),
            "a pH at which water can carry this alkalinity",
            "Check both values: acid water carries little alkalinity, and a high pH alone makes some.",
        );
        return None;
    };
    liquor.carbon_mol_per_kg = carbon;
    Some(Source {
        name: name?,
        liquor,
        ph_assumed: ph.is_none(),
        chlorine: chlorine?,
        at_most_l,
        reconciled: None,
    })
}

/// Chlorine, none where none is stated. What a total holds beyond the free is combined.
fn chlorine(source: &mut ObjectReader<'_>) -> Option<Chlorine> {
    let [free, total] = [
        (report::Subject::FreeChlorine, "Free chlorine, as Cl2."),
        (
            report::Subject::TotalChlorine,
            "Total chlorine, chloramines among it, as Cl2.",
        ),
    ]
    .map(|(subject, text)| {
        source.describe(subject.key(), text);
        let quantity = subject.quantity();
        source.optional_concentration(subject.key(), quantity, &subject.substance())
    });
    let combined = total.zip(free).map_or(total, |(total, free)| {
        (free <= total).then_some(total - free)
    });
    if total.is_some() && combined.is_none() {
        source.problem(
            "total_chlorine",
            Code::Contradiction,
            "less than the free chlorine",
            "free and combined chlorine together",
            "Check both values; the total is never less than the free.",
        );
        return None;
    }
    Some(Chlorine {
        free_mol_per_kg: free.unwrap_or(0.0),
        combined_mol_per_kg: combined.unwrap_or(0.0),
    })
}

/// A reconciled liquor says all of a source's composition.
fn check_alone(source: &mut ObjectReader<'_>) {
    let others = ["alkalinity", "bicarbonate", "ph"];
    for key in Ion::ALL.into_iter().map(Ion::key).chain(others) {
        if source.has(key) {
            source.problem(
                key,
                Code::Contradiction,
                format!("\"{key}\" beside \"liquor\""),
                "either the liquor of a water document, or the composition itself",
                "Move it into the water report, or delete it.",
            );
        }
    }
}

/// Alkalinity, or bicarbonate in its place.
fn alkalinity(source: &mut ObjectReader<'_>, is_reconciled: bool) -> Option<f64> {
    source.describe("alkalinity", "Total alkalinity; or give bicarbonate.");
    source.describe("bicarbonate", "Bicarbonate, in place of alkalinity.");
    let given = (source.has("alkalinity"), source.has("bicarbonate"));
    let alkalinity = source.optional_quantity("alkalinity", &quantity::ALKALINITY);
    let bicarbonate = source.optional_concentration(
        "bicarbonate",
        &quantity::ION,
        &report::Subject::Bicarbonate.substance(),
    );
    if given == (false, false) && !is_reconciled {
        source.problem(
            "alkalinity",
            Code::MissingKey,
            "nothing",
            quantity::ALKALINITY.expectation(),
            "Write \"alkalinity\": \"180 mg/L as CaCO3\", or give \"bicarbonate\".",
        );
    }
    if let (Some(alkalinity), Some(bicarbonate)) = (alkalinity, bicarbonate)
        && (alkalinity - bicarbonate).abs()
            > parameters::ALKALINITY_AGREEMENT.value * alkalinity.max(bicarbonate)
    {
        source.problem(
            "bicarbonate",
            Code::Contradiction,
            format!(
                "bicarbonate worth {} beside an alkalinity of {}",
                quantity::ALKALINITY.write(bicarbonate),
                quantity::ALKALINITY.write(alkalinity)
            ),
            "two values that agree",
            "Give the one that was measured; one of them may be stated on the other's basis.",
        );
    }
    alkalinity.or(bicarbonate)
}

/// A target beside the ions: its key, its quantity and what it is.
pub(super) type Other = (&'static str, &'static quantity::Quantity, &'static str);

pub(super) const SULFATE_TO_CHLORIDE: Other = (
    "sulfate_to_chloride",
    &quantity::RATIO,
    "Sulfate to chloride, by mass.",
);

/// What is wanted, and the confidence that the mash pH should have.
fn targets(of: &mut ObjectReader<'_>) -> (Targets, Option<f64>) {
    let others = [
        SULFATE_TO_CHLORIDE,
        (
            "mash_ph",
            &quantity::MASH_PH,
            "pH of the mash, sample cooled to 20 °C.",
        ),
        (
            "sparge_alkalinity",
            &quantity::ALKALINITY,
            "Alkalinity of the sparge liquor.",
        ),
        (
            "sparge_ph",
            &quantity::PH,
            "pH of the fresh sparge liquor, sample cooled to 20 °C.",
        ),
    ];
    let mut targets = Targets::default();
    let mut wanted = [None; 4];
    targets.ions = ranges(of, &others, &mut wanted);
    [
        targets.sulfate_to_chloride,
        targets.mash_ph,
        targets.sparge_alkalinity,
        targets.sparge_ph,
    ] = wanted;
    let confidence = confidence(of, &targets);
    (targets, confidence)
}

/// Ranges of ions and, into `wanted`, of `others`, each with its weight.
pub(super) fn ranges(
    of: &mut ObjectReader<'_>,
    others: &[Other],
    wanted: &mut [Option<Wanted>],
) -> Vec<(Ion, Wanted)> {
    of.describe(
        "weights",
        "How much a target counts beside the others; 1 where it is left out.",
    );
    let mut weights = Vec::new();
    let wanted_ions = || Ion::ALL.into_iter().filter(|ion| !ion.is_weak_acid());
    of.optional_object("weights", |of| {
        let others = others.iter().map(|(key, ..)| *key);
        for key in wanted_ions().map(Ion::key).chain(others) {
            weights.extend(
                of.optional_quantity(key, &quantity::WEIGHT)
                    .map(|weight| (key, weight)),
            );
        }
        Some(())
    });
    let weighted = |key: &str, range: Range| Wanted {
        low: range.low,
        high: range.high,
        prefer: range.prefer,
        weight: weights
            .iter()
            .find(|(of, _)| *of == key)
            .map_or(1.0, |(_, weight)| *weight),
    };
    let mut ions = Vec::new();
    for ion in wanted_ions() {
        if let Some(range) = of.optional_range(ion.key(), &quantity::ION, &ion.substance()) {
            ions.push((ion, weighted(ion.key(), range)));
        }
    }
    for ((key, quantity, text), wanted) in others.iter().zip(wanted) {
        of.describe(key, text);
        *wanted = of
            .optional_range(key, quantity, &Substance::NONE)
            .map(|range| weighted(key, range));
    }
    ions
}

/// The chance that the mash pH should have of landing in its range.
fn confidence(of: &mut ObjectReader<'_>, targets: &Targets) -> Option<f64> {
    of.describe(
        "confidence",
        "Chance that a target should have of landing in its range; it is aimed so far inside.",
    );
    let confidence = of.optional_object("confidence", |of| {
        of.optional_quantity("mash_ph", &quantity::CONFIDENCE)
    })?;
    // A range that could not be read has its own problem.
    let unread = of.has("mash_ph");
    let has_range = targets
        .mash_ph
        .map_or(unread, |range| range.low != range.high);
    if !has_range {
        of.problem(
            "confidence",
            Code::Contradiction,
            "a confidence without a range of mash pH to land in",
            "a \"mash_ph\" with two ends, or one end",
            "Write \"mash_ph\": \"5.3 to 5.5\", or leave \"confidence\" out.",
        );
    }
    Some(confidence)
}

/// A reagent as it is bought and weighed, wherever it goes.
pub(super) fn measured(item: &mut ObjectReader<'_>) -> Option<Shelved> {
    let names: Vec<Name<'static>> = REAGENTS.iter().map(|row| (row.key, row.aliases)).collect();
    item.describe("reagent", "What stands on the shelf.");
    let reagent = item
        .choice("reagent", &names)
        .and_then(|index| REAGENTS.get(index));
    item.describe(
        "strength",
        "Strength of a solution or assay of a solid; the usual one where it is left out.",
    );
    let written = item.optional_strength("strength");
    let bare = if reagent.is_some_and(|row| row.liquid) {
        BareAmount::Millilitres
    } else {
        BareAmount::Grams
    };
    item.describe(
        "step",
        "Step of the scale or measuring cylinder; 1 g or 1 mL where it is left out.",
    );
    let step = amount(item, "step", &quantity::SCALE_STEP, reagent, bare);
    item.describe(
        "smallest",
        "Smallest dose that makes sense; one step where it is left out.",
    );
    let smallest = amount(item, "smallest", &quantity::STOCK, reagent, bare);
    item.describe("stock", "Stock on hand; plenty where it is left out.");
    let stock = amount(item, "stock", &quantity::STOCK, reagent, bare);
    let reagent = reagent?;
    let strength_percent = strength(item, reagent, written)?;
    let step = step.unwrap_or(1.0);
    Some(Shelved {
        preparation: Preparation {
            reagent,
            strength_percent,
        },
        step,
        smallest: smallest.unwrap_or(step),
        stock,
        at: Vec::new(),
    })
}

fn shelved(item: &mut ObjectReader<'_>, has_tank: bool, has_sparge: bool) -> Option<Shelved> {
    let measured = measured(item);
    item.describe(
        "at",
        "Vessels it may go into; the usual ones where it is left out.",
    );
    let vessels: Vec<Name<'static>> = Vessel::ALL
        .iter()
        .map(|vessel| (vessel.key(), [].as_slice()))
        .collect();
    let at = item.optional_choices("at", &vessels);
    let at = at.map(|chosen| {
        chosen
            .into_iter()
            .filter_map(|index| Vessel::ALL.get(index).copied())
            .collect::<Vec<_>>()
    });
    for vessel in at.iter().flatten() {
        let (there, key) = match vessel {
            Vessel::HotLiquorTank => (has_tank, "hot_liquor_tank"),
            Vessel::SpargeLiquor => (has_sparge, "sparge"),
            Vessel::MashTun => (true, "mash"),
        };
        if !there {
            item.problem(
                "at",
                Code::Contradiction,
                vessel.key(),
                format!("a vessel of this day, which has no \"{key}\""),
                format!(
                    "Give the day a \"{key}\", or leave \"{}\" out.",
                    vessel.key()
                ),
            );
        }
    }
    let mut shelved = measured?;
    let reagent = shelved.preparation.reagent;
    shelved.at = at.unwrap_or_else(|| Shelved::usual_vessels(reagent, has_tank));
    Some(shelved)
}

/// An amount in the reagent's own unit: grams of a solid, millilitres of a liquid.
pub(super) fn amount(
    item: &mut ObjectReader<'_>,
    key: &'static str,
    of: &'static quantity::Quantity,
    reagent: Option<&Reagent>,
    bare: BareAmount,
) -> Option<f64> {
    let amount = item.optional_amount(key, of, bare)?;
    let liquid = reagent.is_none_or(|row| row.liquid);
    match (amount, liquid, reagent) {
        (Amount::Millilitres(value), true, _) | (Amount::Grams(value), false, _) => Some(value),
        (_, _, None) => None,
        (_, liquid, Some(row)) => {
            let unit = if liquid { "mL" } else { "g" };
            item.problem(
                key,
                Code::WrongUnit,
                amount.to_string(),
                format!(
                    "{} of {}",
                    if liquid { "millilitres" } else { "grams" },
                    row.key
                ),
                format!("Write \"{key}\": \"10 {unit}\"."),
            );
            None
        }
    }
}

/// Strength in % by mass, from what was written or the usual one.
pub(super) fn strength(
    item: &mut ObjectReader<'_>,
    reagent: &'static Reagent,
    written: Option<Strength>,
) -> Option<f64> {
    let [low, high] = reagent.strength_range_percent;
    let percent = match written {
        None => Some(reagent.usual_strength_percent),
        Some(Strength::MassPercent(percent)) => Some(percent),
        Some(Strength::MolPerLitre(molarity)) => {
            Preparation::of_molarity(reagent, molarity).map(|made| made.strength_percent)
        }
    };
    let inside = percent.filter(|percent| (low..=high).contains(percent));
    if inside.is_none() {
        item.problem(
            "strength",
            Code::OutOfRange,
            written.map_or_else(String::new, |strength| strength.to_string()),
            format!("{} from {low} to {high} % by mass", reagent.key),
            format!(
                "Read the label and write \"strength\": \"{} %\".",
                reagent.usual_strength_percent
            ),
        );
    }
    inside
}

/// Two things of one name are a slip.
pub(super) fn unique<'n>(
    day: &mut ObjectReader<'_>,
    list: &'static str,
    names: impl Iterator<Item = &'n str>,
    mend: &str,
) {
    let mut seen: Vec<&str> = Vec::new();
    for name in names {
        if seen.contains(&name) {
            day.problem(
                list,
                Code::Duplicate,
                format!("\"{name}\" twice"),
                "each name once",
                mend,
            );
        }
        seen.push(name);
    }
}

fn check_grist(day: &mut ObjectReader<'_>, grist: &[Malt], mash: Option<&Draw>) {
    // A malt that could not be read has its own problem, and would falsify the sums.
    if grist.is_empty() || grist.len() < day.length("grist") {
        return;
    }
    let mass_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    let buffering: f64 = grist
        .iter()
        .map(|malt| malt.mass_kg / mass_kg * malt.curve.buffering_eq_per_kg_ph * 1000.0)
        .sum();
    if buffering < LEAST_BUFFERING_MEQ_PER_KG_PH {
        day.problem(
            "grist",
            Code::Contradiction,
            format!("a grist that buffers {buffering:.2} mEq/(kg pH), too little to set a pH"),
            format!("at least {LEAST_BUFFERING_MEQ_PER_KG_PH} mEq/(kg pH): enough malt to set the mash pH"),
            "Add the malt that is mashed, or check the \"buffering\" of a lot.",
        );
    }
    let Some(mash) = mash else { return };
    let [low, high] = THICKNESS_L_PER_KG;
    let thickness = mash.volume_l / mass_kg;
    if !(low..=high).contains(&thickness) {
        day.problem(
            "mash.liquor",
            Code::OutOfRange,
            format!(
                "{} for this grist, {thickness:.2} L/kg",
                quantity::LIQUOR_VOLUME.write(mash.volume_l)
            ),
            format!("{low} to {high} L of liquor per kg of grist"),
            "Check the volume, the masses of the malts and their units.",
        );
    }
}

fn check_volumes(
    day: &mut ObjectReader<'_>,
    sources: &[Source],
    tank: Option<&Draw>,
    mash: Option<&Draw>,
    (has_sparge, sparge): (bool, Option<&Draw>),
) {
    let mass = |draw: &Draw| water_kg(draw.volume_l, draw.temperature_c);
    let Some(mash) = mash else { return };
    if has_sparge && sparge.is_none() {
        return;
    }
    let drawn = mass(mash) + sparge.map_or(0.0, mass);
    if let Some(tank) = tank
        && mass(tank) < drawn * (1.0 - ROUNDING)
    {
        let litres = drawn / water_density_kg_per_l(tank.temperature_c);
        day.problem(
            "hot_liquor_tank.fill",
            Code::Overdraw,
            quantity::LIQUOR_VOLUME.write(tank.volume_l),
            format!(
                "at least {} at its temperature, which mash and sparge draw",
                quantity::LIQUOR_VOLUME.write(litres)
            ),
            "Fill the tank further, or draw less.",
        );
    }
    let needed =
        tank.map_or(drawn, mass) / water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let available: Option<f64> = sources.iter().map(|source| source.at_most_l).sum();
    let all_read = !sources.is_empty() && sources.len() == day.length("sources");
    if let Some(available) = available.filter(|litres| all_read && *litres < needed) {
        day.problem(
            "sources",
            Code::Overdraw,
            format!("{} in all", quantity::LIQUOR_VOLUME.write(available)),
            format!(
                "at least {} of cold water",
                quantity::LIQUOR_VOLUME.write(needed)
            ),
            "Raise an \"at_most\", leave it out, or add a source.",
        );
    }
}

/// More cannot boil off than the grains let into the kettle.
fn check_boil(
    day: &mut ObjectReader<'_>,
    kettle: Option<&Kettle>,
    grist: &[Malt],
    mash: Option<&Draw>,
    sparge: Option<&Draw>,
) {
    let stated = kettle.and_then(|kettle| kettle.boil_off_l);
    let (Some(boil_off_l), Some(mash)) = (stated, mash) else {
        return;
    };
    let mass = |draw: &Draw| water_kg(draw.volume_l, draw.temperature_c);
    let grist_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    let kept = parameters::GRAIN_RETENTION.value * grist_kg;
    let full_kg = mass(mash) + sparge.map_or(0.0, mass) - kept;
    if water_kg(boil_off_l, BOILING_C) >= full_kg {
        day.problem(
            "kettle.boil_off",
            Code::Overdraw,
            quantity::BOIL_OFF.write(boil_off_l),
            "less than mash and sparge liquor bring into the kettle",
            "Write what boils off in all, not what is left.",
        );
    }
}

/// What a sight glass cannot tell apart.
const ROUNDING: f64 = 0.001;
