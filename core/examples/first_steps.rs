//! From two waters to a brew day, in Rust alone: `cargo run --example first_steps`.

use std::error::Error;

use underlet::{
    BrewDay, Component, IonFit, Liquor, Malt, Mash, Preparation, ShelfReagent, Source, TargetRange,
};

fn main() -> Result<(), Box<dyn Error>> {
    // Two waters by their reports (mg/L), and a mixture with 40 % of the second.
    let well = Liquor::builder()
        .calcium_mg_l(112.0)
        .magnesium_mg_l(9.0)
        .sodium_mg_l(9.0)
        .chloride_mg_l(32.0)
        .sulfate_mg_l(38.0)
        .alkalinity_mg_l_caco3(252.0)
        .ph(7.3)
        .build()?;
    let soft = Liquor::builder().alkalinity_mg_l_caco3(8.0).build()?;
    let mixed = well.mix(&soft, 0.4)?;
    let residual = mixed.residual_alkalinity_mg_l_caco3();
    println!("Residual alkalinity {residual:.0} mg/L as CaCO3");

    // Acid that brings it to a pH.
    let acid = Preparation::usual("lactic acid")?;
    let ml_per_hl = 100.0 * mixed.dose_to_ph(&acid, 5.8)?;
    println!("pH 5.8 by {ml_per_hl:.0} mL/hL of {}", acid.label());

    // What 500 kg of the untreated mixture do to a mash.
    let pale = Malt::of_class("pale ale malt", 175.0)?;
    let grist = [pale.clone()];
    let mash = Mash::new(&grist, mixed, 500.0)?.forecast();
    println!("Mash pH {:.2}, standard deviation {:.2}", mash.ph, mash.sd);

    // Salts for the ions of the liquor alone.
    let calcium = TargetRange::between(80.0, 120.0);
    let fitted = IonFit::new(Source::new("mixed", mixed), 1300.0)
        .ion_mg_l(Component::Calcium, calcium)
        .ion_mg_l(Component::Sulfate, TargetRange::at_least(100.0))
        .reagent(ShelfReagent::of("gypsum")?)
        .solve()?;
    println!("{}", fitted.summary);

    // The whole day. Litres and °C: 500 L at 72 °C let into the mash, which rests at 66 °C.
    let day = BrewDay::builder("Quayside Pale")
        .source(Source::new("well", well))
        .source(Source::new("soft", soft))
        .hot_liquor_tank(1500.0, 78.0)
        .malt(pale)
        .mash(500.0, 72.0, 66.0)
        .sparge(800.0, 78.0)
        .ion_mg_l(Component::Calcium, calcium)
        .mash_ph(TargetRange::between(5.3, 5.5))
        .reagent(ShelfReagent::of("gypsum")?)
        .reagent(ShelfReagent::of("lactic acid")?)
        .build()?;
    println!("{}", day.plan()?);
    Ok(())
}
