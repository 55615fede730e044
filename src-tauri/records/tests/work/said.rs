//! What a rule set says in words: no sentence of the chosen set goes untold.
//! Clauses and sentences: barrier-rules, read.

use records::library;
use records::model::fields;
use records::model::values::{Angle, PostRole, Surface};
use records::subject::Subject;
use records::work::{
    BeforeOrdering, Finding, SourceStatus, Topic, Verdict, before_ordering, rules,
};

use crate::scene::{Scene, measured, surveyed};

fn ordering(s: &mut Scene, run: records::ids::ItemId) -> BeforeOrdering {
    s.with_job(|job| before_ordering(job, run).unwrap())
}

fn on(answer: &BeforeOrdering, topic: Topic) -> Option<Finding> {
    answer.findings.iter().find(|f| f.topic == topic).cloned()
}

fn choose(s: &mut Scene, name: &str) {
    let copy = library::copy_of(&library::rule_set(name).unwrap());
    let job = Subject::Job(s.device.job());
    s.say(fields::JOB_RULE_SET, &job, "", copy, None);
}

#[test]
fn the_handrail_is_asked_of_a_stair_and_the_wire_end_of_every_run() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let (deck, stair) = (ordering(&mut s, a), ordering(&mut s, b));
    assert_eq!(on(&deck, Topic::Handrail), None);
    let handrail = on(&stair, Topic::Handrail).unwrap();
    assert_eq!(handrail.verdict, Verdict::Asked);
    assert_eq!(handrail.source.clause, "11.3.5");
    assert_eq!(handrail.source.status, SourceStatus::Read);
    assert_eq!(
        handrail.confirm,
        "building certifier or authority of the permit"
    );
    assert!(
        handrail
            .sentence
            .contains("handrail on one side at 865 mm or more"),
        "{}",
        handrail.sentence
    );
    for answer in [&deck, &stair] {
        let end = on(answer, Topic::WireEnd).unwrap();
        // Half of 3.2 mm.
        assert_eq!(end.required.unwrap().value, 1.6);
        assert_eq!((end.verdict, end.actual), (Verdict::Asked, None));
        assert_eq!(end.source.clause, "11.3.6, explanatory note");
    }
    // A raked run of which nobody tells what it stands on is taken as a stair, here too.
    let run = Subject::run(b);
    s.say(fields::RUN_SURFACE, &run, "", Surface::Ramp, None);
    let ramp = ordering(&mut s, b);
    assert_eq!(on(&ramp, Topic::Handrail), None);
}

#[test]
fn where_a_run_turns_the_place_of_the_tensioner_is_asked_for() {
    let mut s = measured();
    let a = s.a;
    let straight = ordering(&mut s, a);
    assert_eq!(on(&straight, Topic::Corner), None);
    let (post, place) = (Subject::post(s.post("A3")), a.to_string());
    s.say(fields::POST_ROLE, &post, &place, PostRole::Corner, None);
    let turned = ordering(&mut s, a);
    let corner = on(&turned, Topic::Corner).unwrap();
    assert_eq!(corner.verdict, Verdict::Asked);
    for words in [
        "the tensioning device belongs at the end of its longest span",
        "the 2 kg hang at the middle of that span",
        "Run A turns at A3; its longest bay is A2–A3, 1410",
    ] {
        assert!(
            corner.sentence.contains(words),
            "{words} in {}",
            corner.sentence
        );
    }
    // An angle of 180° is straight on.
    s.say(
        fields::POST_ANGLE,
        &post,
        &place,
        Angle { cdeg: 18_000 },
        None,
    );
    let straight = ordering(&mut s, a);
    assert_eq!(on(&straight, Topic::Corner), None);
}

#[test]
fn every_other_sentence_stands_beside_the_findings_with_its_source() {
    let mut s = measured();
    let a = s.a;
    for name in [
        "us-ibc",
        "us-irc-2018",
        "uk-adk-2013",
        "nz-f4",
        "ca-nbc-9-8-8",
    ] {
        choose(&mut s, name);
        let set = s.with_job(|job| rules(job).unwrap().unwrap());
        let answer = ordering(&mut s, a);
        let told: Vec<&str> = answer.rule_words.iter().map(|w| w.text.as_str()).collect();
        let said: Vec<&str> = set.notes.iter().map(|n| n.text.as_str()).collect();
        assert_eq!(told, said, "{name}");
    }
    choose(&mut s, "us-ibc");
    let answer = ordering(&mut s, a);
    let first = &answer.rule_words[0];
    assert!(
        first
            .text
            .starts_with("All figures of this set are recalled")
    );
    assert_eq!(first.source.status, SourceStatus::Memory);
    // Australia: five sentences ask nothing of one run, three do.
    choose(&mut s, "au-2022");
    let answer = ordering(&mut s, a);
    assert_eq!(answer.rule_words.len(), 5);
    assert!(
        answer
            .rule_words
            .iter()
            .any(|w| w.text.starts_with("X in a table")),
        "{:?}",
        answer.rule_words
    );
    // While nothing can be held against the run, all of them stand there.
    let mut s = surveyed();
    let a = s.a;
    let run = Subject::run(a);
    let over = s.tips(fields::RUN_WIRE_HEIGHTS.name, &run, "");
    let none = None::<records::model::values::WireHeights>;
    s.say_over(
        fields::RUN_WIRE_HEIGHTS,
        &run,
        "",
        none,
        None::<records::model::context::Said>,
        over,
    );
    let answer = ordering(&mut s, a);
    assert_eq!((answer.findings.len(), answer.rule_words.len()), (0, 8));
}
