//! How a malt takes acid.

use underlet_tables::{MALTS, Malt as Row};

use crate::checker::Checker;
use crate::error::{ErrorCode, Problem};
use crate::math;
use crate::quantity;

/// A malt's titration curve: acid taken against pH, through nothing at its own pH in distilled
/// water.
///
/// ```text
/// a(pH) = b·d + c·d²,   d = own pH − pH
/// ```
///
/// within the pH that was measured; beyond it the curve goes on straight, with the slope of its
/// end, so that it is smooth and takes ever more acid as the pH falls. A straight line (c = 0) is
/// what a class prior knows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TitrationCurve {
    /// pH of its mash in distilled water, cooled sample.
    pub distilled_water_ph: f64,
    /// Standard deviation of that pH.
    pub distilled_water_ph_sd: f64,
    /// Buffering at its own pH, eq per kg and pH. Zero for sugars.
    pub buffering_eq_per_kg_ph: f64,
    /// Its standard deviation. The error is a factor, as likely half as large as twice: see
    /// [`TitrationCurve::buffering_between`].
    pub buffering_sd: f64,
    /// Half of what the buffering rises per pH that the mash is more acid, eq per kg and pH².
    pub curvature_eq_per_kg_ph2: f64,
    /// Its standard deviation.
    pub curvature_sd: f64,
    /// How the errors go together: own pH with buffering, own pH with curvature, buffering with
    /// curvature.
    pub correlations: [f64; 3],
    /// pH between which it bends; its own pH lies between them.
    pub bends_between_ph: [f64; 2],
}

/// Stands where an inert adjunct has no pH of its own; it is multiplied by a buffering of zero.
const NEUTRAL_PH: f64 = 7.0;
/// Least buffering along a curve beside that at its own pH: what falls below is beyond what a
/// parabola can tell.
const LEAST_SHARE: f64 = 0.1;
/// Classes of one kind of malt, separated by colour.
const CARAMEL: &str = "caramel malt";

impl TitrationCurve {
    /// A straight line: own pH and buffering (eq per kg and pH), each with its standard deviation.
    pub fn straight(distilled_water_ph: [f64; 2], buffering: [f64; 2]) -> TitrationCurve {
        let ([distilled_water_ph, distilled_water_ph_sd], [buffering_eq_per_kg_ph, buffering_sd]) =
            (distilled_water_ph, buffering);
        TitrationCurve {
            distilled_water_ph,
            distilled_water_ph_sd,
            buffering_eq_per_kg_ph,
            buffering_sd,
            curvature_eq_per_kg_ph2: 0.0,
            curvature_sd: 0.0,
            correlations: [0.0; 3],
            bends_between_ph: [distilled_water_ph; 2],
        }
    }

    /// The curve bent by a curvature between two pH. Ends where the buffering would fall below a
    /// tenth of that at its own pH are drawn in, so that it takes more acid at every lower pH.
    #[must_use]
    pub fn bent(self, curvature_eq_per_kg_ph2: f64, between_ph: [f64; 2]) -> TitrationCurve {
        let [low, high] = between_ph;
        // Buffering is b + 2 c d: it falls with d on the acid side where c is negative, on the
        // other where it is positive.
        let room = (1.0 - LEAST_SHARE) * self.buffering_eq_per_kg_ph
            / (2.0 * curvature_eq_per_kg_ph2.abs());
        let (mut low, mut high) = (
            low.min(self.distilled_water_ph),
            high.max(self.distilled_water_ph),
        );
        if curvature_eq_per_kg_ph2 < 0.0 {
            low = math::at_least(low, self.distilled_water_ph - room);
        } else if curvature_eq_per_kg_ph2 > 0.0 {
            high = high.min(self.distilled_water_ph + room);
        }
        TitrationCurve {
            curvature_eq_per_kg_ph2,
            bends_between_ph: [low, high],
            ..self
        }
    }

    /// The prior of a trade class of the malt table.
    pub fn of_class(class: &str) -> Option<TitrationCurve> {
        MALTS
            .iter()
            .find(|row| row.class == class)
            .map(TitrationCurve::of_row)
    }

