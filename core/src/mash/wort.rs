//! Wort: what runs off the grains, thinned by sparge liquor, and set for the kettle. It has
//! parameters of its own: it carries a third to a half of the mash's buffering, and calcium moves
//! it far less.

use underlet_tables::{Parameter, parameters};

use super::{Assumptions, Chemistry, Forecast, Mash};
use crate::component::Component;
use crate::liquor::{Dose, Liquor};
use crate::math::{self, NoRoot};

/// Wort with its pH, cooled sample.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Wort {
    /// Mass of its water, kg.
    pub water_kg: f64,
    /// pH.
    pub ph: f64,
    /// Standard deviation of what a meter will show.
    pub sd: f64,
    /// Buffering of what it carries, eq per pH.
    pub buffering_eq_per_ph: f64,
    /// Its standard deviation.
    pub buffering_sd: f64,
    /// Standard deviation of the acid that the water in it takes, eq.
    pub acid_sd_eq: f64,
    /// The part of its water that came to it as sparge liquor and is still counted as such: what
    /// it holds of carbonate gives or takes protons as the pH moves.
    sparge: Option<(f64, Liquor)>,
}

impl Wort {
    /// What runs off a mash before any sparge, all but what grains usually keep.
    pub fn first_runnings(mash: &Mash<'_>, forecast: &Forecast) -> Wort {
        let grist_kg: f64 = mash.grist.iter().map(|malt| malt.mass_kg).sum();
        let kept = parameters::GRAIN_RETENTION.value * grist_kg;
        let share = math::at_least(mash.water_kg - kept, 0.0) / mash.water_kg;
        Wort::of_mash(mash, forecast, share, parameters::WORT_BUFFER_SHARE)
    }

    /// A share of a mash's liquid, with a share of its buffering.
    fn of_mash(mash: &Mash<'_>, forecast: &Forecast, liquid: f64, carried: Parameter) -> Wort {
        let (mut buffering, mut variance) = (0.0, 0.0);
        for malt in mash.grist {
            let sd = malt.mass_kg * malt.curve.buffering_sd;
            buffering += malt.mass_kg * malt.curve.buffering_at(forecast.ph);
            variance += sd * sd;
        }
        let of_share = carried.sd * buffering;
        let sd = (of_share * of_share + carried.value * carried.value * variance).sqrt();
        Wort {
            water_kg: liquid * mash.water_kg,
            ph: forecast.ph,
            sd: forecast.sd,
            buffering_eq_per_ph: liquid * carried.value * buffering,
            buffering_sd: liquid * sd,
            acid_sd_eq: 0.0,
            sparge: None,
        }
    }

    /// Wort of a known pH and extract, g/L: its buffering is taken from the extract that a kilogram
    /// of base malt gives.
    pub fn of_extract(water_kg: f64, litres: f64, extract_g_per_l: f64, ph: [f64; 2]) -> Wort {
        let malt_kg = litres * extract_g_per_l / 1000.0 / parameters::MALT_EXTRACT_YIELD.value;
        let base = parameters::BASE_MALT_BUFFERING;
        let share = parameters::WORT_BUFFER_SHARE;
        let buffering_eq_per_ph = malt_kg * share.value * base.value / 1000.0;
        let uncertain = [base, share, parameters::MALT_EXTRACT_YIELD];
        let relative = math::root_of_squares(uncertain.map(|of| of.sd / of.value));
        let [ph, sd] = ph;
        Wort {
            water_kg,
            ph,
            sd,
            buffering_eq_per_ph,
            buffering_sd: relative * buffering_eq_per_ph,
            acid_sd_eq: 0.0,
            sparge: None,
        }
    }

