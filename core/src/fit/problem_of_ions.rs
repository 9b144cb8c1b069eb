//! A fit of ions alone as a problem.

use underlet_tables::parameters;

use super::ions::{Dilution, Distance, IonProblem, Salt};
use super::linear::{NODE_LIMIT, ion_targets};
use super::prices;
use super::uptake::most_alone;
use crate::liquor::{water_density_kg_per_l, water_kg};
use crate::recipe::{IonFit, ShelfReagent, Source};

/// Objectives that differ by less are as good as each other: a miss of 0.01 mg/L, far less than any
/// meter sees.
const INDIFFERENCE: f64 = 1e-6;

/// Mass of the liquor that is made, kg.
pub(crate) fn water_kg_of(fit: &IonFit) -> f64 {
    water_kg(fit.liquor.volume_l, fit.liquor.temperature_c)
}

/// The fit as a problem; amounts are g or mL in all of the liquor.
pub fn problem_of_ions(fit: &IonFit) -> IonProblem {
    let water_kg = water_kg_of(fit);
    let cold = water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value);
    let most_share = |water: &Source| {
        let at_most = water.max_amount_l.map(|litres| litres * cold / water_kg);
        at_most.map_or(1.0, |share| share.min(1.0))
    };
    let targets = &fit.targets;
    let targets = ion_targets(
        &targets.ions,
        targets.alkalinity.as_ref(),
        targets.sulfate_to_chloride.as_ref(),
    );
    IonProblem {
        source: fit.source.liquor,
        dilution: fit.dilution.as_ref().map(|water| {
            let most = most_share(water);
            Dilution {
                liquor: water.liquor,
                // Rounding may not cross the two.
                least: (1.0 - most_share(&fit.source)).min(most),
                most,
            }
        }),
        salts: fit.shelf.iter().map(|item| salt(fit, item)).collect(),
        targets: targets.into_iter().map(|(_, target)| target).collect(),
        distance: Distance::Squared,
        max_salts: fit.max_salts,
        handling: prices::per_item(),
        indifference: INDIFFERENCE,
        node_limit: NODE_LIMIT,
    }
}

fn salt(fit: &IonFit, item: &ShelfReagent) -> Salt {
    let water_kg = water_kg_of(fit);
    let soluble = item
        .preparation
        .solubility_units_per_kg(fit.liquor.temperature_c);
    let soluble = soluble.map(|units| units * water_kg);
    let alone = most_alone(&item.preparation.dose_per_unit(), water_kg);
    let mosts = [item.stock, soluble, alone];
    Salt {
        per_unit: item.preparation.dose_per_unit().times(1.0 / water_kg),
        most: mosts.into_iter().flatten().reduce(f64::min),
        step: Some(item.step),
        min_dose: item.min_dose,
        price: prices::per_unit(&fit.shelf, item, water_kg),
    }
}
