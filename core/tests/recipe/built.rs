//! Days, liquors, mashes and tanks that are built step by step.

use underlet::component::Component;
use underlet::error::ErrorCode;
use underlet::liquor::Liquor;
use underlet::mash::{Malt, Mash, TitrationCurve};
use underlet::tank::ledger::{Destination, Heel, Line, Tank, Work};
use underlet::tank::{TankDay, TankSupply};
use underlet::{BrewDay, EXAMPLES, ShelfReagent, Source, TargetRange};

/// The well of the pale ale.
fn well() -> Source {
    let liquor = Liquor::builder()
        .calcium_mg_l(112.0)
        .magnesium_mg_l(14.0)
        .sodium_mg_l(22.0)
        .potassium_mg_l(3.0)
        .chloride_mg_l(38.0)
        .sulfate_mg_l(61.0)
        .nitrate_mg_l(18.0)
        .alkalinity_mg_l_caco3(252.0)
        .ph(7.3)
        .build()
        .expect("a water");
    Source::new("well", liquor)
}

fn malt(class: &str, kg: f64) -> Malt {
    Malt::of_class(class, kg).expect("a malt")
}

fn reagent(name: &str) -> ShelfReagent {
    ShelfReagent::of(name).expect("a reagent").step(5.0)
}

#[test]
fn the_pale_ale_can_be_built() {
    let day = BrewDay::builder("Harbour pale, 10 hL")
        .brewhouse(underlet::Brewhouse {
            name: "Ninefold Quay".to_owned(),
            ..underlet::Brewhouse::default()
        })
        .source(well())
        .hot_liquor_tank(1500.0, 78.0)
        .malt(malt("pale ale malt", 180.0))
        .malt(malt("caramel malt 80 to 120 EBC", 10.0))
        .malt(malt("pale wheat malt", 10.0))
        .mash(560.0, 74.0, 66.0)
        .sparge(760.0, 78.0)
        .ion_mg_l(Component::Calcium, TargetRange::between(100.0, 200.0))
        .ion_mg_l(Component::Magnesium, TargetRange::between(5.0, 30.0))
        .ion_mg_l(Component::Sodium, TargetRange::between(0.0, 60.0))
        .ion_mg_l(Component::Chloride, TargetRange::between(40.0, 120.0))
        .ion_mg_l(Component::Sulfate, TargetRange::between(120.0, 250.0))
        .sulfate_to_chloride(TargetRange::between(1.5, 3.0))
        .mash_ph(TargetRange::between(5.3, 5.5))
        .sparge_alkalinity_mg_l_caco3(TargetRange::between(0.0, 50.0))
        .reagent(reagent("gypsum"))
        .reagent(reagent("calcium chloride dihydrate"))
        .reagent(reagent("epsom salt"))
        .reagent(reagent("sodium chloride"))
        .reagent(reagent("lactic acid").strength_percent(80.0))
        .reagent(reagent("phosphoric acid").strength_percent(75.0))
        .build()
        .expect("a day");
    let read = BrewDay::from_json(EXAMPLES[0].1).expect("a day");
    let [built, read] = [day, read].map(|day| day.plan().expect("a plan"));
    assert_eq!(built.additions.len(), read.additions.len());
    for (built, read) in built.additions.iter().zip(&read.additions) {
        assert_eq!((&built.name, &built.display), (&read.name, &read.display));
    }
    assert!((built.mash.ph - read.mash.ph).abs() < 1e-9);
}

#[test]
fn every_mistake_of_a_liquor_is_named() {
    let error = Liquor::builder()
        .calcium_mg_l(-1.0)
        .sulfate_mg_l(f64::NAN)
        .component_mg_l(Component::Silica, f64::INFINITY)
        .bicarbonate_mg_l(-3.0)
        .temperature_c(140.0)
        .build()
        .expect_err("no water");
    let named: Vec<_> = error
        .problems
        .iter()
        .map(|problem| (problem.code, problem.path.as_str()))
        .collect();
    assert_eq!(
        named,
        [
            (ErrorCode::OutOfRange, "temperature"),
            (ErrorCode::OutOfRange, "calcium"),
            (ErrorCode::NotFinite, "sulfate"),
            (ErrorCode::NotFinite, "silica"),
            (ErrorCode::OutOfRange, "bicarbonate"),
        ]
    );
    let acid = Liquor::builder()
        .alkalinity_mg_l_caco3(200.0)
        .ph(3.0)
        .build();
    assert_eq!(
        acid.expect_err("no water").problems[0].code,
        ErrorCode::Contradiction
    );
}

#[test]
fn every_mistake_of_a_mash_is_named() {
    let paths = |grist: &[Malt], liquor, kg| -> Vec<String> {
        let refused = Mash::new(grist, liquor, kg).expect_err("no mash").problems;
        refused.into_iter().map(|problem| problem.path).collect()
    };
    let water = well().liquor;
    let odd = Malt {
        mass_kg: f64::NAN,
        ..malt("pale ale malt", 10.0)
    };
    let endless = Liquor {
        carbon_mol_per_kg: f64::INFINITY,
        ..water
    };
    let pale = [malt("pale ale malt", 10.0)];
    assert_eq!(paths(&[odd], water, 30.0), ["grist[0].mass"]);
    assert_eq!(paths(&pale, endless, 30.0), ["liquor.inorganic_carbon"]);
    assert_eq!(paths(&pale, water, 0.0), ["water_kg"]);
    assert_eq!(
        paths(&[malt("sugar or glucose syrup", 10.0)], water, 30.0),
        ["grist"]
    );
    let mash = Mash::new(&pale, water, 30.0).expect("a mash");
    assert!(mash.forecast().ph.is_finite());

    let sour = TitrationCurve::straight([f64::NAN, 0.1], [0.04, 0.01]);
    let error = Malt::new("odd lot", 10.0, sour).expect_err("no malt");
    assert!(
        error
            .problems
            .iter()
            .any(|problem| problem.path == "ph_in_distilled_water")
    );
}

#[test]
fn every_mistake_of_a_tank_day_is_named() {
    let draw = Work::Draw {
        volume_l: -40.0,
        to: Destination::Mash,
    };
    let day = TankDay {
        attached: underlet::Attached::default(),
        name: String::new(),
        tank: Tank::new("hot-liquor tank", f64::INFINITY, -1.0),
        supplies: vec![
            TankSupply::of(&well(), 12.0),
            TankSupply::of(&well(), 200.0),
        ],
        heel: Heel::ZERO,
        heel_remarks: Vec::new(),
        lines: vec![
            Line::new(
                "fill",
                Work::Fill {
                    supply: 2,
                    volume_l: f64::NAN,
                },
            ),
            Line::new("strike", draw),
            Line::new("", Work::Hold { hours: -1.0 }),
        ],
    };
    let error = day.check().expect_err("no day");
    let paths: Vec<&str> = error
        .problems
        .iter()
        .map(|problem| problem.path.as_str())
        .collect();
    assert_eq!(
        paths,
        [
            "name",
            "tank.capacity",
            "tank.dead_volume",
            "supplies[1].temperature",
            "supplies",
            "lines[0].volume",
            "lines[0].supply",
            "lines[1].volume",
            "lines[2].label",
            "lines[2].duration",
        ]
    );
    assert_eq!(day.ledger().map(|_| ()), Err(error));
}
