//! When the sample was taken, how far it ranges, and what was not detected.

use underlet_tables::parameters;

use super::examined::{Examined, listed, number};
use crate::water_report::entry::Figure;
use crate::water_report::finding::FindingCode;
use crate::water_report::finding::FindingSeverity::{Doubt, Note};
use crate::water_report::subject::Subject;

/// Age of the sample: the engine has no clock, so it needs both days.
pub(super) fn age(examined: &mut Examined<'_>) {
    let report = examined.report;
    match (report.sampled, report.today, report.age_days) {
        (Some(sampled), Some(today), _) if sampled > today => examined.gathered.say(
            FindingCode::SampledAfterToday,
            Doubt,
            &[],
            format!(
                "Sampled on {sampled}, after the day of reading, {today}: its age is not known."
            ),
            &[],
        ),
        (.., Some(days)) if days > parameters::REPORT_OLD.value => examined.gathered.say(
            FindingCode::ReportOld,
            Doubt,
            &[],
            format!(
                "The sample is {days:.0} days old: wells and supplies change over the year. \
                 Titrate this morning's alkalinity and hardness."
            ),
            &[("age", days, "days")],
        ),
        (None, _, None) => examined.gathered.say(
            FindingCode::ReportUndated,
            Note,
            &[],
            "The report does not say when it was sampled.".to_owned(),
            &[],
        ),
        _ => {}
    }
}

/// Ranges that span a factor of two and more: probably a supply that switches between waters.
pub(super) fn ranges(examined: &mut Examined<'_>) {
    let factor = parameters::RANGE_WIDE.value;
    let is_wide = |subject: Subject, figure: Figure| match figure {
        // A pH is a logarithm, and chlorine is dosed.
        _ if matches!(
            subject,
            Subject::Ph | Subject::FreeChlorine | Subject::TotalChlorine
        ) =>
        {
            false
        }
        Figure::Between { low, high, .. } => {
            high > factor * low && high > factor * subject.usual_detection_limit()
        }
        _ => false,
    };
    let wide: Vec<Subject> = examined
        .report
        .entries
        .iter()
        .filter(|entry| is_wide(entry.subject, entry.figure))
        .map(|entry| entry.subject)
        .collect();
    if wide.is_empty() {
        return;
    }
    let text = format!(
        "The range of {} is wider than a factor of {}: the supply probably switches between \
         waters, and the average may be none of them.",
        listed(&wide),
        number(factor)
    );
    examined
        .gathered
        .say(FindingCode::RangeWide, Doubt, &wide, text, &[]);
}

/// "n.d." without a limit.
pub(super) fn detection_limits(examined: &mut Examined<'_>) {
    let entries = examined.report.entries.iter();
    let assumed: Vec<_> = entries
        .filter(|entry| {
            entry
                .notation
                .is_some_and(|notation| notation.assumes_limit())
        })
        .map(|entry| entry.subject)
        .collect();
    if assumed.is_empty() {
        return;
    }
    let limits: Vec<(&str, f64, &'static str)> = assumed
        .iter()
        .map(|subject| {
            let limit = subject.in_default_unit(subject.usual_detection_limit());
            (subject.key(), limit, subject.quantity().unit())
        })
        .collect();
    let text = format!(
        "Not detected or a trace, without a limit: {}. The detection limit of a routine laboratory is taken.",
        listed(&assumed)
    );
    examined.gathered.say(
        FindingCode::DetectionLimitAssumed,
        Note,
        &assumed,
        text,
        &limits,
    );
}
