//! What does not answer is told where the inspector looks: bays not read, checks offered too early,
//! openings that the probe passed, and the deflection table beside that of tensions.

use records::model::context::{GapRead, OpeningRead};
use records::model::fields::*;
use records::model::values::*;
use records::subject::Subject;

use crate::common::site;
use crate::common::told;
use crate::told::{flat, section};

#[test]
fn what_does_not_answer_is_told_where_the_inspector_looks() {
    let mut built = site::build("Deck and stair");
    let text = flat(&mut built);
    let tension = section(&text, "9 Tension", "10 Openings");
    // Read in the widest bay alone; the tensioners at both ends leave the middle bay the furthest.
    assert!(
        tension.contains("! Bay A3–A4, the widest or the one furthest from the tensioner, was not read in the newest round on wires 1–12."),
        "{tension}"
    );
    // 735 reads the 800 column of table a and the 900 column of table b (barrier-rules, read).
    let drawing = section(&text, "2 Drawing as built", "3 Posts, fixings");
    for told in [
        "table a (strain indicator)",
        "table b (2 kg at mid span)",
        "row 900 / 80, next 165 mm on",
    ] {
        assert!(drawing.contains(told), "{told} in {drawing}");
    }
    let open = section(&text, "Open", "Signed");
    assert!(!open.contains("the probe passed"), "{open}");
    // The first page says of the bays to read what section 9 does.
    let unread = "Run A: bay A3–A4, the widest or the one furthest from the tensioner, was not read in the newest round on wires 1–12";
    assert!(open.contains(unread), "{open}");
    // The range that the tool was told in words stands as it was told.
    let tools = section(&text, "5 Tools", "6 Sample");
    assert!(tools.contains("300–2000 N"), "{tools}");

    // A bay whose probe was too large, and an opening that the right one passed.
    let bay = Subject::bay(built.posts[0], built.posts[1]);
    let over = built.site.tips(&bay, "gaps", &built.run_a.to_string());
    let large = GapRead {
        probe_nm: 250_000_000,
        ..GapRead::default()
    };
    let stops = GapCheck {
        result: ProbeResult::Stops,
    };
    let mut draft = told(BAY_GAPS, &bay, &built.run_a.to_string(), &stops, &large);
    draft.over = over;
    built.site.one(draft);
    let read = OpeningRead {
        kind: OpeningKind::EndPostToWall,
        entered: None,
        remark: None,
        probe_nm: Some(125_000_000),
        push_mn: None,
        moment: None,
    };
    let passed = Opening {
        nm: 90_000_000,
        result: Some(ProbeResult::Passes),
    };
    let post = Subject::post(built.posts[6]);
    built
        .site
        .one(told(POST_OPENING, &post, "endPostToWall", &passed, &read));
    let text = flat(&mut built);
    let open = section(&text, "Open", "Signed");
    for told in [
        "Run A: no gap check that answers in bay A1–A2",
        "end post to wall at A6, as built: A sphere of 125 mm must not pass; 90 mm clear, 35 mm smaller as read, and yet the probe passed",
    ] {
        assert!(open.contains(told), "{told} in {open}");
    }
}

#[test]
fn a_bay_that_was_offered_the_probe_again_says_which_check_came_last() {
    let mut built = site::build("Deck and stair");
    let bay = Subject::bay(built.posts[0], built.posts[1]);
    let place = built.run_a.to_string();
    let with = GapRead {
        probe_nm: 125_000_000,
        ..GapRead::default()
    };
    for result in [ProbeResult::Passes, ProbeResult::Stops] {
        let check = GapCheck { result };
        built.site.one(told(BAY_GAPS, &bay, &place, &check, &with));
    }
    let text = flat(&mut built);
    let openings = section(&text, "10 Openings", "11 Heights");
    assert!(
        openings.contains("passes; offered again later"),
        "{openings}"
    );
    // The one that the site was built with and the one that passed; the last one stands.
    assert_eq!(
        openings.matches("offered again later").count(),
        2,
        "{openings}"
    );
    let open = section(&text, "Open", "Signed");
    assert!(!open.contains("the probe passed"), "{open}");
}