    /// The prior of a row of the malt table.
    pub fn of_row(row: &Row) -> TitrationCurve {
        row.ph_in_distilled_water
            .map_or_else(TitrationCurve::inert, |distilled_water_ph| {
                TitrationCurve::straight(
                    [distilled_water_ph, row.ph_sd],
                    [
                        row.buffering_meq_per_kg_ph / 1000.0,
                        row.buffering_sd / 1000.0,
                    ],
                )
            })
    }

    /// The prior of a class for a lot of known colour. Acidity of caramel malts follows their
    /// colour (Hansen & Geurts 2015), so between the middles of their bands it is interpolated
    /// on a logarithmic scale; roasted malts differ little in acidity over a wide range of
    /// colour (Troester 2009), and other classes are narrow.
    pub fn of_colour(row: &Row, colour_ebc: f64) -> TitrationCurve {
        if !row.class.starts_with(CARAMEL) {
            return TitrationCurve::of_row(row);
        }
        let middle = |row: &Row| {
            let [low, high] = row.colour_ebc;
            math::ln(low * high) / 2.0
        };
        let wanted = math::ln(math::at_least(colour_ebc, 1.0));
        let mut below = None;
        for band in MALTS.iter().filter(|band| band.class.starts_with(CARAMEL)) {
            let here = TitrationCurve::of_row(band);
            if middle(band) >= wanted {
                return below.map_or(here, |(at, curve)| {
                    let share = (wanted - at) / (middle(band) - at);
                    between(&curve, &here, share)
                });
            }
            below = Some((middle(band), here));
        }
        below.map_or_else(|| TitrationCurve::of_row(row), |(_, curve)| curve)
    }

    /// Between which two amounts its buffering lies within so many standard deviations, eq per kg
    /// and pH: its logarithm is taken to be normal, since no malt has a buffering below nothing.
    ///
    /// ```
    /// use underlet::mash::TitrationCurve;
    /// let pilsner = TitrationCurve::of_class("pilsner malt").expect("a class");
    /// let [low, high] = pilsner.buffering_between(1.96);
    /// // Published figures run from 36 to 64 meq/(kg pH).
    /// assert!(low < 0.036 && high > 0.064);
    /// ```
    pub fn buffering_between(&self, standard_deviations: f64) -> [f64; 2] {
        let log_sd = self.buffering_log_sd();
        [-standard_deviations, standard_deviations]
            .map(|by| self.buffering_eq_per_kg_ph * math::exp(by * log_sd))
    }

    /// Standard deviation of the natural logarithm of its buffering.
    pub(super) fn buffering_log_sd(&self) -> f64 {
        math::log_sd(self.buffering_eq_per_kg_ph, self.buffering_sd)
    }

    /// What neither takes nor gives acid, such as sugar.
    pub fn inert() -> TitrationCurve {
        TitrationCurve::straight([NEUTRAL_PH, 0.0], [0.0; 2])
    }

    /// Checks the curve, at the keys of a malt's own figures.
    pub(crate) fn examine(&self, of: &mut Checker) {
        let [buffering, buffering_sd] =
            [self.buffering_eq_per_kg_ph, self.buffering_sd].map(|eq| eq * 1e3);
        of.quantity(
            "ph_in_distilled_water",
            self.distilled_water_ph,
            &quantity::MALT_PH,
        );
        of.quantity("ph_sd", self.distilled_water_ph_sd, &quantity::PH_SD);
        of.quantity("buffering", buffering, &quantity::BUFFERING);
        of.quantity("buffering_sd", buffering_sd, &quantity::BUFFERING_SD);
        let bend = [self.curvature_eq_per_kg_ph2, self.curvature_sd];
        let [low, high] = self.bends_between_ph;
        let is_bent_soundly = bend
            .iter()
            .chain([&low, &high])
            .all(|value| value.is_finite())
            && self.curvature_sd >= 0.0
            && low <= high
            && self
                .correlations
                .iter()
                .all(|one| (-1.0..=1.0).contains(one));
        if !is_bent_soundly {
            of.at::<()>(
                "titration",
                Err(Problem {
                    code: ErrorCode::Contradiction,
                    path: String::new(),
                    found: "a curve whose bend is no number, or whose ends are reversed".to_owned(),
                    expected: "finite curvature, correlations from -1 to 1, the low pH first"
                        .to_owned(),
                    hint: "Take the curve of a titration, or a straight one.".to_owned(),
                }),
            );
        }
    }

