//! Marks on a copy of a picture: one word like any other, changed, taken back and disputed.

use crate::common::Device;
use records::book::Why;
use records::crew::Role;
use records::ids::Hash;
use records::job::{Fact, Job, Standing};
use records::model::context::Said;
use records::model::fields;
use records::model::values::{Mark, Marks};
use records::record::{Draft, new_item, value_data};
use records::subject::{ItemKind, Subject};
use serde_json::{Value, json};

/// Says what is marked on a picture, over what is named; nothing takes it back.
fn mark(device: &mut Device, picture: &Subject, marks: &Value, over: Vec<Hash>) -> Hash {
    let draft = Draft {
        kind: fields::PHOTO_MARKS.kind(),
        subject: picture.to_string(),
        over,
        data: value_data("", marks),
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap()[0]
}

fn marks_of(device: &mut Device, picture: &Subject) -> Fact<Marks, Said> {
    let (job, crew) = (device.job(), device.record.crew(device.crew).clone());
    let job = Job::read(device.record.view(job).unwrap(), &crew);
    job.reader
        .one(fields::PHOTO_MARKS, &picture.to_string(), "")
}

fn arrow(to_x: i64) -> Value {
    json!({"marks": [{"kind": "arrow", "x": 100, "y": 200, "toX": to_x, "toY": 400}]})
}

/// Ann, Ben whom she admitted, and a picture on which Ann drew an arrow.
fn scene() -> (Device, Device, Subject, Hash) {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    let picture = Subject::Item(ItemKind::Photo, new_item().unwrap());
    let first = mark(&mut ann, &picture, &arrow(300), vec![]);
    ben.receive(&mut ann);
    (ann, ben, picture, first)
}

#[test]
fn marks_are_changed_and_taken_back_like_any_other_word() {
    let (mut ann, _, picture, first) = scene();
    let stood = marks_of(&mut ann, &picture);
    let drawn = Mark::Arrow {
        x: 100,
        y: 200,
        to_x: 300,
        to_y: 400,
    };
    assert_eq!(stood.value().unwrap().marks, [drawn]);
    let changed = mark(&mut ann, &picture, &arrow(500), vec![first]);
    let stands = marks_of(&mut ann, &picture);
    assert_eq!((stands.tip_ids(), stands.said), (vec![changed], 2));
    mark(&mut ann, &picture, &Value::Null, vec![changed]);
    let gone = marks_of(&mut ann, &picture);
    assert_eq!((gone.standing, gone.said), (Standing::Withdrawn, 3));
    assert_eq!(gone.shown(), None);
}

#[test]
fn marks_that_were_drawn_apart_are_disputed_in_every_order_until_somebody_settles() {
    let (mut ann, mut ben, picture, first) = scene();
    mark(&mut ann, &picture, &arrow(500), vec![first]);
    mark(&mut ben, &picture, &arrow(700), vec![first]);
    // What the other said comes after the own word on one device, before it on the other.
    ann.receive(&mut ben);
    ben.receive(&mut ann);
    let both = marks_of(&mut ann, &picture);
    assert_eq!(both.standing, Standing::Disputed);
    assert_eq!(both.value(), None);
    assert_eq!(both, marks_of(&mut ben, &picture));
    let settled = mark(&mut ben, &picture, &arrow(500), both.tip_ids());
    ann.receive(&mut ben);
    let stands = marks_of(&mut ann, &picture);
    assert_eq!(stands.standing, Standing::Agreed);
    assert_eq!(stands.tip_ids(), [settled]);
}

#[test]
fn the_same_marks_drawn_apart_are_no_dispute() {
    let (mut ann, mut ben, picture, first) = scene();
    mark(&mut ann, &picture, &arrow(500), vec![first]);
    mark(&mut ben, &picture, &arrow(500), vec![first]);
    ann.receive(&mut ben);
    assert_eq!(marks_of(&mut ann, &picture).standing, Standing::Agreed);
}

#[test]
fn a_mark_of_a_newer_version_is_kept_and_takes_no_mark_away() {
    let (mut ann, _, picture, first) = scene();
    let cross = json!({"marks": [{"kind": "cross", "x": 1, "y": 2}]});
    let newer = mark(&mut ann, &picture, &cross, vec![first]);
    let (job, crew) = (ann.job(), ann.record.crew(ann.crew).clone());
    let view = ann.record.view(job).unwrap();
    assert_eq!(view.not_counting(&crew), [(newer, Why::Unfit)]);
    let stands = marks_of(&mut ann, &picture);
    assert_eq!(stands.standing, Standing::Newer);
    assert_eq!(stands.tip_ids(), [first]);
}

#[test]
fn marks_that_can_not_be_are_read_as_none() {
    let (mut ann, _, picture, first) = scene();
    mark(&mut ann, &picture, &arrow(5000), vec![first]);
    let stands = marks_of(&mut ann, &picture);
    assert_eq!((stands.standing, stands.shown()), (Standing::Agreed, None));
}
