//! A brew day that can still be changed before it is written down.

use serde_json::{Map, Value, json};
use underlet::BrewDay;
use underlet_tables::{MALTS, REAGENTS, Reagent, ReagentKind};

use crate::common::dice::{Dice, rounded};

/// Liquor in a vessel: litres and °C.
#[derive(Clone, Debug)]
pub struct Fill {
    pub litres: f64,
    pub celsius: f64,
}

#[derive(Clone, Debug)]
pub struct Source {
    /// Ions, mg/L.
    pub ions: Vec<(&'static str, f64)>,
    /// mg/L as CaCO3.
    pub alkalinity: f64,
    pub ph: Option<f64>,
    /// Litres.
    pub at_most: Option<f64>,
}

/// A wanted range in the target's own unit.
#[derive(Clone, Debug)]
pub struct Range {
    pub key: &'static str,
    pub low: Option<f64>,
    pub high: Option<f64>,
    pub prefer: Option<f64>,
    pub weight: Option<f64>,
}

/// A reagent on the shelf; amounts in g or mL.
#[derive(Clone, Debug)]
pub struct Item {
    pub reagent: &'static Reagent,
    pub strength: Option<f64>,
    pub step: f64,
    pub min_dose: Option<f64>,
    pub stock: Option<f64>,
    pub at: Option<Vec<&'static str>>,
}

#[derive(Clone, Debug)]
pub struct Draft {
    pub sources: Vec<Source>,
    pub tank: Option<Fill>,
    /// Malt class and kg.
    pub grist: Vec<(&'static str, f64)>,
    pub mash: Fill,
    pub rest: f64,
    pub sparge: Option<Fill>,
    pub targets: Vec<Range>,
    pub shelf: Vec<Item>,
}

/// Ions of a water report with the most that a brewing water may hold of them, mg/L.
const REPORT: [(&str, f64); 8] = [
    ("calcium", 220.0),
    ("magnesium", 60.0),
    ("sodium", 150.0),
    ("potassium", 20.0),
    ("chloride", 250.0),
    ("sulfate", 400.0),
    ("nitrate", 50.0),
    ("iron", 0.3),
];
/// Most sources a random day draws from.
const MOST_SOURCES: usize = 3;
/// Liquor brewed with, litres: from a saucepan to a big brewhouse.
const BREWED_L: (f64, f64) = (5.0, 20_000.0);

impl Draft {
    /// A day that makes sense, though hardly any brewer would want it.
    pub fn random(seed: u64) -> Draft {
        let dice = &mut Dice::new(seed);
        let brewed = dice.magnitude(BREWED_L.0, BREWED_L.1);
        let mash = Fill {
            litres: rounded(brewed * dice.real(0.3, 0.6), 3),
            celsius: rounded(dice.real(20.0, 85.0), 3),
        };
        let sparge = dice.chance(0.8).then(|| Fill {
            litres: rounded(brewed - mash.litres, 3),
            celsius: rounded(dice.real(20.0, 85.0), 3),
        });
        let drawn = mash.litres + sparge.as_ref().map_or(0.0, |sparge| sparge.litres);
        // Cold liquor in the vessels needs up to 4 % more of the hot liquor in the tank.
        let tank = dice.chance(0.6).then(|| Fill {
            litres: rounded(drawn * dice.real(1.06, 1.4), 4),
            celsius: rounded(dice.real(15.0, 85.0), 3),
        });
        let filled = tank.as_ref().map_or(drawn, |tank| tank.litres);
        let grist_kg = mash.litres / dice.real(1.8, 8.0);
        Draft {
            sources: sources(dice, filled),
            grist: grist(dice, grist_kg),
            rest: rounded(dice.real(40.0, 76.0), 3),
            targets: targets(dice),
            shelf: shelf(dice, brewed, tank.is_some(), sparge.is_some()),
            tank,
            mash,
            sparge,
        }
    }

    /// A day at the edges of what can be read: brines, thimbles and lakes, coarse scales and heavy
    /// weights.
    pub fn extreme(seed: u64) -> Draft {
        let mut day = Draft::random(seed);
        let dice = &mut Dice::new(seed ^ 0xedce);
        for (place, source) in day.sources.iter_mut().enumerate() {
            // The first is brewing water: brines alone are refused.
            let most = if place == 0 { 5.0 } else { 50.0 };
            for (_, amount) in &mut source.ions {
                *amount *= dice.magnitude(1e-4, most);
            }
            if dice.chance(0.3) {
                source.alkalinity = rounded(dice.real(0.0, 2000.0), 4);
                source.ph = Some(rounded(dice.real(7.0, 8.5), 3));
            }
        }
        for range in &mut day.targets {
            range.weight = Some(rounded(dice.magnitude(1e-6, 1000.0), 3));
        }
        for item in &mut day.shelf {
            item.step = dice.magnitude(1e-6, 10_000.0);
            item.min_dose = dice.chance(0.3).then(|| dice.magnitude(1e-6, 1e6));
            item.stock = dice.chance(0.5).then(|| dice.magnitude(1e-6, 1e6));
        }
        let factor = dice.magnitude(0.01, 30.0);
        for source in &mut day.sources {
            source.at_most = source.at_most.map(|litres| litres * factor);
        }
        let fills = [Some(&mut day.mash), day.tank.as_mut(), day.sparge.as_mut()];
        for fill in fills.into_iter().flatten() {
            fill.litres *= factor;
        }
        for (_, kg) in &mut day.grist {
            *kg *= factor;
        }
        day
    }

