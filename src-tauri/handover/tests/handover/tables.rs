//! The tables tell what tells one reading from another: faces, tool, repeat, sun, moment, delivery.

use std::collections::BTreeMap;
use std::path::Path;

use records::model::context::*;
use records::model::fields::*;
use records::model::values::*;
use records::subject::{ItemKind, Subject};

use crate::common::acts::good_sample;
use crate::common::site::{self, day, mm};
use crate::common::{claim, told};

/// Rows of a table by the names of its columns.
fn table(folder: &Path, name: &str) -> Vec<BTreeMap<String, String>> {
    let path = folder.join(format!("data/{name}.csv"));
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

fn one<'t>(
    rows: &'t [BTreeMap<String, String>],
    wanted: &[(&str, &str)],
) -> &'t BTreeMap<String, String> {
    let fits = |row: &&BTreeMap<String, String>| wanted.iter().all(|(name, is)| row[*name] == *is);
    rows.iter()
        .find(fits)
        .unwrap_or_else(|| panic!("{wanted:?} in {rows:?}"))
}

fn holds(row: &BTreeMap<String, String>, cells: &[(&str, &str)]) {
    for (name, is) in cells {
        assert_eq!(row[*name], *is, "{name} of {row:?}");
    }
}

#[test]
fn tables_tell_one_reading_from_another() {
    let mut built = site::build("Deck and stair");
    let tool = |built: &mut site::Built, name: &str, kind: ToolKind| {
        let id = built.site.new_item(ItemKind::Tool, Vec::new());
        let s = Subject::Item(ItemKind::Tool, id);
        built.site.act(vec![
            claim(TOOL_NAME, &s, &name.into()),
            claim(TOOL_KIND, &s, &kind),
        ]);
        id
    };
    let laser = tool(&mut built, "L-1", ToolKind::Laser);
    let (press, die) = (
        tool(&mut built, "P-1", ToolKind::Press),
        tool(&mut built, "D-6", ToolKind::Die),
    );
    let batch = built.site.new_item(ItemKind::Batch, Vec::new());
    let delivery = Subject::Item(ItemKind::Batch, batch);
    let arrival = Arrival {
        counted_left: 22,
        counted_right: 23,
        tried: true,
        remark: "one bent".into(),
        short: Some(1),
        wrong: Some(2),
    };
    built.site.act(vec![
        claim(BATCH_NAME, &delivery, &"terminals T-7".into()),
        claim(BATCH_KIND, &delivery, &BatchKind::Terminal),
        claim(BATCH_THREAD, &delivery, &"M6".into()),
        claim(BATCH_LEFT_MARK, &delivery, &"groove".into()),
        claim(BATCH_PROMISED, &delivery, &day("2026-10-20")),
        claim(BATCH_ARRIVAL, &delivery, &arrival),
    ]);
    let (posts, run) = (built.posts.clone(), built.run_a);
    let end = posts[0].to_string();
    let wire = Subject::Wire(run, 3);
    let length = LengthRead {
        entered: None,
        purpose: Purpose::Cut,
        posts: PostState::RailOn,
        faces: Faces::PostFaces,
        proud_nm: Some(3_000_000),
        instrument: Instrument::Laser,
        tool: Some(laser),
        spread_nm: Some(500_000),
        reason: None,
    };
    let bay = Subject::bay(posts[0], posts[1]);
    let clear = BayRead {
        entered: None,
        along: Along::Slope,
        instrument: Instrument::Laser,
        tool: Some(laser),
        reason: None,
    };
    let place = bay.to_string();
    let place = place.strip_prefix("bay:").unwrap();
    let tension = TensionRead {
        entered: None,
        method: Method::Gauge,
        stage: Stage::Pass,
        pass: Some(1),
        piece: 1,
        gauge: Some(built.gauge),
        raw: None,
        chart: None,
        repeat: Some(2),
        air_cdeg: None,
        wire_cdeg: None,
        sun: Some(Sun::Shade),
        reason: None,
        told: None,
    };
    let hung = TensionRead {
        method: Method::HungMass,
        stage: Stage::Final,
        ..tension.clone()
    };
    let opening = OpeningRead {
        kind: OpeningKind::GateLeaf,
        entered: None,
        remark: None,
        probe_nm: None,
        push_mn: None,
        moment: Some(Moment::BeforeTension),
    };
    let pressed = CrimpRead {
        piece: 1,
        press: Some(press),
        die: Some(die),
        batch: Some(batch),
        ..CrimpRead::default()
    };
    let job = built.site.job_subject();
    let sample = good_sample();
    let second = built
        .site
        .one(told(JOB_SAMPLE_CRIMP, &job, "", &sample, &pressed));
    let crimp = CrimpRead {
        sample: Some(second),
        ..pressed
    };
    let rejected = Crimp {
        result: CrimpResult::Reject,
        reason: Some("out of size".into()),
    };
    let on = OnPiece {
        piece: 1,
        lost_nm: None,
        to_mn: Some(1_500_000),
        entered: None,
        reason: None,
    };
    let down = Deflection {
        nm: 4_500_000,
        mass_mg: 1_998_000,
    };
    built.site.act(vec![
        told(WIRE_LENGTH, &wire, "", &mm(7296.0), &length),
        told(BAY_CLEAR, &bay, "", &mm(1403.0), &clear),
        told(WIRE_TENSION, &wire, place, &Force::newtons(777), &tension),
        told(WIRE_DEFLECTION, &wire, place, &down, &hung),
        told(
            RUN_OPENING,
            &Subject::run(run),
            "gate",
            &Opening {
                nm: 90_000_000,
                result: None,
            },
            &opening,
        ),
        told(WIRE_CRIMP, &wire, &end, &rejected, &crimp),
        told(WIRE_END_OUT, &wire, &end, &mm(1.0), &on),
        told(WIRE_NUT_TIGHT, &wire, &end, &false, &on),
        told(WIRE_TURNS, &wire, &end, &Turns { turns: 2, flats: 3 }, &on),
    ]);
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();

    let rows = table(&folder, "lengths");
    holds(
        one(&rows, &[("length_mm", "7296")]),
        &[
            ("wire", "3"),
            ("faces", "post faces"),
            ("proud_mm", "3"),
            ("tool", "L-1"),
            ("spread_mm", "0.5"),
        ],
    );
    holds(
        one(&rows, &[("length_mm", "1403")]),
        &[
            ("bay", "A1–A2"),
            ("along", "along the slope"),
            ("tool", "L-1"),
        ],
    );
    holds(
        one(&table(&folder, "tension-readings"), &[("tension_n", "777")]),
        &[("repeat", "2"), ("sun", "in the shade"), ("gauge", "G-02")],
    );
    holds(
        one(&table(&folder, "openings"), &[("size_mm", "90")]),
        &[("moment", "before tensioning")],
    );
    holds(
        one(&table(&folder, "parts"), &[("batch", "terminals T-7")]),
        &[
            ("thread", "M6"),
            ("left_mark", "groove"),
            ("promised", "2026-10-20"),
            ("hands_tried", "yes"),
            ("short", "1"),
            ("wrong", "2"),
        ],
    );
    holds(
        one(&table(&folder, "sample-crimps"), &[("sample", "2")]),
        &[
            ("press", "P-1"),
            ("die", "D-6"),
            ("batch", "terminals T-7"),
            ("pull_n", "3700"),
            ("held_s", "60"),
            ("left_second_mm", "6.32"),
            ("right_first_mm", ""),
            ("result", "good"),
        ],
    );
    holds(
        one(&table(&folder, "crimps"), &[("result", "reject")]),
        &[
            ("wire", "3"),
            ("end", "A1"),
            ("reason", "out of size"),
            ("sample", "2"),
            ("batch", "terminals T-7"),
        ],
    );
    let rows = table(&folder, "ends");
    for (what, cells) in [
        ("wire end out", [("length_mm", "1"), ("yes_or_no", "")]),
        ("lock nut tight", [("length_mm", ""), ("yes_or_no", "no")]),
        ("turned in", [("turns", "2"), ("flats", "3")]),
    ] {
        let row = one(&rows, &[("what", what), ("wire", "3")]);
        holds(row, &cells);
        holds(row, &[("end", "A1"), ("piece", "1")]);
    }
    assert_eq!(one(&rows, &[("what", "turned in")])["towards_n"], "1500");
    holds(
        one(&table(&folder, "hung-mass"), &[("wire", "3")]),
        &[("down_mm", "4.5"), ("mass_g", "1998"), ("stage", "final")],
    );
    holds(
        one(&table(&folder, "tools"), &[("tool", "G-02")]),
        &[
            ("error_percent", "4"),
            ("compared_on", "2026-08-18"),
            ("due", "2027-08-18"),
        ],
    );
}
