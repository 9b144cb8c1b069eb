//! Every finding: a report that has it, beside a sound one that has none.

use std::collections::BTreeSet;

use serde_json::{Value, json};
use underlet::json;
use underlet::water_report::{Finding, FindingCode, FindingSeverity, WaterReport};

/// Worked example 3: balances to −1.27 %; the other figures follow from its ions (made up to
/// agree).
fn sound() -> Value {
    json!({
        "underlet": 1, "name": "Ninefold Quay well", "sampled": "2025-11-03", "today": "2026-02-01", "temperature": 12,
        "calcium": "55 mg/L", "magnesium": "18 mg/L", "sodium": "23 mg/L", "potassium": "3.9 mg/L",
        "bicarbonate": "190 mg/L", "alkalinity": "156 mg/L as CaCO3", "sulfate": "60 mg/L", "chloride": "35.45 mg/L",
        "nitrate": "6.2 mg/L", "hardness": "211 mg/L as CaCO3", "ph": 7.6, "conductivity": "530 µS/cm",
        "dissolved_solids": "320 mg/L", "free_chlorine": "<0.05 mg/L",
    })
}

/// The sound report with some keys changed; null takes one away.
fn with(changes: &Value) -> WaterReport {
    let mut report = sound();
    for (key, value) in changes.as_object().unwrap() {
        report[key] = value.clone();
    }
    WaterReport::from_json(&report.to_string()).unwrap_or_else(|error| panic!("{error}"))
}

fn codes(findings: &[Finding]) -> Vec<&'static str> {
    findings
        .iter()
        .map(|finding| finding.code.as_str())
        .collect()
}

#[test]
fn a_sound_report_has_no_findings() {
    let findings = with(&json!({})).findings();
    assert_eq!(codes(&findings), [""; 0], "{findings:#?}");
}

