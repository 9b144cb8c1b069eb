//! What becomes of a liquor that is heated or limed: stages by their names.

use underlet::aqueous::{Aqueous, Equilibrium, Mineral};
use underlet::component::{Component, Composition};
use underlet::liquor::{Dose, Liquor};

use super::node::Node;
use super::results::{self, Results};
use super::{Outcome, Score, Water};

/// The water as it comes.
const INITIAL: &str = "initial";

/// Heated closed, closed with calcite forming, and open at a partial pressure with calcite forming.
pub fn heating(score: &mut Score, id: &str, reference: &Node) -> Outcome<()> {
    let hot_c = reference.need("heat_to_c")?.number()?;
    all(score, id, reference, |liquor| Liquor {
        temperature_c: hot_c,
        ..*liquor
    })
}

/// Limed, with nothing, calcite, or calcite and brucite forming.
pub fn lime(score: &mut Score, id: &str, reference: &Node) -> Outcome<()> {
    let mol = reference.need("caoh2_mmol")?.amount()? / 1000.0;
    let ions = Composition::ZERO.with(Component::Calcium, 1.0);
    let slaked_lime = Dose {
        ions,
        alkalinity_eq: ions.strong_charge(),
        carbon_mol: 0.0,
    };
    all(score, id, reference, |liquor| {
        liquor.dosed(&slaked_lime, mol)
    })
}

/// Compares each stage; all but the first stand for what a change makes of the water.
fn all(
    score: &mut Score,
    id: &str,
    reference: &Node,
    change: impl Fn(&Liquor) -> Liquor,
) -> Outcome<()> {
    let stages = reference.need("out")?.entries()?;
    let before = Water::read(&reference.need("in")?)?.equilibrium()?;
    let changed = change(&before.liquor);
    for (name, expected) in stages {
        let place = format!("{id} {name}");
        if name == INITIAL {
            Results::of(&before).compare(score, &place, &expected)?;
            continue;
        }
        let stage = Stage::named(name).ok_or_else(|| {
            format!(
                "out.{name}: expected a stage such as \"closed\", \"calcite\" or \
                 \"open_calcite_-3.4\""
            )
        })?;
        let (state, formed) = stage.reached(&changed)?;
        let results = Results {
            formed: &formed,
            ..Results::of(&state)
        };
        results.compare(score, &place, &expected)?;
    }
    Ok(())
}

/// Which minerals may form, and the log10 of the partial pressure that the liquor is open to.
#[derive(Clone, Debug, Default, PartialEq)]
struct Stage {
    minerals: Vec<Mineral>,
    log10_pco2: Option<f64>,
}

impl Stage {
    /// Reads a name such as `b_open_calcite_-3.4` or `no_precipitation`.
    fn named(name: &str) -> Option<Stage> {
        let mut stage = Stage::default();
        let mut is_open = false;
        for (place, word) in name.split('_').enumerate() {
            if let Some(mineral) = results::mineral(word) {
                stage.minerals.push(mineral);
            } else if word == "open" {
                is_open = true;
            } else if let Some(pressure) = word.parse().ok().filter(|_| is_open) {
                stage.log10_pco2 = Some(pressure);
            } else {
                let is_letter = place == 0 && word.len() == 1;
                let says_nothing = ["closed", "no", "precipitation", "none"].contains(&word);
                if !(is_letter || says_nothing) {
                    return None;
                }
            }
        }
        (is_open == stage.log10_pco2.is_some()).then_some(stage)
    }

    fn reached(&self, liquor: &Liquor) -> Outcome<(Equilibrium, Vec<(Mineral, f64)>)> {
        let aqueous = Aqueous::at(liquor.temperature_c);
        let to_saturation: Vec<(Mineral, f64)> = self
            .minerals
            .iter()
            .map(|mineral| (*mineral, 0.0))
            .collect();
        let (state, amounts) = aqueous.precipitated(liquor, &to_saturation, self.log10_pco2)?;
        Ok((state, self.minerals.iter().copied().zip(amounts).collect()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_tell_what_may_form_and_whether_it_is_open() {
        let stage = |minerals: &[Mineral], log10_pco2| {
            Some(Stage {
                minerals: minerals.to_vec(),
                log10_pco2,
            })
        };
        let (calcite, brucite) = (Mineral::Calcite, Mineral::Brucite);
        for (name, expected) in [
            ("a_closed", stage(&[], None)),
            ("no_precipitation", stage(&[], None)),
            ("c_closed_calcite", stage(&[calcite], None)),
            ("calcite_brucite", stage(&[calcite, brucite], None)),
            ("b_open_calcite_-3.4", stage(&[calcite], Some(-3.4))),
            ("b_open_calcite", None),
            ("closed_-3.4", None),
            ("halite", None),
        ] {
            assert_eq!(Stage::named(name), expected, "{name}");
        }
    }
}
