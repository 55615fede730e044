//! First fields of a creation may say how they came about, each as a claim of its own would.

use crate::common::Device;
use records::book::Why;
use records::ids::Hash;
use records::job::Job;
use records::model::fields;
use records::record::{Draft, new_item, value_data};
use records::subject::{ItemKind, Subject};
use serde_json::{Value, json};

/// Creates a tool with one first field as it is given.
fn create(device: &mut Device, first: Value) -> (Subject, Hash) {
    let tool = Subject::Item(ItemKind::Tool, new_item().unwrap());
    let mut data = value_data("", &json!(true));
    data.insert("fields".into(), json!([first]));
    let draft = Draft {
        kind: "tool.created".into(),
        subject: tool.to_string(),
        data,
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    let made = device.record.act(job, person, vec![draft]).unwrap();
    (tool, made[0])
}

fn why(device: &mut Device) -> Vec<(Hash, Why)> {
    let (job, crew) = (device.job(), device.record.crew(device.crew).clone());
    device.record.view(job).unwrap().not_counting(&crew)
}

#[test]
fn how_a_first_field_came_about_is_read_where_that_of_any_claim_is() {
    let mut ann = Device::founder("ann");
    let size = json!({"field": "size", "value": {"nm": 127_000_000}, "with": {"entered": "5 in"}});
    let (tool, _) = create(&mut ann, size);
    assert_eq!(why(&mut ann), []);
    let (job, crew) = (ann.job(), ann.record.crew(ann.crew).clone());
    let job = Job::read(ann.record.view(job).unwrap(), &crew);
    let size = job.reader.one(fields::TOOL_SIZE, &tool.to_string(), "");
    let with = size.told().unwrap().with.as_ref().unwrap();
    assert_eq!(with.entered.as_deref(), Some("5 in"));
}

#[test]
fn without_it_a_first_field_reads_as_ever() {
    let mut ann = Device::founder("ann");
    let (tool, _) = create(
        &mut ann,
        json!({"field": "size", "value": {"nm": 127_000_000}}),
    );
    assert_eq!(why(&mut ann), []);
    let (job, crew) = (ann.job(), ann.record.crew(ann.crew).clone());
    let job = Job::read(ann.record.view(job).unwrap(), &crew);
    let size = job.reader.one(fields::TOOL_SIZE, &tool.to_string(), "");
    assert_eq!(size.value().unwrap().nm, 127_000_000);
    assert!(size.told().unwrap().with.is_none());
}

#[test]
fn one_that_does_not_fit_its_field_does_not_count() {
    let mut ann = Device::founder("ann");
    for with in [
        json!({"entered": 5}),
        json!("5 in"),
        json!(null),
        json!({"reason": []}),
    ] {
        let first = json!({"field": "size", "value": {"nm": 127_000_000}, "with": with});
        let (_, made) = create(&mut ann, first);
        let left = why(&mut ann);
        assert!(left.contains(&(made, Why::Unfit)), "{with}: {left:?}");
    }
}
