//! An exchange's report: what it means for people, and for the exit code.

use api::ErrorCode;
use serde_json::{Value, json};

use crate::print;

/// What is told in sentences of its own, or not at all where it is nothing.
const IN_SENTENCES: [&str; 11] = [
    "published",
    "fetched",
    "newEntries",
    "unshared",
    "shared",
    "passedOver",
    "unknown",
    "services",
    "strangers",
    "forked",
    "cancelled",
];

/// Said where nothing is left to send.
const ALL_THERE: &str = "All that was made on this device for this crew lies in the folder.";
/// Said after an exchange of a device that nobody admitted yet.
pub(crate) const NOT_ADMITTED: &str = "This device is not admitted yet: a device of the crew admits it \
    (`tautbook admit` there) and exchanges, then this one exchanges again. Till then nothing of it counts \
    with the others.";

/// The report as lines: what was sent and what came, then what is to be looked at.
pub(crate) fn text(report: &Value) -> String {
    let number = |name: &str| report.get(name).and_then(Value::as_u64).unwrap_or(0);
    let yes = |name: &str| report.get(name) == Some(&Value::Bool(true));
    let moved = |name: &str| moved(report.get(name).unwrap_or(&Value::Null));
    let mut lines = vec![match moved("published") {
        Some(sent) => format!("Sent: {sent}."),
        None => "Nothing new was sent.".to_owned(),
    }];
    lines.push(match (moved("fetched"), number("newEntries")) {
        (None, _) => "Nothing new came.".to_owned(),
        (Some(came), 0) => format!("Came: {came}; every entry in it was here already."),
        (Some(came), 1) => format!("Came: {came}; 1 entry is new here."),
        (Some(came), new) => format!("Came: {came}; {new} entries are new here."),
    });
    if yes("shared") {
        lines.push(ALL_THERE.to_owned());
    }
    if let Some(left) = moved("unshared") {
        lines.push(format!("Not in the folder yet: {left}."));
    }
    for (count, one, more) in [
        (
            number("passedOver"),
            "1 piece of a job that this device does not keep",
            "pieces of jobs that this device does not keep",
        ),
        (
            number("services"),
            "1 file that a service or desktop put there, left alone",
            "files that services and desktops put there, left alone",
        ),
    ] {
        match count {
            0 => {}
            1 => lines.push(format!("Besides: {one}.")),
            count => lines.push(format!("Besides: {count} {more}.")),
        }
    }
    let named = report.get("strange").and_then(Value::as_array);
    let named = named.map_or(0, |list| u64::try_from(list.len()).unwrap_or(u64::MAX));
    let more = number("unknown").saturating_sub(number("services").saturating_add(named));
    if named > 0 && more > 0 {
        lines.push(format!(
            "Of those that are none of the record's {named} are named, and {more} more are there."
        ));
    }
    for stranger in report
        .get("strangers")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
    {
        let device = stranger
            .get("device")
            .and_then(Value::as_str)
            .unwrap_or_default();
        let device = records::photos::visible(device, 60);
        let has_card = stranger.get("hasCard").and_then(Value::as_bool);
        lines.push(match has_card {
            Some(true) => format!(
                "Device {device} asks to be admitted, or was never: `tautbook admit` lists who asks."
            ),
            _ => format!(
                "A log of device {device} lies in the folder, which is not admitted and does not ask: \
                 nothing of it was read."
            ),
        });
    }
    if yes("forked") {
        lines.push("This device's record has two branches.".to_owned());
    }
    if yes("cancelled") {
        lines.push("It was stopped before its end.".to_owned());
    }
    let mut rest = report.clone();
    if let Some(fields) = rest.as_object_mut() {
        fields.retain(|name, value| {
            !IN_SENTENCES.contains(&name.as_str()) && *value != json!([]) && !value.is_null()
        });
    }
    let told = lines.join("\n");
    match rest.as_object().is_some_and(serde_json::Map::is_empty) {
        true => told,
        false => format!("{told}\n{}", print::plain(&rest)),
    }
}

