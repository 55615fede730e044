//! What leads to the layout of a run's wires.

use records::model::context::Said;
use records::model::fields;
use records::subject::Subject;
use records::work::NextWhat;

use crate::scene::{Scene, measured};

#[test]
fn a_run_without_wires_leads_to_their_layout_and_first_to_the_strand_that_it_is_read_by() {
    let mut s = measured();
    let a = s.a;
    let run = Subject::run(a);
    let tips = s.tips("wireCount", &run, "");
    s.say_over(
        fields::RUN_WIRE_COUNT,
        &run,
        "",
        None::<i64>,
        None::<Said>,
        tips,
    );
    let layout = |s: &mut Scene| {
        let all = s.offered().into_iter();
        let mut of_a = all.filter(|one| one.run == Some(a) && one.what == NextWhat::FinishLayout);
        let one = of_a.next().unwrap();
        (one.field.unwrap(), one.sentence)
    };
    let lays = (
        "wireCount".to_owned(),
        "Run A: lay out its wires".to_owned(),
    );
    assert_eq!(layout(&mut s), lays);
    let tips = s.tips("strand", &run, "");
    s.say_over(fields::RUN_STRAND, &run, "", None, None::<Said>, tips);
    let (field, sentence) = layout(&mut s);
    assert_eq!(field, "strand");
    assert!(sentence.contains("then lay out its wires"), "{sentence}");
}