    /// Litres that are blended from the sources, as read in their vessels.
    pub fn filled_litres(&self) -> f64 {
        let drawn = self.mash.litres + self.sparge.as_ref().map_or(0.0, |fill| fill.litres);
        self.tank.as_ref().map_or(drawn, |tank| tank.litres)
    }

    /// The same brew, so many times as large.
    pub fn scaled(&self, factor: f64) -> Draft {
        let mut day = self.clone();
        for source in &mut day.sources {
            source.at_most = source.at_most.map(|litres| litres * factor);
        }
        for fill in [Some(&mut day.mash), day.tank.as_mut(), day.sparge.as_mut()]
            .into_iter()
            .flatten()
        {
            fill.litres *= factor;
        }
        for (_, kg) in &mut day.grist {
            *kg *= factor;
        }
        for item in &mut day.shelf {
            item.step *= factor;
            item.min_dose = item.min_dose.map(|amount| amount * factor);
            item.stock = item.stock.map(|amount| amount * factor);
        }
        day
    }

    /// The `brew-day` document.
    pub fn json(&self) -> String {
        let fill = |fill: &Fill, volume: &str, temperature: &str| json!({ volume: fill.litres, temperature: fill.celsius });
        let mut mash = fill(&self.mash, "liquor", "liquor_temperature");
        mash["rest_temperature"] = json!(self.rest);
        let mut day = json!({
            "underlet": 1,
            "name": "Random tide",
            "brewhouse": "Ninefold Quay",
            "sources": self.sources.iter().enumerate().map(|(i, source)| source.json(i)).collect::<Vec<_>>(),
            "grist": self.grist.iter().map(|(malt, kg)| json!({ "malt": malt, "mass": kg })).collect::<Vec<_>>(),
            "mash": mash,
            "targets": targets_json(&self.targets),
            "shelf": self.shelf.iter().map(Item::json).collect::<Vec<_>>(),
        });
        if let Some(tank) = &self.tank {
            day["hot_liquor_tank"] = fill(tank, "fill", "temperature");
        }
        if let Some(sparge) = &self.sparge {
            day["sparge"] = fill(sparge, "liquor", "liquor_temperature");
        }
        day.to_string()
    }