/// What was moved, in words; none where nothing was.
fn moved(counts: &Value) -> Option<String> {
    let of = |name: &str| counts.get(name).and_then(Value::as_u64).unwrap_or(0);
    let told: Vec<String> = [
        ("segments", "piece of the log", "pieces of the log"),
        ("thumbs", "small picture", "small pictures"),
        ("views", "picture for the screen", "pictures for the screen"),
        (
            "originals",
            "file as it was taken in",
            "files as they were taken in",
        ),
    ]
    .into_iter()
    .filter_map(|(name, one, more)| match of(name) {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {more}")),
    })
    .collect();
    #[allow(clippy::cast_precision_loss)] // told to a tenth
    let kilobytes = of("bytes") as f64 / 1e3;
    let told = (!told.is_empty()).then(|| told.join(", "))?;
    // What could not be made has no size yet.
    Some(match of("bytes") {
        0 => told,
        _ => format!("{told}, {kilobytes:.1} kB"),
    })
}

/// What a person has to look at; none when the rest comes by itself or waits for a keeper.
pub(crate) fn fault(report: &Value) -> Option<(ErrorCode, &'static str)> {
    let list = |name: &str| {
        let list = report.get(name).and_then(Value::as_array);
        list.map(Vec::as_slice).unwrap_or_default()
    };
    let yes = |value: &Value, name: &str| value.get(name) == Some(&Value::Bool(true));
    if !list("faults").is_empty() {
        return Some((
            ErrorCode::Fault,
            "Not everything could be exchanged: see `faults`. What was exchanged stays.",
        ));
    }
    if yes(report, "forked") {
        return Some((
            ErrorCode::Fault,
            "This device's record has two branches, as after an old copy was put back. Both count; take a new identity with `tautbook call newIdentity` and be admitted again.",
        ));
    }
    if !list("aside").is_empty() {
        return Some((
            ErrorCode::Fault,
            "Something in the folder can't be used and was set aside: see `aside`.",
        ));
    }
    if let Some(fault) = differs(report) {
        return Some(fault);
    }
    if list("notHere")
        .iter()
        .any(|one| one.get("by") == Some(&Value::Null))
    {
        return Some((
            ErrorCode::Fault,
            "Entries that were saved on this device are gone: see `notHere`. Do `rebuild`, then exchange again; what the folder does not hold comes only from a copy of this data folder.",
        ));
    }
    let newer = |one: &Value| one.get("what").and_then(Value::as_str) == Some("newer");
    if list("waiting").iter().any(newer) {
        return Some((
            ErrorCode::Newer,
            "A newer version wrote pieces that this one can't read: see `waiting`. Update the program.",
        ));
    }
    let not_whole = |one: &Value| {
        let what = one.get("what").and_then(Value::as_str);
        matches!(what, Some("segments" | "damaged"))
    };
    if list("waiting").iter().any(not_whole) {
        return Some((
            ErrorCode::Fault,
            "Pieces of a log are not all there, or not whole: see `waiting`. What is whole was taken in; \
             exchange again once the folder is complete.",
        ));
    }
    strange(report)
}

/// What others saw of a device that is not what is here: its record went two ways.
pub(crate) fn differs(found: &Value) -> Option<(ErrorCode, &'static str)> {
    let list = found.get("notHere").and_then(Value::as_array)?;
    let differs = |one: &Value| one.get("differs") == Some(&Value::Bool(true));
    list.iter().any(differs).then_some((
        ErrorCode::Fault,
        "Others saw another entry than the one that is here: see `notHere`.",
    ))
}

/// What a person has to look at in what `verify` found sound.
pub(crate) fn looked_over(found: &Value) -> Option<(ErrorCode, &'static str)> {
    differs(found).or_else(|| strange(found))
}

/// Files and folders that are none of the record's and that no service puts there by itself; of an
/// exchange as of a shared folder that was looked over.
pub(crate) fn strange(found: &Value) -> Option<(ErrorCode, &'static str)> {
    let named = found.get("strange").and_then(Value::as_array)?;
    (!named.is_empty()).then_some((
        ErrorCode::Fault,
        "Files or folders in the shared folder are none of the record's: see `strange`. They were \
         left alone, and nothing of the record depends on them: look at them, and move them out of it.",
    ))
}

#[cfg(test)]
mod tests {
    use super::{ALL_THERE, fault, looked_over, strange, text};
    use api::ErrorCode;
    use serde_json::json;

