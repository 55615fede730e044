//! What is stored or sent: plain numbers, camelCase names, and the same value after reading.

use mechanics::assessment::{Layout, Quantity, assess};
use mechanics::cutting::{CutInput, CutWindow, cut_window};
use mechanics::fitting::FittingSet;
use mechanics::strand::{Construction, Strand, with_defaults};
use mechanics::thread::MetricThread;
use mechanics::{Millimetres, Newtons};
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::assessment::deck;
use crate::cutting::input;
use crate::{au, fitting_set};

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
