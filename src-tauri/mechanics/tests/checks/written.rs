//! What is stored or sent: plain numbers, camelCase names, and the same value after reading.

use mechanics::assessment::{Layout, Quantity, assess};
use mechanics::cutting::{CutInput, CutWindow, cut_sheet, cut_window};
use mechanics::deflection::{DeflectionReading, read_tension};
use mechanics::fitting::FittingSet;
use mechanics::lengths::middle_advice;
use mechanics::plausible::question_length;
use mechanics::strand::{Construction, Strand, with_defaults};
use mechanics::takeoff::take_off;
use mechanics::tension::{Gauge, issues};
use mechanics::thread::MetricThread;
use mechanics::{Millimetres, Newtons};
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::assessment::deck;
use crate::cutting::{input, run_to_cut};
use crate::lengths::reading;
use crate::parts::{allowances, run};
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
    let strand = with_defaults(Millimetres(3.2), Construction::SevenByNineteen).unwrap();
    let strand = comes_back::<Strand>(&strand);
    assert!(strand.contains("\"construction\":\"7x19\""), "{strand}");
}

#[test]
fn quantities_name_their_unit() {
    let text = comes_back(&Quantity::Newtons(Newtons(1330.0)));
    assert_eq!(text, "{\"unit\":\"newtons\",\"value\":1330.0}");
    assert_eq!(comes_back(&MetricThread::M6), "\"M6\"");
}

#[test]
fn answers_of_every_module_come_back() {
    comes_back(&assess(&irc(), &deck()).unwrap());
    comes_back(&cut_sheet(&run_to_cut([0.0, 1.0, 2.0, 60.0])).unwrap());
    let parts = comes_back(&take_off(&[run("B", 8, 1, true)], &allowances()).unwrap());
    assert!(
        parts.contains("{\"kind\":\"terminal\",\"end\":\"studIntoInsert\"}"),
        "{parts}"
    );
    comes_back(&middle_advice(
        12,
        &[reading(1, 7294.0), reading(12, 7305.0)],
    ));
    comes_back(&question_length(Millimetres(100_001.0), &[]).unwrap());
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
