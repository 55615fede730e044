//! What stands open above the top wire, where nobody told the rail.

use records::model::fields;
use records::model::values::Rail;
use records::subject::Subject;
use records::work::{BeforeOrdering, Verdict, before_ordering};

use crate::scene::{MM, Scene, measured};

fn ordering(s: &mut Scene, run: records::ids::ItemId) -> BeforeOrdering {
    s.with_job(|job| before_ordering(job, run).unwrap())
}

#[test]
fn what_stands_open_above_the_top_wire_is_found_where_nobody_told_the_rail() {
    let mut s = measured();
    let a = s.a;
    let run = Subject::Item(records::subject::ItemKind::Run, a);
    let above = |answer: &BeforeOrdering| {
        let found = answer
            .findings
            .iter()
            .find(|f| f.place.starts_with("top wire to"));
        found.unwrap().clone()
    };
    assert!(above(&ordering(&mut s, a)).place.contains("rail"));
    let rail = s.tips("rail", &run, "");
    s.say_over(
        fields::RUN_RAIL,
        &run,
        "",
        None::<Rail>,
        None::<records::model::context::Said>,
        rail,
    );
    // Twelve wires at 76 end at 912, the top stands at 1020: a rail may fill what is open.
    let found = above(&ordering(&mut s, a));
    assert_eq!(found.place, "top wire to the top of the barrier, run A");
    assert_eq!(found.verdict, Verdict::MeetsFigure, "{}", found.sentence);
    assert!(
        found
            .sentence
            .starts_with("The rail's underside is not told; with the top 1020"),
        "{}",
        found.sentence
    );
    // In centimetres: the top wire stands at 160, and 860 mm are open.
    let over = s.tips("wireHeights", &run, "");
    let heights = records::model::values::WireHeights {
        nm: (0..12).map(|i| 76 * MM + i * 7_600_000).collect(),
    };
    s.say_over(
        fields::RUN_WIRE_HEIGHTS,
        &run,
        "",
        Some(heights),
        None::<records::model::context::Said>,
        over,
    );
    let found = above(&ordering(&mut s, a));
    assert_eq!(found.verdict, Verdict::Short, "{}", found.sentence);
    assert!(found.actual.unwrap().value > 850.0, "{}", found.sentence);
}
