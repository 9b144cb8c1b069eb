//! Worked days of Ninefold Quay, each with its sums. Densities by hand: CRC Handbook (from memory),
//! 12 °C 0.99950, 70 °C 0.97776, 78 °C 0.97303 kg/L, at 1 atm; the engine's are at saturation, up
//! to 5e-5 less.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use underlet::aqueous::Mineral;
use underlet::component::Component;
use underlet::tank::ledger::{Destination, Heel, Ledger, Line, Supply, Tank, Work, acid_first};
use underlet::treatment::{Rates, ScaleCover, Surface};

use super::{certain, dose, fill, hard_well, soft_main};

fn heat(to_c: f64, hours: f64) -> Line {
    Line::new("heat", Work::Heat { to_c, hours })
}

fn draw(label: &str, volume_l: f64, to: Destination) -> Line {
    Line::new(label, Work::Draw { volume_l, to })
}

fn recover(volume_l: f64) -> Line {
    let work = Work::Recover {
        supply: 0,
        volume_l,
        temperature_c: 70.0,
    };
    Line::new("from the wort cooler", work)
}

/// A shut tank: what stands in it is what came in, so that the sums can be done by hand.
fn shut_tank() -> Tank {
    let tank = Tank::new("hot-liquor tank", 1200.0, 60.0);
    certain(tank.with(ScaleCover::Some, Surface::Shut))
}

/// Millimoles per kg of one ion that the supply has none of.
fn potassium_mmol(ledger: &Ledger) -> f64 {
    1000.0 * ledger.state().liquor().ions.get(Component::Potassium)
}

#[test]
fn three_brews_back_to_back_with_recovered_cooling_water() {
    // Potassium chloride marks what the doses bring; the harbour main has no potassium and is too
    // soft to scale. 99 % of 74.548 g/mol.
    let mut ledger = Ledger::empty(shut_tank(), vec![soft_main()]).expect("opens");
    let enter = |ledger: &mut Ledger, line: Line| {
        ledger.enter(line).expect("fits");
    };

    // Brew one: 1000 L at 12 °C are 999.50 kg; 50 g bring 49.5/74.548 = 0.66400 mol, 0.66433
    // mmol/kg. At 78 °C 999.50/0.97303 = 1027.20 L. Mash 400 L and sparge 500 L take 900 x
    // 0.97303 = 875.73 kg; 123.77 kg stay, 127.20 L, with 0.08223 mol.
    enter(&mut ledger, fill(1000.0));
    enter(&mut ledger, dose("KCl", "potassium chloride", 50.0));
    assert_relative_eq!(potassium_mmol(&ledger), 0.664_33, max_relative = 1e-4);
    enter(&mut ledger, heat(78.0, 3.0));
    assert_abs_diff_eq!(ledger.state().volume_l(), 1027.20, epsilon = 0.05);
    enter(&mut ledger, draw("strike one", 400.0, Destination::Mash));
    enter(&mut ledger, draw("sparge one", 500.0, Destination::Sparge));
    assert_abs_diff_eq!(ledger.state().water_kg, 123.77, epsilon = 0.05);
    assert_relative_eq!(potassium_mmol(&ledger), 0.664_33, max_relative = 1e-4);

    // Brew two: 600 L recovered at 70 °C are 586.66 kg, 250 L cold 249.88 kg; 960.30 kg. (123.77 x
    // 78 + 586.66 x 70 + 249.88 x 12)/960.30 = 55.94 °C. Potassium 0.08223/960.30 = 0.08563
    // mmol/kg; 42 g more bring 0.55776 mol: 0.66645.
    let calcium_one = ledger.state().liquor().ions.get(Component::Calcium);
    enter(&mut ledger, recover(600.0));
    enter(&mut ledger, fill(250.0));
    assert_abs_diff_eq!(ledger.state().water_kg, 960.30, epsilon = 0.05);
    assert_abs_diff_eq!(ledger.state().temperature_c, 55.94, epsilon = 0.01);
    assert_relative_eq!(potassium_mmol(&ledger), 0.085_63, max_relative = 3e-4);
    enter(&mut ledger, dose("KCl", "potassium chloride", 42.0));
    assert_relative_eq!(potassium_mmol(&ledger), 0.666_45, max_relative = 1e-4);
    enter(&mut ledger, heat(78.0, 1.0));
    enter(&mut ledger, draw("strike two", 400.0, Destination::Mash));
    enter(&mut ledger, draw("sparge two", 450.0, Destination::Sparge));

    // Brew three: 850 x 0.97303 = 827.08 kg gone, 133.23 kg stay with 0.08879 mol. 650 L at 70 °C
    // 635.54 kg, 280 L cold 279.86 kg: 1048.63 kg, (133.23 x 78 + 635.54 x 70 + 279.86 x
    // 12)/1048.63 = 55.54 °C, potassium 0.08467 mmol/kg.
    let mut third = Ledger::open(shut_tank(), vec![soft_main()], ledger.close()).expect("opens");
    assert_abs_diff_eq!(third.state().water_kg, 133.23, epsilon = 0.1);
    enter(&mut third, recover(650.0));
    enter(&mut third, fill(280.0));
    assert_abs_diff_eq!(third.state().water_kg, 1048.63, epsilon = 0.1);
    assert_abs_diff_eq!(third.state().temperature_c, 55.54, epsilon = 0.01);
    assert_relative_eq!(potassium_mmol(&third), 0.084_67, max_relative = 5e-4);

    // Water from the cooler is the same main: calcium is what it always was, 0.3 mmol/kg, and
    // nothing has come down.
    assert_relative_eq!(calcium_one, 0.0003, max_relative = 1e-12);
    let calcium_three = third.state().liquor().ions.get(Component::Calcium);
    assert_relative_eq!(calcium_three, 0.0003, max_relative = 1e-12);
    assert_eq!(third.state().scale_g(), 0.0);
}

