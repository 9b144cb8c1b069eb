//! The engine against published figures. Each test names its source; where a figure is from memory
//! it says so.

mod additions;
mod carbonate;
mod sensitivities;
mod vectors;
mod waters;

/// pH of a liquor that exchanges nothing, at its temperature.
fn closed_ph(liquor: &underlet::liquor::Liquor) -> f64 {
    underlet::aqueous::Aqueous::at(liquor.temperature_c)
        .closed(liquor)
        .expect("in equilibrium")
        .ph
}
