//! Whether the numbers of a reconciled liquor go together, so that a source can be made of them.

use crate::checker::Checker;
use crate::component::Component;
use crate::error::{ErrorCode, InputError, Problem};
use crate::naming;
use crate::quantity::{self, quoted};
use crate::uncertainty::{Covariance, CovarianceFlaw};
use crate::water_report::{CARBON_KEY, ReconciledAmount, ReconciledLiquor};

/// Every ion and the carbon, each once.
pub(crate) const MOST_AMOUNTS: usize = Component::COUNT + 1;

/// Keys of all that a liquor holds: ions, weak acids and inorganic carbon.
pub(crate) fn keys() -> impl Iterator<Item = &'static str> {
    Component::ALL
        .into_iter()
        .map(Component::key)
        .chain([CARBON_KEY])
}

/// Checks each amount, and what they say together. Remarks are the engine's own words.
///
/// # Errors
/// Every problem, in the order of the document.
pub(super) fn check(liquor: &ReconciledLiquor) -> Result<(), InputError> {
    let mut checker = Checker::new();
    let of = &mut checker;
    of.list("amounts", &liquor.amounts, [1, MOST_AMOUNTS], amount);
    if of.problems().is_empty() {
        for problem in together(&liquor.amounts) {
            of.at::<()>("", Err(problem));
        }
    }
    checker.into_result()
}

fn amount(of: &mut Checker, amount: &ReconciledAmount) {
    of.at("key", is_known(&amount.key));
    of.quantity("mmol_per_kg", amount.mmol_per_kg, &quantity::MMOL_PER_KG);
    of.inside("covariance", |of| {
        for (key, value) in &amount.covariance {
            of.at(key, is_known(key));
            of.quantity(key, *value, &quantity::COVARIANCE);
        }
    });
}

/// Whether it is the key of something that a liquor holds.
pub(crate) fn is_known(key: &str) -> Result<(), Problem> {
    if keys().any(|known| known == key) {
        return Ok(());
    }
    let near = naming::nearest(key, keys());
    Err(Problem {
        code: ErrorCode::UnknownName,
        path: String::new(),
        found: quoted(key),
        expected: format!("one of: {}", naming::listed(keys())),
        hint: near.map_or_else(
            || "Write the key of an ion or a weak acid, or of the inorganic carbon.".to_owned(),
            |near| format!("Did you mean \"{near}\"?"),
        ),
    })
}

/// What is wrong with amounts of known keys together: each two of them have one covariance, and
/// the covariances are possible.
pub(crate) fn together(amounts: &[ReconciledAmount]) -> Vec<Problem> {
    if !(is_each_once(amounts) && is_whole(amounts)) {
        return vec![Problem {
            code: ErrorCode::Contradiction,
            path: "amounts".to_owned(),
            found: "amounts that do not go with their covariances".to_owned(),
            expected: "each key once, \"inorganic_carbon\" among them, a variance for each \
                       amount, and a covariance for each two"
                .to_owned(),
            hint: "Copy the liquor whole: \"reconciled.liquor\" of a water document, \
                   \"drawn.liquor\" or \"heel\" of a tank ledger."
                .to_owned(),
        }];
    }
    let cells = amounts
        .iter()
        .flat_map(|one| amounts.iter().map(|other| covariance(one, other)));
    let matrix = Covariance::of_rows(amounts.len(), cells.collect());
    let key = |place: usize| amounts.get(place).map_or("", |amount| &*amount.key);
    let problem = |flaw: CovarianceFlaw| Problem {
        path: path_of(flaw, amounts),
        ..flaw.problem(key, |one, other| matrix.get(one, other))
    };
    matrix.flaws_of_plain().into_iter().map(problem).collect()
}

/// Whether each amount is there once, and the carbon among them.
fn is_each_once(amounts: &[ReconciledAmount]) -> bool {
    let times = |key: &str| amounts.iter().filter(|amount| amount.key == key).count();
    amounts.iter().all(|amount| times(&amount.key) == 1) && times(CARBON_KEY) == 1
}

/// Whether each amount has its variance, each two of them one covariance, and no other is given.
fn is_whole(amounts: &[ReconciledAmount]) -> bool {
    let given = |one: &ReconciledAmount, other: &ReconciledAmount| {
        usize::from(one.covariance.contains_key(&other.key))
    };
    let pairs = amounts.iter().enumerate().all(|(place, one)| {
        let mut before = amounts.iter().take(place);
        given(one, one) == 1 && before.all(|other| given(one, other) + given(other, one) == 1)
    });
    let count: usize = amounts.iter().map(|amount| amount.covariance.len()).sum();
    pairs && count == amounts.len() * (amounts.len() + 1) / 2
}

/// The covariance of two amounts, which one of them states.
pub(super) fn covariance(one: &ReconciledAmount, other: &ReconciledAmount) -> f64 {
    let stated = one.covariance.get(&other.key);
    let stated = stated.or_else(|| other.covariance.get(&one.key));
    stated.copied().unwrap_or(0.0)
}

/// Where the number at fault is stated; all amounts, where it is no single one.
fn path_of(flaw: CovarianceFlaw, amounts: &[ReconciledAmount]) -> String {
    let places = match flaw {
        CovarianceFlaw::NegativeVariance(place) => Some((place, place)),
        CovarianceFlaw::Asymmetric(one, other) | CovarianceFlaw::TooLarge(one, other) => {
            Some((one, other))
        }
        CovarianceFlaw::NotFinite | CovarianceFlaw::Indefinite => None,
    };
    let stated = places.and_then(|(one, other)| {
        let mut either = [(one, other), (other, one)].into_iter();
        either.find_map(|(by, of)| {
            let key = &amounts.get(of)?.key;
            let states = amounts.get(by)?.covariance.contains_key(key);
            states.then(|| format!("amounts[{by}].covariance.{key}"))
        })
    });
    stated.unwrap_or_else(|| "amounts".to_owned())
}
