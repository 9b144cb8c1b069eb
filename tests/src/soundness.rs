//! What every plan must keep, whatever the day: finite numbers, a certificate that holds, whole steps of the scale.

use serde_json::Value;
use underlet::brewday::Plan;
use underlet::convex::Certificate;

/// The keys of a plan that may be null because there is nothing to say.
const MAY_BE_NULL: [&str; 6] = [
    "low",
    "high",
    "prefer",
    "probability_in_range",
    "confidence_asked_percent",
    "sparge",
];

/// What a ratio has none of where there is no chloride to compare with.
const OF_RATIO: [&str; 2] = ["source", "planned"];

/// What is unsound in a plan; empty for a sound one.
pub fn faults(plan: &Plan) -> Vec<String> {
    let mut faults = Vec::new();
    match serde_json::from_str(&plan.to_json()) {
        Ok(document) => find_nulls(&document, "plan", &mut faults),
        Err(error) => faults.push(format!("the plan is not JSON: {error}")),
    }
    let ends = plan
        .targets
        .iter()
        .flat_map(|line| [line.low, line.high, line.prefer]);
    if ends
        .chain([
            plan.mash.probability_in_range,
            plan.mash.confidence_asked_percent,
        ])
        .chain(
            plan.sparge
                .iter()
                .flat_map(|sparge| [sparge.probability_in_range, sparge.confidence_asked_percent]),
        )
        .flatten()
        .any(|number| !number.is_finite())
    {
        faults.push("an end of a range or a probability is not finite".to_owned());
    }
    let proof = &plan.fit.certificate;
    let certificate = Certificate {
        primal_infeasibility: proof.primal_infeasibility,
        dual_infeasibility: proof.dual_infeasibility,
        stationarity: proof.stationarity,
        complementarity: proof.complementarity,
        gap: proof.gap,
    };
    if !certificate.holds(Certificate::TOLERANCE) {
        faults.push(format!(
            "the certificate does not hold: {:e}",
            certificate.worst()
        ));
    }
    if let Some(addition) = plan
        .additions
        .iter()
        .find(|addition| addition.amount <= 0.0)
    {
        faults.push(format!("{} of {}", addition.amount, addition.reagent));
    }
    let drawn: f64 = plan.blend.iter().map(|part| part.share).sum();
    if (drawn - 1.0).abs() > SHARES_ROUNDING {
        faults.push(format!("the shares of the sources sum to {drawn}"));
    }
    faults
}

/// Sums of a handful of shares, each rounded to double precision.
const SHARES_ROUNDING: f64 = 1e-9;

/// JSON has no NaN or infinity: the serialiser writes null in their place.
fn find_nulls(value: &Value, path: &str, faults: &mut Vec<String>) {
    match value {
        Value::Null => faults.push(format!("{path} is not a finite number")),
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                find_nulls(item, &format!("{path}[{index}]"), faults);
            }
        }
        Value::Object(entries) => {
            let display = entries.get("display").and_then(Value::as_str);
            // A ratio against nothing has no figure, and its words say so.
            let has_no_ratio = display.is_some_and(|words| words.contains("no chloride"));
            for (key, inner) in entries {
                let of_ratio = has_no_ratio && OF_RATIO.contains(&key.as_str());
                if !(inner.is_null() && (of_ratio || MAY_BE_NULL.contains(&key.as_str()))) {
                    find_nulls(inner, &format!("{path}.{key}"), faults);
                }
            }
        }
        Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}