    /// Kettle-full wort of a mash and its sparge liquor. The sparge effects out the mash's own
    /// liquid first; what grains and tun keep at the end (kg of water) is sparge liquor. On its
    /// way through the grains it meets a part of the buffering that stays behind (how much is
    /// not known: half of it, with an error that leaves everything open).
    pub fn kettle_full(
        mash: &Mash<'_>,
        forecast: &Forecast,
        kept_kg: f64,
        sparge_kg: f64,
        sparge: &Liquor,
        alkalinity_sd_eq_per_kg: f64,
    ) -> Wort {
        let through = math::at_least(sparge_kg - kept_kg, 0.0);
        if through <= 0.0 {
            let pushed =
                math::at_least(mash.water_kg + sparge_kg - kept_kg, 0.0).min(mash.water_kg);
            let share = pushed / mash.water_kg;
            return Wort::of_mash(mash, forecast, share, parameters::WORT_BUFFER_SHARE);
        }
        let (own, bed) = (
            parameters::WORT_BUFFER_SHARE,
            parameters::GRAIN_BED_SHARE_IN_SPARGE,
        );
        let stays = 1.0 - own.value;
        let (of_own, of_bed) = ((1.0 - bed.value) * own.sd, stays * bed.sd);
        let met = Parameter {
            value: own.value + bed.value * stays,
            sd: (of_own * of_own + of_bed * of_bed).sqrt(),
            ..own
        };
        let in_bed = Wort::of_mash(mash, forecast, 1.0, met).thinned(
            through,
            sparge,
            alkalinity_sd_eq_per_kg,
            Assumptions::in_wort(),
        );
        // In the kettle it is without the grains again.
        let alone = Wort::of_mash(mash, forecast, 1.0, own);
        Wort {
            buffering_eq_per_ph: alone.buffering_eq_per_ph,
            buffering_sd: alone.buffering_sd,
            ..in_bed
        }
    }

    /// The wort thinned by liquor, its pH computed anew: the liquor's alkalinity against what the
    /// wort carries, and the rise that pure water makes, 0.07 per halving (Kolbach & Esser
    /// 1958).
    #[must_use]
    pub fn thinned(
        &self,
        liquor_kg: f64,
        liquor: &Liquor,
        alkalinity_sd_eq_per_kg: f64,
        assumed: Assumptions,
    ) -> Wort {
        let halvings =
            math::ln((self.water_kg + liquor_kg) / self.water_kg) / std::f64::consts::LN_2;
        let rise = parameters::WORT_PH_PER_HALVING;
        let from = self.ph + rise.value * halvings;
        let chemistry = chemistry_of(liquor, assumed);
        let ph = self.mixed_ph(from, liquor_kg, liquor, &chemistry);
        let (wanted, slope) = chemistry.acid_required_and_buffering(liquor, ph);
        let buffering = self.buffering_eq_per_ph + liquor_kg * slope;
        let carried = self.buffering_eq_per_ph / buffering;
        let calcium = Component::Calcium.charge() * liquor.ions.get(Component::Calcium);
        let carbon = chemistry.charge_per_carbon(ph) * liquor.carbon_mol_per_kg;
        let is_open = assumed.carbon_share < 1.0;
        let carbon_sd = if is_open {
            parameters::CARBON_SHARE_IN_MASH.sd
        } else {
            0.0
        };
        let acid_sd_eq = liquor_kg
            * math::root_of_squares([
                self.acid_sd_eq / liquor_kg,
                alkalinity_sd_eq_per_kg,
                calcium * parameters::CALCIUM_PROTONS_IN_WORT.sd,
                carbon * carbon_sd,
            ]);
        let sd = math::root_of_squares([
            carried * self.sd,
            carried * rise.sd * halvings,
            acid_sd_eq / buffering,
            // An error of the buffering by a share moves the shift that the liquor makes by as
            // much.
            self.buffering_sd * liquor_kg * wanted / (self.buffering_eq_per_ph * buffering),
        ]);
        Wort {
            water_kg: self.water_kg + liquor_kg,
            ph,
            sd,
            acid_sd_eq,
            sparge: Some((liquor_kg, *liquor)),
            ..*self
        }
    }

