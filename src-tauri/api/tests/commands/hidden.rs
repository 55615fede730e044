//! Signs that nobody sees, in names that others wrote: no sentence with a figure in it may carry one, since a
//! sign that turns the reading direction turns the figure.

use crate::common::worked::Site;
use serde_json::{Value, json};

/// Turns the reading direction; begins a sequence that a terminal obeys.
const HIDDEN: [char; 2] = ['\u{202e}', '\u{1b}'];

/// Where in an answer a text bears a hidden sign.
fn hidden_in(answer: &Value, at: &str, found: &mut Vec<String>) {
    match answer {
        Value::String(text) if text.contains(HIDDEN) => found.push(format!("{at}: {text:?}")),
        Value::Array(items) => {
            for (n, item) in items.iter().enumerate() {
                hidden_in(item, &format!("{at}.{n}"), found);
            }
        }
        Value::Object(members) => {
            for (name, member) in members {
                hidden_in(member, &format!("{at}.{name}"), found);
            }
        }
        _ => {}
    }
}

#[test]
fn a_hidden_sign_in_a_name_stands_in_no_answer_beside_a_figure() {
    let site = Site::of_run(0);
    let job = site.ann.call("readJob", json!({"job": site.job}));
    let post = job["runs"][0]["posts"][0]["subject"].clone();
    let naming =
        |subject: &Value, name: &str| json!({"subject": subject, "field": "name", "value": name});
    let run = json!(format!("run:{}", site.run));
    let claims = [naming(&run, "A\u{202e}"), naming(&post, "A1\u{1b}[31m")];
    let said = json!({"job": site.job, "claims": claims, "confirmed": true});
    site.ann.call("say", said);
    let (mut found, mut named) = (Vec::new(), 0);
    let of_run = json!({"job": site.job, "run": site.run});
    let of_job = json!({"job": site.job});
    for (command, request) in [
        ("cutSheet", &of_run),
        ("beforeOrdering", &of_run),
        ("holeSchedule", &of_run),
        ("tensions", &of_run),
        ("tensionPlan", &of_run),
        ("postsAsked", &of_run),
        ("corners", &of_run),
        ("recheck", &of_run),
        ("lacks", &of_job),
        ("takeOff", &of_job),
        ("cutPlan", &of_job),
    ] {
        let answer = site.ann.call(command, request.clone());
        hidden_in(&answer, command, &mut found);
        named += usize::from(answer.to_string().contains("<U+"));
    }
    // They are named in most of them, with what is hidden.
    assert!(named >= 6, "{named} answers name them");
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn a_member_that_is_spelt_otherwise_is_refused_however_deep_it_stands() {
    let site = Site::surveyed(0);
    let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
        "requiredOrigin": "", "upperOrigin": "", "passes": [600_000, 1_500_000]});
    let request =
        json!({"job": site.job, "run": site.run, "tensions": tensions, "confirmed": true});
    let why = site.ann.refused("setTensions", request).message;
    assert!(why.contains("tensions.passes is not known here"), "{why}");
    let rail = json!({"undersideNm": 985_000_000, "thicknessNm": 35_000_000, "bogus": 1});
    let claim = json!({"subject": format!("run:{}", site.run), "field": "rail", "value": rail});
    let said = json!({"job": site.job, "claims": [claim], "confirmed": true});
    let why = site.ann.refused("say", said).message;
    assert!(why.contains("bogus is not known here"), "{why}");
    let section = json!({"alongNm": 90_000_000, "acrossNm": 90_000_000, "walNm": 1});
    let thing = json!({"job": site.job, "thing": "post",
        "fields": [{"field": "name", "value": "P9"}, {"field": "section", "value": section}], "confirmed": true});
    let why = site.ann.refused("addThing", thing).message;
    assert!(why.contains("walNm"), "{why}");
    let name = |name: &str| json!({"field": "name", "value": name});
    let twice = json!({"job": site.job, "thing": "run", "fields": [name("N"), name("M")],
        "confirmed": true});
    let why = site.ann.refused("addThing", twice).message;
    assert!(why.contains("name is told twice"), "{why}");
}