/// A vented tank without steam: PHREEQC's sums are for the same water all night.
fn night_tank() -> Tank {
    let usual = Tank::new("hot-liquor tank", 1200.0, 60.0);
    let no_steam = |rates: Rates| Rates {
        evaporation_per_hour: 0.0,
        ..rates
    };
    Tank {
        rates: no_steam(usual.rates),
        rates_sd: no_steam(usual.rates_sd),
        ..usual
    }
}

/// 335 mL of 37 % hydrochloric acid: 1.1837 g/mL x 0.37/36.458 = 12.013 mmol/mL, 4.0244 mol.
fn acid() -> Line {
    dose("acid", "hydrochloric acid", 335.0)
}

fn night() -> [Line; 2] {
    [
        Line::new(
            "timer from 21:00",
            Work::Heat {
                to_c: 78.0,
                hours: 3.0,
            },
        ),
        Line::new("until 9:00", Work::Hold { hours: 9.0 }),
    ]
}

#[test]
fn a_night_on_hard_water_without_acid() {
    // By tests/peers/standing.py with our constants, 15 cm²/kg of scale under 2 mm: Ca 2.059435 and
    // alkalinity 3.818874 mmol/kg stay, of 5.826058 mmol/kg of carbon 5.047697; so 0.690565 mmol/kg
    // of calcite and 0.087796 of carbon dioxide leave; pH 6.7565 at 78 °C. 1000 L at 12 °C are
    // 999.50 kg, calcite 100.086 g/mol: 69.081 g.
    let mut ledger = Ledger::empty(night_tank(), vec![hard_well()]).expect("opens");
    ledger.enter(fill(1000.0)).expect("fits");
    ledger.enter_all(night()).expect("fits");
    let state = ledger.state();
    assert_relative_eq!(state.scale_g(), 69.081, max_relative = 2e-3);
    assert_relative_eq!(state.carbon_dioxide_mol, 0.087_752, max_relative = 3e-3);
    let liquor = state.liquor();
    assert_relative_eq!(
        1000.0 * liquor.ions.get(Component::Calcium),
        2.059_435,
        max_relative = 1e-3
    );
    assert_relative_eq!(
        1000.0 * liquor.alkalinity_eq_per_kg,
        3.818_874,
        max_relative = 1e-3
    );
    let equilibrium = state.equilibrium().expect("an equilibrium");
    assert_abs_diff_eq!(equilibrium.ph, 6.7565, epsilon = 0.003);
    assert!(equilibrium.saturation_index(Mineral::Calcite) > 0.0);
    assert!(equilibrium.saturation_index(Mineral::Gypsum) < 0.0);

    // What nobody has weighed is unsure by about two thirds, and the bars say so: alkalinity twice
    // as much as calcium.
    let bars = ledger.bars();
    assert!(bars.scale_g > 30.0 && bars.scale_g < 60.0, "{bars:?}");
    let twice = 2.0 * bars.calcium_mol_per_kg;
    assert_relative_eq!(bars.alkalinity_eq_per_kg, twice, max_relative = 1e-9);
}