    /// How far below its own pH the curve stops to bend, for a pH: that distance, or the pH's own
    /// where it lies within.
    fn bent_part(&self, ph: f64) -> f64 {
        let [low, high] = self.bends_between_ph;
        // Not `clamp`, which may panic on ends that a caller has turned round.
        self.distilled_water_ph - ph.max(low).min(high)
    }

    /// Acid taken to come to a pH, eq/kg; negative where it must give acid instead.
    pub fn acid_eq_per_kg(&self, ph: f64) -> f64 {
        self.acid_and_buffering(ph).0
    }

    /// Acid taken per pH at a pH, eq/(kg pH).
    pub fn buffering_at(&self, ph: f64) -> f64 {
        self.acid_and_buffering(ph).1
    }

    /// Both at once.
    pub(super) fn acid_and_buffering(&self, ph: f64) -> (f64, f64) {
        let distance = self.distilled_water_ph - ph;
        if self.curvature_eq_per_kg_ph2 == 0.0 {
            return (
                self.buffering_eq_per_kg_ph * distance,
                self.buffering_eq_per_kg_ph,
            );
        }
        let bent = self.bent_part(ph);
        let bend = self.curvature_eq_per_kg_ph2 * bent;
        let buffering = self.buffering_eq_per_kg_ph + 2.0 * bend;
        // (b + c e) e within, and straight on beyond.
        (
            (buffering - bend) * bent + buffering * (distance - bent),
            buffering,
        )
    }

    /// Change of the acid taken to a pH per own pH, per buffering at it and per curvature.
    pub fn acid_derivatives(&self, ph: f64) -> [f64; 3] {
        let distance = self.distilled_water_ph - ph;
        let bent = self.bent_part(ph);
        [
            self.buffering_eq_per_kg_ph + 2.0 * self.curvature_eq_per_kg_ph2 * distance,
            distance,
            bent * (2.0 * distance - bent),
        ]
    }

    /// Standard deviations of the acid taken to a pH, eq/kg: what the lot's own pH makes (with all
    /// that goes with it), and what else the buffering makes. The two are independent.
    pub fn acid_sd(&self, ph: f64) -> [f64; 2] {
        let [per_own, per_buffering, per_curvature] = self.acid_derivatives(ph);
        let own = per_own * self.distilled_water_ph_sd;
        let buffering = per_buffering * self.buffering_sd;
        let curvature = per_curvature * self.curvature_sd;
        let [with_buffering, with_curvature, both] = self.correlations;
        let lot = own + with_buffering * buffering + with_curvature * curvature;
        let rest = (1.0 - with_buffering * with_buffering) * buffering * buffering
            + (1.0 - with_curvature * with_curvature) * curvature * curvature
            + 2.0 * (both - with_buffering * with_curvature) * buffering * curvature;
        [lot, math::at_least(rest, 0.0).sqrt()]
    }
}

/// Between two straight curves.
fn between(one: &TitrationCurve, other: &TitrationCurve, share: f64) -> TitrationCurve {
    let mix = |one: f64, other: f64| one + share * (other - one);
    TitrationCurve::straight(
        [
            mix(one.distilled_water_ph, other.distilled_water_ph),
            mix(one.distilled_water_ph_sd, other.distilled_water_ph_sd),
        ],
        [
            mix(one.buffering_eq_per_kg_ph, other.buffering_eq_per_kg_ph),
            mix(one.buffering_sd, other.buffering_sd),
        ],
    )
}
