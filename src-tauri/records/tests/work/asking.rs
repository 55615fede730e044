//! What the survey asks, one fact after the other, in the order in which a surveyor walks.
//! Which facts belong to a survey and in which order one walks is common practice.

use records::book::Key;
use records::ids::ItemId;
use records::model::context::{OpeningRead, Told};
use records::model::fields;
use records::model::values::*;
use records::record::{Draft, value_data};
use records::subject::{ItemKind, Subject};
use records::work::{ALL_ASKED, NextAct, NextWhat, next_act};
use serde_json::{Value, json};

use crate::gates::support;
use crate::scene::{MM, Scene, begun, mm, surveyed};

/// A job of one run, C, of which nobody told more than its rule set and where its posts stand.
fn bare() -> (Scene, ItemId) {
    let mut s = begun();
    let job = Subject::Job(s.device.job());
    let rules = records::library::copy_of(&records::library::rule_set("au-2022").unwrap());
    s.say(fields::JOB_RULE_SET, &job, "", rules, None);
    let run = s.create(ItemKind::Run, fields::RUN_CREATED);
    s.say(fields::RUN_NAME, &Subject::run(run), "", "C".into(), None);
    (s, run)
}

fn posts(s: &mut Scene, run: ItemId) {
    for (name, at, role) in [
        ("C1", 0.0, PostRole::Anchor),
        ("C2", 1500.0, PostRole::Intermediate),
        ("C3", 3000.0, PostRole::Anchor),
    ] {
        let id = s.create(ItemKind::Post, fields::POST_CREATED);
        s.posts.push((name.into(), id));
        let (subject, place) = (Subject::post(id), run.to_string());
        s.say(fields::POST_NAME, &subject, "", name.into(), None);
        s.say(fields::POST_POSITION, &subject, &place, mm(at), None);
        s.say(fields::POST_ROLE, &subject, &place, role, None);
    }
}

/// Says what a question asks for, by its own subject and field.
fn tell(s: &mut Scene, act: &NextAct, value: &Value) {
    let field = act.field.clone().unwrap();
    let place = match field.as_str() {
        "end" => act.run.unwrap().to_string(),
        "opening" => act.key.rsplit('/').next().unwrap().to_owned(),
        _ => String::new(),
    };
    let mut data = value_data(&place, value);
    if field == "opening" {
        data.insert("with".into(), json!({"kind": place}));
    }
    let kind = act.subject.to_string();
    let draft = Draft {
        kind: format!("{}.{field}", kind.split(':').next().unwrap()),
        subject: kind.clone(),
        data,
        ..Draft::default()
    };
    let (job, person) = (s.device.job(), s.device.person());
    s.device.record.act(job, person, vec![draft]).unwrap();
}

fn next(s: &mut Scene, skipped: &[String]) -> Option<NextAct> {
    s.with_job(|job| next_act(job, skipped).unwrap())
}

/// All questions as one skips on, each as "what it is about: field".
fn asked(s: &mut Scene) -> Vec<String> {
    let (mut skipped, mut found) = (Vec::new(), Vec::new());
    while let Some(act) = next(s, &skipped).filter(|act| act.what == NextWhat::TellFact) {
        found.push(said(s, &act));
        skipped.push(act.key);
    }
    found
}

fn said(s: &mut Scene, act: &NextAct) -> String {
    let name = s.with_job(|job| job.name_of(&act.subject));
    let field = act.field.as_deref().unwrap();
    match act.key.split_once("/opening/") {
        Some((_, kind)) => format!("{name}: {field} {kind}"),
        None => format!("{name}: {field}"),
    }
}

/// What somebody tells of a field in the walk below.
fn answer(about: &str) -> Value {
    let field = about.split(": ").nth(1).unwrap();
    match field.split(' ').next().unwrap() {
        "pool" | "chlorine" | "followsFloor" | "railFollowsFloor" => json!(false),
        "children" | "washedByRain" => json!(true),
        "fall" => json!({"nm": 1602 * MM}),
        "saltDistance" => json!({"nm": 900_000 * MM}),
        "comingFloor" => json!({"nm": 12 * MM}),
        "surface" => json!("balcony"),
        "height" => json!({"nm": 1020 * MM}),
        "rail" => json!({"undersideNm": 985 * MM, "thicknessNm": 35 * MM}),
        "support" => json!({"kind": "post"}),
        "section" => json!({"alongNm": 115 * MM, "acrossNm": 115 * MM}),
        "base" => json!({"kind": "face fixed", "seen": true}),
        "railJoint" => json!("overThePost"),
        "material" => json!({"name": "hardwood"}),
        "condition" => json!("sound"),
        "floor" => json!({"nm": -9 * MM}),
        "end" => json!({"kind": "insert", "hand": "LH", "tensioner": true}),
        "lining" => json!("bare"),
        "opening" => json!({"nm": 62 * MM}),
        _ => json!("told"),
    }
}

