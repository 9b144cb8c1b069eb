//! Reference tables for brewing-water chemistry. Every row is a line of a CSV file in `data/`,
//! carries the key of its source in `data/sources.csv`, and is compiled in: `build.rs` turns the
//! files into constants, so a row that does not parse stops the build and nothing is parsed at run
//! time.
#![forbid(unsafe_code)]

/// A literature reference or other origin of a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// Short key used by the rows, such as `kolbach-1953`.
    pub key: &'static str,
    /// Full reference as printed.
    pub reference: &'static str,
    /// How far it was checked when the row was entered: "read", "read at second hand", "from
    /// memory", "derived".
    pub checked: &'static str,
}

/// A chemical element's standard atomic weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Element {
    /// Symbol, such as `Ca`.
    pub symbol: &'static str,
    /// Abridged standard atomic weight, g/mol.
    pub weight_g_per_mol: f64,
    /// Its uncertainty, g/mol.
    pub sd_g_per_mol: f64,
    /// Key of the source.
    pub source: &'static str,
}

/// How a dissolved component takes part in the charge balance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ComponentKind {
    /// Carries its full charge at every pH a brewer meets.
    Strong,
    /// An acid family counted as the uncharged acid: its charge follows the pH.
    WeakAcid,
}

/// A dissolved component the engine keeps account of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ComponentRow {
    /// Key in documents, such as `calcium`.
    pub key: &'static str,
    /// Symbol for people, such as `Ca`.
    pub symbol: &'static str,
    /// Formula of the ion (strong) or of the full acid (weak), such as `Ca` or `C3H6O3`.
    pub formula: &'static str,
    /// Formula of what a report states in mg: the ion, or the anion of a weak acid, such as
    /// `C3H5O3`.
    pub reported_formula: &'static str,
    /// Charge number of a strong ion; 0 for a weak acid.
    pub charge: i32,
    /// Part in the charge balance.
    pub kind: ComponentKind,
    /// Molar mass of what a report states in mg (ion, or anion of a weak acid), g/mol, from the
    /// formula.
    pub molar_mass_g_per_mol: f64,
    /// Other names people write, such as `Ca`, `Ca+2`, `Ca2+`.
    pub aliases: &'static [&'static str],
}

/// One dissociation step of an acid: `log10 K(T)` by the Harned-Robinson form where given, else by
/// enthalpy and heat capacity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AcidStep {
    /// Component key of the acid family, such as `lactate`.
    pub component: &'static str,
    /// 1 for the first proton lost.
    pub step: u8,
    /// Thermodynamic pKa at 25 °C.
    pub pka_25c: f64,
    /// Standard enthalpy, kJ/mol.
    pub delta_h_kj_per_mol: Option<f64>,
    /// Heat capacity, J/(mol K).
    pub delta_cp_j_per_mol_k: Option<f64>,
    /// `pK = a1/T - a2 + a3 T`, T in kelvin.
    pub harned_robinson: Option<[f64; 3]>,
    /// Key of the source.
    pub source: &'static str,
}

/// What sort of thing a reagent is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReagentKind {
    /// A salt that leaves alkalinity alone.
    Salt,
    /// A base: raises alkalinity.
    Base,
    /// An acid, mineral or organic.
    Acid,
    /// Removes chlorine and chloramine.
    Dechlorinator,
    /// Zinc for the yeast, one mole to a mole: too little to be counted among the ions.
    Zinc,
}

