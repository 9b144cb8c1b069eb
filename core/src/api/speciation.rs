//! From the equilibria of a water to a document and a table.

use crate::render;
use crate::speciation::{EquilibriumDocument, Speciation};

impl Speciation {
    /// The equilibrium as a document.
    ///
    /// ```
    /// use underlet::speciation::Water;
    /// let well = Water {
    ///     alkalinity_mg_per_l_caco3: Some(180.0),
    ///     ph: Some(7.4),
    ///     ..Water::default()
    /// };
    /// let document = well.speciate()?.document();
    /// assert_eq!((document.temperature, document.ph), (20.0, 7.4));
    /// assert!((document.sensitivities["alkalinity"]["alkalinity"] - 1.0).abs() < 1e-12);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn document(&self) -> EquilibriumDocument {
        EquilibriumDocument::of(self)
    }

    /// A table for a notebook: an HTML fragment without style.
    pub fn to_html_fragment(&self) -> String {
        render::speciation(self)
    }
}