    /// pH of a wort that would have a pH by itself, with so much liquor in it.
    fn mixed_ph(&self, from: f64, liquor_kg: f64, liquor: &Liquor, chemistry: &Chemistry) -> f64 {
        math::falling_root_by_slope(
            |ph| {
                let (wanted, slope) = chemistry.acid_required_and_buffering(liquor, ph);
                (
                    self.buffering_eq_per_ph * (from - ph) + liquor_kg * wanted,
                    -self.buffering_eq_per_ph - liquor_kg * slope,
                )
            },
            from,
            LOWEST_PH,
            HIGHEST_PH,
        )
        // No wort reads beyond the ends: an end says that as well as any number there.
        .unwrap_or_else(NoRoot::nearer_end)
    }

    /// The liquor in it that is still counted as such, with its mass, kg, and its chemistry in
    /// wort.
    fn counted_liquor(&self) -> (f64, Liquor, Chemistry) {
        let none = (self.water_kg, Liquor::default());
        let (kg, liquor) = self.sparge.unwrap_or(none);
        let chemistry = chemistry_of(&liquor, Assumptions::in_wort());
        (kg, liquor, chemistry)
    }

    /// The wort with something dissolved in all of it, its pH computed anew: acid against its
    /// buffering, and the few protons that calcium sets free there. How sure its buffering is
    /// counts in the error bar of what that moves.
    #[must_use]
    pub fn dosed(&self, dose: &Dose) -> Wort {
        let (kg, liquor, chemistry) = self.counted_liquor();
        let (wanted, _) = chemistry.acid_required_and_buffering(&liquor, self.ph);
        let from = self.ph - kg * wanted / self.buffering_eq_per_ph;
        let liquor = liquor.dosed(dose, 1.0 / kg);
        let ph = self.mixed_ph(from, kg, &liquor, &chemistry);
        let of_buffering = (ph - self.ph) * self.buffering_sd / self.buffering_eq_per_ph;
        Wort {
            ph,
            sd: math::root_of_squares([self.sd, of_buffering]),
            sparge: Some((kg, liquor)),
            ..*self
        }
    }

    /// Units of an acid that bring it down to a pH: `unit` is what one of them brings. Negative for
    /// a pH above its own.
    pub fn units_needed(&self, unit: &Dose, ph: f64) -> f64 {
        let (_, _, chemistry) = self.counted_liquor();
        let [needed, _] = self.acid_needed(ph);
        -needed / chemistry.acid_required(&chemistry.coefficients(ph), unit)
    }

    /// The runnings at a share of the first wort's extract (0 to 1), at the end of a sparge with a
    /// liquor: what is in the bed is thinned by it to that share.
    #[must_use]
    pub fn late_runnings(&self, extract_share: f64, liquor: &Liquor) -> Wort {
        let share = extract_share.clamp(LEAST_SHARE, 1.0);
        self.thinned(
            self.water_kg * (1.0 / share - 1.0),
            liquor,
            0.0,
            Assumptions::in_wort(),
        )
    }

    /// Acid for a wanted pH, eq, and its standard deviation (without the meter's part in the wort's
    /// pH, which is read before the acid is given).
    pub fn acid_needed(&self, ph: f64) -> [f64; 2] {
        let fall = self.ph - ph;
        let of_sparge = self.sparge.map_or(0.0, |(kg, liquor)| {
            let chemistry = chemistry_of(&liquor, Assumptions::in_wort());
            let at = |ph: f64| chemistry.acid_required_and_buffering(&liquor, ph).0;
            kg * (at(ph) - at(self.ph))
        });
        let acid = self.buffering_eq_per_ph * fall + of_sparge;
        [acid, (self.buffering_sd * fall).abs()]
    }

