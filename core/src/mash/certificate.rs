//! A lot's own numbers, as a maltster's certificate or a brewer's bench gives them.

use std::fmt;

use underlet_tables::{Malt as Row, parameters};

use super::TitrationCurve;
use crate::aqueous::Acidity;
use crate::component::Component;
use crate::math::{self, NoRoot};

/// What is known of a lot. Every figure replaces the prior of its class.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Certificate {
    /// Colour, EBC.
    pub colour_ebc: Option<f64>,
    /// pH of its mash in distilled water, cooled sample.
    pub ph_in_distilled_water: Option<f64>,
    /// pH of its Congress wort, which reads higher than a mash.
    pub congress_ph: Option<f64>,
    /// Standard deviation of the pH given; the table's where it is left out.
    pub ph_sd: Option<f64>,
    /// Buffering at its own pH, eq per kg and pH.
    pub buffering_eq_per_kg_ph: Option<f64>,
    /// Its standard deviation; the table's where it is left out.
    pub buffering_sd: Option<f64>,
    /// Base that brings its mash in distilled water up to a pH: eq per kg, and that pH.
    pub acidity: Option<[f64; 2]>,
    /// Lactic acid of acidulated malt, % by mass.
    pub lactic_acid_percent: Option<f64>,
}

/// Why a certificate gives no curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum CertificateError {
    /// The acidity is stated to a pH that lies at or below the malt's own, or so near above it that
    /// it says nothing.
    AcidityTooNear,
    /// There is neither a class nor a pH and a buffering.
    NotEnough,
}

impl fmt::Display for CertificateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            CertificateError::AcidityTooNear => {
                "the acidity is stated to a pH less than 0.2 above the malt's own"
            }
            CertificateError::NotEnough => "neither a class nor the malt's own pH and buffering",
        })
    }
}

impl std::error::Error for CertificateError {}

/// Least way from the malt's own pH to the end of an acidity titration.
const LEAST_WAY_PH: f64 = 0.2;
/// What acidulated malt is made from.
const SOURED: &str = "pilsner malt";
/// Step for the slope of a curve to the lactic acid it was made with, as a share of it.
const SMALL: f64 = 1.0e-3;

impl Certificate {
    /// The lot's curve, from its figures and, where they are silent, the prior of its class.
    ///
    /// # Errors
    /// [`CertificateError`] where the figures make no curve.
    pub fn curve(&self, class: Option<&Row>) -> Result<TitrationCurve, CertificateError> {
        if let Some(percent) = self.lactic_acid_percent {
            return Ok(acidulated(percent));
        }
        let prior = class.map(|row| match self.colour_ebc {
            Some(colour) => TitrationCurve::of_colour(row, colour),
            None => TitrationCurve::of_row(row),
        });
        let distilled_water_ph = self
            .distilled_water_ph()
            .or(prior.map(|prior| [prior.distilled_water_ph, prior.distilled_water_ph_sd]))
            .ok_or(CertificateError::NotEnough)?;
        if let Some(acidity) = self.acidity
            && self.buffering_eq_per_kg_ph.is_none()
        {
            let is_acidulated = class.is_some_and(|row| row.acidulated);
            return by_acidity(distilled_water_ph, acidity, is_acidulated);
        }
        let buffering = self
            .buffering()
            .or(prior.map(|prior| [prior.buffering_eq_per_kg_ph, prior.buffering_sd]))
            .ok_or(CertificateError::NotEnough)?;
        Ok(TitrationCurve::straight(distilled_water_ph, buffering))
    }

    /// Own pH and its standard deviation. A Congress wort is thinner and reads higher; that offset
    /// is itself uncertain.
    fn distilled_water_ph(&self) -> Option<[f64; 2]> {
        let measured = parameters::MALT_PH_MEASURED_SD.value;
        if let Some(ph) = self.ph_in_distilled_water {
            return Some([ph, self.ph_sd.unwrap_or(measured)]);
        }
        let offset = parameters::CONGRESS_PH_OFFSET;
        self.congress_ph.map(|ph| {
            let sd = self.ph_sd.unwrap_or(measured);
            [ph - offset.value, (sd * sd + offset.sd * offset.sd).sqrt()]
        })
    }

    fn buffering(&self) -> Option<[f64; 2]> {
        let relative = parameters::MALT_BUFFERING_MEASURED_RELATIVE_SD.value;
        self.buffering_eq_per_kg_ph
            .map(|buffering| [buffering, self.buffering_sd.unwrap_or(relative * buffering)])
    }
}

