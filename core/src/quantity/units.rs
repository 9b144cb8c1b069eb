//! The units people write, each with its size in the base unit of what it measures.

use underlet_tables::parameters;

use super::substance::{CACO3_G_PER_EQ, CAO_G_PER_EQ};

/// What a unit measures, with the base unit its size is given in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Measure {
    /// Volume, L.
    Volume,
    /// Mass, kg.
    Mass,
    /// Temperature, °C.
    Temperature,
    /// Mass of solute in a volume, mg/L.
    MassPerLitre,
    /// Amount of solute in a volume, mmol/L.
    MolePerLitre,
    /// Equivalents in a volume, meq/L; the hardness degrees are such units.
    EquivalentPerLitre,
    /// Equivalents of carbonate in a volume, meq/L: degrees of carbonate hardness, which is an
    /// alkalinity.
    CarbonateHardness,
    /// pH.
    Ph,
    /// Hundredths, %.
    Percent,
    /// A plain number.
    One,
    /// Beer or wort colour, EBC.
    Colour,
    /// Buffering of malt, meq/(kg pH).
    Buffering,
    /// Acid or base per mass of malt, meq/kg.
    Acidity,
    /// Liquor to grist, L/kg.
    Thickness,
    /// Electrical conductivity at 25 °C, µS/cm.
    Conductivity,
    /// Time, h.
    Time,
    /// Volume in a time, L/h.
    Flow,
    /// Extract of wort by mass, °P.
    Extract,
    /// Density of wort over that of water, both at 20 °C.
    SpecificGravity,
}

impl Measure {
    /// What it measures, in plain words.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Measure::Volume => "a volume",
            Measure::Mass => "a mass",
            Measure::Temperature => "a temperature",
            Measure::MassPerLitre => "a mass concentration",
            Measure::MolePerLitre => "an amount concentration",
            Measure::EquivalentPerLitre => "a concentration in equivalents",
            Measure::CarbonateHardness => "a carbonate hardness",
            Measure::Ph => "a pH",
            Measure::Percent => "a percentage",
            Measure::One => "a plain number",
            Measure::Colour => "a colour",
            Measure::Buffering => "a buffering",
            Measure::Acidity => "an acidity",
            Measure::Thickness => "a mash thickness",
            Measure::Conductivity => "a conductivity",
            Measure::Time => "a time",
            Measure::Flow => "a volume in a time",
            Measure::Extract => "an extract",
            Measure::SpecificGravity => "a specific gravity",
        }
    }
}

/// A unit: `base value = (written number - zero) * size`.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// As printed.
    pub name: &'static str,
    /// What it measures.
    pub measure: Measure,
    /// Size in the base unit of its measure.
    pub size: f64,
    /// The number that means zero of the base unit: 32 for °F, else 0.
    pub zero: f64,
    /// Spellings, tidied: lower case, no spaces, brackets or dots, `u` for micro, `/l` for every
    /// "per litre".
    spellings: &'static [&'static str],
}

const fn unit(
    name: &'static str,
    measure: Measure,
    size: f64,
    spellings: &'static [&'static str],
) -> Unit {
    Unit {
        name,
        measure,
        size,
        zero: 0.0,
        spellings,
    }
}

// Definitions: SI Brochure, 9th ed. (2019); NIST Handbook 44 (2023), appendix C: lb, oz, grain, US
// gal, US bbl of beer (31 US gal); Weights and Measures Act 1985 (UK), schedule 1: imp gal. A UK
// barrel of beer is 36 imp gal.
const LB_KG: f64 = 0.453_592_37;
const GRAIN_MG: f64 = 64.798_91;
const US_GAL_L: f64 = 3.785_411_784;
const IMP_GAL_L: f64 = 4.546_09;
const US_QUART_L: f64 = US_GAL_L / 4.0;
const US_BARREL_L: f64 = 31.0 * US_GAL_L;
const UK_BARREL_L: f64 = 36.0 * IMP_GAL_L;
const US_FLUID_OUNCE_L: f64 = US_GAL_L / 128.0;
const IMP_FLUID_OUNCE_L: f64 = IMP_GAL_L / 160.0;

// Hardness degrees, meq/L. German: 10 mg CaO/L (DIN 38409-6:1986); French: 10 mg CaCO3/L; English
// (Clark): one grain of CaCO3 per imp gal; one grain of CaCO3 per US gal.

