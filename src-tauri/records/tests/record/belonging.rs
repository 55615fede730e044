//! Who belongs changes what counts, and nothing else: what was proven stays so on every device,
//! whatever it heard first.

use crate::common::{Device, lines_of};
use records::book::Why;
use records::crew::{ENDED, Person, Role};
use records::ids::{BookId, Hash, PersonId};
use records::record::{Draft, Founding, value_data};
use serde_json::json;

fn title(device: &mut Device, value: &str) -> Hash {
    let draft = Draft {
        kind: "job.title".into(),
        subject: format!("job:{}", device.job()),
        over: device.tips("title"),
        data: value_data("", &json!(value)),
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap()[0]
}

/// A keeper whom the founder ends without having heard of the device that the keeper admitted, and
/// a word of another member over that device's word.
struct Scene {
    ann: Device,
    ben: Device,
    cid: Device,
    dora: Device,
    by_cid: Hash,
    by_dora: Hash,
}

fn scene() -> Scene {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    let mut cid = Device::founder("cid");
    let mut dora = Device::founder("dora");
    for device in [&mut ben, &mut cid, &mut dora] {
        device.follow(&ann);
    }
    ann.admit(&ben, Role::Installer);
    ann.admit(&dora, Role::Office);
    let (crew, person) = (ann.crew, ann.person());
    let keeper = ben.record.device();
    ann.record.name_keeper(crew, person, keeper).unwrap();
    title(&mut ann, "agreed");
    ben.receive(&mut ann);
    ben.admit(&cid, Role::Surveyor);
    cid.receive(&mut ben);
    let by_cid = title(&mut cid, "by cid");
    dora.receive(&mut ben);
    dora.receive(&mut cid);
    assert_eq!(dora.title(), Some("by cid".into()));
    let by_dora = title(&mut dora, "by dora");
    ann.record.end_device(crew, person, keeper).unwrap();
    Scene {
        ann,
        ben,
        cid,
        dora,
        by_cid,
        by_dora,
    }
}

#[test]
fn what_rests_on_a_device_that_no_longer_belongs_reads_the_same_everywhere() {
    let mut scene = scene();
    let (crew, job) = (scene.ann.crew, scene.ann.job());
    scene.dora.receive(&mut scene.ann);
    let kept = scene.dora.record.dump(job).unwrap();
    let hashes = scene.dora.record.state_hashes().unwrap();
    scene.dora.record.rebuild().unwrap();
    assert_eq!(scene.dora.record.dump(job).unwrap(), kept, "made anew");
    assert_eq!(scene.dora.record.state_hashes().unwrap(), hashes);

    // The founder hears of all of it after the end.
    for other in [&mut scene.ben, &mut scene.cid, &mut scene.dora] {
        scene.ann.receive(other);
    }
    assert_eq!(scene.ann.record.dump(job).unwrap(), kept);
    let view = scene.ann.record.view(job).unwrap();
    assert!(view.counts(&scene.by_dora) && !view.counts(&scene.by_cid));
    // Dora named Cid's word alone, so hers and the one before both stand, for a person to settle.
    assert_eq!(scene.ann.title(), None);
    assert_eq!(scene.ann.tips("title").len(), 2);

    // A device that hears the lines in any order, one by one.
    let mut lines = lines_of(&mut scene.ann.record, crew);
    lines.extend(lines_of(&mut scene.ann.record, job));
    for turn in 0..lines.len() {
        let mut office = Device::founder("office");
        office.follow(&scene.ann);
        lines.rotate_left(1);
        let half = turn % 2 == 0;
        let order: Vec<&Vec<u8>> = if half {
            lines.iter().collect()
        } else {
            lines.iter().rev().collect()
        };
        for line in order {
            office
                .record
                .take_in(crew, std::slice::from_ref(line))
                .unwrap();
        }
        assert_eq!(office.record.dump(job).unwrap(), kept, "turn {turn}");
    }
}

#[test]
fn a_second_crew_takes_nobodys_word_in_the_first() {
    let mut ann = Device::founder("ann");
    let (first, job) = (ann.crew, ann.job());
    let founding = Founding {
        crew: "another".into(),
        person: "ann".into(),
        role: Role::Office,
    };
    let second = ann.record.found_crew(&founding).unwrap();
    assert_ne!(second, first);
    let word = title(&mut ann, "said from the other crew");
    let crew = ann.record.crew(first).clone();
    let view = ann.record.view(job).unwrap();
    assert_eq!(view.not_counting(&crew), []);
    assert!(view.counts(&word));
    let person = ann.person();
    let begun = ann
        .record
        .begin_job(first, person, "a new one", "")
        .unwrap();
    let view = ann.record.view(begun).unwrap();
    assert_eq!(view.not_counting(&crew), []);
}

#[test]
fn a_word_that_creates_nothing_claims_one_key() {
    let mut ann = Device::founder("ann");
    let mut data = value_data("", &json!("a note"));
    data.insert(
        "fields".into(),
        json!([{"field": "title", "value": "hijack"}]),
    );
    let draft = Draft {
        kind: "job.note".into(),
        subject: format!("job:{}", ann.job()),
        data,
        ..Draft::default()
    };
    let (job, person) = (ann.job(), ann.person());
    let before = ann.title();
    let said = ann.record.act(job, person, vec![draft]).unwrap()[0];
    let crew = ann.record.crew(ann.crew).clone();
    let view = ann.record.view(job).unwrap();
    assert_eq!(view.not_counting(&crew), [(said, Why::NotUnderstood)]);
    assert_eq!(ann.title(), before);
}

#[test]
fn a_key_copied_from_another_device_signs_nothing() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    title(&mut ben, "by ben");
    ann.receive(&mut ben);
    let (own, of_ben) = (ann.record.device(), ben.record.device());
    let (dir, path) = ann.close();
    std::fs::copy(ben.dir().join("device.key"), path.join("device.key")).unwrap();
    let mut ann = Device::open_at(dir, path);
    assert_eq!(ann.record.device(), own);
    let told = ann.record.key_lost().unwrap();
    assert!(told.contains("another device's"), "{told}");
    let draft = Draft {
        kind: "job.note".into(),
        subject: format!("job:{}", ann.job()),
        data: value_data("", &json!("as ben")),
        ..Draft::default()
    };
    let (job, person) = (ann.job(), ann.person());
    assert!(ann.record.act(job, person, vec![draft]).is_err());
    let view = ann.record.view(job).unwrap();
    assert_eq!(view.heads()[&of_ben].0, 1, "nothing was added to Ben's log");
}