#[test]
fn the_same_night_with_acid_first_and_after() {
    // PHREEQC as above with 4.0244/999.5 = 4.0264 mmol/kg of HCl: no calcite on either line, 0.3873
    // mmol/kg of carbon dioxide leave, pH 5.7066 at 78 °C.
    let with_acid_at = |place: usize| {
        let mut lines = vec![fill(1000.0)];
        lines.extend(night());
        lines.insert(place, acid());
        lines
    };
    let (first, after) = (with_acid_at(1), with_acid_at(3));
    let mut ledger = Ledger::empty(night_tank(), vec![hard_well()]).expect("opens");
    ledger.enter_all(first.clone()).expect("fits");
    assert_eq!(ledger.state().scale_g(), 0.0);
    assert_relative_eq!(
        ledger.state().carbon_dioxide_mol,
        0.3871,
        max_relative = 0.01
    );
    let ph = ledger.state().equilibrium().expect("an equilibrium").ph;
    assert_abs_diff_eq!(ph, 5.7066, epsilon = 0.005);

    let supplies = [hard_well()];
    let advice = acid_first(&night_tank(), &supplies, &Heel::ZERO, &after)
        .expect("fits")
        .expect("acid comes too late");
    assert_eq!((advice.acid, advice.before), (3, 1));
    assert_relative_eq!(advice.scale_g, 69.081, max_relative = 2e-3);
    assert_eq!(advice.scale_acid_first_g, 0.0);
    assert!(
        advice
            .text
            .contains("hydrochloric acid 37 % before heating: 0 g of scale instead of 69 g"),
        "{}",
        advice.text
    );
    for silent in [first, vec![fill(1000.0)]] {
        let none = acid_first(&night_tank(), &supplies, &Heel::ZERO, &silent).expect("fits");
        assert_eq!(none, None);
    }
}

#[test]
fn a_pilot_day_from_the_neighbours_treated_tank() {
    // The neighbour: 2000 L of the well at 12 °C (1999.00 kg), 670 mL of acid (12.013 mmol/mL:
    // 8.0487 mol, 4.0264 meq/kg), 200 g of gypsum (99 % of 172.17 g/mol: 1.1500 mol, 0.57529
    // mmol/kg). Alkalinity 5.2 - 4.0264 = 1.1736, calcium 2.75 + 0.5753 = 3.3253, chloride 1.0
    // + 4.0264 = 5.0264, sulfate 0.5 + 0.5753 = 1.0753.
    let bulk = certain(Tank::new("the neighbour's bulk tank", 2500.0, 100.0));
    let mut neighbour = Ledger::empty(bulk, vec![hard_well()]).expect("opens");
    neighbour.enter(fill(2000.0)).expect("fits");
    neighbour
        .enter(dose("acid", "hydrochloric acid", 670.0))
        .expect("fits");
    neighbour
        .enter(dose("gypsum", "gypsum", 200.0))
        .expect("fits");
    let entry = neighbour
        .enter(draw("pilot", 250.0, Destination::Elsewhere))
        .expect("fits");
    let drawn = entry.drawn.clone().expect("a draw");
    assert_eq!(drawn.to, Destination::Elsewhere);
    assert_abs_diff_eq!(drawn.water_kg, 249.875, epsilon = 0.015);
    for (ion, mmol) in [
        (Component::Calcium, 3.3253),
        (Component::Chloride, 5.0264),
        (Component::Sulfate, 1.0753),
    ] {
        assert_relative_eq!(
            1000.0 * drawn.liquor.ions.get(ion),
            mmol,
            max_relative = 5e-4
        );
    }
    assert_relative_eq!(
        1000.0 * drawn.liquor.alkalinity_eq_per_kg,
        1.1736,
        max_relative = 2e-3
    );

    // The pilot: all 250 L into its own tank of 300 L, heated to 76 °C in an hour (0.97424 kg/L:
    // 256.48 L), 100 L to the mash and 120 L over the grains, 36.48 L less steam left. Steam at
    // 0.002 an hour at 80 °C is less than half a kilogram.
    let treated = Supply::new("treated liquor", drawn.liquor);
    let tank = certain(Tank::new("pilot tank", 300.0, 10.0));
    let mut pilot = Ledger::empty(tank, vec![treated]).expect("opens");
    pilot.enter(fill(250.0)).expect("fits");
    pilot.enter(heat(76.0, 1.0)).expect("fits");
    assert_abs_diff_eq!(pilot.state().volume_l(), 256.48, epsilon = 0.6);
    assert_eq!(pilot.state().scale_g(), 0.0);
    pilot
        .enter(draw("strike", 100.0, Destination::Mash))
        .expect("fits");
    pilot
        .enter(draw("sparge", 120.0, Destination::Sparge))
        .expect("fits");
    assert_abs_diff_eq!(pilot.state().volume_l(), 36.48, epsilon = 0.6);
    // Conserved: what the neighbour gave is what was drawn, left and steamed off.
    let used: f64 = pilot
        .entries()
        .iter()
        .filter_map(|entry| entry.drawn.as_ref())
        .map(|drawn| drawn.water_kg)
        .sum();
    let found = used + pilot.state().water_kg + pilot.state().steam_kg;
    assert_relative_eq!(found, drawn.water_kg, max_relative = 1e-12);
}