const GERMAN_DEGREE_MEQ_PER_L: f64 = 10.0 / CAO_G_PER_EQ;
const FRENCH_DEGREE_MEQ_PER_L: f64 = 10.0 / CACO3_G_PER_EQ;
const ENGLISH_DEGREE_MEQ_PER_L: f64 = GRAIN_MG / IMP_GAL_L / CACO3_G_PER_EQ;
const GRAIN_PER_US_GAL_MEQ_PER_L: f64 = GRAIN_MG / US_GAL_L / CACO3_G_PER_EQ;

/// Conductivity at 25 °C per conductivity at 20 °C: what a report means by "at 20 °C".
const FROM_20C: f64 = parameters::CONDUCTIVITY_25C_PER_20C.value;

use Measure as M;

/// Every unit. Those of one measure stand together, the default first.
#[rustfmt::skip]
pub static UNITS: &[Unit] = &[
    unit("L", M::Volume, 1.0, &["l", "litre", "litres", "liter", "liters", "dm3"]),
    unit("hL", M::Volume, 100.0, &["hl", "hectolitre", "hectolitres", "hectoliter", "hectoliters"]),
    unit("mL", M::Volume, 1e-3, &["ml", "millilitre", "millilitres", "milliliter", "milliliters", "cc", "cm3"]),
    unit("m3", M::Volume, 1e3, &["m3", "cubicmetre", "cubicmetres", "cubicmeter", "cubicmeters"]),
    unit("US gal", M::Volume, US_GAL_L, &["usgal", "usgals", "usgallon", "usgallons"]),
    unit("imp gal", M::Volume, IMP_GAL_L, &["impgal", "impgallon", "impgallons", "imperialgallon", "imperialgallons", "ukgal", "ukgallon", "ukgallons"]),
    unit("US bbl", M::Volume, US_BARREL_L, &["usbbl", "usbbls", "usbarrel", "usbarrels", "usbeerbarrel", "usbeerbarrels"]),
    unit("UK bbl", M::Volume, UK_BARREL_L, &["ukbbl", "ukbbls", "ukbarrel", "ukbarrels", "impbbl", "ukbeerbarrel", "ukbeerbarrels"]),
    unit("US fl oz", M::Volume, US_FLUID_OUNCE_L, &["usfloz", "usfluidounce", "usfluidounces"]),
    unit("imp fl oz", M::Volume, IMP_FLUID_OUNCE_L, &["impfloz", "ukfloz", "impfluidounce", "impfluidounces"]),
    unit("kg", M::Mass, 1.0, &["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"]),
    unit("g", M::Mass, 1e-3, &["g", "gram", "grams", "gramme", "grammes"]),
    unit("mg", M::Mass, 1e-6, &["mg", "milligram", "milligrams", "milligramme", "milligrammes"]),
    unit("t", M::Mass, 1e3, &["t", "tonne", "tonnes"]),
    unit("lb", M::Mass, LB_KG, &["lb", "lbs", "pound", "pounds"]),
    unit("oz", M::Mass, LB_KG / 16.0, &["oz", "ounce", "ounces"]),
    unit("°C", M::Temperature, 1.0, &["°c", "c", "degc", "celsius", "degreescelsius"]),
    Unit { name: "°F", measure: M::Temperature, size: 5.0 / 9.0, zero: 32.0, spellings: &["°f", "f", "degf", "fahrenheit", "degreesfahrenheit"] },
    Unit { name: "K", measure: M::Temperature, size: 1.0, zero: 273.15, spellings: &["k", "kelvin"] },
    // In water reports ppm means mg per litre, ppb µg per litre (common practice, no source).
    unit("mg/L", M::MassPerLitre, 1.0, &["mg/l", "ppm", "g/m3"]),
    unit("g/L", M::MassPerLitre, 1e3, &["g/l", "kg/m3"]),
    unit("µg/L", M::MassPerLitre, 1e-3, &["ug/l", "mcg/l", "ppb"]),
    unit("mmol/L", M::MolePerLitre, 1.0, &["mmol/l", "mm", "mol/m3"]),
    unit("mol/L", M::MolePerLitre, 1e3, &["mol/l", "m", "molar"]),
    unit("µmol/L", M::MolePerLitre, 1e-3, &["umol/l", "um"]),
    unit("meq/L", M::EquivalentPerLitre, 1.0, &["meq/l", "mval/l", "milliequivalents/l", "me/l"]),
    unit("eq/L", M::EquivalentPerLitre, 1e3, &["eq/l", "val/l"]),
    unit("°dH", M::EquivalentPerLitre, GERMAN_DEGREE_MEQ_PER_L, &["°dh", "dh", "°d", "degdh", "germandegrees"]),
    unit("°fH", M::EquivalentPerLitre, FRENCH_DEGREE_MEQ_PER_L, &["°fh", "fh", "°f", "degfh", "frenchdegrees"]),
    unit("°Clark", M::EquivalentPerLitre, ENGLISH_DEGREE_MEQ_PER_L, &["°clark", "clark", "°e", "°eh", "degclark", "degreesclark", "englishdegrees"]),
    unit("gpg", M::EquivalentPerLitre, GRAIN_PER_US_GAL_MEQ_PER_L, &["gpg", "gr/usgal", "grains/usgal", "grains/usgallon"]),
    unit("°dKH", M::CarbonateHardness, GERMAN_DEGREE_MEQ_PER_L, &["°dkh", "dkh", "°kh", "kh", "degdkh"]),
    unit("pH", M::Ph, 1.0, &["ph"]),
    unit("%", M::Percent, 1.0, &["%", "percent", "%w/w", "%wt", "wt%", "w/w%", "%m/m", "%bymass", "%byweight"]),
    unit("", M::One, 1.0, &[""]),
    unit("EBC", M::Colour, 1.0, &["ebc", "°ebc", "ebcunits"]),
    unit("meq/(kg pH)", M::Buffering, 1.0, &["meq/kgph", "meq/kg/ph", "meq/kg/phunit", "mmol/kgph", "mmol/kg/ph"]),
    unit("meq/kg", M::Acidity, 1.0, &["meq/kg", "mmol/kg", "mval/kg"]),
    unit("L/kg", M::Thickness, 1.0, &["l/kg", "litres/kg", "liters/kg"]),
    unit("US qt/lb", M::Thickness, US_QUART_L / LB_KG, &["usqt/lb", "usquarts/lb"]),
    unit("h", M::Time, 1.0, &["h", "hr", "hrs", "hour", "hours"]),
    unit("min", M::Time, 1.0 / 60.0, &["min", "mins", "minute", "minutes"]),
    unit("d", M::Time, 24.0, &["d", "day", "days"]),
    unit("L/h", M::Flow, 1.0, &["l/h", "l/hr", "litres/h", "litres/hour", "liters/hour"]),
    unit("hL/h", M::Flow, 100.0, &["hl/h", "hl/hr"]),
    unit("US gal/h", M::Flow, US_GAL_L, &["usgal/h", "usgal/hr", "usgallons/hour"]),
    unit("°P", M::Extract, 1.0, &["°p", "p", "°plato", "plato", "degplato", "degreesplato"]),
    unit("SG", M::SpecificGravity, 1.0, &["sg"]),
    unit("µS/cm", M::Conductivity, 1.0, &["us/cm", "us/cmat25°c", "us/cm25°c", "us/cmat25c", "us/cm25c"]),
    unit("mS/cm", M::Conductivity, 1e3, &["ms/cm", "ms/cmat25°c", "ms/cm25°c", "ms/cmat25c", "ms/cm25c"]),
    unit("mS/m", M::Conductivity, 10.0, &["ms/m", "ms/mat25°c", "ms/m25°c", "ms/mat25c", "ms/m25c"]),
    unit("S/m", M::Conductivity, 1e4, &["s/m"]),
    unit("µS/cm at 20 °C", M::Conductivity, FROM_20C, &["us/cmat20°c", "us/cm20°c", "us/cmat20c", "us/cm20c"]),
    unit("mS/cm at 20 °C", M::Conductivity, 1e3 * FROM_20C, &["ms/cmat20°c", "ms/cm20°c", "ms/cmat20c", "ms/cm20c"]),
    unit("mS/m at 20 °C", M::Conductivity, 10.0 * FROM_20C, &["ms/mat20°c", "ms/m20°c", "ms/mat20c", "ms/m20c"]),
];

