//! What the handover lacks: there, waived with a reason, lacking.

use records::model::context::Shows;
use records::model::fields;
use records::model::values::CrimpResult;
use records::model::values::{Evidence, PressedSize, SampleCrimp};
use records::record::{Draft, new_item, value_data};
use records::subject::{ItemKind, Subject};
use records::work::{EvidenceState, Lack, Lacks, lacks};

use crate::scene::{Scene, measured};

fn all(s: &mut Scene) -> Lacks {
    s.with_job(|job| lacks(job).unwrap())
}

fn item(found: &Lacks, key: &str) -> Lack {
    found.items.iter().find(|i| i.key == key).cloned().unwrap()
}

#[test]
fn the_list_empties_as_evidence_comes_and_keeps_what_is_waived() {
    let mut s = measured();
    let a = s.a;
    let job = Subject::Job(s.device.job());
    let first = all(&mut s);
    assert_eq!(
        first.lacking + first.waived + first.there,
        u32::try_from(first.items.len()).unwrap()
    );
    assert!(first.items.is_sorted_by_key(|i| i.section));
    assert_eq!(item(&first, "fact/permit").state, EvidenceState::Lacking);
    assert_eq!(item(&first, "fact/fall").state, EvidenceState::There);
    let added = item(&first, &format!("postAdded/{}", s.post("A4a")));
    assert_eq!(added.evidence, Some(Evidence::PostAdded));
    assert!(
        item(&first, &format!("tension/{a}"))
            .asked_by
            .contains("Housing Provisions")
    );

    s.say(fields::JOB_PERMIT, &job, "", "P-1".to_owned(), None);
    let size = Some(PressedSize {
        first_nm: 6_300_000,
        second_nm: 6_320_000,
    });
    let sample = SampleCrimp {
        pull_mn: 3_700_000,
        held_s: 60,
        mark_moved_nm: 0,
        result: CrimpResult::Good,
        left: size,
        right: size,
    };
    s.say(fields::JOB_SAMPLE_CRIMP, &job, "", sample, None);
    let reason = "No engineer was asked: posts are steel".to_owned();
    s.say(
        fields::JOB_EVIDENCE_WAIVED,
        &job,
        "engineersLetter",
        reason.clone(),
        None,
    );
    let second = all(&mut s);
    assert_eq!(item(&second, "fact/permit").state, EvidenceState::There);
    assert_eq!(
        item(&second, "sampleCrimp").detail,
        "3700 N for 60 s, mark moved 0 mm"
    );
    let letter = item(&second, "engineersLetter");
    assert_eq!(letter.state, EvidenceState::Waived);
    assert_eq!(letter.waived_because, Some(reason));
    assert_eq!(letter.waived_by.as_deref(), Some("ann"));
    assert_eq!(second.lacking, first.lacking - 3);
    assert_eq!(second.waived, 1);
}

#[test]
fn a_picture_counts_where_it_is_marked_and_tied() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let key = format!("gaugeOnWire/{a}");
    assert_eq!(item(&all(&mut s), &key).state, EvidenceState::Lacking);
    let photo = Subject::Item(ItemKind::Photo, new_item().unwrap());
    let draft = Draft {
        kind: fields::PHOTO_CREATED.kind(),
        subject: photo.to_string(),
        files: vec![records::entry::FileRef {
            sha256: records::ids::Hash::of(b"picture"),
            bytes: 7,
            kind: "original.jpg".into(),
        }],
        data: value_data("", &serde_json::json!(true)),
        ..Draft::default()
    };
    let (job, person) = (s.device.job(), s.device.person());
    s.device.record.act(job, person, vec![draft]).unwrap();
    let shows = |evidence| {
        Some(Shows {
            evidence,
            reason: None,
        })
    };
    // tied to another run's wire: does not count for this one
    let place = Subject::Wire(b, 2).to_string();
    s.say(
        fields::PHOTO_SHOWS,
        &photo,
        &place,
        true,
        shows(Evidence::GaugeOnWire),
    );
    assert_eq!(item(&all(&mut s), &key).state, EvidenceState::Lacking);
    // tied to a wire of the run but marked as something else
    let place = Subject::Wire(a, 2).to_string();
    s.say(
        fields::PHOTO_SHOWS,
        &photo,
        &place,
        true,
        shows(Evidence::Other),
    );
    assert_eq!(item(&all(&mut s), &key).state, EvidenceState::Lacking);
    s.say(
        fields::PHOTO_SHOWS,
        &photo,
        &place,
        true,
        shows(Evidence::GaugeOnWire),
    );
    let found = item(&all(&mut s), &key);
    assert_eq!(found.state, EvidenceState::There);
    assert!(found.asks_for_picture);
}