/// Something a brewer weighs or measures out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reagent {
    /// Key in documents, such as `gypsum`.
    pub key: &'static str,
    /// Name for people, such as `gypsum (calcium sulfate dihydrate)`.
    pub name: &'static str,
    /// Formula with its water, such as `CaSO4.2H2O`.
    pub formula: &'static str,
    /// Sort.
    pub kind: ReagentKind,
    /// Molar mass, g/mol, from the formula.
    pub molar_mass_g_per_mol: f64,
    /// Mole of each component that a mole brings, by component key.
    pub brings: &'static [(&'static str, f64)],
    /// Mole of inorganic carbon that a mole brings.
    pub carbon_mol_per_mol: f64,
    /// True when it is sold and measured as a solution: doses are millilitres at a strength.
    pub liquid: bool,
    /// True where it burns eyes and skin, so that a plan warns of it; acids have a warning of
    /// their own.
    pub caustic: bool,
    /// Usual strength or assay as sold, % by mass.
    pub usual_strength_percent: f64,
    /// Lowest and highest strength or assay that is sensible, % by mass.
    pub strength_range_percent: [f64; 2],
    /// Solubility at 20 °C, g of the reagent as weighed per kg of water; `None` where it does not
    /// limit.
    pub solubility_20c_g_per_kg: Option<f64>,
    /// Solubility at 80 °C, likewise.
    pub solubility_80c_g_per_kg: Option<f64>,
    /// Share of what it brings that counts in a mash (1 for all that dissolve), and its standard
    /// deviation.
    pub effective_in_mash: [f64; 2],
    /// Strength from which a solution of it is classed as corrosive, % by mass; a weaker one only
    /// irritates. `None` where that is not stated apart.
    pub corrosive_from_percent: Option<f64>,
    /// How to handle it at its usual strength, one sentence.
    pub handling: &'static str,
    /// Other names people write.
    pub aliases: &'static [&'static str],
    /// Key of the source.
    pub source: &'static str,
}

/// Density of a solution at 20 °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Density {
    /// Reagent key, such as `lactic acid`.
    pub reagent: &'static str,
    /// Strength, % by mass of the pure solute.
    pub mass_percent: f64,
    /// Density, kg/L.
    pub kg_per_l: f64,
    /// Key of the source.
    pub source: &'static str,
}

/// A class of malt or adjunct with the prior of its titration curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Malt {
    /// Trade class, such as `pale ale malt`.
    pub class: &'static str,
    /// True for malt made with lactic acid, whose acidity certificates state.
    pub acidulated: bool,
    /// Colour range, EBC.
    pub colour_ebc: [f64; 2],
    /// pH of its mash in distilled water, room-temperature sample; `None` for sugars, which have
    /// no buffer.
    pub ph_in_distilled_water: Option<f64>,
    /// Standard deviation of that pH between lots.
    pub ph_sd: f64,
    /// Buffering, meq per kg and pH unit.
    pub buffering_meq_per_kg_ph: f64,
    /// Its standard deviation.
    pub buffering_sd: f64,
    /// How far to trust the row: "low" or "medium".
    pub confidence: &'static str,
    /// Keys of the sources, separated by spaces.
    pub source: &'static str,
}

/// A scalar parameter with its standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parameter {
    /// Name, such as `calcium_protons_per_equivalent`.
    pub name: &'static str,
    /// Value.
    pub value: f64,
    /// Standard deviation, 0 where it is exact or a choice.
    pub sd: f64,
    /// Unit.
    pub unit: &'static str,
    /// What it is, one line.
    pub meaning: &'static str,
    /// Key of the source.
    pub source: &'static str,
}

/// An equilibrium constant:
/// `log10 K = a1 + a2 T + a3/T + a4 log10 T + a5/T^2 + a6 T^2` where given, else van 't Hoff.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Equilibrium {
    /// Short key, such as `carbonic_1`.
    pub key: &'static str,
    /// Reaction, products over reactants.
    pub reaction: &'static str,
    /// log10 K at 25 °C.
    pub log_k_25c: f64,
    /// Enthalpy, kJ/mol.
    pub delta_h_kj_per_mol: Option<f64>,
    /// Analytic coefficients a1 to a6.
    pub analytic: Option<[f64; 6]>,
    /// Key of the source.
    pub source: &'static str,
}

/// Truesdell-Jones parameters of a species.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Activity {
    /// Species, such as `HCO3-`.
    pub species: &'static str,
    /// Charge number.
    pub charge: i32,
    /// Ion size, angstrom.
    pub ion_size_angstrom: f64,
    /// Linear term b, kg/mol.
    pub b: f64,
    /// Key of the source.
    pub source: &'static str,
}

