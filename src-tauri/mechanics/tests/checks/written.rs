//! What is stored or sent: plain numbers, camelCase names, and the same value after reading.

use mechanics::assessment::{Layout, Quantity, assess};
use mechanics::cut_plan::{CutPlan, CutPlanInput, cut_plan};
use mechanics::cutting::{CutInput, CutWindow, cut_chance, cut_window};
use mechanics::deflection::{DeflectionReading, read_tension};
use mechanics::fitting::FittingSet;
use mechanics::lengths::middle_advice;
use mechanics::plausible::question_length;
use mechanics::spacing::lay_out;
use mechanics::strand::Construction;
use mechanics::takeoff::take_off;
use mechanics::template::{Paper, TemplateMark, template};
use mechanics::tension::{Gauge, issues};
use mechanics::thread::Thread;
use mechanics::{Degrees, Millimetres, Newtons};
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::assessment::deck;
use crate::cut_plan::{asked, offcut, piece, reel};
use crate::cutting::input;
use crate::lengths::reading;
use crate::parts::{allowances, run};
use crate::spacing::rail;
use crate::{au, fitting_set, irc};

fn comes_back<T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug>(value: &T) -> String {
    // Through a value, not text: the parser may give a computed number's last bit away.
    let back: T = serde_json::from_value(serde_json::to_value(value).unwrap()).unwrap();
    assert_eq!(&back, value);
    serde_json::to_string(value).unwrap()
}

#[test]
fn inputs_and_answers_come_back_as_written() {
    let set = comes_back::<FittingSet>(&fitting_set());
    assert!(set.contains("\"studOverall\":72.0"), "{set}");
    assert!(set.contains("\"hand\":\"left\""), "{set}");
    let of = comes_back::<CutInput>(&input(4000.0, 1.0, 3.2));
    assert!(of.contains("\"insideToInside\":4000.0"), "{of}");
    comes_back::<CutWindow>(&cut_window(&input(4000.0, 1.0, 3.2)).unwrap());
    comes_back::<Layout>(&deck());
    comes_back(&assess(&au(), &deck()).unwrap());
    let lay = comes_back::<Construction>(&Construction::SevenByNineteen);
    assert_eq!(lay, "\"7x19\"");
}

#[test]
fn quantities_name_their_unit() {
    let text = comes_back(&Quantity::Newtons(Newtons(1330.0)));
    assert_eq!(text, "{\"unit\":\"newtons\",\"value\":1330.0}");
    assert_eq!(comes_back(&Thread::M6), "{\"diameter\":6.0,\"pitch\":1.0}");
    let coreless = "{\"diameter\":6.0,\"pitch\":6.0}";
    assert!(serde_json::from_str::<Thread>(coreless).is_err());
}

#[test]
fn answers_of_every_module_come_back() {
    comes_back(&assess(&irc(), &deck()).unwrap());
    comes_back(&cut_chance(&input(4000.0, 1.0, 3.2), Millimetres(3944.0)).unwrap());
    let parts = comes_back(&take_off(&[run("B", 8, 1, true)], &allowances()).unwrap());
    assert!(
        parts.contains("{\"kind\":\"terminal\",\"end\":\"studIntoInsert\"}"),
        "{parts}"
    );
    comes_back(&middle_advice(
        12,
        &[reading(1, 7294.0), reading(12, 7305.0)],
    ));
    comes_back(&question_length(Millimetres(100_001.0), None).unwrap());
    let gauge = Gauge {
        error: 0.04,
        range_from: None,
        range_to: Some(Newtons(1000.0)),
    };
    let found = issues(Newtons(1725.0), Newtons(1900.0), Newtons(1800.0), &gauge).unwrap();
    assert_eq!(found.len(), 3);
    comes_back(&found);
    let band = read_tension(&DeflectionReading {
        clear: Millimetres(1410.0),
        run: Millimetres(7300.0),
        axial_stiffness: Newtons(794_597.0),
        load: Newtons(19.62),
        deflection: Millimetres(4.5),
        reading_error: Millimetres(0.5),
    });
    comes_back(&band.unwrap());
}

#[test]
fn plans_layouts_and_templates_come_back() {
    let pieces = vec![piece("A1", 7231.5), piece("A2", 900.25)];
    let input = asked(pieces, vec![reel("R", 60_000.0), offcut("o", 1000.0)]);
    let text = comes_back::<CutPlanInput>(&input);
    assert!(text.contains("\"order\":\"leastStock\""), "{text}");
    let text = comes_back::<CutPlan>(&cut_plan(&input).unwrap());
    assert!(text.contains("\"leastPossible\":true"), "{text}");
    assert!(text.contains("\"kind\":\"offcut\""), "{text}");
    // What may be left out is taken as none.
    let short = r#"{"pieces":[{"id":"a","length":900}],"stock":[],"kerf":0,"endTrim":0,
        "leastUsable":0,"newReel":6000}"#;
    let short: CutPlanInput = serde_json::from_str(short).unwrap();
    assert_eq!(cut_plan(&short).unwrap().reels.planned, 1);
    comes_back(&lay_out(&au(), &rail(985.0, Degrees(0.0), 1410.0)).unwrap());
    let mark = TemplateMark {
        label: "A wire 1".to_owned(),
        aside: Millimetres(0.0),
        height: Millimetres(76.0),
        diameter: Millimetres(9.0),
    };
    let text = comes_back(&template("A3", &[mark], Paper::A4).unwrap());
    assert!(text.contains("\"floorLine\":287.0"), "{text}");
}
