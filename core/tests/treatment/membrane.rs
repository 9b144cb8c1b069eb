//! Reverse osmosis.

use approx::assert_relative_eq;
use underlet::aqueous::Aqueous;
use underlet::component::Component;
use underlet::treatment::{Passage, permeate};

use super::hard_well;

#[test]
fn permeate_of_the_hard_well_by_hand() {
    // Cations through: 0.02 (5.5 + 1.0) + 0.05 x 0.7 = 0.165 meq/kg; anions 0.05 (1.0 + 5.2) + 0.02
    // x 1.0 = 0.33. The cations are the lesser side, so all of them pass and the anions by
    // half: chloride 0.025, sulfate 0.005 mmol/kg, alkalinity 0.13 meq/kg.
    let through = permeate(&hard_well(), &Passage::usual()).expect("passes");
    for (ion, mmol) in [
        (Component::Calcium, 0.055),
        (Component::Magnesium, 0.01),
        (Component::Sodium, 0.035),
        (Component::Chloride, 0.025),
        (Component::Sulfate, 0.005),
    ] {
        assert_relative_eq!(1000.0 * through.ions.get(ion), mmol, max_relative = 1e-12);
    }
    assert_relative_eq!(
        1000.0 * through.alkalinity_eq_per_kg,
        0.13,
        max_relative = 1e-12
    );
}

#[test]
fn carbon_dioxide_passes_and_makes_permeate_sour() {
    let well = hard_well();
    let through = permeate(&well, &Passage::usual()).expect("passes");
    let state = |liquor| Aqueous::at(12.0).closed(liquor).expect("an equilibrium");
    let (feed, permeate) = (state(&well), state(&through));
    assert_relative_eq!(
        permeate.molality("CO2"),
        feed.molality("CO2"),
        max_relative = 0.02
    );
    assert!(permeate.ph < feed.ph - 1.0);
}

#[test]
fn an_open_membrane_changes_nothing_and_no_share_is_above_one() {
    let open = Passage {
        single: 1.0,
        double: 1.0,
    };
    let through = permeate(&hard_well(), &open).expect("passes");
    assert_relative_eq!(through.alkalinity_eq_per_kg, 0.0052, max_relative = 1e-12);
    assert_relative_eq!(
        through.carbon_mol_per_kg,
        hard_well().carbon_mol_per_kg,
        max_relative = 1e-12
    );
    assert!(
        permeate(
            &hard_well(),
            &Passage {
                single: 1.1,
                double: 0.0
            }
        )
        .is_err()
    );
}
