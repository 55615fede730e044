//! Boundaries and single figures of the rule sets; each published figure beside its clause.

use mechanics::Millimetres;
use mechanics::rules::{
    HeightRule, OpeningPlace, RuleSet, Status, Surface, Threshold, WarningAbout, fall_reaches,
    least_height, opening, source_note,
};

use crate::{all_sets, au, irc};

const MM_PER_INCH: f64 = 25.4;

fn named(id: &str) -> RuleSet {
    let of = |set: &RuleSet| set.id == id;
    all_sets().into_iter().find(of).unwrap()
}

#[test]
fn australia_fall_1000_asks_4000_not_yet_4001_climbs() {
    // ABCB Housing Provisions Standard 2022, 11.3.3(1) and 11.3.4(8), read.
    let set = au();
    let asks = |fall| fall_reaches(&set.barrier_needed, Millimetres(fall));
    assert!(asks(1000.0));
    assert!(!asks(999.0));
    assert!(!asks(999.999_999));
    let climbing = set.climbing.as_ref().unwrap();
    assert!(!fall_reaches(&climbing.fall, Millimetres(4000.0)));
    assert!(fall_reaches(&climbing.fall, Millimetres(4_000.000_001)));
    assert!(fall_reaches(&climbing.fall, Millimetres(4001.0)));
    assert_eq!(climbing.from_mm, Millimetres(150.0));
    assert_eq!(climbing.to_mm, Millimetres(760.0));
}

#[test]
fn australia_single_figures() {
    // ABCB Housing Provisions Standard 2022, 11.3.4(2), (4), (5), read.
    let set = au();
    let height = |surface| least_height(&set, surface).unwrap().least_mm.value();
    assert_eq!(height(Surface::Level), 1000.0);
    assert_eq!(height(Surface::Stair), 865.0);
    assert_eq!(height(Surface::Ramp), 865.0);
    assert_eq!(height(Surface::ShortLanding), 865.0);
    for place in [
        OpeningPlace::General,
        OpeningPlace::Stair,
        OpeningPlace::StairTriangle,
    ] {
        assert_eq!(opening(&set, place).unwrap().sphere_mm.value(), 125.0);
    }
    assert_eq!(set.face_gap.as_ref().unwrap().most_mm.value(), 40.0);
    let wires = set.wires.as_ref().unwrap();
    assert_eq!(wires.read_diameter_as[0].wire_mm.value(), 3.2);
    assert_eq!(wires.read_diameter_as[0].rows_mm.value(), 3.0);
}

#[test]
fn irc_figures_in_inches() {
    // International Residential Code 2018, R312: more than 30 in, within 36 in; 36 in and on
    // stairs 34 in high; spheres of 4 in, 4 3/8 in on stairs, 6 in in the triangle. R301.5:
    // 200 lb at the top, infill 50 lb on 1 sq ft. Read.
    let set = irc();
    let needed = &set.barrier_needed;
    assert_eq!(needed.fall_mm.value(), 30.0 * MM_PER_INCH);
    assert_eq!(needed.threshold, Threshold::MoreThan);
    assert_eq!(needed.within_mm.unwrap().value(), 914.4);
    assert!(!fall_reaches(needed, Millimetres(762.0)));
    assert!(fall_reaches(needed, Millimetres(762.1)));
    let height = |surface| least_height(&set, surface).unwrap().least_mm.value();
    assert!((height(Surface::Level) - 36.0 * MM_PER_INCH).abs() < 1e-9);
    assert!((height(Surface::Stair) - 34.0 * MM_PER_INCH).abs() < 1e-9);
    let sphere = |place| opening(&set, place).unwrap().sphere_mm.value();
    assert!((sphere(OpeningPlace::General) - 4.0 * MM_PER_INCH).abs() < 1e-9);
    assert!((sphere(OpeningPlace::Stair) - 4.375 * MM_PER_INCH).abs() < 1e-9);
    assert!((sphere(OpeningPlace::StairTriangle) - 6.0 * MM_PER_INCH).abs() < 1e-9);
    assert!(set.face_gap.is_none() && set.climbing.is_none() && set.wires.is_none());
    // 1 lbf = 4.448 221 615 260 5 N exactly; the code's own metric figures have four digits.
    assert_eq!(set.loads[0].newtons, Some(889.6));
    assert!((200.0 * 4.448_221_615_260_5_f64 - 889.6).abs() < 0.05);
    assert_eq!(set.loads[1].newtons, Some(222.4));
    assert!((50.0 * 4.448_221_615_260_5_f64 - 222.4).abs() < 0.05);
    assert_eq!(set.loads[1].over_square_metres, Some(0.0929));
}

