//! How much acid brings a water to a pH.

use underlet::aqueous::{Aqueous, Equilibrium};
use underlet::component::{Component, Composition};
use underlet::liquor::Dose;

use super::node::Node;
use super::results::Results;
use super::{Fault, Outcome, Score, Water};

/// How far a dose may be off, per cent; of phosphoric acid more, since the reference takes its
/// first step as complete.
const DOSE_PERCENT: f64 = 0.2;
const PHOSPHORIC_DOSE_PERCENT: f64 = 1.0;

/// A question of acidification.
#[derive(Clone, Debug)]
pub struct Acidification {
    water: Water,
    acid: Component,
    ph: f64,
    log10_pco2: Option<f64>,
}

impl Acidification {
    /// Reads a question.
    ///
    /// # Errors
    /// When a value is not what its key promises.
    pub fn read(reference: &Node) -> Result<Acidification, String> {
        let mut water = Water::read(&reference.need("in")?)?;
        let mode = reference.need("mode")?;
        let log10_pco2 = match mode.text()? {
            "closed" => None,
            text if text.starts_with("open") => Some(pressure(reference, &water, text)?),
            _ => return Err(mode.complaint("\"closed\" or \"open\"")),
        };
        if water.ph.is_some() {
            // The pressure is that of the acidified water; the water itself is given by its pH.
            water.log10_pco2 = None;
        }
        Ok(Acidification {
            water,
            acid: acid(&reference.need("acid")?)?,
            ph: reference.need("target_pH")?.number()?,
            log10_pco2,
        })
    }

    /// The water before, the water after, and the dose in mol/kg.
    ///
    /// # Errors
    /// When what is given does not determine the water, or the engine refuses.
    pub fn answer(&self) -> Outcome<(Equilibrium, Equilibrium, f64)> {
        let aqueous = Aqueous::at(self.water.liquor.temperature_c);
        let before = self.water.equilibrium_at(&aqueous)?;
        let (after, amount) = aqueous.dosed_to_ph(
            &before.liquor,
            &mole_of(self.acid),
            self.ph,
            self.log10_pco2,
        )?;
        Ok((before, after, amount))
    }
}

pub fn compare(score: &mut Score, id: &str, reference: &Node) -> Outcome<()> {
    let question = Acidification::read(reference)?;
    if question.acid == Component::Phosphate && leaves_out_pairs(reference)? {
        return Err(Fault::AnotherModel);
    }
    let out = reference.need("out")?;
    let (before, after, amount) = question.answer()?;
    let percent = match question.acid {
        Component::Phosphate => PHOSPHORIC_DOSE_PERCENT,
        _ => DOSE_PERCENT,
    };
    let after = Results {
        dose: Some((amount * 1000.0, percent)),
        ..Results::of(&after)
    };
    after.compare_key(score, id, "mmol_acid_per_kg", &out)?;
    if let Some(initial) = out.find("initial") {
        Results::of(&before).compare(score, &format!("{id} initial"), &initial)?;
    }
    Ok(after.compare(score, &format!("{id} final"), &out.need("final")?)?)
}

/// Whether a reference says, in a word or as a flag, that it was made without pairs of metals with
/// phosphate. With them the dose is up to 4 % more and up to a quarter of the calcium is bound, so
/// that nothing is left to compare.
fn leaves_out_pairs(reference: &Node) -> Result<bool, String> {
    let entries = reference.entries()?;
    Ok(entries.iter().any(|(key, value)| {
        let denied = value.text().is_ok_and(|text| {
            text.contains("pair") && (text.contains("no") || text.contains("without"))
        });
        denied || (key.contains("pair") && value.is_false())
    }))
}

/// The partial pressure of an open reference: given beside the water or in it, as the end of the
/// mode, or as a result.
fn pressure(reference: &Node, water: &Water, mode: &str) -> Result<f64, String> {
    if let Some(pressure) = reference.find("log_pco2") {
        return pressure.number();
    }
    let at_the_end =
        mode.trim_start_matches(|letter: char| letter != '-' && !letter.is_ascii_digit());
    match water.log10_pco2.or_else(|| at_the_end.parse().ok()) {
        Some(pressure) => Ok(pressure),
        None => reference
            .need("out")?
            .need("final")?
            .need("log_pco2")?
            .number(),
    }
}

fn acid(node: &Node) -> Result<Component, String> {
    let name = node.text()?.to_ascii_lowercase();
    let names = [
        ("hcl", Component::Chloride),
        ("hydrochloric", Component::Chloride),
        ("h2so4", Component::Sulfate),
        ("sulfuric", Component::Sulfate),
        ("h3po4", Component::Phosphate),
        ("phosphoric", Component::Phosphate),
        ("lac", Component::Lactate),
        ("hlac", Component::Lactate),
    ];
    names
        .iter()
        .find(|(start, _)| name.starts_with(start))
        .map(|(_, ion)| *ion)
        .ok_or_else(|| node.complaint("HCl, H2SO4, H3PO4 or lactic"))
}

/// A mole of the acid of an anion. A strong one takes its charge from the alkalinity; a weak one
/// joins uncharged.
fn mole_of(anion: Component) -> Dose {
    let ions = Composition::ZERO.with(anion, 1.0);
    Dose {
        ions,
        alkalinity_eq: ions.strong_charge(),
        carbon_mol: 0.0,
    }
}
