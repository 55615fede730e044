//! `verify` where no open record is needed, so that nothing is changed before it was looked at.
//!
//! A data folder that opens is already mended where it was torn, and one that is damaged may not
//! open at all; a handover is looked over by people who have no record. A shared folder is looked
//! over against the crew that this device has confirmed, and needs the record.

use std::ops::ControlFlow;

use api::{ApiError, handlers::verify};
use serde_json::Value;

use crate::{args::Args, exchanged, follow, print, wrapped::Wrapped};

/// What was looked over, in words; counts of nothing are left out.
pub(crate) fn text(answer: &Value) -> String {
    let what = match answer.get("kind").and_then(Value::as_str) {
        Some("data") => "the data folder",
        Some("shared") => "the shared folder",
        Some("handover") => "the handover",
        _ => return print::plain(answer),
    };
    let mut counts = answer.clone();
    if let Some(fields) = counts.as_object_mut() {
        fields.retain(|name, value| {
            let told = ["kind", "crewCompared", "earlierState"].contains(&name.as_str());
            !told && value.as_i64() != Some(0)
        });
    }
    let compare = match answer.get("crewCompared") == Some(&Value::Bool(false)) {
        true => {
            "The names in it are the crew's own words. Compare `crew` with the hash that the crew \
             itself told you, or name that with --crew.\n"
        }
        false => "",
    };
    let state = match answer.get("earlierState").and_then(Value::as_str) {
        Some(form) => format!(
            "Its state is of an earlier form ({form}) and was not made anew from the entries; the signature \
             covers it.\n"
        ),
        None => String::new(),
    };
    let opening = match exchanged::looked_over(answer) {
        Some(_) if exchanged::differs(answer).is_some() => format!(
            "What is here of the record in {what} is as it was signed, and others saw another entry than one \
             of it."
        ),
        Some(_) => format!("What is of the record in {what} is whole and as it was signed."),
        None => format!("Nothing wrong was found in {what}."),
    };
    format!("{opening}\n{}{state}{compare}", print::plain(&counts))
}

/// The answer of a `verify` that needs no open record; `None` for everything else.
pub(crate) fn without_record(args: &Args, wrapped: &Wrapped) -> Option<Result<Value, ApiError>> {
    let Wrapped::Verify {
        shared,
        handover,
        crew,
    } = wrapped
    else {
        return None;
    };
    let bar = follow::bar();
    let on = |what: &str, done: u64, of: u64| {
        follow::show(&bar, what.to_owned(), done, of);
        ControlFlow::Continue(())
    };
    let answer = match (shared, handover) {
        (None, None) => args
            .folder()
            .and_then(|data| verify::closed_data(data, &on)),
        (None, Some(folder)) => verify::closed_handover(folder, crew.as_deref(), &on),
        _ => return None,
    };
    bar.finish_and_clear();
    Some(answer)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::text;

    #[test]
    fn counts_of_nothing_are_left_out() {
        let answer = json!({"kind": "handover", "files": 48, "missing": 0});
        let told = "Nothing wrong was found in the handover.\nfiles: 48\n";
        assert_eq!(text(&answer), told);
        assert_eq!(text(&json!({"note": "x"})), "note: x\n");
        let form = "tautbook-state-1";
        let earlier = json!({"kind": "handover", "earlierState": form});
        let told = text(&earlier);
        assert!(
            told.contains(form) && !told.contains("earlierState"),
            "{told}"
        );
        assert!(!text(&json!({"kind": "handover", "earlierState": null})).contains("earlier"));
        let compared = |yes: bool| text(&json!({"kind": "handover", "crewCompared": yes}));
        assert!(compared(false).contains("--crew") && !compared(true).contains("crew"));
    }
}