#[test]
fn new_zealand_figures_that_were_read() {
    // New Zealand Building Code F4.3.1 (a fall of 1 m or more) and F4/AS1 1.2 (housing: 100 mm
    // sphere, 150 mm at the stair triangle), read. Its comment on horizontal members, read.
    let set = named("nz-f4");
    assert!(fall_reaches(&set.barrier_needed, Millimetres(1000.0)));
    assert!(!fall_reaches(&set.barrier_needed, Millimetres(999.0)));
    assert_eq!(set.barrier_needed.cite.status, Status::Read);
    for (place, sphere) in [
        (OpeningPlace::General, 100.0),
        (OpeningPlace::Stair, 100.0),
        (OpeningPlace::StairTriangle, 150.0),
    ] {
        let rule = opening(&set, place).unwrap();
        assert_eq!(rule.sphere_mm.value(), sphere);
        assert_eq!(rule.cite.status, Status::Read);
    }
    assert_eq!(set.warnings[0].cite.status, Status::Read);
    let quoted = |rule: &HeightRule| rule.cite.status == Status::SecondHand;
    assert!(set.least_heights.iter().all(quoted));
}

#[test]
fn united_kingdom_figures_that_were_read() {
    // Approved Document K 2013, diagram 3.1 (external balconies 1100 mm, 900 mm inside) and 3.3
    // (100 mm sphere; avoid horizontal rails where children are likely), read. The fall and the
    // loads are from memory.
    let set = named("uk-adk-2013");
    let height = least_height(&set, Surface::Level).unwrap();
    assert_eq!(height.least_mm.value(), 1100.0);
    assert_eq!(height.cite.status, Status::Read);
    assert!(height.note.as_deref().unwrap().contains("900 mm inside"));
    let rule = opening(&set, OpeningPlace::General).unwrap();
    assert_eq!(
        (rule.sphere_mm.value(), rule.cite.status),
        (100.0, Status::Read)
    );
    assert_eq!(set.warnings[0].about, WarningAbout::HorizontalMembers);
    assert_eq!(set.barrier_needed.cite.status, Status::Memory);
    assert!(
        set.loads
            .iter()
            .all(|load| load.cite.status == Status::Memory)
    );
}

#[test]
fn nothing_recalled_or_quoted_is_told_as_read() {
    for (id, allowed) in [
        ("us-ibc", vec!["memory", "commonPractice"]),
        (
            "ca-nbc-9-8-8",
            vec!["secondHand", "memory", "commonPractice"],
        ),
    ] {
        let text = serde_json::to_string(&named(id)).unwrap();
        let statuses: Vec<&str> = text
            .split("\"status\":\"")
            .skip(1)
            .map(|rest| rest.split('"').next().unwrap())
            .collect();
        assert!(statuses.len() > 5);
        for status in statuses {
            assert!(allowed.contains(&status), "{id}: {status}");
        }
    }
    for set in all_sets() {
        if let Some(in_force) = set.in_force {
            // No day of coming into force was read.
            assert_eq!(in_force.cite.status, Status::Memory, "{}", set.id);
        }
    }
}

#[test]
fn every_set_names_document_clause_status_and_caution() {
    let sets = all_sets();
    let ids: Vec<&str> = sets.iter().map(|set| set.id.as_str()).collect();
    assert_eq!(
        ids,
        [
            "au-2022",
            "ca-nbc-9-8-8",
            "nz-f4",
            "uk-adk-2013",
            "us-ibc",
            "us-irc-2018"
        ]
    );
    for set in sets {
        assert_eq!(set.format, 1);
        assert_eq!(set.caution, "Check with the authority where you build.");
        assert!(!set.attribution.is_empty() && !set.confirm.is_empty());
        let country = set.country.as_deref().unwrap();
        assert!(country.len() == 2 && country.bytes().all(|b| b.is_ascii_uppercase()));
        let note = source_note(&set, &set.barrier_needed.cite);
        assert_eq!(
            (&note.document, &note.edition),
            (&set.document, &set.edition)
        );
        assert!(opening(&set, OpeningPlace::General).is_some());
        assert!(least_height(&set, Surface::Level).is_some());
        for rule in &set.notes {
            assert!(!rule.cite.clause.is_empty());
        }
    }
    for set in [au(), irc()] {
        assert_eq!(set.barrier_needed.cite.status, Status::Read);
    }
    assert!(
        au().attribution
            .contains("National Construction Code 2022, Australian Building Codes Board")
    );
}

#[test]
fn sets_are_the_same_after_writing_and_reading_and_stay_small() {
    for set in all_sets() {
        let compact = serde_json::to_string(&set).unwrap();
        assert!(compact.len() < 40 * 1024, "{} bytes", compact.len());
        let back: RuleSet = serde_json::from_str(&compact).unwrap();
        assert_eq!(back, set);
    }
}

#[test]
fn a_set_with_an_unknown_rule_or_a_bad_cell_is_refused() {
    let text = include_str!("../../../records/data/rules/us-irc-2018.json");
    let more = text.replacen("\"format\"", "\"newRule\": 1, \"format\"", 1);
    assert!(serde_json::from_str::<RuleSet>(&more).is_err());
    let text = include_str!("../../../records/data/rules/au-2022.json");
    for bad in ["\"Y\"", "-1", "0", "null"] {
        let broken = text.replacen("\"X\"", bad, 1);
        assert_ne!(broken, text);
        assert!(serde_json::from_str::<RuleSet>(&broken).is_err(), "{bad}");
    }
}
