//! Laws that hold whatever the numbers: conservation, monotony, scale, optimality.
//!
//! Everything here is drawn from fixed seeds, so a failure comes back until it is fixed.

mod alternatives;
mod boil;
mod brewhouse;
mod chlorine;
mod confidence;
mod days;
mod dilution;
mod forward;
mod ion_fit;
mod ions;
mod kettle;
mod kettle_words;
mod limits;
mod liquor;
mod mash;
mod never_worse;
mod optimum;
mod options;
mod placements;
mod reasons;
mod search;
mod sensitivities;
mod sparge_confidence;
mod strategies;
mod traces;
mod weigh;
