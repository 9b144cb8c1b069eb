//! Derivatives of an equilibrium against those of another program.

use underlet::aqueous::{Aqueous, Gradient, Mineral};
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;

/// A water of middling hardness, closed: its carbon is given.
fn water(temperature_c: f64) -> Liquor {
    Liquor {
        ions: Composition::ZERO
            .with(Component::Calcium, 2.5e-3)
            .with(Component::Magnesium, 0.8e-3)
            .with(Component::Sodium, 1.2e-3)
            .with(Component::Potassium, 0.1e-3)
            .with(Component::Chloride, 1.5e-3)
            .with(Component::Sulfate, 1.2e-3),
        alkalinity_eq_per_kg: 4.0e-3,
        carbon_mol_per_kg: 4.3e-3,
        temperature_c,
    }
}

/// Per mmol of calcium, magnesium, sulfate, sodium, per meq of alkalinity, per mmol of carbon, per
/// K.
fn read(gradient: &Gradient) -> [f64; 7] {
    let ions = [
        Component::Calcium,
        Component::Magnesium,
        Component::Sulfate,
        Component::Sodium,
    ];
    let [calcium, magnesium, sulfate, sodium] = ions.map(|ion| gradient.per_ion.get(ion) / 1000.0);
    [
        calcium,
        magnesium,
        sulfate,
        sodium,
        gradient.per_alkalinity / 1000.0,
        gradient.per_carbon / 1000.0,
        gradient.per_kelvin,
    ]
}

/// PHREEQC 3 (PyPI `phreeqc` 1.1.1, PHREEQC's wateq4f.dat less NaCO3- and NaHCO3 as in
/// `tests/peers/reference.py`, convergence tolerance 1e-13): differences of the fourth order with
/// steps of 0.02 mmol/kg of an ion, 0.01 of alkalinity and carbon, 0.5 K. Temperature; then pH,
/// saturation indices of calcite and gypsum, ionic strength in mol/kg, each by the values of
/// [`read`].
const PHREEQC: [(f64, [[f64; 7]; 4]); 2] = [
    (
        12.0,
        [
            [
                -0.009_511_44,
                -0.007_908_88,
                -0.000_702_411,
                -0.000_724_789,
                1.405_48,
                -1.307_88,
                -0.009_516_2,
            ],
            [
                0.150_092,
                -0.022_302_5,
                -0.034_586_2,
                -0.004_324_89,
                1.493_78,
                -1.294_78,
                0.005_485_69,
            ],
            [
                0.132_683,
                -0.039_913_5,
                0.327_909,
                -0.006_210_21,
                -0.009_984_65,
                0.002_623_78,
                -0.003_283_43,
            ],
            [
                0.001_764_26,
                0.001_772_6,
                0.001_341_94,
                0.000_508_093,
                0.000_412_126,
                0.000_056_136_6,
                -0.000_011_915_6,
            ],
        ],
    ),
    (
        65.0,
        [
            [
                -0.021_997,
                -0.011_112_7,
                0.003_840_11,
                -0.000_438_14,
                1.155_08,
                -1.073_27,
                -0.000_304_133,
            ],
            [
                0.135_048,
                -0.021_779_8,
                -0.033_934_6,
                -0.004_346,
                1.215_05,
                -1.036_23,
                0.011_037_8,
            ],
            [
                0.128_247,
                -0.070_833_3,
                0.332_315,
                -0.006_375_21,
                -0.017_972_8,
                0.008_624_19,
                0.001_896_9,
            ],
            [
                0.001_705_87,
                0.001_493_22,
                0.001_017_26,
                0.000_515_347,
                0.000_205_495,
                0.000_223_891,
                -0.000_013_170_5,
            ],
        ],
    ),
];

#[test]
fn derivatives_of_phreeqc() {
    for (celsius, published) in PHREEQC {
        let aqueous = Aqueous::at(celsius);
        let state = aqueous.closed(&water(celsius)).expect("an equilibrium");
        let sensitivities = aqueous.sensitivities(&state).expect("of this temperature");
        let index = |mineral| {
            sensitivities
                .saturation_index(mineral)
                .expect("its ions are there")
        };
        let ours = [
            sensitivities.ph(),
            index(Mineral::Calcite),
            index(Mineral::Gypsum),
            sensitivities.ionic_strength_mol_per_kg(),
        ];
        for (result, (ours, published)) in ours.iter().zip(published).enumerate() {
            for (value, (ours, published)) in read(ours).into_iter().zip(published).enumerate() {
                // The two programs' constants differ in their last digits, and so do small
                // differences of large effects.
                let near = (ours / published - 1.0).abs() < 3e-4;
                assert!(
                    near,
                    "{celsius} °C, result {result} by value {value}: {ours} for {published}"
                );
            }
        }
    }
}