#[test]
fn each_code_is_found_where_it_should_be() {
    // What is changed, the one code it must raise, and a part of its words.
    let cases = [
        // Worked example 3, the case to reject: −6.67 %.
        (
            json!({"sulfate": "90 mg/L", "dissolved_solids": null, "conductivity": null}),
            "ions_do_not_balance",
            "−6.7 %",
        ),
        (
            json!({"sodium": null}),
            "ions_missing",
            "close the ion balance",
        ),
        (
            json!({"chloride": null, "sulfate": null}),
            "ions_missing",
            "chloride and sulfate",
        ),
        (
            json!({"hardness": "14 °dH"}),
            "hardness_disagrees",
            "hardness of 14 °dH does not agree with calcium and magnesium",
        ),
        (
            json!({"hardness": "2 °dH", "magnesium": null}),
            "hardness_disagrees",
            "with calcium,",
        ),
        (
            json!({"dissolved_solids": "620 mg/L"}),
            "dissolved_solids_disagree",
            "residue on evaporation",
        ),
        (
            json!({"dissolved_solids": "120 mg/L"}),
            "dissolved_solids_disagree",
            "residue on evaporation",
        ),
        (
            json!({"conductivity": "900 µS/cm"}),
            "conductivity_disagrees",
            "µS/cm at 25 °C",
        ),
        (
            json!({"conductivity": "22 mS/m"}),
            "conductivity_disagrees",
            "22 mS/m",
        ),
        (
            json!({"ph": 12.5}),
            "alkalinity_against_ph",
            "cannot both be",
        ),
        (
            json!({"ph": "3.9"}),
            "alkalinity_against_ph",
            "cannot both be",
        ),
        (
            json!({"bicarbonate": "156 mg/L"}),
            "bicarbonate_against_alkalinity",
            "other's basis",
        ),
        (
            json!({"phenolphthalein_alkalinity": "190 mg/L as CaCO3", "ph": 9.9, "bicarbonate": null}),
            "alkalinity_parts_disagree",
            "exchanged",
        ),
        (
            json!({"phenolphthalein_alkalinity": "40 mg/L as CaCO3", "ph": 9, "bicarbonate": "92.7 mg/L", "carbonate": "10 mg/L", "alkalinity": "156 mg/L as CaCO3"}),
            "alkalinity_parts_disagree",
            "2320",
        ),
        (
            json!({"phenolphthalein_alkalinity": "20 mg/L as CaCO3", "bicarbonate": null}),
            "carbonate_against_ph",
            "begins at pH 8.3",
        ),
        (
            json!({"alkalinity": "156 mg/L"}),
            "basis_not_named",
            "alkalinity in mg/L",
        ),
        (
            json!({"fluoride": "20 mg/L"}),
            "beyond_drinking_water",
            "slipped decimal point",
        ),
        (
            json!({"ph": "4.2", "alkalinity": 0, "bicarbonate": null, "sulfate": "210 mg/L", "dissolved_solids": null}),
            "beyond_drinking_water",
            "less than 4.5",
        ),
        (
            json!({"manganese": "70 µg/L"}),
            "limit_exceeded",
            "0.05 mg/L (EU indicator, Directive (EU) 2020/2184)",
        ),
        (
            json!({"ph": 9.6, "bicarbonate": null}),
            "limit_exceeded",
            "9.5 (EU indicator",
        ),
        (
            json!({"free_chlorine": "0.3 mg/L"}),
            "chlorine_to_remove",
            "remove it",
        ),
        (
            json!({"free_chlorine": "0.8 mg/L"}),
            "chlorine_to_remove",
            "can be tasted",
        ),
        (
            json!({"free_chlorine": "0.5 mg/L", "total_chlorine": "0.2 mg/L"}),
            "chlorine_disagrees",
            "total chlorine of 0.2 mg/L",
        ),
        (json!({"sampled": "2024-11-03"}), "report_old", "455 days"),
        (json!({"sampled": null}), "report_undated", "when"),
        (
            json!({"sampled": "2026-03-01"}),
            "sampled_after_today",
            "2026-03-01",
        ),
        (json!({"nitrate": "3-9 mg/L"}), "range_wide", "nitrate"),
        (
            json!({"nitrite": "n.d."}),
            "detection_limit_assumed",
            "nitrite",
        ),
    ];
    let mut met = BTreeSet::new();
    for (changes, code, part) in &cases {
        let findings = with(changes).findings();
        let found = findings
            .iter()
            .find(|finding| finding.code.as_str() == *code);
        let finding = found.unwrap_or_else(|| panic!("{changes}: {:?}", codes(&findings)));
        assert!(finding.text.contains(part), "{changes}: {}", finding.text);
        assert!(
            finding
                .evidence
                .iter()
                .all(|evidence| evidence.value.is_finite())
        );
        assert!(!finding.text.contains("nothing"), "{}", finding.text);
        met.insert(finding.code);
        let other: Vec<_> = codes(&findings)
            .into_iter()
            .filter(|other| other != code)
            .collect();
        // Only what the change itself brings about as well.
        let beside: &[&str] = match *code {
            "alkalinity_against_ph" => &["beyond_drinking_water", "limit_exceeded"],
            "beyond_drinking_water" => &[
                "limit_exceeded",
                "conductivity_disagrees",
                "ions_do_not_balance",
            ],
            "chlorine_disagrees" => &["chlorine_to_remove"],
            "alkalinity_parts_disagree" => &[
                "limit_exceeded",
                "bicarbonate_against_alkalinity",
                "beyond_drinking_water",
            ],
            "dissolved_solids_disagree" => &["limit_exceeded"],
            "limit_exceeded" => &["alkalinity_against_ph"],
            // Hardness stands in for magnesium.
            "hardness_disagrees" => &["ions_do_not_balance"],
            _ => &[],
        };
        assert!(
            other.iter().all(|other| beside.contains(other)),
            "{changes}: beside {code} also {other:?}"
        );
    }
    let all: BTreeSet<_> = FindingCode::ALL.iter().copied().collect();
    assert_eq!(met, all);
}