#[test]
fn values_that_do_not_fit_are_not_said_to_be_newer() {
    let mut ann = Device::founder("ann");
    let draft = |kind: &str| Draft {
        kind: kind.into(),
        subject: format!("job:{}", ann.job()),
        data: value_data("", &json!({"nm": "many"})),
        ..Draft::default()
    };
    let drafts = vec![draft("job.title"), draft("job.somethingNew")];
    let (job, person) = (ann.job(), ann.person());
    let said = ann.record.act(job, person, drafts).unwrap();
    let crew = ann.record.crew(ann.crew).clone();
    let view = ann.record.view(job).unwrap();
    let mut why = view.not_counting(&crew);
    why.sort_by_key(|(id, _)| *id != said[0]);
    assert_eq!(why, [(said[0], Why::Unfit), (said[1], Why::NotUnderstood)]);
    assert!(!Why::Unfit.words().contains("update"));
}

#[test]
fn an_end_by_a_keeper_who_knew_less_takes_nothing_from_another_keepers() {
    let mut ann = Device::founder("ann");
    let [mut ben, mut cid, mut dora] = ["ben", "cid", "dora"].map(Device::founder);
    for device in [&mut ben, &mut cid, &mut dora] {
        device.follow(&ann);
        ann.admit(device, Role::Installer);
    }
    let (crew, person) = (ann.crew, ann.person());
    for keeper in [&ben, &cid] {
        let keeper = keeper.record.device();
        ann.record.name_keeper(crew, person, keeper).unwrap();
    }
    title(&mut ann, "agreed");
    for device in [&mut ben, &mut cid, &mut dora] {
        device.receive(&mut ann);
    }
    title(&mut dora, "one");
    cid.receive(&mut dora);
    title(&mut dora, "two");
    ben.receive(&mut dora);
    let ended = dora.record.device();
    for keeper in [&mut ben, &mut cid] {
        let person = keeper.person();
        keeper.record.end_device(crew, person, ended).unwrap();
    }
    let mut states = Vec::new();
    for order in [[0, 1], [1, 0]] {
        let mut office = Device::founder("office");
        office.follow(&ann);
        office.receive(&mut ann);
        for at in order {
            let keeper = if at == 0 { &mut ben } else { &mut cid };
            office.receive(keeper);
        }
        assert_eq!(office.title(), Some("two".into()));
        states.push(office.record.dump(ann.job()).unwrap());
    }
    assert_eq!(states[0], states[1]);
    // Ended again by one who knows of both, nothing more comes and nothing goes.
    ann.receive(&mut cid);
    ann.receive(&mut ben);
    ann.record.end_device(crew, person, ended).unwrap();
    assert_eq!(ann.title(), Some("two".into()));
}

