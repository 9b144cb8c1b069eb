//! The titration curve of a malt with its error bars, as [`crate::mash::TitrationCurve`] holds it.

use super::ObjectReader;
use super::writer::ObjectWriter;
use crate::checker::Field;
use crate::mash::TitrationCurve;
use crate::quantity::{self, Substance};

/// A figure of a curve, and what it is.
type Figure = (Field, &'static str);

const FIGURES: [Figure; 6] = [
    (
        Field::new("ph_in_distilled_water", &quantity::MALT_PH),
        "The lot's own pH in distilled water, cooled sample.",
    ),
    (
        Field::new("ph_sd", &quantity::PH_SD),
        "Standard deviation of that pH.",
    ),
    (
        Field::new("buffering", &quantity::BUFFERING),
        "Buffering at its own pH.",
    ),
    (
        Field::new("buffering_sd", &quantity::BUFFERING_SD),
        "Standard deviation of that buffering.",
    ),
    (
        Field::new("curvature", &quantity::CURVATURE),
        "Half of what the buffering rises per pH that the mash is more acid, meq/(kg pH²).",
    ),
    (
        Field::new("curvature_sd", &quantity::CURVATURE_SD),
        "Standard deviation of that curvature.",
    ),
];
const CORRELATIONS: [Figure; 3] = [
    (
        Field::new("ph_buffering", &quantity::CORRELATION),
        "Of pH and buffering.",
    ),
    (
        Field::new("ph_curvature", &quantity::CORRELATION),
        "Of pH and curvature.",
    ),
    (
        Field::new("buffering_curvature", &quantity::CORRELATION),
        "Of buffering and curvature.",
    ),
];

/// A curve, and whether it is the average of a class.
pub(super) fn curve(of: &mut ObjectReader<'_>) -> Option<(TitrationCurve, bool)> {
    let figure = |of: &mut ObjectReader<'_>, (field, text): Figure| {
        of.describe(field.key, text);
        of.field(field)
    };
    let figures = FIGURES.map(|row| figure(of, row));
    of.describe("bends_between", "pH between which its buffering changes.");
    let bends = of.range("bends_between", &quantity::PH, &Substance::NONE);
    of.describe(
        "correlations",
        "Correlations of the errors of its pH, its buffering and its curvature.",
    );
    let correlations = of.object("correlations", |of| {
        let [one, two, three] = CORRELATIONS.map(|row| figure(of, row));
        Some([one?, two?, three?])
    });
    of.describe(
        "class_average",
        "Whether it is the average of a trade class, and not of this lot.",
    );
    let is_class_prior = of.optional_flag("class_average").unwrap_or(false);
    let [ph, ph_sd, buffering, buffering_sd, curvature, curvature_sd] = figures;
    let bends = bends?;
    let curve = TitrationCurve {
        distilled_water_ph: ph?,
        distilled_water_ph_sd: ph_sd?,
        buffering_eq_per_kg_ph: buffering? / 1e3,
        buffering_sd: buffering_sd? / 1e3,
        curvature_eq_per_kg_ph2: curvature? / 1e3,
        curvature_sd: curvature_sd? / 1e3,
        correlations: correlations?,
        bends_between_ph: [bends.low?, bends.high?],
    };
    Some((curve, is_class_prior))
}

pub(super) fn write_curve(curve: &TitrationCurve, is_class_prior: bool) -> ObjectWriter {
    let mut of = ObjectWriter::default();
    let figures = [
        curve.distilled_water_ph,
        curve.distilled_water_ph_sd,
        1e3 * curve.buffering_eq_per_kg_ph,
        1e3 * curve.buffering_sd,
        1e3 * curve.curvature_eq_per_kg_ph2,
        1e3 * curve.curvature_sd,
    ];
    for ((field, _), figure) in FIGURES.into_iter().zip(figures) {
        of.field(field, figure);
    }
    of.put("bends_between", curve.bends_between_ph.to_vec());
    let mut correlations = ObjectWriter::default();
    for ((field, _), figure) in CORRELATIONS.into_iter().zip(curve.correlations) {
        correlations.field(field, figure);
    }
    of.object("correlations", correlations);
    of.put("class_average", is_class_prior);
    of
}
