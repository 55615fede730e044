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
    list("waiting").iter().any(newer).then_some((
        ErrorCode::Newer,
        "A newer version wrote pieces that this one can't read: see `waiting`. Update the program.",
    ))
}

/// What is said of strange files and folders, which are left alone and no fault; none where there is none.
pub(crate) fn strange(report: &Value) -> Option<String> {
    let count = report.get("unknown").and_then(Value::as_u64)?;
    (count > 0).then(|| {
        format!(
            "{count} files or folders in the shared folder are none of the record's; they were left alone \
             and count for nothing. If nobody put them there on purpose, look at the folder."
        )
    })
}

#[cfg(test)]
mod tests {
    use super::{fault, strange};
    use api::ErrorCode;
    use serde_json::json;

    #[test]
    fn strange_files_are_told_and_no_fault() {
        let report = json!({"unknown": 3, "faults": [], "aside": []});
        assert_eq!(fault(&report), None);
        let told = strange(&report).unwrap_or_default();
        assert!(
            told.starts_with("3 files or folders") && told.contains("left alone"),
            "{told}"
        );
        assert_eq!(strange(&json!({"unknown": 0})), None);
        assert_eq!(strange(&json!({})), None);
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