/// Limiting equivalent conductivity of an ion or a charged pair at 25 °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductivity {
    /// Species, such as `HCO3-`.
    pub species: &'static str,
    /// Charge number.
    pub charge: i32,
    /// Conductivity at infinite dilution, S cm²/eq.
    pub limiting_s_cm2_per_eq: f64,
    /// Power of the fluidity of water that it goes with as temperature changes: 1 by Walden's
    /// rule.
    pub walden_exponent: f64,
    /// Key of the source.
    pub source: &'static str,
}

/// A drinking-water limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Component key, or `ph`, `tds`, `conductivity`, `chlorine`, `chloramine`.
    pub quantity: &'static str,
    /// Authority: `WHO`, `EU`, `US`.
    pub authority: &'static str,
    /// Low end; `None` where there is only a maximum.
    pub low: Option<f64>,
    /// High end.
    pub high: f64,
    /// Unit, such as `mg/L`, on the basis of the component as the engine keeps it; empty for pH.
    pub unit: &'static str,
    /// What kind of limit: guideline, provisional, operational or taste (WHO), parametric or
    /// indicator (EU), primary, secondary or advisory (US).
    pub status: &'static str,
    /// Where the authority prints it, in short.
    pub edition: &'static str,
    /// Key of the source.
    pub source: &'static str,
}

/// From how much a dissolved component is said to be tasted in beer. All such figures are weak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taste {
    /// Component key, such as `lactate`.
    pub component: &'static str,
    /// From how much it is tasted, mg/L.
    pub mg_per_l: f64,
    /// How much others did not notice, mg/L, where such a figure is known.
    pub missed_mg_per_l: Option<f64>,
    /// What it tastes like, such as `sour`.
    pub taste: &'static str,
    /// Key of the source.
    pub source: &'static str,
}

/// How far a measurement scatters: the root of the sum of squares of a share of the value and a
/// fixed part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Component key, or `ion` (any other component), `alkalinity`, `hardness`,
    /// `dissolved_solids`, `conductivity`, `ph`.
    pub quantity: &'static str,
    /// How it is measured: `laboratory`, `bench` (titration, pocket meter, photometer), `drops`,
    /// `strip`.
    pub method: &'static str,
    /// Standard deviation as a share of the value.
    pub relative_sd: f64,
    /// Fixed part of the standard deviation, in the unit.
    pub absolute_sd: f64,
    /// Unit of the fixed part.
    pub unit: &'static str,
    /// Key of the source.
    pub source: &'static str,
}

/// What drinking waters hold of a subject, and what a report of one can state. Numbers are in mg/L of the ion;
/// alkalinity and hardness in mg/L as CaCO3, conductivity in µS/cm at 25 °C, chlorine in mg/L as
/// Cl2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrinkingWater {
    /// Key of the subject in documents, such as `calcium` or `dissolved_solids`.
    pub subject: &'static str,
    /// Below this it can hardly be drinking water.
    pub low: f64,
    /// Above this it can hardly be drinking water.
    pub high: f64,
    /// What "n.d." stands for where a report does not say.
    pub detection_limit: f64,
    /// What is usual where nobody measured: middle, and standard deviation between waters.
    pub usual: Option<[f64; 2]>,
    /// Keys of the sources.
    pub source: &'static str,
}

/// A family of beer in plain words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BeerFamily {
    /// Plain name, such as `pale lager`.
    pub name: &'static str,
    /// What belongs to it, in one or two sentences.
    pub description: &'static str,
    /// How much hops weigh in it: `low`, `medium` or `high`.
    pub hops: &'static str,
    /// How much malt weighs in it: `low`, `medium` or `high`.
    pub malt: &'static str,
    /// Colour: `pale`, `amber` or `dark`.
    pub colour: &'static str,
    /// Key of the source.
    pub source: &'static str,
}

impl BeerFamily {
    /// The rules of its targets, one for each target, in the order of the table.
    pub fn rules(&self) -> impl Iterator<Item = &'static TargetRule> {
        TARGET_RULES.iter().filter(|rule| rule.applies(self))
    }
}

