//! Targets: ranges, their weights, and the confidence of a pH.

use super::ObjectReader;
use super::writer::ObjectWriter;
use crate::checker::Field;
use crate::component::Component;
use crate::quantity::Range;
use crate::recipe::check::{fields, unranged_confidences};
use crate::recipe::{BrewDay, LimitedQuantity, TargetRange, Targets};

/// A target beside the ions, and what it is.
pub(super) type Other = (Field, &'static str);

pub(super) const RATIO: Other = (fields::SULFATE_TO_CHLORIDE, "Sulfate to chloride, by mass.");

/// Those of a brew day.
const OF_DAY: [Other; 4] = [
    RATIO,
    (fields::MASH_PH, "pH of the mash, sample cooled to 20 °C."),
    (
        fields::SPARGE_ALKALINITY,
        "Alkalinity of the sparge liquor that works against the mash: the acid it takes down to pH \
         5.4, carbon dioxide gone. 25 to 50 mg/L as CaCO3 are the usual limits.",
    ),
    (
        fields::SPARGE_PH,
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
        fields::KETTLE_PH.key,
        "pH of the full kettle, sample cooled to 20 °C: acid that may go there brings it down.",
    );
    let kettle_ph = of.range_of(fields::KETTLE_PH);
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
        let others = others.iter().map(|(field, _)| field.key);
        for key in wanted_ions().map(Component::key).chain(others) {
            of.describe(key, "Weight of this target.");
            weights.extend(
                of.optional_field(fields::weight(key))
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
        if let Some(range) = of.range_of(fields::ion(ion)) {
            ions.push((ion, weighted(ion.key(), range)));
        }
    }
    for ((field, text), found) in others.iter().zip(found) {
        of.describe(field.key, text);
        *found = of.range_of(*field).map(|range| weighted(field.key, range));
    }
    ions
}

/// What the liquor may hold at most, mg/L.
fn limits(of: &mut ObjectReader<'_>) -> Vec<(LimitedQuantity, f64)> {
    of.describe(
        "limits",
        "Most that the liquor as a whole may hold, whatever the targets, with all that goes in: \
         the kettle's acid, zinc, and what takes chlorine out count.",
    );
    let mut limits = Vec::new();
    of.optional_object("limits", |of| {
        for ion in Component::ALL {
            let most = of.optional_field(fields::ion(ion));
            limits.extend(most.map(|most| (LimitedQuantity::Component(ion), ion.mg_per_l(most))));
        }
        let most = of.optional_field(fields::SOLIDS);
        limits.extend(most.map(|most| (LimitedQuantity::DissolvedSolids, most)));
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
        Some(fields::CONFIDENCES.map(|field| {
            of.describe(field.key, "Chance that this pH lands in its range.");
            of.optional_field(field)
        }))
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
        of.object(fields::KETTLE_PH.key, write_range(range, fields::KETTLE_PH));
    }
    of.object_if_any("limits", write_limits(&targets.limits));
    let mut confidence = ObjectWriter::default();
    let chances = [day.mash_ph_confidence, day.sparge_ph_confidence];
    for (field, chance) in fields::CONFIDENCES.into_iter().zip(chances) {
        confidence.optional_field(field, chance);
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
    let mut write = |field: Field, range: &TargetRange| {
        of.object(field.key, write_range(range, field));
        if range.weight != 1.0 {
            weights.field(fields::weight(field.key), range.weight);
        }
    };
    for (ion, range) in ions {
        write(fields::ion(*ion), range);
    }
    for ((field, _), range) in others {
        if let Some(range) = range {
            write(*field, range);
        }
    }
    of.object_if_any("weights", weights);
}

fn write_range(range: &TargetRange, field: Field) -> ObjectWriter {
    let mut of = ObjectWriter::default();
    for (key, end) in [
        ("low", range.low),
        ("high", range.high),
        ("prefer", range.prefer),
    ] {
        of.optional_field(Field { key, ..field }, end);
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
