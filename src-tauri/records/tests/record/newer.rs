//! What this version can't take as it was meant: entries that a newer one made, and entries whose
//! ground is not here.

use crate::common::{Device, lines_of};
use records::book::{Key, Why};
use records::crew::Role;
use records::entry::{Body, Entry};
use records::ids::{BookId, Hash};
use records::record::{Draft, value_data};
use serde_json::json;

fn draft(device: &mut Device, field: &str, value: &str) -> Draft {
    Draft {
        kind: format!("job.{field}"),
        subject: format!("job:{}", device.job()),
        data: value_data("", &json!(value)),
        ..Draft::default()
    }
}

fn act(device: &mut Device, draft: Draft) -> Hash {
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap()[0]
}

fn title(device: &mut Device, value: &str) -> Hash {
    let over = device.tips("title");
    let draft = draft(device, "title", value);
    act(device, Draft { over, ..draft })
}

/// A founder, a member who reads what the founder writes, and a device that applies.
struct Scene {
    ann: Device,
    ben: Device,
    cid: Device,
}

fn scene(cid_is_admitted: bool) -> Scene {
    let mut ann = Device::founder("ann");
    let [mut ben, mut cid] = ["ben", "cid"].map(Device::founder);
    for device in [&mut ben, &mut cid] {
        device.follow(&ann);
    }
    ann.admit(&ben, Role::Installer);
    if cid_is_admitted {
        ann.admit(&cid, Role::Surveyor);
    }
    ben.receive(&mut ann);
    Scene { ann, ben, cid }
}

/// Ben hears what Ann wrote, the last of it as `change` has it; answers with that entry's hash.
fn heard(scene: &mut Scene, book: BookId, change: fn(&mut Body)) -> Hash {
    let own = scene.ann.record.own_after(book, 0).unwrap();
    let (last, before) = own.split_last().unwrap();
    let mut body = last.body.clone();
    change(&mut body);
    let last = Entry::sign(body, scene.ann.record.signer()).unwrap();
    let lines: Vec<Vec<u8>> = before
        .iter()
        .chain([&last])
        .map(|entry| entry.line().to_vec())
        .collect();
    scene.ben.record.take_in(scene.ben.crew, &lines).unwrap();
    last.id
}

fn waiting(device: &mut Device, book: BookId) -> Vec<(Hash, Why)> {
    let crew = device.record.crew(device.crew).clone();
    device.record.view(book).unwrap().not_counting(&crew)
}

type Change = fn(&mut Body);
/// What a newer version may write, and whether this one may take it.
const CHANGES: [(&str, Change, bool); 4] = [
    ("as this version writes it", |_| (), true),
    ("format 2", |body| body.format = 2, false),
    ("needs x", |body| body.needs = vec!["x".into()], false),
    ("an unknown kind", |body| body.kind += "InAnotherWay", false),
];

#[test]
fn a_newer_word_over_a_tip_counts_for_nothing_and_marks_the_key() {
    for (name, change, understood) in CHANGES {
        let mut scene = scene(false);
        let job = scene.ann.job();
        let before = scene.ben.tips("title");
        title(&mut scene.ann, "said anew");
        let id = heard(&mut scene, job, change);
        let key = Key {
            subject: format!("job:{job}"),
            field: "title".into(),
            place: String::new(),
        };
        let newer = scene
            .ben
            .record
            .view(job)
            .unwrap()
            .key(&key)
            .unwrap()
            .newer
            .clone();
        if understood {
            assert_eq!(
                (scene.ben.tips("title"), newer),
                (vec![id], vec![]),
                "{name}"
            );
            assert_eq!(waiting(&mut scene.ben, job), [], "{name}");
            assert_eq!(scene.ben.record.newer_told().unwrap(), None, "{name}");
        } else {
            let told = scene.ben.record.newer_told().unwrap().unwrap();
            assert!(
                told.starts_with("1 entry was recorded by a newer version"),
                "{name}: {told}"
            );
            assert_eq!(
                (scene.ben.tips("title"), newer),
                (before, vec![id]),
                "{name}"
            );
            assert_eq!(
                waiting(&mut scene.ben, job),
                [(id, Why::NotUnderstood)],
                "{name}"
            );
        }
    }
}

#[test]
fn a_newer_admission_admits_nobody() {
    for (name, change, understood) in CHANGES {
        let mut scene = scene(false);
        let (crew, cid) = (scene.ann.crew, scene.cid.record.device());
        scene.ann.admit(&scene.cid, Role::Surveyor);
        let id = heard(&mut scene, crew, change);
        let admitted = scene.ben.record.crew(crew).member(&cid).is_some();
        assert_eq!(admitted, understood, "{name}");
        let told = waiting(&mut scene.ben, crew).contains(&(id, Why::NotUnderstood));
        assert_eq!(told, !understood, "{name}");
    }
}

#[test]
fn a_newer_end_ends_nobody() {
    for (name, change, understood) in CHANGES {
        let mut scene = scene(true);
        let (crew, person) = (scene.ann.crew, scene.ann.person());
        let cid = scene.cid.record.device();
        scene.ann.record.end_device(crew, person, cid).unwrap();
        let id = heard(&mut scene, crew, change);
        let member = scene.ben.record.crew(crew).member(&cid).unwrap();
        assert_eq!(member.ended.is_some(), understood, "{name}");
        let told = waiting(&mut scene.ben, crew).contains(&(id, Why::NotUnderstood));
        assert_eq!(told, !understood, "{name}");
    }
}

#[test]
fn a_word_counts_once_what_it_replaces_and_rests_on_is_here() {
    let grounds: [fn(&mut Draft, Hash); 2] = [
        |draft, ground| draft.over.push(ground),
        |draft, ground| draft.basis.push(ground),
    ];
    for (n, rest_on) in grounds.into_iter().enumerate() {
        let Scene {
            mut ann,
            mut ben,
            mut cid,
        } = scene(false);
        let (crew, job) = (ann.crew, ann.job());
        let ground = title(&mut ben, "by ben");
        ann.receive(&mut ben);
        let mut word = draft(&mut ann, "title", "by ann");
        rest_on(&mut word, ground);
        let word = act(&mut ann, word);
        let of_ann = ann.record.own_after(job, 0).unwrap();
        let mut lines = lines_of(&mut ann.record, crew);
        lines.extend(of_ann.iter().map(|entry| entry.line().to_vec()));
        cid.record.take_in(crew, &lines).unwrap();
        assert_eq!(waiting(&mut cid, job), [(word, Why::BasisMissing)], "{n}");
        assert!(!cid.tips("title").contains(&word), "{n}");
        cid.receive(&mut ben);
        assert_eq!(waiting(&mut cid, job), [], "{n}");
        assert!(cid.tips("title").contains(&word), "{n}");
    }
}
