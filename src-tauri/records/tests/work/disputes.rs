//! Disputes with both sides by name.

use records::crew::Role;
use records::model::context::LengthRead;
use records::model::fields;
use records::model::values::{Material, PostState};
use records::record::{Draft, new_item, value_data};
use records::subject::{ItemKind, Subject};
use records::work::{cut_sheet, disputes};

use crate::common::Device;
use crate::scene::{Scene, cut_read, measured, mm};

fn say(
    device: &mut Device,
    subject: &Subject,
    length: f64,
    read: &LengthRead,
    over: Vec<records::ids::Hash>,
) {
    let mut data = value_data("", &serde_json::to_value(mm(length)).unwrap());
    data.insert("with".into(), serde_json::to_value(read).unwrap());
    let draft = Draft {
        kind: fields::WIRE_LENGTH.kind(),
        subject: subject.to_string(),
        over,
        data,
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap();
}

#[test]
fn two_devices_that_correct_one_length_apart_are_shown_side_by_side() {
    let mut s = measured();
    let a = s.a;
    assert_eq!(s.with_job(disputes), Vec::new());
    let wire = Subject::Wire(a, 12);
    let mut ben = Device::founder("ben");
    ben.follow(&s.device);
    s.device.admit(&ben, Role::Installer);
    ben.receive(&mut s.device);
    let first = s.tips("length", &wire, "");
    // scenario: "corrected apart to 7303 (ann) and 7309 (ben, before the rail)"
    say(&mut s.device, &wire, 7303.0, &cut_read(), first.clone());
    let before_rail = LengthRead {
        posts: PostState::Fixed,
        entered: Some("7309".into()),
        ..cut_read()
    };
    say(&mut ben, &wire, 7309.0, &before_rail, first);
    s.device.receive(&mut ben);
    let found = s.with_job(disputes);
    assert_eq!(found.len(), 1);
    let dispute = &found[0];
    assert_eq!(dispute.subject_name, "wire A12");
    assert_eq!(dispute.field_name, "inside to inside");
    assert!(!dispute.newer && dispute.in_layout);
    let mut sides: Vec<(String, String)> = dispute
        .sides
        .iter()
        .map(|side| (side.person_name.clone(), side.value.clone()))
        .collect();
    sides.sort();
    assert_eq!(
        sides,
        [
            ("ann".to_owned(), "7303 mm".to_owned()),
            ("ben".to_owned(), "7309 mm".to_owned())
        ]
    );
    let ben_said = dispute
        .sides
        .iter()
        .find(|x| x.person_name == "ben")
        .unwrap();
    assert_eq!(ben_said.device_name, "ben");
    assert!(ben_said.how.contains("typed 7309") && ben_said.how.contains("posts fixed"));
    assert!(ben_said.at_ms > 0);
    // scenario: "measured again with the rail on: 7305", over both
    let both = s.tips("length", &wire, "");
    say(&mut s.device, &wire, 7305.0, &cut_read(), both);
    assert_eq!(s.with_job(disputes), Vec::new());
}

#[test]
fn two_who_remake_a_wire_for_reasons_told_in_other_words_do_not_disagree() {
    let mut s = measured();
    let wire = Subject::Wire(s.b, 3);
    let mut ben = Device::founder("ben");
    ben.follow(&s.device);
    s.device.admit(&ben, Role::Installer);
    ben.receive(&mut s.device);
    let remake = |device: &mut Device, number: u32, reason: &str| {
        let piece = serde_json::json!({"number": number, "reason": reason});
        let draft = Draft {
            kind: fields::WIRE_PIECE.kind(),
            subject: wire.to_string(),
            data: value_data("", &piece),
            ..Draft::default()
        };
        let (job, person) = (device.job(), device.person());
        device.record.act(job, person, vec![draft]).unwrap();
    };
    remake(&mut s.device, 2, "lower end rejected");
    remake(&mut ben, 2, "mark 5 mm out");
    s.device.receive(&mut ben);
    assert_eq!(s.with_job(disputes), Vec::new());
    let b = s.b;
    let pieces = |s: &mut crate::scene::Scene| {
        s.with_job(|job| {
            let wire = job.run(b).unwrap().wire(3).unwrap();
            (wire.piece_number, wire.piece.tips.len())
        })
    };
    assert_eq!(pieces(&mut s), (2, 2), "both words are kept");
    // Another number is another piece, whatever the words.
    remake(&mut ben, 3, "lower end rejected");
    s.device.receive(&mut ben);
    assert_eq!(s.with_job(disputes).len(), 1);
}

#[test]
fn a_first_field_in_a_dispute_tells_what_was_typed() {
    let mut s = measured();
    let tool = Subject::Item(ItemKind::Tool, new_item().unwrap());
    let draft = |kind: &str, data| Draft {
        kind: kind.into(),
        subject: tool.to_string(),
        data,
        ..Draft::default()
    };
    let mut first = value_data("", &serde_json::json!(true));
    let size = serde_json::json!({"field": "size", "value": {"nm": 127_000_000},
        "with": {"entered": "5 in"}});
    first.insert("fields".into(), serde_json::json!([size]));
    let apart = value_data("", &serde_json::json!({"nm": 125_000_000}));
    let drafts = vec![draft("tool.created", first), draft("tool.size", apart)];
    let (job, person) = (s.device.job(), s.device.person());
    s.device.record.act(job, person, drafts).unwrap();
    let found = s.with_job(disputes);
    let sides = found[0].sides.iter();
    let typed = sides.clone().find(|side| side.value == "127 mm").unwrap();
    assert_eq!(typed.how, "typed 5 in");
}

#[test]
fn the_same_figures_with_their_origins_in_other_words_bar_no_wire() {
    let mut s = measured();
    let (a, post) = (s.a, Subject::post(s.post("A6")));
    let barred = |s: &mut Scene| {
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        sheet
            .lines
            .iter()
            .filter(|line| line.refused.is_some())
            .count()
    };
    let read: Material = s.with_job(|job| {
        let post = Subject::post(job.run(a).unwrap().posts.last().unwrap().id);
        job.reader
            .value(fields::POST_MATERIAL, &post.to_string())
            .unwrap()
    });
    let apart = |s: &mut Scene, told: Material| {
        s.say_over(
            fields::POST_MATERIAL,
            &post,
            "",
            Some(told),
            None,
            Vec::new(),
        );
    };
    let sheet = Some("the maker's sheet, as far as it can be read".to_owned());
    let worded = Material {
        modulus_origin: sheet,
        ..read.clone()
    };
    apart(&mut s, worded);
    assert_eq!(barred(&mut s), 0);
    apart(
        &mut s,
        Material {
            modulus_mpa: Some(9_000),
            ..read
        },
    );
    assert_eq!(barred(&mut s), 12);
}