/// A straight line through the malt's own pH and the acidity's end. Where its own pH is off, so is
/// the buffering, just so that the acidity stays what was titrated.
fn by_acidity(
    [distilled_water_ph, distilled_water_ph_sd]: [f64; 2],
    [acidity, to_ph]: [f64; 2],
    is_acidulated: bool,
) -> Result<TitrationCurve, CertificateError> {
    let way = to_ph - distilled_water_ph;
    if way < LEAST_WAY_PH {
        return Err(CertificateError::AcidityTooNear);
    }
    let relative = if is_acidulated {
        parameters::ACIDULATED_MALT_MEASURED_RELATIVE_SD
    } else {
        parameters::MALT_ACIDITY_MEASURED_RELATIVE_SD
    };
    let buffering = acidity / way;
    let by_titration = relative.value * buffering;
    let by_own_ph = buffering / way * distilled_water_ph_sd;
    let sd = (by_titration * by_titration + by_own_ph * by_own_ph).sqrt();
    let mut curve =
        TitrationCurve::straight([distilled_water_ph, distilled_water_ph_sd], [buffering, sd]);
    if sd > 0.0 {
        curve.correlations[0] = by_own_ph / sd;
    }
    Ok(curve)
}

/// Acidulated malt: pilsner malt with lactic acid on it. Near its own pH the lactic acid buffers
/// strongly, at the pH of a mash it has given nearly all of its protons: the parabola meets the
/// exact curve at the malt's own pH, and at the middle of the usual mash pH with its slope, beyond
/// which it goes on straight.
fn acidulated(lactic_acid_percent: f64) -> TitrationCurve {
    let relative_sd = parameters::ACIDULATED_MALT_MEASURED_RELATIVE_SD.value;
    let curve = soured(lactic_acid_percent);
    let more = soured(lactic_acid_percent * (1.0 + SMALL));
    // All three numbers depend on the one that is uncertain, so their errors go together.
    let moved = |of: fn(&TitrationCurve) -> f64| (of(&more) - of(&curve)) / SMALL * relative_sd;
    let own = moved(|curve| curve.distilled_water_ph);
    let buffering = moved(|curve| curve.buffering_eq_per_kg_ph);
    let curvature = moved(|curve| curve.curvature_eq_per_kg_ph2);
    let together = |one: f64, other: f64| if one * other < 0.0 { -1.0 } else { 1.0 };
    TitrationCurve {
        distilled_water_ph_sd: own.abs(),
        buffering_sd: buffering.abs(),
        curvature_sd: curvature.abs(),
        correlations: [
            together(own, buffering),
            together(own, curvature),
            together(buffering, curvature),
        ],
        ..curve
    }
}

fn soured(lactic_acid_percent: f64) -> TitrationCurve {
    let base = TitrationCurve::of_class(SOURED).unwrap_or_else(TitrationCurve::inert);
    // The formula's mass is that of the acid; a report's is that of the anion, a proton lighter.
    let lactic_acid_g_per_mol = underlet_tables::REAGENTS
        .iter()
        .find(|row| row.key == "lactic acid")
        .map_or(Component::Lactate.molar_mass_g_per_mol(), |row| {
            row.molar_mass_g_per_mol
        });
    let mol_per_kg = 10.0 * lactic_acid_percent / lactic_acid_g_per_mol;
    let acidity = Acidity::at(parameters::SAMPLE_TEMPERATURE.value, 0.0);
    let exact =
        |ph: f64| base.acid_eq_per_kg(ph) - mol_per_kg * acidity.per_acid(Component::Lactate, ph);
    // Acid that the malt cannot buffer down to pH 0 is as acid as a pH can be.
    let distilled_water_ph =
        math::falling_root(exact, 0.0, base.distilled_water_ph).unwrap_or_else(NoRoot::nearer_end);
    let mash_ph = (parameters::MASH_PH_LOW.value + parameters::MASH_PH_HIGH.value) / 2.0;
    let distance = distilled_water_ph - mash_ph;
    if distance > -LEAST_WAY_PH {
        // Next to no acid: the base malt, at its own new pH.
        return TitrationCurve {
            distilled_water_ph,
            ..base
        }
        .bent(0.0, [distilled_water_ph; 2]);
    }
    let slope = (exact(mash_ph - SMALL) - exact(mash_ph + SMALL)) / (2.0 * SMALL);
    let curvature = (slope * distance - exact(mash_ph)) / (distance * distance);
    let buffering = slope - 2.0 * curvature * distance;
    TitrationCurve::straight([distilled_water_ph, 0.0], [buffering, 0.0])
        .bent(curvature, [distilled_water_ph, mash_ph])
}