const SITE: [&str; 12] = [
    "job: pool",
    "job: children",
    "job: fall",
    "job: below",
    "job: climbables",
    "job: saltDistance",
    "job: chlorine",
    "job: washedByRain",
    "job: steel",
    "job: dissimilarMetals",
    "job: drillingHazards",
    "job: access",
];

#[test]
fn each_fact_is_asked_once_in_the_order_of_the_walk() {
    let (mut s, run) = bare();
    let first = next(&mut s, &[]).unwrap();
    assert_eq!(
        first.what,
        NextWhat::FinishLayout,
        "its posts are drawn first"
    );
    posts(&mut s, run);
    let mut told = Vec::new();
    let mut left = Vec::new();
    while let Some(act) = next(&mut s, &[]).filter(|act| act.what == NextWhat::TellFact) {
        let about = said(&mut s, &act);
        assert!(!told.contains(&about), "{about} is asked again");
        assert!(act.sentence.ends_with('?'), "{}", act.sentence);
        // The whole question fits the button (`headOf` on the screens).
        assert!(act.sentence.chars().count() <= 36, "{}", act.sentence);
        tell(&mut s, &act, &answer(&about));
        left.push(act.left);
        told.push(about);
    }
    let end = [
        "support",
        "section",
        "base",
        "railJoint",
        "material",
        "condition",
    ];
    let of = |post: &str, fields: &[&str]| -> Vec<String> {
        let of = |field: &&str| format!("post {post}: {field}");
        fields.iter().map(of).collect()
    };
    let mut expected: Vec<String> = SITE.map(str::to_owned).to_vec();
    // A balcony may be tiled: of the site, so that comes next.
    expected.extend(["run C: surface", "job: comingFloor"].map(str::to_owned));
    expected.extend(["run C: height", "run C: rail"].map(str::to_owned));
    expected.extend(of("C1", &end));
    expected.extend(of("C1", &["end"]));
    expected.extend(of("C2", &["support", "section", "floor"]));
    expected.extend(of("C3", &end));
    expected.extend(of("C3", &["floor", "end"]));
    for field in ["followsFloor", "railFollowsFloor", "lining"] {
        expected.push(format!("run C: {field}"));
    }
    expected.extend(of("C1", &["opening endPostToWall"]));
    expected.extend(of("C3", &["opening endPostToWall"]));
    // The first post before the floor's edge.
    expected.extend(of("C1", &["opening postToDeckEdge"]));
    assert_eq!(told, expected);
    assert_eq!(left.last(), Some(&1));
    // Then what is laid out by all that.
    let next = next(&mut s, &[]).unwrap();
    assert_eq!(
        (next.what, next.field.as_deref()),
        (NextWhat::FinishLayout, Some("strand"))
    );
}

#[test]
fn the_hard_question_comes_before_anything_is_drawn() {
    let mut s = begun();
    let first = next(&mut s, &[]).unwrap();
    assert_eq!(first.what, NextWhat::ChooseRuleSet);
    let job = Subject::Job(s.device.job());
    let rules = records::library::copy_of(&records::library::rule_set("au-2022").unwrap());
    s.say(fields::JOB_RULE_SET, &job, "", rules, None);
    let pool = next(&mut s, &[]).unwrap();
    assert_eq!(
        (pool.what, pool.field.as_deref()),
        (NextWhat::TellFact, Some("pool"))
    );
    assert_eq!(next(&mut s, &[pool.key]).unwrap().what, NextWhat::AddRun);
    s.say(fields::JOB_POOL, &job, "", true, None);
    assert_eq!(next(&mut s, &[]).unwrap().what, NextWhat::AddRun);
}

#[test]
fn what_is_skipped_is_passed_over_and_all_may_be_at_once() {
    let (mut s, run) = bare();
    posts(&mut s, run);
    let all = asked(&mut s);
    let first = next(&mut s, &[]).unwrap();
    assert_eq!(first.left as usize, all.len());
    let second = next(&mut s, std::slice::from_ref(&first.key)).unwrap();
    assert_eq!(said(&mut s, &second), all[1]);
    assert_eq!(second.left, first.left - 1, "what was skipped is not left");
    // One touch passes over all of it, what follows from later answers with it.
    let past = [ALL_ASKED.to_owned()];
    let on = next(&mut s, &past).unwrap();
    assert_eq!(
        (on.what, on.field.as_deref()),
        (NextWhat::FinishLayout, Some("strand"))
    );
    s.say(
        fields::RUN_SURFACE,
        &Subject::run(run),
        "",
        Surface::Balcony,
        None,
    );
    assert_eq!(next(&mut s, &past).unwrap().what, NextWhat::FinishLayout);
}

