//! A broken day that was built is refused with the same problems as its twin that was read: code,
//! path, what was found, what was expected and the hint.

use serde_json::{Value, json};
use underlet::component::Component;
use underlet::error::InputError;
use underlet::mash::Malt;
use underlet::{
    BrewDay, EXAMPLES, IonFit, LimitedQuantity, Meter, ShelfReagent, Source, TargetRange, Vessel,
};

/// What is broken, in the type and in the document.
type Twin = (&'static str, fn(&mut BrewDay), fn(&mut Value));

/// A wanted range of an ion of the pale ale, mg/L.
fn ion(day: &mut BrewDay, ion: Component, wanted: TargetRange) {
    let mol_per_kg = |end: Option<f64>| end.map(|mg_per_l| ion.mol_per_kg(mg_per_l));
    let wanted = TargetRange {
        low: mol_per_kg(wanted.low),
        high: mol_per_kg(wanted.high),
        prefer: mol_per_kg(wanted.prefer),
        ..wanted
    };
    let target = day.targets.ions.iter_mut().find(|(of, _)| *of == ion);
    target.expect("a target of the pale ale").1 = wanted;
}

const TWINS: &[Twin] = &[
    (
        "a blank identifier and a note on two lines",
        |day| {
            day.attached.id = Some(" ".to_owned());
            day.attached.note = Some("two\nlines".to_owned());
        },
        |day| {
            day["id"] = json!(" ");
            day["note"] = json!("two\nlines");
        },
    ),
    (
        "no name",
        |day| day.name.clear(),
        |day| day["name"] = json!(""),
    ),
    (
        "a name on two lines",
        |day| day.name.insert(3, '\n'),
        |day| day["name"] = json!("Har\nbour pale, 10 hL"),
    ),
    (
        "grains that keep too much",
        |day| day.brewhouse.grain_absorption_l_per_kg = 9.0,
        |day| day["brewhouse"] = json!({"name": "Ninefold Quay", "grain_absorption": 9}),
    ),
    (
        "a tun that keeps it all",
        |day| day.brewhouse.tun_dead_l = 5000.0,
        |day| day["brewhouse"] = json!({"name": "Ninefold Quay", "tun_dead_volume": 5000}),
    ),
    (
        "a scale without steps",
        |day| day.brewhouse.scale_step_g = 0.0,
        |day| day["brewhouse"] = json!({"name": "Ninefold Quay", "scale_step": 0}),
    ),
    (
        "no meters",
        |day| day.brewhouse.meters.clear(),
        |day| day["brewhouse"] = json!({"name": "Ninefold Quay", "meters": []}),
    ),
    (
        "a meter twice",
        |day| day.brewhouse.meters = vec![Meter::Ph, Meter::Temperature, Meter::Ph],
        |day| {
            let meters = ["ph", "temperature", "ph"];
            day["brewhouse"] = json!({"name": "Ninefold Quay", "meters": meters});
        },
    ),
    (
        "a vessel twice",
        |day| day.shelf[0].vessels = vec![Vessel::MashTun, Vessel::MashTun],
        |day| day["shelf"][0]["vessels"] = json!(["mash_tun", "mash tun"]),
    ),
    (
        "a dead volume that is not filled",
        |day| day.brewhouse.tank_dead_l = 400.0,
        |day| day["brewhouse"] = json!({"name": "Ninefold Quay", "tank_dead_volume": 400}),
    ),
    (
        "a batch of nothing",
        |day| day.recipe_scale = 0.0,
        |day| day["recipe_scale"] = json!(0),
    ),
    (
        "no brew",
        |day| day.brews = 0,
        |day| day["brews"] = json!(0),
    ),
    (
        "forty brews",
        |day| day.brews = 40,
        |day| day["brews"] = json!(40),
    ),
    (
        "two brews from a tank for one",
        |day| {
            day.brews = 2;
            // Sparge liquor of two brews is not dosed, and a document leaves it out by itself.
            for item in &mut day.shelf {
                item.vessels
                    .retain(|vessel| *vessel != Vessel::SpargeLiquor);
            }
        },
        |day| day["brews"] = json!(2),
    ),
    (
        "no source",
        |day| day.sources.clear(),
        |day| day["sources"] = json!([]),
    ),
    (
        "the same source twice",
        |day| day.sources.push(day.sources[0].clone()),
        |day| {
            let well = day["sources"][0].clone();
            day["sources"] = json!([well, well]);
        },
    ),
    (
        "less than no calcium",
        |day| {
            day.sources[0]
                .liquor
                .ions
                .set(Component::Calcium, Component::Calcium.mol_per_kg(-5.0));
        },
        |day| day["sources"][0]["calcium"] = json!(-5),
    ),
    (
        "a negative alkalinity",
        |day| {
            day.sources[0].liquor.alkalinity_eq_per_kg =
                underlet::liquor::alkalinity_eq_per_kg(-8.0);
        },
        |day| day["sources"][0]["alkalinity"] = json!(-8),
    ),
    (
        "chlorine that is less in all than free",
        |day| {
            day.sources[0].chlorine = underlet::treatment::Chlorine::from_mg_per_l(0.5, -0.2);
        },
        |day| {
            day["sources"][0]["free_chlorine"] = json!(0.5);
            day["sources"][0]["total_chlorine"] = json!(0.3);
        },
    ),
    (
        "a source that takes water away",
        |day| day.sources[0].max_amount_l = Some(-1.0),
        |day| day["sources"][0]["max_amount"] = json!(-1),
    ),
    (
        "a source that gives too little",
        |day| day.sources[0].max_amount_l = Some(900.0),
        |day| day["sources"][0]["max_amount"] = json!(900),
    ),
    (
        "a tank overdrawn thirteen times",
        |day| day.tank.as_mut().expect("a tank").volume_l = 100.0,
        |day| day["hot_liquor_tank"]["fill"] = json!(100),
    ),
    (
        "a tank of less than nothing",
        |day| day.tank.as_mut().expect("a tank").volume_l = -5.0,
        |day| day["hot_liquor_tank"]["fill"] = json!(-5),
    ),
    (
        "liquor above its boiling point",
        |day| day.tank.as_mut().expect("a tank").temperature_c = 120.0,
        |day| day["hot_liquor_tank"]["temperature"] = json!(120),
    ),
    (
        "no grist",
        |day| day.grist.clear(),
        |day| day["grist"] = json!([]),
    ),
    (
        "a grist of thirty-one malts",
        |day| day.grist = vec![day.grist[0].clone(); 31],
        |day| {
            let pale = day["grist"][0].clone();
            day["grist"] = json!(vec![pale; 31]);
        },
    ),
    (
        "a malt of negative mass",
        |day| day.grist[1].mass_kg = -10.0,
        |day| day["grist"][1]["mass"] = json!(-10),
    ),
    (
        "a grist too heavy for its liquor",
        |day| day.grist[0].mass_kg = 1800.0,
        |day| day["grist"][0]["mass"] = json!(1800),
    ),
    (
        "a grist of sugar",
        |day| day.grist = vec![Malt::of_class("sugar or glucose syrup", 200.0).expect("a class")],
        |day| day["grist"] = json!([{"malt": "sugar or glucose syrup", "mass": 200}]),
    ),
    (
        "a mash of negative volume",
        |day| day.mash.volume_l = -5.0,
        |day| day["mash"]["liquor"] = json!(-5),
    ),
    (
        "a mash at 130 °C",
        |day| day.rest_temperature_c = 130.0,
        |day| day["mash"]["rest_temperature"] = json!(130),
    ),
    (
        "a sparge in no portion",
        |day| day.sparge_portions = 0,
        |day| day["sparge"]["portions"] = json!(0),
    ),
    (
        "a sparge of nothing",
        |day| day.sparge.as_mut().expect("a sparge").volume_l = 0.0,
        |day| day["sparge"]["liquor"] = json!(0),
    ),
    (
        "a kettle boiled dry",
        |day| day.kettle.boil_off_l = Some(2000.0),
        |day| day["kettle"] = json!({"boil_off": 2000}),
    ),
    (
        "an endless boil",
        |day| day.kettle.boil_h = Some(25.0),
        |day| day["kettle"] = json!({"boil": 25}),
    ),
    (
        "zinc that nothing brings",
        |day| {
            let zinc = underlet::quantity::ZINC.read_of(0.15, &underlet::quantity::Substance::ZINC);
            day.kettle.zinc_mol_per_kg = zinc.ok();
        },
        |day| day["kettle"] = json!({"zinc": 0.15}),
    ),
    (
        "a reversed range",
        |day| ion(day, Component::Calcium, TargetRange::between(200.0, 100.0)),
        |day| day["targets"]["calcium"] = json!({"low": 200, "high": 100}),
    ),
    (
        "a preferred value outside",
        |day| {
            ion(
                day,
                Component::Sulfate,
                TargetRange::between(120.0, 250.0).preferring(300.0),
            );
        },
        |day| day["targets"]["sulfate"] = json!({"low": 120, "high": 250, "prefer": 300}),
    ),
    (
        "a negative end",
        |day| ion(day, Component::Sodium, TargetRange::between(-10.0, 60.0)),
        |day| day["targets"]["sodium"] = json!({"low": -10, "high": 60}),
    ),
    (
        "a weight of less than nothing",
        |day| day.targets.mash_ph.as_mut().expect("a target").weight = -1.0,
        |day| day["targets"]["weights"] = json!({"mash_ph": -1}),
    ),
    (
        "a mash of no acid",
        |day| day.targets.mash_ph = Some(TargetRange::between(5.3, 9.0)),
        |day| day["targets"]["mash_ph"] = json!({"low": 5.3, "high": 9}),
    ),
    (
        "a kettle of no acid",
        |day| day.kettle.ph = Some(TargetRange::at_most(9.0)),
        |day| day["targets"]["kettle_ph"] = json!({"high": 9}),
    ),
    (
        "a limit below nothing",
        |day| day.targets.limits = vec![(LimitedQuantity::Component(Component::Sodium), -3.0)],
        |day| day["targets"]["limits"] = json!({"sodium": -3}),
    ),
    (
        "a confidence above certainty",
        |day| day.mash_ph_confidence = Some(1.5),
        |day| day["targets"]["confidence"] = json!({"mash_ph": 1.5}),
    ),
    (
        "a confidence in nothing",
        |day| day.sparge_ph_confidence = Some(0.8),
        |day| day["targets"]["confidence"] = json!({"sparge_ph": 0.8}),
    ),
    (
        "the same reagent twice",
        |day| day.shelf[1] = day.shelf[0].clone(),
        |day| day["shelf"][1] = day["shelf"][0].clone(),
    ),
    (
        "a step of nothing",
        |day| day.shelf[0].step = 0.0,
        |day| {
            day["shelf"][0]["step"] = json!(0);
            day["shelf"][0]["min_dose"] = json!(5);
        },
    ),
    (
        "a stock of less than nothing",
        |day| day.shelf[4].stock = Some(-1.0),
        |day| day["shelf"][4]["stock"] = json!(-1),
    ),
    (
        "an acid stronger than pure",
        |day| day.shelf[4].preparation.strength_percent = 150.0,
        |day| day["shelf"][4]["strength"] = json!(150),
    ),
    (
        "gypsum of which half is none",
        |day| day.shelf[0].preparation.strength_percent = 50.0,
        |day| day["shelf"][0]["strength"] = json!(50),
    ),
    (
        "a reagent for nowhere",
        |day| day.shelf[0].vessels.clear(),
        |day| day["shelf"][0]["vessels"] = json!([]),
    ),
    (
        "a reagent for a sparge that is none",
        |day| {
            day.sparge = None;
            without_sparge(day);
            day.shelf[0].vessels = vec![Vessel::SpargeLiquor];
        },
        |day| {
            day.as_object_mut().expect("an object").remove("sparge");
            day["shelf"][0]["vessels"] = json!(["sparge_liquor"]);
        },
    ),
    (
        "chalk in the kettle",
        |day| {
            day.shelf[0] = ShelfReagent::of("chalk")
                .expect("known")
                .vessels(&[Vessel::Kettle]);
        },
        |day| day["shelf"][0] = json!({"reagent": "chalk", "vessels": ["kettle"]}),
    ),
    (
        "more salts than a shelf holds",
        |day| day.max_salts = Some(31),
        |day| day["max_salts"] = json!(31),
    ),
    (
        "three mistakes at once",
        |day| {
            day.sources[0].max_amount_l = Some(-1.0);
            day.grist[0].mass_kg = 0.0;
            day.shelf[5].step = -2.0;
        },
        |day| {
            day["sources"][0]["max_amount"] = json!(-1);
            day["grist"][0]["mass"] = json!(0);
            day["shelf"][5] = json!({"reagent": "phosphoric acid", "step": -2, "min_dose": 5});
        },
    ),
];

fn pale_ale() -> (BrewDay, Value) {
    let text = EXAMPLES[0].1;
    let day = BrewDay::from_json(text).expect("a day");
    (day, serde_json::from_str(text).expect("JSON"))
}

/// Nothing goes into sparge liquor on a day without a sparge, or with one that brews share: a
/// document without vessels leaves it out by itself.
fn without_sparge(day: &mut BrewDay) {
    for item in &mut day.shelf {
        item.vessels
            .retain(|vessel| *vessel != Vessel::SpargeLiquor);
    }
}

#[test]
fn a_broken_day_is_refused_as_its_document_is() {
    let refused = TWINS.len();
    assert!(refused >= 30, "only {refused} broken days");
    for (name, break_day, break_document) in TWINS {
        let (mut day, mut document) = pale_ale();
        break_day(&mut day);
        break_document(&mut document);
        let read = BrewDay::from_json(&document.to_string()).expect_err(name);
        let checked = day.check().expect_err(name);
        assert_eq!(checked, read, "{name}");
    }
}

#[test]
fn a_broken_day_has_no_plan_and_no_checks() {
    for (name, break_day, _) in TWINS {
        let (mut day, _) = pale_ale();
        break_day(&mut day);
        let problems = Err(underlet::fit::PlanError::Input(
            day.check().expect_err(name),
        ));
        assert_eq!(day.plan().map(|_| ()), problems, "{name}");
        assert_eq!(day.diagnostics().map(|_| ()), problems, "{name}");
    }
}

/// A fit of the pale ale's well, 10 hL with gypsum and chalk.
fn fit() -> (IonFit, Value) {
    let (day, document) = pale_ale();
    let well: Source = day.sources[0].clone();
    let fit = IonFit::new(well, 1000.0)
        .ion_mg_l(Component::Sulfate, TargetRange::between(100.0, 200.0))
        .reagent(ShelfReagent::of("gypsum").expect("known"))
        .reagent(ShelfReagent::of("chalk").expect("known"));
    let document = json!({
        "underlet": 1,
        "source": document["sources"][0],
        "volume": 1000,
        "targets": {"sulfate": {"low": 100, "high": 200}},
        "shelf": [{"reagent": "gypsum"}, {"reagent": "chalk"}],
    });
    (fit, document)
}

#[test]
fn a_broken_fit_is_refused_as_its_document_is() {
    type FitTwin = (&'static str, fn(&mut IonFit), fn(&mut Value));
    let twins: [FitTwin; 8] = [
        (
            "no volume",
            |fit| fit.liquor.volume_l = 0.0,
            |fit| fit["volume"] = json!(0),
        ),
        (
            "ice",
            |fit| fit.liquor.temperature_c = -4.0,
            |fit| fit["temperature"] = json!(-4),
        ),
        (
            "too little water",
            |fit| fit.source.max_amount_l = Some(500.0),
            |fit| fit["source"]["max_amount"] = json!(500),
        ),
        (
            "a ratio of less than nothing",
            |fit| fit.targets.sulfate_to_chloride = Some(TargetRange::at_least(-2.0)),
            |fit| fit["targets"]["sulfate_to_chloride"] = json!({"low": -2}),
        ),
        (
            "nothing to weigh",
            |fit| fit.shelf.clear(),
            |fit| fit["shelf"] = json!([]),
        ),
        (
            "an acid",
            |fit| fit.shelf[1] = ShelfReagent::of("lactic acid").expect("known"),
            |fit| fit["shelf"][1]["reagent"] = json!("lactic acid"),
        ),
        (
            "gypsum twice",
            |fit| fit.shelf[1] = fit.shelf[0].clone(),
            |fit| fit["shelf"][1] = fit["shelf"][0].clone(),
        ),
        (
            "a hundred salts",
            |fit| fit.max_salts = Some(100),
            |fit| fit["max_salts"] = json!(100),
        ),
    ];
    let (whole, _) = fit();
    assert!(whole.solve().is_ok());
    for (name, break_fit, break_document) in twins {
        let (mut fit, mut document) = fit();
        break_fit(&mut fit);
        break_document(&mut document);
        let read: InputError = IonFit::from_json(&document.to_string()).expect_err(name);
        assert_eq!(fit.check(), Err(read.clone()), "{name}");
        let refused = Err(underlet::fit::PlanError::Input(read));
        assert_eq!(fit.solve().map(|_| ()), refused, "{name}");
    }
}