    /// The same for a pH below its own, between which two amounts it lies within so many standard
    /// deviations: the error of the buffering is a factor, and the sparge liquor's part has none.
    pub fn acid_needed_between(&self, ph: f64, standard_deviations: f64) -> [f64; 2] {
        let [acid, _] = self.acid_needed(ph);
        let of_wort = self.buffering_eq_per_ph * (self.ph - ph);
        let log_sd = math::log_sd(self.buffering_eq_per_ph, self.buffering_sd);
        [-standard_deviations, standard_deviations]
            .map(|by| acid + of_wort * math::exp_less_one(by * log_sd))
    }

    /// pH after an open boil of so many hours, with its standard deviation.
    ///
    /// In the boil calcium precipitates with hydrogen phosphate, and of that a wort holds ten times
    /// as much for every pH that it is higher. At such a rate each hour adds the same to 10^−pH:
    /// 0.07 off a wort of 5.25, 0.19 off one of 5.75. Hops count in the error bar alone.
    pub fn after_boil(&self, hours: f64) -> [f64; 2] {
        let per_hour = parameters::BOIL_HYDROGEN_ION_PER_HOUR;
        let gain = per_hour.value * math::at_least(hours, 0.0) * math::pow10(self.ph);
        // The slope of the pH after the boil with that before; the rest of it is with ln(gain).
        let carried = 1.0 / (1.0 + gain);
        let of_boil = (1.0 - carried) * per_hour.sd / per_hour.value / std::f64::consts::LN_10;
        [
            self.ph - math::log10(1.0 + gain),
            math::root_of_squares([carried * self.sd, of_boil]),
        ]
    }
}

/// Ends between which a wort's pH is looked for.
const LOWEST_PH: f64 = 1.0;
const HIGHEST_PH: f64 = 13.0;
/// Least share of the first wort's extract that runnings are computed to: thinner is water.
const LEAST_SHARE: f64 = 0.01;

fn chemistry_of(liquor: &Liquor, assumed: Assumptions) -> Chemistry {
    Chemistry::at(liquor.ionic_strength_mol_per_kg()).assuming(assumed)
}

impl Assumptions {
    /// In hot wort: carbon dioxide as in a mash, calcium far weaker, magnesium half of it.
    pub fn in_wort() -> Assumptions {
        let calcium_protons = parameters::CALCIUM_PROTONS_IN_WORT.value;
        Assumptions {
            calcium_protons,
            magnesium_protons: calcium_protons / 2.0,
            ..Assumptions::default()
        }
    }
}

/// An ion as malt brings it into wort: typical, with its scatter; never a measurement of this malt.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct MaltIon {
    /// The ion.
    pub ion: Component,
    /// Typical concentration in the wort, mg/L.
    pub mg_per_l: f64,
    /// Its standard deviation.
    pub sd: f64,
}

/// Ions that malt brings into wort of an extract, g/L: those of wort of 12 °P (Holzmann & Piendl
/// 1977 and from memory, the brewing water of those worts included), scaled with extract.
pub fn malt_ions(extract_g_per_l: f64) -> [MaltIon; 7] {
    let share = extract_g_per_l / parameters::WORT_REFERENCE_EXTRACT.value;
    [
        (Component::Potassium, parameters::MALT_POTASSIUM_IN_WORT),
        (Component::Sodium, parameters::MALT_SODIUM_IN_WORT),
        (Component::Calcium, parameters::MALT_CALCIUM_IN_WORT),
        (Component::Magnesium, parameters::MALT_MAGNESIUM_IN_WORT),
        (Component::Chloride, parameters::MALT_CHLORIDE_IN_WORT),
        (Component::Sulfate, parameters::MALT_SULFATE_IN_WORT),
        (Component::Phosphate, parameters::MALT_PHOSPHATE_IN_WORT),
    ]
    .map(|(ion, typical)| MaltIon {
        ion,
        mg_per_l: share * typical.value,
        sd: share * typical.sd,
    })
}