#[test]
fn persons_of_several_admissions_may_be_more_than_one_entry_holds() {
    let (mut ann, ben) = (Device::founder("ann"), Device::founder("ben"));
    let (crew, person, key) = (ann.crew, ann.person(), ben.record.signer().public());
    for act in 0..3 {
        let persons = (0..250).map(|one| Person {
            id: PersonId::random().unwrap(),
            name: format!("{act} {one} {}", "x".repeat(70)),
        });
        ann.record
            .admit(crew, person, key, persons.collect(), Role::Installer)
            .unwrap();
    }
    let listed = |device: &Device| {
        let member = device.record.crew(crew).member(&key.device());
        member.unwrap().persons.len()
    };
    assert_eq!(listed(&ann), 750);
    let before = ann.record.state_hashes().unwrap();
    ann.record.rebuild().unwrap();
    let ann = ann.reopen();
    assert_eq!(listed(&ann), 750);
    assert_eq!(ann.record.state_hashes().unwrap(), before);
}

#[test]
fn an_end_told_in_several_entries_of_one_act_is_one_end() {
    let (mut ann, mut ben) = (Device::founder("ann"), Device::founder("ben"));
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    title(&mut ann, "agreed");
    ben.receive(&mut ann);
    title(&mut ben, "by ben");
    ann.receive(&mut ben);
    let (crew, person, device) = (ann.crew, ann.person(), ben.record.device());
    let known = ann.record.known_of(crew, device).unwrap();
    let job = known.iter().find(|one| one.book == ann.job()).unwrap();
    let end = |last: serde_json::Value| Draft {
        kind: ENDED.into(),
        subject: format!("device:{device}"),
        data: json!({ "last": [last] }).as_object().unwrap().clone(),
        ..Draft::default()
    };
    let elsewhere = json!({
        "book": BookId::random().unwrap(), "n": 1, "hash": Hash::of(b"of another book"),
    });
    let drafts = vec![end(elsewhere), end(serde_json::to_value(job).unwrap())];
    ann.record.act(crew, person, drafts).unwrap();
    let ended = ann.record.crew(crew).member(&device).unwrap();
    assert_eq!(ended.ended.as_ref().unwrap().len(), 2);
    assert_eq!(ann.title(), Some("by ben".into()));
    title(&mut ben, "after the end");
    ann.receive(&mut ben);
    assert_eq!(ann.title(), Some("by ben".into()));
}
