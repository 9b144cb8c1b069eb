//! What every plan must keep, whatever the day: finite numbers, a certificate that holds, whole
//! steps of the scale.

use underlet::optimise::Certificate;
use underlet::{Plan, TargetLine};

/// What is unsound in a plan; empty for a sound one.
pub fn faults(plan: &Plan) -> Vec<String> {
    let mut faults = Vec::new();
    // JSON has no NaN or infinity: it has null in their place, which is not read back as a number.
    match Plan::from_json(&plan.to_json()) {
        Ok(read) if read == *plan => {}
        Ok(_) => faults.push("another plan is read back".to_owned()),
        Err(error) => faults.push(format!("the plan is not read back: {error}")),
    }
    let has_figures = |line: &TargetLine| line.source.is_some() && line.planned.is_some();
    let is_told = |line: &TargetLine| line.display.contains("no chloride");
    if plan
        .targets
        .iter()
        .any(|line| !has_figures(line) && !is_told(line))
    {
        faults.push("a target has no figure and does not say so".to_owned());
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
