//! What an exchange's report means for the exit code.

use api::ErrorCode;
use serde_json::Value;

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
    if list("notHere").iter().any(|one| yes(one, "differs")) {
        return Some((
            ErrorCode::Fault,
            "Others saw another entry than the one that is here: see `notHere`.",
        ));
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
    strange(report)
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
    use super::{fault, strange};
    use api::ErrorCode;
    use serde_json::json;

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
    }
}