#[test]
fn the_worked_job_is_asked_what_it_does_not_tell() {
    let mut s = surveyed();
    let told = ["pool", "fall"].map(|field| format!("job: {field}"));
    let mut expected: Vec<String> = SITE.iter().map(|one| (*one).to_owned()).collect();
    expected.retain(|one| !told.contains(one));
    let of = |post: &str, fields: &[&str]| -> Vec<String> {
        let of = |field: &&str| format!("post {post}: {field}");
        fields.iter().map(of).collect()
    };
    let end = ["support", "railJoint", "condition"];
    expected.extend(of("A1", &end));
    for post in ["A2", "A3", "A4", "A5"] {
        expected.extend(of(post, &["support"]));
    }
    expected.extend(of("A6", &end));
    expected.push("run A: railFollowsFloor".to_owned());
    // A6 carries both runs and is asked about once; beside it run B goes on.
    expected.extend(of("B2", &["support"]));
    expected.extend(of("B3", &end));
    expected.extend(of("B3", &["opening endPostToWall"]));
    assert_eq!(asked(&mut s), expected);
}

#[test]
fn nothing_is_asked_by_which_nothing_goes() {
    let mut s = surveyed();
    let wall = Subject::post(s.post("B3"));
    let support = support(SupportKind::WallEnd);
    s.say(fields::POST_SUPPORT, &wall, "", support, None);
    s.say(
        fields::RUN_RAIL_FOLLOWS_FLOOR,
        &Subject::run(s.a),
        "",
        true,
        None,
    );
    let all = asked(&mut s);
    // A wall has neither joint nor condition, and no gap beside it.
    assert!(!all.iter().any(|one| one.starts_with("post B3")), "{all:?}");
    // Wires and rail follow the floor: its levels play no part, told or not.
    let tips = s.tips("floor", &Subject::post(s.post("A3")), "");
    let a3 = Subject::post(s.post("A3"));
    s.say_over(fields::POST_FLOOR, &a3, "", None, None, tips);
    assert!(!asked(&mut s).contains(&"post A3: floor".to_owned()));
    let run = Subject::run(s.a);
    s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", false, None);
    assert!(asked(&mut s).contains(&"post A3: floor".to_owned()));
    // A run with a fall of its own asks for none of the job's; another one does.
    let job = Subject::Job(s.device.job());
    let tips = s.tips("fall", &job, "");
    s.say_over(fields::JOB_FALL, &job, "", None, None, tips);
    assert!(asked(&mut s).contains(&"job: fall".to_owned()));
    for run in [s.a, s.b] {
        s.say(fields::RUN_FALL, &Subject::run(run), "", mm(1200.0), None);
    }
    assert!(!asked(&mut s).contains(&"job: fall".to_owned()));
}

#[test]
fn an_opening_that_was_read_anywhere_is_not_asked() {
    let mut s = surveyed();
    let b3 = "post B3: opening endPostToWall".to_owned();
    assert!(asked(&mut s).contains(&b3));
    let read = OpeningRead {
        kind: OpeningKind::EndPostToWall,
        entered: None,
        remark: Some("at the foot".into()),
        probe_nm: None,
        push_mn: None,
        moment: None,
    };
    let gap = Opening {
        nm: 40 * MM,
        result: None,
    };
    let run = Subject::run(s.b);
    s.say(fields::RUN_OPENING, &run, "endPostToWall", gap, Some(read));
    assert!(!asked(&mut s).contains(&b3));
}

#[test]
fn what_people_differ_on_is_settled_and_not_asked() {
    let mut s = surveyed();
    let job = Subject::Job(s.device.job());
    for below in ["paving", "water"] {
        s.say_over(
            fields::JOB_BELOW,
            &job,
            "",
            Some(below.to_owned()),
            None,
            Vec::new(),
        );
    }
    let key = Key {
        subject: job.to_string(),
        field: "below".into(),
        place: String::new(),
    };
    let lines = s.with_job(|job| job.reader.view.key(&key).unwrap().lines[0].tips.len());
    assert_eq!(lines, 2, "both words stand");
    assert_eq!(next(&mut s, &[]).unwrap().what, NextWhat::Settle);
    let all = s.offered();
    let asked =
        |act: &&NextAct| act.what == NextWhat::TellFact && act.field.as_deref() == Some("below");
    assert!(!all.iter().any(|act| asked(&act)));
}

#[test]
fn a_run_is_past_its_survey_once_a_wire_is_released_or_cut() {
    let mut s = surveyed();
    let (a, b) = (s.a, s.b);
    let issue = CutIssue {
        cut_nm: 7235 * MM,
        shortest_nm: 7230 * MM,
        longest_nm: 7240 * MM,
        deduction: None,
    };
    let wire = Subject::Wire(a, 6);
    s.say(
        fields::WIRE_CUT_ISSUED,
        &wire,
        "1",
        issue,
        Some(Told::default()),
    );
    let all = asked(&mut s);
    assert!(
        all.contains(&"job: below".to_owned()),
        "run B still goes by the site"
    );
    assert!(
        all.contains(&"post A6: condition".to_owned()),
        "so does the post that it shares"
    );
    for gone in [
        "post A1: condition",
        "post A2: support",
        "run A: railFollowsFloor",
    ] {
        assert!(!all.contains(&gone.to_owned()), "{gone}");
    }
    s.tick(b, 4, Act::Cut, 1);
    assert_eq!(asked(&mut s), Vec::<String>::new());
    let offered = s.offered();
    assert!(offered.iter().all(|act| act.what != NextWhat::TellFact));
}