#[test]
fn the_table_of_codes_is_the_list() {
    let table = include_str!("../../src/water_report/findings.md");
    let rows: Vec<String> = table.lines().skip(2).map(str::to_owned).collect();
    let listed: Vec<String> = FindingCode::ALL
        .iter()
        .map(|code| format!("| `{code}` | {} |", code.meaning()))
        .collect();
    assert_eq!(rows, listed);
}

#[test]
fn one_finding_names_every_authority() {
    let findings = with(&json!({"nitrate": "62 mg/L as NO3"})).findings();
    let limits: Vec<_> = findings
        .iter()
        .filter(|finding| finding.code == FindingCode::LimitExceeded)
        .collect();
    let [finding] = limits[..] else {
        panic!("{limits:?}")
    };
    assert_eq!(finding.severity, FindingSeverity::Warning);
    assert_eq!(finding.subjects, ["nitrate"]);
    // WHO and EU 50 mg/L as NO3; US 10 mg/L as N, 44.3 mg/L as NO3.
    let values: Vec<f64> = finding
        .evidence
        .iter()
        .map(|evidence| evidence.value)
        .collect();
    assert_eq!(values.len(), 3);
    assert!(values[2] > 44.2 && values[2] < 44.4);
    for part in [
        "WHO guideline",
        "EU parametric",
        "US primary",
        "2020/2184",
        "40 CFR 141",
        "Ask the supplier or the health authority",
    ] {
        assert!(finding.text.contains(part), "{}", finding.text);
    }
    // A limit exactly met is not exceeded.
    let at_limit = with(
        &json!({"nitrate": "44 mg/L", "sodium": "37 mg/L", "dissolved_solids": null, "conductivity": null}),
    );
    assert_eq!(codes(&at_limit.findings()), [""; 0]);
}

#[test]
fn ranges_and_detection_limits_leave_room() {
    // The middle does not balance, the range may.
    let changes = json!({"sulfate": "60-120 mg/L", "dissolved_solids": null, "conductivity": null});
    assert_eq!(codes(&with(&changes).findings()), [""; 0]);
    let changes = json!({"sulfate": "60-120 mg/L, average 90", "dissolved_solids": null, "conductivity": null});
    assert_eq!(codes(&with(&changes).findings()), ["ions_do_not_balance"]);
}

#[test]
fn an_empty_report_lists_what_is_missing() {
    let report = WaterReport::from_json(r#"{"underlet": 1, "name": "rain"}"#).unwrap();
    let findings = report.findings();
    assert_eq!(codes(&findings), ["ions_missing", "report_undated"]);
    assert!(findings[0].text.contains("no mash pH"));
}

#[test]
fn the_document_holds_the_report_in_one_unit_and_as_written() {
    let report = json!({"underlet": 1, "name": "well", "calcium": "4 meq/L", "nitrate": "2-4 mg/L as N", "nitrite": "<0.1 mg/L"});
    let water: Value =
        serde_json::from_str(&json::water(&report.to_string()).unwrap().to_json()).unwrap();
    // 4 meq/L of calcium are 80.156 mg/L; 3 mg/L as N 13.28 mg/L as NO3 (exact from the atomic
    // weights).
    let [calcium, nitrate, nitrite] = [0, 1, 2].map(|place| &water["entries"][place]);
    assert_eq!(calcium["value"], 80.156);
    assert_eq!(calcium["meq_per_l"], 4.0);
    assert_eq!(calcium["display"], "4 meq/L");
    assert!((nitrate["value"].as_f64().unwrap() - 13.28).abs() < 0.005);
    assert_eq!(nitrate["display"], "2 to 4 mg/L as N");
    assert_eq!(
        (&nitrite["below"], &nitrite["value"]),
        (&json!(0.1), &json!(0.05))
    );
}