    #[test]
    fn what_was_moved_is_told_and_what_was_not_is_not_counted_out() {
        let none = json!({"segments": 0, "thumbs": 0, "views": 0, "originals": 0, "bytes": 0});
        let mut report = json!({
            "published": none, "fetched": none, "newEntries": 0, "unshared": none, "shared": true,
            "passedOver": 0, "unknown": 0, "strange": [], "strangers": [], "waiting": [],
            "notHere": [], "aside": [], "faults": [], "forked": false, "cancelled": false,
        });
        assert_eq!(
            text(&report),
            format!("Nothing new was sent.\nNothing new came.\n{ALL_THERE}")
        );
        report["published"] =
            json!({"segments": 1, "thumbs": 2, "views": 0, "originals": 1, "bytes": 43_210});
        report["fetched"] = json!({"segments": 2, "bytes": 900});
        report["unshared"] = json!({"segments": 1, "bytes": 0});
        report["waiting"] = json!([{"what": "originals", "words": "2 pictures of Ben"}]);
        let told = text(&report);
        assert!(
            told.starts_with(
                "Sent: 1 piece of the log, 2 small pictures, 1 file as it was taken in, 43.2 kB.\n\
                 Came: 2 pieces of the log, 0.9 kB; every entry in it was here already.\n"
            ),
            "{told}"
        );
        assert!(
            told.contains("\nNot in the folder yet: 1 piece of the log.\n"),
            "{told}"
        );
        assert!(
            told.ends_with("waiting:\n  - 2 pictures of Ben\n"),
            "{told}"
        );
        report["strangers"] =
            json!([{"device": "abc", "hasCard": true}, {"device": "def", "hasCard": false}]);
        let told = text(&report);
        assert!(told.contains("Device abc asks to be admitted"), "{told}");
        assert!(
            told.contains("A log of device def lies in the folder"),
            "{told}"
        );
        report["unknown"] = json!(3);
        report["services"] = json!(1);
        report["strange"] = json!(["notes.txt", "log/prices.csv"]);
        let told = text(&report);
        assert!(
            told.contains("Besides: 1 file that a service or desktop put there"),
            "{told}"
        );
        assert!(told.contains("strange:\n  - notes.txt"), "{told}");
        assert!(!told.contains("more are there"), "{told}");
        report["unknown"] = json!(33);
        assert!(text(&report).contains("2 are named, and 30 more are there"));
        report["services"] = json!(0);
        assert!(!text(&report).contains("Besides"));
        report["newEntries"] = json!(7);
        assert!(text(&report).contains("7 entries are new here"));
    }

    #[test]
    fn strange_files_are_no_success_and_those_of_a_service_are() {
        let report = json!({"unknown": 3, "strange": [], "faults": [], "aside": []});
        assert_eq!(fault(&report), None);
        let report = json!({"unknown": 3, "strange": ["notes.txt"]});
        let (code, told) = fault(&report).unwrap_or((ErrorCode::Internal, ""));
        assert_eq!((code, strange(&report)), (ErrorCode::Fault, fault(&report)));
        assert!(
            told.contains("`strange`") && told.contains("left alone"),
            "{told}"
        );
        // What is worse is told first.
        let worse = json!({"strange": ["notes.txt"], "waiting": [{"what": "newer"}]});
        assert_eq!(fault(&worse).map(|found| found.0), Some(ErrorCode::Newer));
    }

    #[test]
    fn what_a_person_has_to_look_at_is_no_success() {
        for (report, code) in [
            (json!({"faults": [{"message": "x"}]}), ErrorCode::Fault),
            (json!({"aside": [{"path": "x"}]}), ErrorCode::Fault),
            (json!({"forked": true}), ErrorCode::Fault),
            (json!({"notHere": [{"differs": true}]}), ErrorCode::Fault),
            (
                json!({"notHere": [{"by": null, "differs": false}]}),
                ErrorCode::Fault,
            ),
            (json!({"waiting": [{"what": "newer"}]}), ErrorCode::Newer),
            (json!({"waiting": [{"what": "segments"}]}), ErrorCode::Fault),
            (json!({"waiting": [{"what": "damaged"}]}), ErrorCode::Fault),
        ] {
            assert_eq!(fault(&report).map(|f| f.0), Some(code), "{report}");
        }
        for report in [
            json!({"faults": [], "aside": [], "forked": false, "shared": false}),
            json!({"waiting": [{"what": "originals"}], "strangers": [{}]}),
            json!({"notHere": [{"by": "Ben", "differs": false}]}),
        ] {
            assert_eq!(fault(&report), None, "{report}");
        }
        let looked = |differs: bool| looked_over(&json!({"notHere": [{"differs": differs}]}));
        assert_eq!(looked(true).map(|f| f.0), Some(ErrorCode::Fault));
        assert_eq!(looked(false), None);
    }
}
