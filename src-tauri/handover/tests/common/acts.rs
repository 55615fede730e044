//! What is measured, cut, fitted, read and checked on the scenario's runs.

use records::ids::{Hash, ItemId};
use records::model::context::*;
use records::model::fields::*;
use records::model::values::*;
use records::subject::{ItemKind, Subject};

use super::site::{day, mm};
use super::{Site, claim, told};

fn length(site: &mut Site, run: ItemId, wire: u32, value: f64) -> Hash {
    let with = LengthRead {
        entered: Some(format!("{value} mm")),
        purpose: Purpose::Cut,
        posts: PostState::InsertsIn,
        faces: Faces::InsertFaces,
        proud_nm: None,
        instrument: Instrument::Tape,
        tool: None,
        spread_nm: None,
        reason: None,
    };
    site.one(told(
        WIRE_LENGTH,
        &Subject::Wire(run, wire),
        "",
        &mm(value),
        &with,
    ))
}

/// A sample crimp that held, pressed LH, of 6.30 by 6.32 mm.
pub fn good_sample() -> SampleCrimp {
    SampleCrimp {
        pull_mn: 3_700_000,
        held_s: 60,
        mark_moved_nm: 0,
        result: CrimpResult::Good,
        left: Some(PressedSize {
            first_nm: 6_300_000,
            second_nm: 6_320_000,
        }),
        right: None,
    }
}

pub fn tension(
    site: &mut Site,
    run: ItemId,
    wire: u32,
    bay: &str,
    newtons: i64,
    stage: Stage,
    gauge: ItemId,
) -> Hash {
    let with = TensionRead {
        entered: Some(format!("{newtons} N")),
        method: Method::Gauge,
        stage,
        pass: None,
        piece: 1,
        gauge: Some(gauge),
        raw: None,
        chart: None,
        repeat: None,
        air_cdeg: Some(2400),
        wire_cdeg: None,
        sun: Some(Sun::Shade),
        reason: None,
        told: None,
    };
    site.one(told(
        WIRE_TENSION,
        &Subject::Wire(run, wire),
        bay,
        &Force::newtons(newtons),
        &with,
    ))
}

pub fn work(site: &mut Site, run_a: ItemId, run_b: ItemId, posts: &[ItemId], gauge: ItemId) {
    let lengths = [(1, 7294.0), (6, 7300.0), (12, 7305.0)];
    let basis: Vec<Hash> = lengths
        .iter()
        .map(|(wire, value)| length(site, run_a, *wire, *value))
        .collect();
    let cuts = [
        7231, 7232, 7233, 7234, 7234, 7235, 7235, 7236, 7236, 7236, 7236, 7237,
    ];
    let readings = [
        1510, 1500, 1490, 1505, 1495, 1520, 1495, 1500, 1485, 1495, 1490, 1310,
    ];
    // A bay's place is its posts' ids, smaller first, as in its subject.
    let subject = Subject::bay(posts[1], posts[2]).to_string();
    let bay = subject.strip_prefix("bay:").unwrap().to_owned();
    for (wire, (cut, reading)) in (1u32..).zip(cuts.iter().zip(&readings)) {
        let s = Subject::Wire(run_a, wire);
        let issue = CutIssue {
            cut_nm: cut * 1_000_000,
            shortest_nm: 7_217_700_000,
            longest_nm: 7_243_700_000,
            deduction: None,
        };
        let with = Told {
            program: "tautbook 0.1.0".into(),
            numbers: vec![Number {
                name: "inside to inside".into(),
                value: "7300 mm".into(),
                origin: "measured".into(),
            }],
            ..Told::default()
        };
        let mut draft = told(WIRE_CUT_ISSUED, &s, "1", &issue, &with);
        draft.basis.clone_from(&basis);
        site.one(draft);
        let made = OnPiece {
            piece: 1,
            lost_nm: None,
            to_mn: None,
            entered: None,
            reason: None,
        };
        site.act(vec![
            told(
                WIRE_CUT,
                &s,
                "1",
                &CutMade {
                    nm: cut * 1_000_000,
                    batch: None,
                    offcut: None,
                },
                &made,
            ),
            told(WIRE_DONE, &s, "fitted/1", &true, &made),
            told(WIRE_MARK_HIDDEN, &s, &posts[0].to_string(), &true, &made),
            told(
                WIRE_THREAD_LEFT,
                &s,
                &posts[0].to_string(),
                &mm(14.0),
                &made,
            ),
            told(
                WIRE_CRIMP,
                &s,
                &posts[0].to_string(),
                &Crimp {
                    result: CrimpResult::Good,
                    reason: None,
                },
                &CrimpRead {
                    piece: 1,
                    ..CrimpRead::default()
                },
            ),
        ]);
        tension(site, run_a, wire, &bay, *reading, Stage::Final, gauge);
    }
    for wire in 1..=8 {
        length(site, run_b, wire, 2525.0 + f64::from(wire));
    }
    for n in 0..6 {
        let s = Subject::bay(posts[n], posts[n + 1]);
        let with = GapRead {
            probe_nm: 125_000_000,
            ..GapRead::default()
        };
        site.one(told(
            BAY_GAPS,
            &s,
            &run_a.to_string(),
            &GapCheck {
                result: ProbeResult::Stops,
            },
            &with,
        ));
    }
    let job = site.job_subject();
    let sample = SampleCrimp {
        pull_mn: 3_700_000,
        held_s: 60,
        mark_moved_nm: 0,
        result: CrimpResult::Good,
        left: Some(PressedSize {
            first_nm: 5_480_000,
            second_nm: 5_500_000,
        }),
        right: Some(PressedSize {
            first_nm: 5_490_000,
            second_nm: 5_500_000,
        }),
    };
    site.one(told(
        JOB_SAMPLE_CRIMP,
        &job,
        "",
        &sample,
        &CrimpRead {
            piece: 1,
            ..CrimpRead::default()
        },
    ));
    let defect = site.new_item(ItemKind::Defect, Vec::new());
    let s = Subject::Item(ItemKind::Defect, defect);
    site.act(vec![
        claim(DEFECT_FOUND, &s, &"wire 6 drilled 9 mm high at A3".into()),
        claim(
            DEFECT_ABOUT,
            &s,
            &AboutSubject {
                subject: Subject::post(posts[2]),
            },
        ),
    ]);
    site.one(claim(
        DEFECT_CLOSED,
        &s,
        &Closing {
            how: "plugged and redrilled, 77 / 75".into(),
        },
    ));
    let visit = site.new_item(ItemKind::Visit, Vec::new());
    let s = Subject::Item(ItemKind::Visit, visit);
    site.act(vec![
        claim(VISIT_DAY, &s, &day("2026-10-27")),
        claim(VISIT_WHY, &s, &"tension".into()),
        claim(VISIT_WHO, &s, &"Ben".into()),
        claim(VISIT_WEATHER, &s, &"dry, 24 °C".into()),
        claim(
            VISIT_LEFT_SAFE,
            &s,
            &LeftSafe {
                how: "mesh panel at the open side".into(),
                told: "the owner".into(),
            },
        ),
    ]);
    let person = site.person;
    let with = Told {
        program: "tautbook 0.1.0".into(),
        numbers: vec![Number {
            name: "lowest found".into(),
            value: "1310 N".into(),
            origin: "measured".into(),
        }],
        ..Told::default()
    };
    site.one(told(
        JOB_SIGN_OFF,
        &job,
        "tension",
        &SignOff {
            statement: "Readings taken by me.".into(),
            person,
        },
        &with,
    ));
}