    /// The day as the engine reads it.
    pub fn read(&self) -> BrewDay {
        let text = self.json();
        BrewDay::from_json(&text).unwrap_or_else(|error| panic!("{error}\n{text}"))
    }
}

impl Source {
    fn json(&self, index: usize) -> Value {
        let mut source = json!({
            "name": format!("source {index}"),
            "alkalinity": format!("{} mg/L as CaCO3", self.alkalinity),
        });
        for (ion, amount) in &self.ions {
            source[*ion] = json!(amount);
        }
        if let Some(ph) = self.ph {
            source["ph"] = json!(ph);
        }
        if let Some(litres) = self.at_most {
            source["max_amount"] = json!(litres);
        }
        source
    }
}

impl Item {
    fn json(&self) -> Value {
        let mut item = json!({ "reagent": self.reagent.key, "step": self.step });
        for (key, value) in [
            ("strength", self.strength),
            ("min_dose", self.min_dose),
            ("stock", self.stock),
        ] {
            if let Some(value) = value {
                item[key] = json!(value);
            }
        }
        if let Some(at) = &self.at {
            item["vessels"] = json!(at);
        }
        item
    }
}

fn targets_json(targets: &[Range]) -> Value {
    let (mut wanted, mut weights) = (Map::new(), Map::new());
    for range in targets {
        let mut ends = Map::new();
        for (end, value) in [
            ("low", range.low),
            ("high", range.high),
            ("prefer", range.prefer),
        ] {
            if let Some(value) = value {
                ends.insert(end.to_owned(), json!(value));
            }
        }
        wanted.insert(range.key.to_owned(), Value::Object(ends));
        if let Some(weight) = range.weight {
            weights.insert(range.key.to_owned(), json!(weight));
        }
    }
    wanted.insert("weights".to_owned(), Value::Object(weights));
    Value::Object(wanted)
}

fn sources(dice: &mut Dice, filled: f64) -> Vec<Source> {
    let count = 1 + dice.pick(MOST_SOURCES);
    (0..count)
        .map(|index| {
            // Now and then a water with hardly anything in it.
            let strength = if dice.chance(0.25) { 0.03 } else { 1.0 };
            Source {
                ions: REPORT
                    .into_iter()
                    .filter_map(|(ion, most)| {
                        let amount = rounded(strength * dice.real(0.0, most), 3);
                        dice.chance(0.85).then_some((ion, amount))
                    })
                    .collect(),
                alkalinity: rounded(dice.real(5.0, 20.0 + strength * 380.0), 3),
                ph: dice.chance(0.8).then(|| rounded(dice.real(6.5, 8.6), 3)),
                // The last one never runs out, so that the vessels can always be filled.
                at_most: (index + 1 < count && dice.chance(0.5))
                    .then(|| rounded(filled * dice.real(0.1, 1.5), 3)),
            }
        })
        .collect()
}

fn grist(dice: &mut Dice, grist_kg: f64) -> Vec<(&'static str, f64)> {
    let bases = [
        "pilsner malt",
        "pale ale malt",
        "Vienna malt",
        "light Munich malt",
    ];
    let base = rounded(grist_kg * dice.real(0.5, 1.0), 3);
    let mut grist = vec![(*dice.one_of(&bases), base)];
    for _ in 0..dice.pick(4) {
        let kg = grist_kg * dice.real(0.01, 0.2);
        let malt = dice.one_of(MALTS);
        // A few acidulated malts would be more than a grist can be.
        let share = if malt.acidulated { 0.25 } else { 1.0 };
        grist.push((malt.class, rounded(kg * share, 3)));
    }
    grist
}

/// Targets with the span that their ends are drawn from.
const WANTED: [(&str, f64, f64); 9] = [
    ("calcium", 20.0, 250.0),
    ("magnesium", 0.0, 50.0),
    ("sodium", 0.0, 120.0),
    ("chloride", 0.0, 250.0),
    ("sulfate", 0.0, 400.0),
    ("sulfate_to_chloride", 0.2, 6.0),
    ("mash_ph", 5.0, 5.9),
    ("sparge_alkalinity", 0.0, 120.0),
    ("sparge_ph", 5.2, 7.8),
];

fn targets(dice: &mut Dice) -> Vec<Range> {
    let some = WANTED
        .iter()
        .filter(|_| dice.chance(0.7))
        .collect::<Vec<_>>();
    some.into_iter()
        .map(|&(key, from, to)| {
            let (one, other) = (dice.real(from, to), dice.real(from, to));
            let (low, high) = (rounded(one.min(other), 4), rounded(one.max(other), 4));
            let which = dice.pick(6);
            Range {
                key,
                low: (which != 0).then_some(low),
                high: (which != 1).then_some(high),
                prefer: (which > 1 && dice.chance(0.3)).then(|| rounded((low + high) / 2.0, 6)),
                weight: dice
                    .chance(0.2)
                    .then(|| rounded(dice.magnitude(0.1, 10.0), 2)),
            }
        })
        .collect()
}

fn shelf(dice: &mut Dice, brewed: f64, has_tank: bool, has_sparge: bool) -> Vec<Item> {
    let mut vessels = vec!["mash_tun"];
    if has_tank {
        vessels.push("hot_liquor_tank");
    }
    if has_sparge {
        vessels.push("sparge_liquor");
    }
    // Zinc is for the kettle alone: see the laws of the kettle.
    let is_zinc = |reagent: &Reagent| reagent.kind == ReagentKind::Zinc;
    let reagents: Vec<&'static Reagent> = REAGENTS.iter().filter(|row| !is_zinc(row)).collect();
    let reagents: Vec<_> = dice.some_of(&reagents, 0.35).into_iter().copied().collect();
    reagents
        .into_iter()
        .map(|reagent| {
            // Scales suit the brewhouse: from 1 mg to 0.5 g per litre brewed.
            let step = rounded(brewed * dice.magnitude(1e-3, 0.5), 1).min(1000.0);
            let [low, high] = reagent.strength_range_percent;
            let at = dice.some_of(&vessels, 0.6);
            Item {
                reagent,
                strength: dice
                    .chance(0.3)
                    .then(|| rounded(dice.real(low, high), 3).clamp(low, high)),
                step,
                min_dose: dice.chance(0.2).then(|| step * dice.real(0.5, 8.0)),
                stock: dice
                    .chance(0.3)
                    .then(|| rounded(brewed * dice.real(0.0, 0.4), 2)),
                at: (!at.is_empty() && dice.chance(0.5)).then(|| at.into_iter().copied().collect()),
            }
        })
        .collect()
}
