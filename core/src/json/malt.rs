//! A malt of the grist: its class, or the lot's own numbers.

use underlet_tables::{MALTS, Malt as Row, parameters};

use super::curve::{curve, write_curve};
use super::writer::ObjectWriter;
use super::{Name, ObjectReader};
use crate::checker::{Checker, Field};
use crate::error::{ErrorCode, Problem};
use crate::mash::{
    BenchPoint, Certificate, CertificateError, Malt, TitrationCurve, TitrationError, titrated,
};
use crate::quantity;

/// What is weighed in.
const MASS: Field = Field::new("mass", &quantity::MALT_MASS);
/// Longest titration.
const MOST_READINGS: usize = 40;
/// How far outside of its class's colours a lot's may lie, as a factor: lots and crops differ (a
/// choice of ours).
const COLOUR_ROOM: f64 = 2.0;

/// A malt or adjunct, its mass so many times what is written.
pub(super) fn malt(item: &mut ObjectReader<'_>, recipe_scale: f64) -> Option<Malt> {
    let classes: Vec<Name<'static>> = MALTS.iter().map(|row| (row.class, [].as_slice())).collect();
    item.describe(
        "malt",
        "Trade class of the malt; leave it out for one that is given by numbers.",
    );
    let by_class = item.has("malt");
    let class = item
        .optional_choice("malt", &classes)
        .and_then(|index| MALTS.get(index));
    item.describe("name", "Name of the lot, where it is not the class.");
    let name = item.optional_text("name");
    item.describe("mass", "Mass weighed in.");
    let mass_kg = item.field(MASS);
    let mass_kg = item.times(MASS, mass_kg, recipe_scale);
    let certificate = certificate(item);
    let readings = titration(item);
    item.describe(
        "curve",
        "The lot's titration curve, as a document that the engine wrote states it, in place of \
         the figures of a certificate.",
    );
    let curve = item.optional_object("curve", curve);
    let has_curve = item.has("curve");
    let has_titration = item.has("titration");
    let has_ph = certificate.ph_in_distilled_water.is_some() || certificate.congress_ph.is_some();
    let has_buffering =
        certificate.buffering_eq_per_kg_ph.is_some() || certificate.acidity.is_some();
    let by_lactic_acid = certificate.lactic_acid_percent.is_some();
    if !(by_class || has_titration || has_curve || item.has("lactic_acid")) {
        missing(item);
    }
    check_colour(item, class, certificate.colour_ebc);
    check_one_way(item, class);
    let is_known = if by_class {
        class.is_some()
    } else {
        has_titration || has_curve || by_lactic_acid || (has_ph && has_buffering)
    };
    if !is_known {
        return None;
    }
    if has_curve {
        let (curve, is_class_prior) = curve?;
        return Some(Malt {
            name: name.unwrap_or_else(|| "malt".to_owned()),
            mass_kg: mass_kg?,
            curve,
            is_class_prior,
        });
    }
    let curve = if has_titration {
        curve_of(item, &readings)?
    } else {
        curve_by(item, &certificate, class)?
    };
    check_curve(item, &curve);
    Some(Malt {
        name: name
            .or_else(|| class.map(|row| row.class.to_owned()))
            .unwrap_or_else(|| "malt".to_owned()),
        mass_kg: mass_kg?,
        curve,
        is_class_prior: !(has_titration || by_lactic_acid || (has_ph && has_buffering)),
    })
}

