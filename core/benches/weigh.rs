//! How long the search for what can be weighed takes: ten salts that may go into tank and tun, 1 g steps, at most four
//! different ones; and fits of ions alone.

use divan::{Bencher, black_box};
use underlet::brewday::BrewDay;
use underlet::fit;

/// Waters and wishes of different character: what is short, what is too much, and a mash that wants acid or lime.
const DAYS: [(&str, &str, &str); 4] = [
    (
        "soft",
        r#""calcium": "12 mg/L", "magnesium": "2 mg/L", "sodium": "6 mg/L", "chloride": "14 mg/L", "sulfate": "9 mg/L", "alkalinity": "22 mg/L as CaCO3""#,
        r#""calcium": "80-120 mg/L", "magnesium": "5-15 mg/L", "sodium": "10-40 mg/L", "chloride": "60-90 mg/L", "sulfate": "120-180 mg/L", "mash_ph": "5.3-5.5""#,
    ),
    (
        "hard",
        r#""calcium": "112 mg/L", "magnesium": "14 mg/L", "sodium": "22 mg/L", "chloride": "38 mg/L", "sulfate": "61 mg/L", "alkalinity": "252 mg/L as CaCO3""#,
        r#""calcium": "100-150 mg/L", "magnesium": "5-30 mg/L", "sodium": "10-60 mg/L", "chloride": "50-80 mg/L", "sulfate": "150-250 mg/L", "mash_ph": "5.3-5.5""#,
    ),
    (
        "points",
        r#""calcium": "31 mg/L", "magnesium": "5 mg/L", "sodium": "11 mg/L", "chloride": "19 mg/L", "sulfate": "27 mg/L", "alkalinity": "61 mg/L as CaCO3""#,
        r#""calcium": "95-95 mg/L", "magnesium": "12-12 mg/L", "sodium": "25-25 mg/L", "chloride": "70-70 mg/L", "sulfate": "140-140 mg/L", "mash_ph": "5.4-5.4""#,
    ),
    (
        "dark",
        r#""calcium": "24 mg/L", "magnesium": "4 mg/L", "sodium": "9 mg/L", "chloride": "16 mg/L", "sulfate": "21 mg/L", "alkalinity": "48 mg/L as CaCO3""#,
        r#""calcium": "60-100 mg/L", "magnesium": "5-15 mg/L", "sodium": "30-60 mg/L", "chloride": "60-100 mg/L", "sulfate": "30-60 mg/L", "mash_ph": "5.5-5.6""#,
    ),
];

const SALTS: [&str; 10] = [
    "gypsum",
    "calcium chloride dihydrate",
    "epsom salt",
    "magnesium chloride hexahydrate",
    "sodium chloride",
    "potassium chloride",
    "sodium bicarbonate",
    "sodium sulfate",
    "chalk",
    "slaked lime",
];

fn day(index: usize) -> BrewDay {
    let (name, water, targets) = DAYS[index];
    let shelf: Vec<String> = SALTS
        .iter()
        .map(|salt| {
            format!(
                r#"{{ "reagent": "{salt}", "step": "1 g", "at": ["hot_liquor_tank", "mash_tun"] }}"#
            )
        })
        .collect();
    let malts = if name == "dark" {
        r#"{ "malt": "mild ale malt", "mass": "150 kg" }, { "malt": "chocolate malt", "mass": "12 kg" }, { "malt": "brown malt", "mass": "12 kg" }"#
    } else {
        r#"{ "malt": "pale ale malt", "mass": "180 kg" }"#
    };
    let text = format!(
        r#"{{ "underlet": 1, "name": "{name}", "sources": [{{ "name": "well", {water}, "ph": 7.3 }}],
        "hot_liquor_tank": {{ "fill": "15 hL", "temperature": "78 °C" }}, "grist": [{malts}],
        "mash": {{ "liquor": "520 L", "liquor_temperature": "72 °C", "rest_temperature": "66 °C" }},
        "sparge": {{ "liquor": "760 L", "liquor_temperature": "77 °C" }},
        "targets": {{ {targets} }}, "most_salts": 4, "shelf": [{}] }}"#,
        shelf.join(", ")
    );
    BrewDay::from_json(&text).expect("a day")
}

#[divan::bench(args = [0, 1, 2, 3])]
fn ten_salts_at_two_points(bencher: Bencher, index: usize) {
    let day = day(index);
    let question = day.question();
    bencher.bench_local(|| fit::answer(black_box(&question)).expect("an answer"));
}

fn main() {
    for (index, (name, ..)) in DAYS.iter().enumerate() {
        let day = day(index);
        let begun = std::time::Instant::now();
        let answer = fit::answer(&day.question()).expect("an answer");
        println!(
            "{name}: gap {:.1e}, {} nodes, {} steps of the solver; objective {:.6} weighed, {:.6} rounded, {:.6} before; {:.1} ms",
            answer.gap,
            answer.nodes,
            answer.iterations,
            answer.objective,
            answer.objective_rounded,
            answer.objective_before_rounding,
            begun.elapsed().as_secs_f64() * 1e3
        );
    }
    divan::main();
}
