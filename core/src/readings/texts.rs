//! When a meter is read, and what to check where it does not show what it should.

use crate::recipe::{Meter, Place};

/// When a meter is read somewhere.
pub(super) const fn when(place: Place, meter: Meter) -> &'static str {
    match (place, meter) {
        (Place::ColdLiquor, _) => "before anything is added",
        (Place::Tank, Meter::Temperature) => "once it is heated",
        (Place::Tank, _) => "when all is added and dissolved, before it is heated",
        (Place::MashLiquor, _) => "in the tun, before the grist",
        (Place::MashFirst, _) => "15 to 20 minutes after mashing in, before the rest of the acid",
        (Place::Mash, _) => "20 to 60 minutes after mashing in, ten after any acid",
        (Place::SpargeLiquor, _) => "before sparging starts",
        (Place::Kettle, _) => "when the kettle is full, before the boil",
    }
}

/// What it means where a meter does not show what it should.
pub(super) const fn otherwise(place: Place, meter: Meter) -> &'static str {
    match (place, meter) {
        (Place::MashFirst, Meter::Ph) => {
            "First mash pH: above what it should show, give the rest of the acid and a little \
             more; below it, give less of the rest."
        }
        (Place::Mash, Meter::Ph) => {
            "Mash pH outside: check the probe in a buffer first, then whether an addition was \
             forgotten or doubled, then the alkalinity of the water; the malt is next. Correct \
             with small doses and read again."
        }
        (_, Meter::Temperature) => "Temperature outside: compare with a second thermometer.",
        (Place::ColdLiquor, _) => {
            "Liquor as drawn outside: check the meter in a buffer or a standard, then whether the \
             water is still that of its report."
        }
        (_, Meter::Ph) => "pH outside: check the probe in a buffer, then what was added.",
        (_, Meter::Conductivity) => {
            "Conductivity outside: check the meter in a standard; lower: a salt is missing or not \
             yet dissolved."
        }
    }
}