/// A rule of a target to begin with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TargetRule {
    /// Key of the target in documents, such as `calcium` or `mash_ph`.
    pub target: &'static str,
    /// Beers that it applies to: `every beer`, or those of a step of a trait, such as `malt high`.
    pub applies_to: &'static str,
    /// Low end, in the unit.
    pub low: Option<f64>,
    /// High end, in the unit.
    pub high: Option<f64>,
    /// Unit: `mg/L`, `mg/L as CaCO3`, or empty for a pH or a ratio.
    pub unit: &'static str,
    /// Reason, in one or two sentences.
    pub why: &'static str,
    /// Keys of the sources, separated by spaces.
    pub source: &'static str,
}

impl TargetRule {
    /// Whether it applies to a family.
    pub fn applies(&self, family: &BeerFamily) -> bool {
        match self.applies_to.split_once(' ') {
            Some(("hops", step)) => family.hops == step,
            Some(("malt", step)) => family.malt == step,
            Some(("colour", step)) => family.colour == step,
            _ => true,
        }
    }
}

/// The family of beer with this name.
pub fn beer_family(name: &str) -> Option<&'static BeerFamily> {
    BEER_FAMILIES.iter().find(|row| row.name == name)
}

/// What drinking waters hold, and a report can state of the subject with this key.
pub fn drinking_water(subject: &str) -> Option<&'static DrinkingWater> {
    DRINKING_WATERS.iter().find(|row| row.subject == subject)
}

/// From how much a component is tasted; `None` where no figure is known.
pub fn taste(component: &str) -> Option<&'static Taste> {
    TASTES.iter().find(|row| row.component == component)
}

/// The source with this key.
pub fn source(key: &str) -> Option<&'static Source> {
    SOURCES.iter().find(|row| row.key == key)
}

/// The element with this symbol.
pub fn element(symbol: &str) -> Option<&'static Element> {
    ELEMENTS.iter().find(|row| row.symbol == symbol)
}

/// The dissolved component with this key.
pub fn component(key: &str) -> Option<&'static ComponentRow> {
    COMPONENTS.iter().find(|row| row.key == key)
}

/// The dissociation steps of an acid family, first proton first.
pub fn acid_steps(component: &str) -> impl Iterator<Item = &'static AcidStep> {
    ACID_STEPS
        .iter()
        .filter(move |row| row.component == component)
}

/// The reagent with this key.
pub fn reagent(key: &str) -> Option<&'static Reagent> {
    REAGENTS.iter().find(|row| row.key == key)
}

/// The densities of a liquid reagent, weakest first.
pub fn densities(reagent: &str) -> impl Iterator<Item = &'static Density> {
    DENSITIES.iter().filter(move |row| row.reagent == reagent)
}

/// The malt class with this name.
pub fn malt(class: &str) -> Option<&'static Malt> {
    MALTS.iter().find(|row| row.class == class)
}

/// The parameter with this name.
pub fn parameter(name: &str) -> Option<&'static Parameter> {
    PARAMETERS.iter().find(|row| row.name == name)
}

/// The equilibrium with this key.
pub fn equilibrium(key: &str) -> Option<&'static Equilibrium> {
    EQUILIBRIA.iter().find(|row| row.key == key)
}

/// The Truesdell-Jones parameters of a species; `None` where it follows the Davies equation (ions)
/// or `log10 gamma = neutral_activity_slope I` (neutral species).
pub fn activity(species: &str) -> Option<&'static Activity> {
    ACTIVITIES.iter().find(|row| row.species == species)
}

/// The limiting conductivity of a species.
pub fn conductivity(species: &str) -> Option<&'static Conductivity> {
    CONDUCTIVITIES.iter().find(|row| row.species == species)
}

/// How far a quantity scatters by a method; a component without a row of its own is `ion`.
pub fn spread(quantity: &str, method: &str) -> Option<&'static Spread> {
    let of = |name: &str| {
        SPREADS
            .iter()
            .find(|row| row.quantity == name && row.method == method)
    };
    of(quantity).or_else(|| component(quantity).and_then(|_| of("ion")))
}

include!(concat!(env!("OUT_DIR"), "/tables.rs"));
