//! From a liquor to its equilibria.

use crate::aqueous::{self, Aqueous, Equilibrium, EquilibriumError, Gas, TitrationPoint};
use crate::liquor::Liquor;
use crate::reagent::Preparation;
use crate::water_report::LiquorBuilder;

impl Liquor {
    /// A liquor from the figures of a water report.
    ///
    /// ```
    /// use underlet::liquor::Liquor;
    /// let well = Liquor::builder()
    ///     .calcium_mg_l(112.0)
    ///     .magnesium_mg_l(9.0)
    ///     .alkalinity_mg_l_caco3(252.0)
    ///     .ph(7.3)
    ///     .build()?;
    /// assert!(well.residual_alkalinity_eq_per_kg() > 0.003);
    ///
    /// let error = Liquor::builder().calcium_mg_l(-1.0).ph(15.0).build().unwrap_err();
    /// let paths: Vec<_> = error.problems.iter().map(|problem| problem.path.as_str()).collect();
    /// assert_eq!(paths, ["calcium", "ph", "alkalinity"]);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn builder() -> LiquorBuilder {
        LiquorBuilder::default()
    }

    /// The liquor at equilibrium at a temperature, °C (0 to 100; outside, the nearer end).
    ///
    /// # Errors
    /// [`EquilibriumError`], where it has no equilibrium.
    ///
    /// ```
    /// use underlet::aqueous::{Gas, Mineral};
    /// use underlet::Liquor;
    /// let well = Liquor::builder().calcium_mg_l(112.0).alkalinity_mg_l_caco3(252.0).ph(7.3).build()?;
    /// let hot = well.equilibrium(78.0, Gas::Closed)?;
    /// assert!(hot.saturation_index(Mineral::Calcite) > 0.5);
    /// // In the end, air would take most of its carbon dioxide.
    /// assert!(well.equilibrium(20.0, Gas::air())?.ph > 8.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn equilibrium(
        &self,
        temperature_c: f64,
        gas: Gas,
    ) -> Result<Equilibrium, EquilibriumError> {
        let aqueous = Aqueous::at(temperature_c);
        match gas {
            Gas::Closed => aqueous.closed(self),
            Gas::Open { log10_pco2 } => aqueous.open(self, log10_pco2),
        }
    }

    /// How much of an acid or a base brings the liquor to a pH, g or mL per kg of water: closed,
    /// and at 20 °C as a cooled sample is read. Zero where it is at that pH already.
    ///
    /// # Errors
    /// [`EquilibriumError::OutOfReach`], where none of it leads there: acid raises no pH, and a
    /// salt moves none.
    ///
    /// ```
    /// use underlet::{Liquor, Preparation};
    /// let well = Liquor::builder().calcium_mg_l(112.0).alkalinity_mg_l_caco3(252.0).ph(7.3).build()?;
    /// let acid = Preparation::usual("lactic acid")?;
    /// let ml_per_kg = well.dose_to_ph(&acid, 5.5)?;
    /// assert!((well.titrate(&acid, &[ml_per_kg])?[0].ph - 5.5).abs() < 1e-9);
    /// assert!(well.dose_to_ph(&acid, 9.0).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn dose_to_ph(&self, preparation: &Preparation, ph: f64) -> Result<f64, EquilibriumError> {
        aqueous::dose_to_ph(self, preparation, ph)
    }

    /// The pH after each amount of an acid or a base, g or mL per kg of water: closed, at 20 °C.
    ///
    /// # Errors
    /// [`EquilibriumError`], where one of the amounts is negative or no number, or leads to no
    /// equilibrium.
    pub fn titrate(
        &self,
        preparation: &Preparation,
        amounts_per_kg: &[f64],
    ) -> Result<Vec<TitrationPoint>, EquilibriumError> {
        aqueous::titrate(self, preparation, amounts_per_kg)
    }
}