/// The lot's own figures.
fn certificate(item: &mut ObjectReader<'_>) -> Certificate {
    item.describe(
        "ph_in_distilled_water",
        "The lot's own pH in distilled water, cooled sample.",
    );
    let ph_in_distilled_water = item.optional_quantity("ph_in_distilled_water", &quantity::MALT_PH);
    item.describe(
        "congress_ph",
        "pH of the lot's Congress wort, as its certificate states it; a mash reads lower.",
    );
    let congress_ph = item.optional_quantity("congress_ph", &quantity::MALT_PH);
    item.describe("ph_sd", "Standard deviation of its pH.");
    let ph_sd = item.optional_quantity("ph_sd", &quantity::PH_SD);
    item.describe("buffering", "The lot's own buffering.");
    let buffering = item.optional_quantity("buffering", &quantity::BUFFERING);
    item.describe("buffering_sd", "Standard deviation of its buffering.");
    let buffering_sd = item.optional_quantity("buffering_sd", &quantity::BUFFERING_SD);
    item.describe(
        "acidity",
        "Base that brings the lot's mash up to a pH, from a titration; in place of the buffering.",
    );
    let acidity = item.optional_quantity("acidity", &quantity::ACIDITY);
    item.describe(
        "acidity_to_ph",
        "The pH that the acidity was titrated to; 5.7 where it is left out.",
    );
    let to_ph = item.optional_quantity("acidity_to_ph", &quantity::PH);
    item.describe("lactic_acid", "Lactic acid of acidulated malt, by mass.");
    let lactic_acid_percent = item.optional_quantity("lactic_acid", &quantity::LACTIC_ACID);
    item.describe(
        "colour",
        "The lot's colour; the acidity of caramel malts follows it.",
    );
    let colour_ebc = item.optional_quantity("colour", &quantity::COLOUR);
    Certificate {
        colour_ebc,
        ph_in_distilled_water,
        congress_ph,
        ph_sd,
        buffering_eq_per_kg_ph: buffering.map(|buffering| buffering / 1000.0),
        buffering_sd: buffering_sd.map(|sd| sd / 1000.0),
        acidity: acidity.map(|acidity| {
            let to_ph = to_ph.unwrap_or(parameters::MALT_ACIDITY_END_PH.value);
            [acidity / 1000.0, to_ph]
        }),
        lactic_acid_percent,
    }
}

fn titration(item: &mut ObjectReader<'_>) -> Vec<BenchPoint> {
    item.describe(
        "titration",
        "The lot titrated on the bench in distilled water: pH of cooled samples with acid or base.",
    );
    item.list("titration", 0, MOST_READINGS, |reading| {
        reading.describe("acid", "Acid added, per kg of malt; leave it out for none.");
        let acid = reading.optional_quantity("acid", &quantity::ACIDITY);
        reading.describe("base", "Base added, in place of acid.");
        let base = reading.optional_quantity("base", &quantity::ACIDITY);
        reading.describe("ph", "pH of the cooled sample.");
        let ph = reading.quantity("ph", &quantity::PH);
        Some(BenchPoint {
            acid_eq_per_kg: (acid.unwrap_or_default() - base.unwrap_or_default()) / 1000.0,
            ph: ph?,
        })
    })
}

/// A malt without a class wants its pH and its buffering.
fn missing(item: &mut ObjectReader<'_>) {
    for (key, others) in [
        (
            "ph_in_distilled_water",
            ["ph_in_distilled_water", "congress_ph"],
        ),
        ("buffering", ["buffering", "acidity"]),
    ] {
        if others.iter().all(|other| !item.has(other)) {
            item.problem(
                key,
                ErrorCode::MissingKey,
                "nothing",
                "a malt class, or the malt's own numbers",
                "Name a class with \"malt\", or give \"ph_in_distilled_water\" and \"buffering\".",
            );
        }
    }
}

fn check_colour(item: &mut ObjectReader<'_>, class: Option<&Row>, colour_ebc: Option<f64>) {
    let (Some(row), Some(colour)) = (class, colour_ebc) else {
        return;
    };
    let [low, high] = row.colour_ebc;
    if colour < low / COLOUR_ROOM || colour > high * COLOUR_ROOM {
        item.problem(
            "colour",
            ErrorCode::Contradiction,
            format!("{} for {}", quantity::COLOUR.write(colour), row.class),
            format!("a colour near {low} to {high} EBC"),
            "Name the class that has this colour, or check the unit: EBC, not °L or SRM.",
        );
    }
}

/// A curve says all, and so does a titration of it; lactic acid says all of acidulated malt. Other
/// figures beside them are one too many.
fn check_one_way(item: &mut ObjectReader<'_>, class: Option<&Row>) {
    const OF_LOT: [&str; 10] = [
        "malt",
        "colour",
        "titration",
        "ph_in_distilled_water",
        "congress_ph",
        "ph_sd",
        "buffering",
        "buffering_sd",
        "acidity",
        "lactic_acid",
    ];
    for (key, others) in [
        ("curve", &OF_LOT[..]),
        ("titration", &OF_LOT[3..]),
        ("lactic_acid", &OF_LOT[3..9]),
        ("congress_ph", &["ph_in_distilled_water"]),
        ("acidity", &["buffering"]),
    ] {
        if let Some(other) = others.iter().find(|other| item.has(key) && item.has(other)) {
            item.problem(
                key,
                ErrorCode::Contradiction,
                format!("\"{key}\" beside \"{other}\""),
                "one of the two: they state the same thing",
                "Keep the one that was measured on this lot.",
            );
        }
    }
    if let Some(row) = class.filter(|row| !row.acidulated && item.has("lactic_acid")) {
        item.problem(
            "lactic_acid",
            ErrorCode::Contradiction,
            format!("lactic acid in {}", row.class),
            "acidulated malt",
            "Name the class \"acidulated malt\", or leave \"lactic_acid\" out.",
        );
    }
}

