//! What the settled day comes to, as it is told: mash, sparge liquor and kettle.

use underlet_tables::parameters;

use super::document::{
    Contribution, CurvePoint, KettleForecast, KettleIon, MashForecast, SpargeForecast,
};
use crate::aqueous::titrated_alkalinity_eq_per_kg;
use crate::component::Component;
use crate::fit::{Aimed, Both, InKettle, Settled, WaterPh};
use crate::liquor::{Dose, Liquor, mg_per_l_caco3};
use crate::mash::ph_at_temperature;
use crate::math;
use crate::math::{TWO_SIDED_80, TWO_SIDED_95};
use crate::quantity;
use crate::recipe::Boil;
use crate::words::{self, TENTH_PH};

/// Ions of the liquor that are followed into the kettle.
const KETTLE_IONS: [Component; 5] = [
    Component::Calcium,
    Component::Magnesium,
    Component::Sodium,
    Component::Chloride,
    Component::Sulfate,
];
/// The curve of the mash: points on either side of the plan, and how far apart in mEq per kg of grist.
const CURVE_POINTS: i32 = 10;
const CURVE_STEP_MEQ_PER_KG: f64 = 2.0;

impl Settled<'_> {
    pub(crate) fn mash(&self) -> MashForecast {
        let forecast = &self.forecast;
        let [(probability_in_range, confidence_asked_percent), _] = self.landing();
        let grist_kg: f64 = self.day.grist.iter().map(|malt| malt.mass_kg).sum();
        let variance = forecast.sd * forecast.sd;
        MashForecast {
            ph: forecast.ph,
            sd: forecast.sd,
            interval_80: forecast.interval(TWO_SIDED_80),
            interval_95: forecast.interval(TWO_SIDED_95),
            sample_temperature_c: parameters::SAMPLE_TEMPERATURE.value,
            ph_at_rest_temperature: ph_at_temperature(forecast.ph, self.day.rest_temperature_c),
            rest_temperature_c: self.day.rest_temperature_c,
            probability_in_range,
            confidence_asked_percent,
            ph_untreated: self.ph_untreated,
            thickness_l_per_kg: self.day.mash.volume_l / grist_kg,
            uncertainty_budget: forecast
                .uncertainty_budget
                .iter()
                .map(|cause| Contribution {
                    cause: cause.key,
                    label: cause.label.to_owned(),
                    sd: cause.sd,
                    share: cause.sd * cause.sd / variance,
                })
                .collect(),
            curve: self.curve(grist_kg),
            display: format!(
                "{} ± {} (95 %)",
                words::ph(forecast.ph),
                words::ph(TWO_SIDED_95 * forecast.sd)
            ),
        }
    }

    /// Of mash and sparge pH, the chance of landing in the range and the one that was asked for, %.
    fn landing(&self) -> Both<(Option<f64>, Option<f64>)> {
        let ([mash, sparge], [of_mash, of_sparge]) = (&self.aimed, self.chances);
        let asked = |aimed: &Option<Aimed>| aimed.as_ref().map(Aimed::percent);
        [(of_mash, asked(mash)), (of_sparge, asked(sparge))]
    }

    fn curve(&self, grist_kg: f64) -> Vec<CurvePoint> {
        let mash = self.day.mash_of(&self.question, self.liquors.mash);
        let per_kg = |eq: f64| eq / grist_kg * 1000.0;
        let acid_eq = (-CURVE_POINTS..=CURVE_POINTS)
            .map(|step| f64::from(step) * CURVE_STEP_MEQ_PER_KG / 1000.0 * grist_kg);
        mash.titration_curve(&self.unsure.doses(), acid_eq)
            .into_iter()
            .map(|point| CurvePoint {
                acid_meq_per_kg: per_kg(point.acid_eq),
                ph: point.ph,
                sd: point.sd,
            })
            .collect()
    }

    pub(crate) fn sparge(&self) -> Option<SpargeForecast> {
        self.day.sparge.as_ref()?;
        let alkalinity = mg_per_l_caco3(titrated_alkalinity_eq_per_kg(&self.liquors.sparge));
        let WaterPh {
            sparge_closed: ph_closed,
            sparge_open: ph_open,
            ..
        } = self.waters;
        let [_, (probability_in_range, confidence_asked_percent)] = self.landing();
        let landing = words::landing("; its", probability_in_range, confidence_asked_percent);
        Some(SpargeForecast {
            alkalinity_mg_l_caco3: alkalinity,
            ph_closed,
            ph_open,
            probability_in_range,
            confidence_asked_percent,
            display: format!(
                "alkalinity {} mg/L as CaCO3; pH {} when fresh, up to {} once it has stood open{landing}",
                words::figure(alkalinity, "mg/L", false),
                words::ph(ph_closed),
                words::ph(ph_open)
            ),
        })
    }

    pub(crate) fn kettle(&self) -> KettleForecast {
        let InKettle {
            full: wort,
            dosed,
            brought,
            ..
        } = self.in_kettle();
        let [acid_eq, _] = wort.acid_needed(wort.ph - TENTH_PH);
        let Boil {
            hours,
            boiled_off_kg,
        } = self.day.boil(wort.water_kg);
        let [ph_boiled, _] = dosed.after_boil(hours);
        let dead_kg = self.day.kettle_dead_kg();
        let cast_out_kg = math::at_least(wort.water_kg - boiled_off_kg - dead_kg, 0.0);
        let cast_out = if dead_kg > 0.0 {
            format!("; wort with {cast_out_kg:.0} kg of water is cast out")
        } else {
            String::new()
        };
        let half_width = TWO_SIDED_95 * wort.sd;
        let with_additions = if dosed == wort {
            String::new()
        } else {
            format!("{} with what goes in there, ", words::ph(dosed.ph))
        };
        KettleForecast {
            ph: wort.ph,
            sd: wort.sd,
            interval_95: [wort.ph - half_width, wort.ph + half_width],
            water_kg: wort.water_kg,
            acid_for_a_tenth_meq: acid_eq * 1000.0,
            ph_dosed: dosed.ph,
            ph_boiled,
            boil_hours: hours,
            boiled_off_kg,
            cast_out_kg,
            ions: self.kettle_ions(wort.water_kg, boiled_off_kg, &brought),
            display: format!(
                "about {} ± {} (95 %) before the boil, {with_additions}about {} after {} of it; {} mEq of acid lower it by 0.1{cast_out}",
                words::ph(wort.ph),
                words::ph(half_width),
                words::ph(ph_boiled),
                if hours == 1.0 {
                    "an hour".to_owned()
                } else {
                    quantity::BOIL_TIME.write(hours)
                },
                words::number(acid_eq * 1000.0)
            ),
        }
    }

    /// What the liquor, and all that goes into the kettle, brings of each ion there, as its water holds it before and after the boil.
    /// What malt brings, and what the mash keeps, is not counted.
    fn kettle_ions(&self, water_kg: f64, boiled_off_kg: f64, brought: &Dose) -> Vec<KettleIon> {
        let sparged_kg = math::at_least(water_kg - self.question.waters.mash_kg, 0.0);
        let liquor = Liquor::mix(&[
            (water_kg - sparged_kg, &self.liquors.mash),
            (sparged_kg, &self.liquors.sparge),
        ]);
        let left_kg = water_kg - boiled_off_kg;
        let Some(liquor) = liquor.filter(|_| left_kg > 0.0) else {
            return Vec::new();
        };
        KETTLE_IONS
            .map(|ion| {
                let brought = brought.ions.get(ion) / water_kg;
                let full = ion.mg_per_l(liquor.ions.get(ion) + brought);
                KettleIon {
                    ion: ion.key().to_owned(),
                    full_mg_l: full,
                    boiled_mg_l: full * water_kg / left_kg,
                }
            })
            .to_vec()
    }
}
