//! What people do not agree on, with both sides.

use records::entry::At;
use records::work;

use super::reading::Reading;
use super::words;

/// Every unsettled value: what it is, and who says what.
pub(super) fn all(reading: &Reading<'_>) -> Vec<String> {
    work::disputes(reading.job)
        .iter()
        .map(|d| {
            let sides: Vec<String> = d
                .sides
                .iter()
                .map(|s| {
                    let at = At {
                        ms: s.at_ms,
                        offset_min: s.offset_min,
                        count: 0,
                        suspect: s.time_suspect,
                    };
                    format!("{} ({}, {})", s.value, s.person_name, words::when(at))
                })
                .collect();
            let what = if d.newer {
                "changed by a newer version"
            } else {
                "disputed"
            };
            format!(
                "{}, {}: {what}: {}",
                d.subject_name,
                d.field_name,
                sides.join(" against ")
            )
        })
        .collect()
}