/// Units that mean two things, with what to write instead.
#[rustfmt::skip]
static AMBIGUOUS: &[(&[&str], &str)] = &[
    (&["bbl", "bbls", "barrel", "barrels"], "Write \"US bbl\" (117.348 L) or \"UK bbl\" (163.659 L)."),
    (&["gal", "gals", "gallon", "gallons"], "Write \"US gal\" (3.785 L) or \"imp gal\" (4.546 L)."),
    (&["floz", "fluidounce", "fluidounces"], "Write \"US fl oz\" (29.57 mL) or \"imp fl oz\" (28.41 mL)."),
    (&["qt/lb", "quarts/lb", "qts/lb"], "Write \"US qt/lb\" (2.086 L/kg), or give L/kg."),
    (&["ton", "tons"], "Write \"t\" for a tonne of 1000 kg, or give the mass in kg."),
    (&["n", "normal"], "Normality depends on the reaction: give mol/L or % w/w."),
    (&["°", "deg", "degree", "degrees"], "Say which degrees: °C, °F, °dH, °fH, °Clark."),
    (&["%v/v", "%vol", "vol%", "%w/v", "%m/v"], "Give % by mass (% w/w), or mol/L: both stand on the supplier's data sheet."),
    (&["grains/gal", "grains/gallon", "gr/gal"], "Write \"gpg\" for grains per US gal, or \"°Clark\" for grains per imp gal."),
];

