//! Targets: ranges, their weights, and the confidence of a pH.

use super::ObjectReader;
use super::writer::ObjectWriter;
use crate::component::Component;
use crate::quantity::{self, Range, Substance};
use crate::recipe::check::unranged_confidences;
use crate::recipe::{BrewDay, LimitedQuantity, TargetRange, Targets};

/// A target beside the ions: its key, its quantity and what it is.
pub(super) type Other = (&'static str, &'static quantity::Quantity, &'static str);

pub(super) const SULFATE_TO_CHLORIDE: Other = (
    "sulfate_to_chloride",
    &quantity::RATIO,
    "Sulfate to chloride, by mass.",
);

/// Those of a brew day.
const OF_DAY: [Other; 4] = [
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

/// Targets of liquor and mash, confidences of mash and sparge pH, and targets of the kettle's pH,
/// which no fit weighs against the rest.
pub(super) fn targets(
    of: &mut ObjectReader<'_>,
) -> (Targets, [Option<f64>; 2], Option<TargetRange>) {
    let mut targets = Targets::default();
    let mut of_others = [None; 4];
    targets.ions = ranges(of, &OF_DAY, &mut of_others);
    [
        targets.sulfate_to_chloride,
        targets.mash_ph,
        targets.sparge_alkalinity,
        targets.sparge_ph,
    ] = of_others;
    of.describe(
        "kettle_ph",
        "pH of the full kettle, sample cooled to 20 °C: acid that may go there brings it down.",
    );
    let kettle_ph = of.optional_range("kettle_ph", &quantity::KETTLE_PH, &Substance::NONE);
    targets.limits = limits(of);
    let confidences = confidences(of, &targets);
    (
        targets,
        confidences,
        kettle_ph.map(|range| target_range(range, 1.0)),
    )
}

fn target_range(range: Range, weight: f64) -> TargetRange {
    TargetRange {
        low: range.low,
        high: range.high,
        prefer: range.prefer,
        weight,
    }
}

/// Ranges of ions and, into `found`, of `others`, each with its weight.
pub(super) fn ranges(
    of: &mut ObjectReader<'_>,
    others: &[Other],
    found: &mut [Option<TargetRange>],
) -> Vec<(Component, TargetRange)> {
    of.describe(
        "weights",
        "How much a target counts beside the others; 1 where it is left out.",
    );
    let mut weights = Vec::new();
    let wanted_ions = || Component::ALL.into_iter().filter(|ion| !ion.is_weak_acid());
    of.optional_object("weights", |of| {
        let others = others.iter().map(|(key, ..)| *key);
        for key in wanted_ions().map(Component::key).chain(others) {
            of.describe(key, "Weight of this target.");
            weights.extend(
                of.optional_quantity(key, &quantity::WEIGHT)
                    .map(|weight| (key, weight)),
            );
        }
        Some(())
    });
    let weighted = |key: &str, range: Range| {
        let weight = weights.iter().find(|(of, _)| *of == key);
        target_range(range, weight.map_or(1.0, |(_, weight)| *weight))
    };
    let mut ions = Vec::new();
    for ion in wanted_ions() {
        if let Some(range) = of.optional_range(ion.key(), &quantity::ION, &ion.substance()) {
            ions.push((ion, weighted(ion.key(), range)));
        }
    }
    for ((key, quantity, text), found) in others.iter().zip(found) {
        of.describe(key, text);
        *found = of
            .optional_range(key, quantity, &Substance::NONE)
            .map(|range| weighted(key, range));
    }
    ions
}

/// What the liquor may hold at most, mg/L.
fn limits(of: &mut ObjectReader<'_>) -> Vec<(LimitedQuantity, f64)> {
    of.describe(
        "limits",
        "Most that the liquor as a whole may hold, whatever the targets; the kettle's acid and \
         zinc, and what takes chlorine out, come on top.",
    );
    let mut limits = Vec::new();
    of.optional_object("limits", |of| {
        for ion in Component::ALL.into_iter().filter(|ion| !ion.is_weak_acid()) {
            let most = of.optional_concentration(ion.key(), &quantity::ION, &ion.substance());
            limits.extend(most.map(|most| (LimitedQuantity::Component(ion), ion.mg_per_l(most))));
        }
        let solids = LimitedQuantity::DissolvedSolids;
        let most = of.optional_quantity(solids.key(), &quantity::DISSOLVED_SOLIDS);
        limits.extend(most.map(|most| (solids, most)));
        Some(())
    });
    limits
}

/// The chances that mash and sparge pH should have of landing in their ranges.
fn confidences(of: &mut ObjectReader<'_>, targets: &Targets) -> [Option<f64>; 2] {
    of.describe(
        "confidence",
        "Chance that a target should have of landing in its range; it is aimed so far inside.",
    );
    let read = of.optional_object("confidence", |of| {
        let mut read = |key| {
            of.describe(key, "Chance that this pH lands in its range.");
            of.optional_quantity(key, &quantity::CONFIDENCE)
        };
        Some([read("mash_ph"), read("sparge_ph")])
    });
    let confidences = read.unwrap_or_default();
    // A range that could not be read has its own problem.
    let has_range = [
        ("mash_ph", targets.mash_ph),
        ("sparge_ph", targets.sparge_ph),
    ]
    .map(|(key, range)| range.map_or_else(|| of.has(key), |range| range.is_wide()));
    for problem in unranged_confidences(confidences, has_range) {
        of.checked::<()>("confidence", Err(problem));
    }
    confidences
}

/// All targets of a day, those of its kettle and its confidences among them.
pub(super) fn write_targets(day: &BrewDay) -> ObjectWriter {
    let targets = &day.targets;
    let others = [
        &targets.sulfate_to_chloride,
        &targets.mash_ph,
        &targets.sparge_alkalinity,
        &targets.sparge_ph,
    ];
    let mut of = ObjectWriter::default();
    write_ranges(&mut of, &targets.ions, OF_DAY.iter().zip(others));
    if let Some(range) = &day.kettle.ph {
        let range = write_range(range, &quantity::KETTLE_PH, &Substance::NONE);
        of.object("kettle_ph", range);
    }
    of.object_if_any("limits", write_limits(&targets.limits));
    let mut confidence = ObjectWriter::default();
    for (key, chance) in [
        ("mash_ph", day.mash_ph_confidence),
        ("sparge_ph", day.sparge_ph_confidence),
    ] {
        confidence.optional_quantity(key, chance, &quantity::CONFIDENCE);
    }
    of.object_if_any("confidence", confidence);
    of
}

/// Ranges of ions and others, and their weights.
pub(super) fn write_ranges<'r>(
    of: &mut ObjectWriter,
    ions: &[(Component, TargetRange)],
    others: impl Iterator<Item = (&'r Other, &'r Option<TargetRange>)>,
) {
    let mut weights = ObjectWriter::default();
    let mut write = |key, range: &TargetRange, quantity, substance: &Substance<'_>| {
        of.object(key, write_range(range, quantity, substance));
        if range.weight != 1.0 {
            weights.quantity(key, range.weight, &quantity::WEIGHT);
        }
    };
    for (ion, range) in ions {
        write(ion.key(), range, &quantity::ION, &ion.substance());
    }
    for ((key, quantity, _), range) in others {
        if let Some(range) = range {
            write(key, range, quantity, &Substance::NONE);
        }
    }
    of.object_if_any("weights", weights);
}

fn write_range(
    range: &TargetRange,
    quantity: &quantity::Quantity,
    substance: &Substance<'_>,
) -> ObjectWriter {
    let mut of = ObjectWriter::default();
    for (key, end) in [
        ("low", range.low),
        ("high", range.high),
        ("prefer", range.prefer),
    ] {
        if let Some(end) = end {
            of.concentration(key, end, quantity, substance);
        }
    }
    of
}

fn write_limits(limits: &[(LimitedQuantity, f64)]) -> ObjectWriter {
    let mut of = ObjectWriter::default();
    for (limited, mg_per_l) in limits {
        of.put(limited.key(), *mg_per_l);
    }
    of
}