fn curve_of(item: &mut ObjectReader<'_>, readings: &[BenchPoint]) -> Option<TitrationCurve> {
    // A reading that could not be read has its own problem.
    if readings.len() < item.length("titration") {
        return None;
    }
    match titrated(readings) {
        Ok(titrated) => Some(titrated.curve),
        Err(error) => {
            let hint = match error {
                TitrationError::WrongWay => "Write acid as \"acid\" and base as \"base\".",
                TitrationError::Scattered { .. } | TitrationError::NotAReading { .. } => {
                    "Look for a slip among the readings; repeat the odd one."
                }
                _ => {
                    "Give readings from the malt's own pH, without acid or base, down to the pH of \
                     a mash."
                }
            };
            item.problem(
                "titration",
                ErrorCode::Contradiction,
                error.to_string(),
                "readings on one smooth curve, two or more, over 0.2 pH or more",
                hint,
            );
            None
        }
    }
}

/// A curve that follows from other figures than its own, such as an acidity: what is no curve of a
/// malt is a problem with them. Its own figures have been read within the same limits.
fn check_curve(item: &mut ObjectReader<'_>, curve: &TitrationCurve) {
    let mut checker = Checker::new();
    curve.examine(&mut checker);
    for problem in checker.into_problems() {
        let of_ph = problem.path.starts_with("ph");
        let key = ["titration", "lactic_acid"]
            .into_iter()
            .find(|key| item.has(key));
        let key = key.unwrap_or(if of_ph { "congress_ph" } else { "acidity" });
        let found = format!("a curve of {} {}", problem.path, problem.found);
        let path = String::new();
        item.checked::<()>(
            key,
            Err(Problem {
                path,
                found,
                ..problem
            }),
        );
    }
}

fn curve_by(
    item: &mut ObjectReader<'_>,
    certificate: &Certificate,
    class: Option<&Row>,
) -> Option<TitrationCurve> {
    let mut curve = match certificate.curve(class) {
        Ok(curve) => curve,
        Err(error) => {
            // Missing numbers have been reported.
            if error == CertificateError::AcidityTooNear {
                item.problem(
                    "acidity",
                    ErrorCode::Contradiction,
                    error.to_string(),
                    "an acidity to a pH well above the malt's own",
                    "Give \"acidity_to_ph\"; of a pale malt give \"buffering\" or a \"titration\".",
                );
            }
            return None;
        }
    };
    // A standard deviation alone replaces the class's.
    let has_ph = certificate.ph_in_distilled_water.is_some() || certificate.congress_ph.is_some();
    if let Some(sd) = certificate.ph_sd.filter(|_| !has_ph) {
        curve.distilled_water_ph_sd = sd;
    }
    if let Some(sd) = certificate.buffering_sd {
        curve.buffering_sd = sd;
    }
    Some(curve)
}

/// A malt of a grist that is brewed so many times: its class where that says all.
pub(super) fn write_malt(malt: &Malt, recipe_scale: f64) -> ObjectWriter {
    let is_average = |row: &&Row| malt.is_class_prior && TitrationCurve::of_row(row) == malt.curve;
    let mut of = ObjectWriter::default();
    let rows = || MALTS.iter().filter(is_average);
    let named = rows().find(|row| row.class == malt.name);
    if let Some(row) = named.or_else(|| rows().next()) {
        of.put("malt", row.class);
    } else {
        of.object("curve", write_curve(&malt.curve, malt.is_class_prior));
    }
    of.put("name", malt.name.as_str());
    of.field(
        Field::new("mass", &quantity::MALT_MASS),
        malt.mass_kg / recipe_scale,
    );
    of
}
