//! What a pull asks of the studs' threads while no limit of them is stated. Stress area by ISO 898-1, worked
//! out by hand beside each figure.

use records::model::fields;
use records::model::values::Force;
use records::subject::{ItemKind, Subject};
use records::work::tension_plan;

use crate::near;
use crate::scene::{Scene, measured};

#[test]
fn what_the_pull_asks_of_a_thread_is_told_while_nobody_states_what_it_may_carry() {
    let mut s = measured();
    let a = s.a;
    let plan = |s: &mut Scene| s.with_job(|job| tension_plan(job, a).unwrap());
    let told = plan(&mut s);
    assert!(told.not_known.contains(&"thread".to_owned()));
    let [thread] = told.threads_asked.as_slice() else {
        panic!("{:?}", told.threads_asked)
    };
    assert_eq!(
        (thread.thread.as_str(), thread.tension_n),
        ("M6 × 1, LH and RH", 1500.0)
    );
    // ISO 898-1: π/4 · ((5.350481 + 4.773131) / 2)² = 20.123; 1500 ÷ 20.123 = 74.54.
    near(thread.area_mm2.unwrap(), 20.123, 0.001);
    near(thread.stress_mpa.unwrap(), 74.54, 0.005);
    for words in [
        "No limit of the thread is stated",
        "1500 N (set tension of the run) asks 74.5 N/mm² of M6 × 1, LH and RH",
        "ask the maker",
    ] {
        assert!(
            thread.sentence.contains(words),
            "{words}: {}",
            thread.sentence
        );
    }
    // It bounds nothing: the upper tension is what it was without it.
    assert!(told.parts.iter().all(|part| part.name != "thread"));
    // A finer pitch is told with the set: π/4 · ((5.512861 + 5.079848) / 2)² = 22.031.
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    let mut terminals = s.with_job(|job| job.fitting_sets[0].terminals.clone().unwrap());
    terminals.left.pitch_nm = Some(750_000);
    s.say(fields::FITTING_TERMINALS, &set, "", terminals, None);
    let two = plan(&mut s).threads_asked;
    let names: Vec<&str> = two.iter().map(|t| t.thread.as_str()).collect();
    assert_eq!(names, ["M6 × 0.75, LH", "M6 × 1, RH"]);
    near(two[0].area_mm2.unwrap(), 22.031, 0.001);
    // Stated, it is one of the limits, and nothing is told beside it.
    let limit = Force::newtons(4_000);
    s.say(fields::FITTING_THREAD_LIMIT, &set, "", limit, None);
    let told = plan(&mut s);
    assert_eq!(told.threads_asked, Vec::new());
    assert!(told.parts.iter().any(|part| part.name == "thread"));
}
