//! A fit of ions alone, without a mash.

use underlet_tables::parameters;

use super::{Draw, ShelfReagent, Source, TargetRange, check};
use crate::component::Component;
use crate::document::Attached;
use crate::error::InputError;
use crate::liquor::alkalinity_eq_per_kg;

/// A fit of ions in canonical units: read from a document or begun by [`IonFit::new`], and open to
/// change. [`IonFit::check`] says whether it makes sense.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct IonFit {
    /// What the user attached: the result carries it.
    pub attached: Attached,
    /// The water at hand.
    pub source: Source,
    /// Water that it may be diluted with.
    pub dilution: Option<Source>,
    /// The liquor that is made.
    pub liquor: Draw,
    /// Its targets.
    pub targets: IonTargets,
    /// Salts and bases at hand, preferred ones first; the vessels of each do not count.
    pub shelf: Vec<ShelfReagent>,
    /// Most different salts to weigh.
    pub max_salts: Option<usize>,
}

impl IonFit {
    /// So many litres of a water, as read at 20 °C, without targets.
    ///
    /// ```
    /// use underlet::component::Component;
    /// use underlet::liquor::Liquor;
    /// use underlet::{IonFit, ShelfReagent, Source, TargetRange};
    /// let rain = Liquor::builder().alkalinity_mg_l_caco3(0.0).ph(5.6).build()?;
    /// let fitted = IonFit::new(Source::new("rain", rain), 1000.0)
    ///     .ion_mg_l(Component::Calcium, TargetRange::between(50.0, 70.0))
    ///     .ion_mg_l(Component::Sulfate, TargetRange::at_least(60.0))
    ///     .reagent(ShelfReagent::of("gypsum")?)
    ///     .solve()?;
    /// assert!(fitted.meets_every_range);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn new(source: Source, volume_l: f64) -> IonFit {
        IonFit {
            attached: Attached::default(),
            source,
            dilution: None,
            liquor: Draw {
                volume_l,
                temperature_c: parameters::SAMPLE_TEMPERATURE.value,
            },
            targets: IonTargets::default(),
            shelf: Vec::new(),
            max_salts: None,
        }
    }

    /// Whether the fit makes sense, as [`BrewDay::check`](crate::BrewDay::check) does of a day.
    ///
    /// # Errors
    /// Every problem, as reading the same fit from JSON would report it.
    pub fn check(&self) -> Result<(), InputError> {
        check::ion_fit(self)
    }

    /// Water that it may be diluted with.
    #[must_use]
    pub fn dilution(mut self, source: Source) -> IonFit {
        self.dilution = Some(source);
        self
    }

    /// Temperature of the liquor when it is dosed, °C.
    #[must_use]
    pub fn temperature_c(mut self, temperature_c: f64) -> IonFit {
        self.liquor.temperature_c = temperature_c;
        self
    }

    /// Target of an ion, mg/L at 20 °C.
    #[must_use]
    pub fn ion_mg_l(mut self, ion: Component, range: TargetRange) -> IonFit {
        let range = range.converted(|mg_per_l| ion.mol_per_kg(mg_per_l));
        self.targets.ions.push((ion, range));
        self
    }

    /// Sulfate to chloride, by mass.
    #[must_use]
    pub fn sulfate_to_chloride(mut self, range: TargetRange) -> IonFit {
        self.targets.sulfate_to_chloride = Some(range);
        self
    }

    /// Target of the alkalinity, mg/L as CaCO3 at 20 °C.
    #[must_use]
    pub fn alkalinity_mg_l_caco3(mut self, range: TargetRange) -> IonFit {
        self.targets.alkalinity = Some(range.converted(alkalinity_eq_per_kg));
        self
    }

    /// A salt or base at hand, behind those that are preferred to it.
    #[must_use]
    pub fn reagent(mut self, reagent: ShelfReagent) -> IonFit {
        self.shelf.push(reagent);
        self
    }

    /// Most different salts to weigh.
    #[must_use]
    pub fn max_salts(mut self, most: usize) -> IonFit {
        self.max_salts = Some(most);
        self
    }
}

/// Targets of a liquor alone.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct IonTargets {
    /// Ions, mol/kg.
    pub ions: Vec<(Component, TargetRange)>,
    /// Sulfate to chloride, by mass.
    pub sulfate_to_chloride: Option<TargetRange>,
    /// Alkalinity, eq/kg.
    pub alkalinity: Option<TargetRange>,
}