impl Unit {
    /// The written number in the base unit of the measure.
    pub(super) fn in_base(&self, number: f64) -> f64 {
        (number - self.zero) * self.size
    }
}

/// Finds a unit by its tidied spelling among those that the test admits.
pub(super) fn find(tidied: &str, admits: impl Fn(Measure) -> bool) -> Option<&'static Unit> {
    UNITS
        .iter()
        .find(|unit| admits(unit.measure) && unit.spellings.contains(&tidied))
}

/// What to write instead of a unit that means two things.
pub(super) fn ambiguity(tidied: &str) -> Option<&'static str> {
    AMBIGUOUS
        .iter()
        .find(|(spellings, _)| spellings.contains(&tidied))
        .map(|(_, hint)| *hint)
}

/// A unit text split into a tidied unit and the basis behind or inside it: "mg CaCO3/L" is `mg/l`
/// and `caco3`.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Split {
    pub unit: String,
    pub basis: Option<String>,
}

/// Tidies a unit text. `is_basis`: whether a word names the basis of a mass.
pub(super) fn split(text: &str, is_basis: impl Fn(&str) -> bool) -> Split {
    let folded: String = text.chars().flat_map(fold).collect();
    let mut unit = String::with_capacity(folded.len());
    let mut basis = None;
    let mut after_as = false;
    for word in folded.split_whitespace() {
        let (head, tail) = word.find('/').map_or((word, ""), |at| word.split_at(at));
        match word {
            "as" if !unit.is_empty() && basis.is_none() => after_as = true,
            "per" => unit.push('/'),
            _ if basis.is_none() && (after_as || (!unit.is_empty() && is_basis(head))) => {
                basis = Some(head.to_owned());
                unit.push_str(tail);
            }
            _ => unit.push_str(word),
        }
    }
    if after_as && basis.is_none() {
        unit.push_str("as");
    }
    Split {
        unit: per_litre(unit),
        basis,
    }
}

/// One spelling for each "per litre" and "per kilogram".
fn per_litre(mut unit: String) -> String {
    for (ending, plain) in [
        ("l-1", "/l"),
        ("/litre", "/l"),
        ("/liter", "/l"),
        ("/dm3", "/l"),
        ("kg-1", "/kg"),
        ("/pound", "/lb"),
    ] {
        if unit.len() > ending.len() && unit.ends_with(ending) {
            unit.truncate(unit.len() - ending.len());
            unit.push_str(plain);
            break;
        }
    }
    unit
}

/// Lower case; plain digits for raised and lowered ones; `u` for micro; brackets and dots fall
/// away.
fn fold(c: char) -> impl Iterator<Item = char> {
    let plain = match c {
        '(' | ')' | '[' | ']' | '·' | '⋅' | '*' => ' ',
        'µ' | 'μ' => 'u',
        'º' | '˚' => '°',
        '⁻' | '−' => '-',
        '⁺' => '+',
        '₁' | '¹' => '1',
        '₂' | '²' => '2',
        '₃' | '³' => '3',
        '₄' => '4',
        other => other,
    };
    plain.to_lowercase().filter(|c| !matches!(c, '.' | '^'))
}
