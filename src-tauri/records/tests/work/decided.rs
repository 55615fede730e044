//! What was decided against what the table asks and what is known to limit: neither is moved by it. One file
//! past 400 lines, since all of it is of one decision.

use records::ids::ItemId;
use records::library;
use records::model::context::{Said, Told};
use records::model::fields;
use records::model::values::{
    Efficiency, End, EndKind, Force, Hand, Method, PostRole, Stage, Tensions,
};
use records::subject::{ItemKind, Subject};
use records::work::{
    NextWhat, Origin, ProblemCode, TensionPlan, before_ordering, recheck, tension_basis,
    tension_plan, tensioning, tensions, to_cut,
};

use crate::scene::{Scene, measured, mm, tension_read};

fn decide(s: &mut Scene, required: i64, set: i64, upper: i64) {
    let run = Subject::run(s.a);
    let tensions = Tensions {
        required_mn: required * 1000,
        set_mn: set * 1000,
        upper_mn: upper * 1000,
        required_origin: "typed by who decided: letter EL-017; the table asks 1330 N".into(),
        upper_origin: "strand".into(),
        passes_mn: vec![600_000, 1_100_000, set * 1000],
    };
    let told = Some(Told::default());
    s.say(fields::RUN_TENSIONS, &run, "", tensions, told);
}

fn plan(s: &mut Scene) -> TensionPlan {
    let a = s.a;
    s.with_job(|job| tension_plan(job, a).unwrap())
}

fn fitting(s: &Scene) -> Subject {
    Subject::Item(ItemKind::FittingSet, s.fitting)
}

fn insert_pull(s: &mut Scene, newtons: i64) {
    let set = fitting(s);
    let pull = Force::newtons(newtons);
    s.say(fields::FITTING_INSERT_PULL, &set, "", pull, None);
}

fn without_efficiency(s: &mut Scene) {
    let set = fitting(s);
    let over = s.tips(fields::FITTING_EFFICIENCY.name, &set, "");
    let none = None::<Efficiency>;
    s.say_over(
        fields::FITTING_EFFICIENCY,
        &set,
        "",
        none,
        None::<Said>,
        over,
    );
}

/// Terminals that hold 65 % of the strand, with a factor of 2 in hand: 8500 N make 2762.5 N.
fn factor_of_two(s: &mut Scene) {
    let set = fitting(s);
    let over = s.tips(fields::FITTING_EFFICIENCY.name, &set, "");
    let told = Some(Efficiency {
        permille: 650,
        factor_percent: 200,
    });
    s.say_over(
        fields::FITTING_EFFICIENCY,
        &set,
        "",
        told,
        None::<Said>,
        over,
    );
}

#[test]
fn the_room_ends_at_the_least_known_limit_whatever_was_decided() {
    let mut s = measured();
    let a = s.a;
    // 8500 N × 0.65 ÷ 3, the strand's and its set's own figures.
    let known = plan(&mut s).upper_exact_n.unwrap();
    decide(&mut s, 1330, 1500, 3000);
    let found = plan(&mut s);
    let room = found.room.unwrap();
    assert!(room.clear_to_n <= known / 1.04, "{room:?}");
    assert_eq!(found.suggested_n, None);
    assert!(
        found.suggestion.contains("above the least limit"),
        "{}",
        found.suggestion
    );
    let never = |s: &mut Scene| s.with_job(|job| tensions(job, a).unwrap().never_above_n);
    // Told in whole newtons, and held as it is told.
    assert_eq!(never(&mut s), Some(known.floor()));
    // One pass is held against the same limit.
    let one = s.with_job(|job| tensioning(job, a).unwrap().one_pass.unwrap());
    assert!(one.largest_n > known && one.largest_n < 3000.0, "{one:?}");
    assert!(!one.possible);

    // What the posts and new strand lose of it leaves no room below 1800 N, and that is said.
    decide(&mut s, 1330, 1500, 1800);
    let found = plan(&mut s);
    assert!(found.room.unwrap().enough);
    assert_eq!(found.suggested_n, None);
    assert!(found.suggestion.contains("no room"), "{}", found.suggestion);
    // A limit that is told after the decision: 900 N ÷ 2.
    factor_of_two(&mut s);
    decide(&mut s, 1330, 1500, 2600);
    assert!(plan(&mut s).suggested_n.is_some());
    insert_pull(&mut s, 900);
    let found = plan(&mut s);
    assert_eq!(found.upper_exact_n, Some(450.0));
    assert_eq!(found.suggested_n, None);
    assert!(!found.room.unwrap().enough && found.set_above_upper);
    assert_eq!(never(&mut s), Some(450.0));
}

#[test]
fn what_is_required_is_the_greater_of_decision_and_table_for_all_who_ask() {
    let mut s = measured();
    let a = s.a;
    let asked = |s: &mut Scene| {
        let read = s.with_job(|job| tensions(job, a).unwrap());
        let again = s.with_job(|job| recheck(job, a).unwrap());
        (plan(s), read, again)
    };
    for (decided, set, required) in [(1600, 1700, 1600.0), (1000, 1500, 1330.0)] {
        decide(&mut s, decided, set, 1800);
        let (plan, read, again) = asked(&mut s);
        assert_eq!(plan.must_show_n, Some(required));
        assert_eq!(read.must_show_n, Some(required));
        // ÷ 0.96, whole newtons.
        let clear = f64::round(required / 0.96);
        assert_eq!(plan.room.unwrap().clear_from_n, clear);
        assert_eq!(read.clear_from_n, Some(clear));
        assert_eq!(again.least_set_n, plan.least_set_n, "{decided}");
        assert!(again.least_set_n.is_none_or(|least| least >= clear));
        assert!(again.least_set_n <= again.most_set_n, "{again:?}");
        assert!(plan.suggested_n.is_none_or(|set| set >= clear), "{plan:?}");
    }
    // A figure that falls is asked about, with who asked for the greater one.
    decide(&mut s, 1600, 1700, 1800);
    let found = plan(&mut s);
    assert_eq!(
        found.decided_required_from.as_deref(),
        Some("letter EL-017")
    );
    let question = found.question_required(1_330_000).unwrap();
    assert!(
        question.contains("1330 N is below the 1600 N") && question.contains("letter EL-017"),
        "{question}"
    );
    assert_eq!(found.question_required(1_600_000), None);
}

#[test]
fn a_corner_that_is_allowed_less_limits_the_run_and_the_decision_rests_on_it() {
    let mut s = measured();
    let a = s.a;
    let corner = Subject::post(s.post("A3"));
    let limit = |s: &mut Scene| {
        let letter = Said {
            origin: Some("letter EL-018".into()),
            ..Said::default()
        };
        let most = Force::newtons(900);
        s.say(fields::POST_TENSION_LIMIT, &corner, "", most, Some(letter))
    };
    let said = limit(&mut s);
    // A wire runs straight through an intermediate post and pulls on it by nothing.
    assert!(plan(&mut s).upper_exact_n.unwrap() > 1800.0);
    let place = a.to_string();
    s.say(fields::POST_ROLE, &corner, &place, PostRole::Corner, None);
    let found = plan(&mut s);
    assert_eq!(found.upper_exact_n, Some(900.0));
    assert!(
        found.upper_origin.contains("post A3, letter EL-018"),
        "{}",
        found.upper_origin
    );
    assert!(!found.not_known.iter().any(|k| k == "post"));
    let rests_on = |s: &mut Scene, claim| {
        let basis = s.with_job(|job| tension_basis(job, a).unwrap());
        basis.contains(&claim)
    };
    assert!(rests_on(&mut s, said));
    // So it does on both ends of the gauge's range.
    let gauge = Subject::Item(ItemKind::Tool, s.gauge);
    for (field, newtons) in [
        (fields::TOOL_RANGE_FROM, 300),
        (fields::TOOL_RANGE_TO, 2500),
    ] {
        let claim = s.say(field, &gauge, "", Force::newtons(newtons), None);
        assert!(rests_on(&mut s, claim), "{}", field.name);
    }
}

#[test]
fn the_upper_tension_tells_where_efficiency_and_factor_are_from() {
    let mut s = measured();
    insert_pull(&mut s, 6000);
    let source = |s: &mut Scene, name: &str| -> String {
        let part = plan(s).parts.into_iter().find(|p| p.name.starts_with(name));
        part.unwrap().source
    };
    // As a record of the time before has it: nobody told where the two are from.
    let strand = source(&mut s, "strand");
    assert!(
        strand.ends_with("× terminal efficiency 0.65 ÷ factor 3 (origin of both figures not told)"),
        "{strand}"
    );
    assert_eq!(
        source(&mut s, "insert"),
        "least pull of the insert 6000 N (origin not told) ÷ factor 3 (origin not told)"
    );
    let set = fitting(&s);
    let say = |s: &mut Scene, origin: &str| {
        let efficiency = Efficiency {
            permille: 650,
            factor_percent: 300,
        };
        let said = Said {
            origin: Some(origin.to_owned()),
            ..Said::default()
        };
        s.say(fields::FITTING_EFFICIENCY, &set, "", efficiency, Some(said));
    };
    say(&mut s, "sheet 7, page 4");
    let strand = source(&mut s, "strand");
    assert!(
        strand.ends_with("efficiency 0.65 ÷ factor 3 (both figures: sheet 7, page 4)"),
        "{strand}"
    );
    // As a set of the library hands them over.
    let library = &records::library::fitting_sets()[0];
    say(&mut s, &library.efficiency_origin);
    let strand = source(&mut s, "strand");
    assert!(
        strand.ends_with(
            "× terminal efficiency 0.65 (example figure, no source, ask for that of your terminal) ÷ \
             factor 3 (example figure, no source, your designer's to say)"
        ),
        "{strand}"
    );
    assert!(
        source(&mut s, "insert")
            .ends_with("÷ factor 3 (example figure, no source, your designer's to say)")
    );
}

#[test]
fn a_figure_without_its_factor_is_a_ceiling_and_never_a_suggestion() {
    let mut s = measured();
    insert_pull(&mut s, 900);
    without_efficiency(&mut s);
    let found = plan(&mut s);
    assert_eq!(found.upper_exact_n, Some(900.0));
    assert!(found.upper_bare);
    assert_eq!(found.suggested_n, None);
    let names: Vec<&str> = found.parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["insert", "strand with its terminals"]);
    for part in ["insert", "strand with its terminals"] {
        assert!(!found.not_known.iter().any(|k| k == part), "{part}");
    }
    assert!(
        found
            .issues
            .iter()
            .any(|i| i.contains("factor are not stated")),
        "{:?}",
        found.issues
    );
    // Above what is decided it is no figure to suggest from either way; the decided one is.
    insert_pull(&mut s, 6000);
    decide(&mut s, 1330, 1500, 2600);
    let found = plan(&mut s);
    assert!(found.upper_bare && found.upper_exact_n == Some(6000.0));
    assert_eq!(found.room.unwrap().clear_to_n, 2600.0 / 1.04);
    assert!(found.suggested_n.is_some());
    // Before anything is decided there is nothing but the bare figure: no suggestion.
    let (run, none) = (Subject::run(s.a), None::<Tensions>);
    let over = s.tips(fields::RUN_TENSIONS.name, &run, "");
    s.say_over(fields::RUN_TENSIONS, &run, "", none, None::<Told>, over);
    let found = plan(&mut s);
    assert!(found.room.unwrap().enough);
    assert_eq!(found.suggested_n, None);
    assert!(
        found.suggestion.contains("no factor"),
        "{}",
        found.suggestion
    );
}

#[test]
fn a_bare_breaking_load_above_a_gauges_range_is_no_upper_tension() {
    let mut s = measured();
    without_efficiency(&mut s);
    let gauge = Subject::Item(ItemKind::Tool, s.gauge);
    let end = Force::newtons(3000);
    s.say(fields::TOOL_RANGE_TO, &gauge, "", end, None);
    let (run, none) = (Subject::run(s.a), None::<Tensions>);
    let over = s.tips(fields::RUN_TENSIONS.name, &run, "");
    s.say_over(fields::RUN_TENSIONS, &run, "", none, None::<Told>, over);
    let found = plan(&mut s);
    assert_eq!(found.parts.first().unwrap().name, "gauge's range");
    assert!(found.upper_bare, "8500 N bare stand above it");
    assert_eq!(found.suggested_n, None);
    assert!(
        found.suggestion.contains("no factor"),
        "{}",
        found.suggestion
    );
}

fn demand(s: &mut Scene, run: ItemId, bay: &str) -> (f64, Origin, f64, Vec<String>) {
    let found = s.with_job(|job| before_ordering(job, run).unwrap());
    let row = found.bays.iter().find(|b| b.name == bay).unwrap();
    let told = found.problems.iter();
    let told = told.filter(|p| p.code == ProblemCode::PositionsDisagree);
    (
        row.clear_mm,
        row.clear_origin,
        found.tension.required.as_ref().unwrap().newtons,
        told.map(|p| p.sentence.clone()).collect(),
    )
}

#[test]
fn a_bay_that_its_posts_positions_contradict_is_asked_about_and_counts_as_the_longer() {
    let mut s = measured();
    let a = s.a;
    let (clear, origin, required, told) = demand(&mut s, a, "A2–A3");
    assert_eq!(
        (clear, origin, required),
        (1410.0, Origin::Measured, 1330.0)
    );
    assert_eq!(told, Vec::<String>::new());
    // Within 60 mm is no contradiction: nobody measures a position to the millimetre.
    let (post, place) = (Subject::post(s.post("A3")), a.to_string());
    s.say(fields::POST_POSITION, &post, &place, mm(3035.0), None);
    let (clear, _, _, told) = demand(&mut s, a, "A2–A3");
    assert_eq!((clear, told.len()), (1410.0, 0));
    // 3500 − 1482.5 less two half posts of 45 mm: the row of 2000 asks 1980 N.
    s.say(fields::POST_POSITION, &post, &place, mm(3500.0), None);
    let (clear, origin, required, told) = demand(&mut s, a, "A2–A3");
    assert_eq!((clear, origin), (1927.5, Origin::Computed));
    assert_eq!(required, 1980.0);
    assert_eq!(told.len(), 2, "the bay beside it got too short: {told:?}");
    assert!(
        told[0].contains("Bay A2–A3 is read as 1410 mm") && told[0].contains("1927.5 mm"),
        "{told:?}"
    );
    // A reading that is the longer one stays.
    let (clear, origin, ..) = demand(&mut s, a, "A3–A4");
    assert_eq!((clear, origin), (1395.0, Origin::Measured));
}

#[test]
fn without_a_gauges_error_no_single_pass_is_offered_and_it_is_said() {
    let mut s = measured();
    let a = s.a;
    decide(&mut s, 700, 700, 1800);
    let told = |s: &mut Scene| s.with_job(|job| tensioning(job, a).unwrap());
    let known = told(&mut s);
    assert!(known.one_pass.unwrap().possible);
    assert!(!known.notes.iter().any(|n| n.contains("No tension gauge")));
    let gauge = Subject::Item(ItemKind::Tool, s.gauge);
    let error = s.tips(fields::TOOL_ERROR.name, &gauge, "");
    let none = (None::<i64>, None::<Said>);
    s.say_over(fields::TOOL_ERROR, &gauge, "", none.0, none.1, error);
    let unknown = told(&mut s);
    let one = unknown.one_pass.unwrap();
    assert!(!one.possible && one.steps.is_empty(), "{one:?}");
    assert!(
        one.sentence.contains("One pass is not offered"),
        "{}",
        one.sentence
    );
    let said = |said: &[String]| said.iter().any(|n| n.contains("enter the gauge's error"));
    assert!(said(&unknown.notes), "{:?}", unknown.notes);
    let later = s.with_job(|job| records::work::recheck(job, a).unwrap());
    assert!(said(&later.warnings), "{:?}", later.warnings);
}

#[test]
fn a_tension_rests_on_an_end_only_where_that_leaves_a_limit_out() {
    let mut s = measured();
    let a = s.a;
    let basis = |s: &mut Scene| s.with_job(|job| tension_basis(job, a).unwrap().len());
    let told = |s: &mut Scene, post: &str, kind, hand| {
        let (post, tensioner) = (Subject::post(s.post(post)), kind == EndKind::Insert);
        let end = End {
            kind,
            hand,
            tensioner,
            angled_seat: false,
            aside_nm: None,
            other_enters: None,
        };
        s.say(fields::POST_END, &post, &a.to_string(), end, None);
    };
    let before = basis(&mut s);
    // As it was always: a decision of the time before is told as unchanged.
    told(&mut s, "A1", EndKind::Insert, Hand::Left);
    assert_eq!(basis(&mut s), before);
    told(&mut s, "A6", EndKind::FixedEnd, Hand::Right);
    assert_eq!(basis(&mut s), before + 1);
}

#[test]
fn while_people_differ_on_the_rule_set_nothing_is_released_unasked() {
    let mut s = measured();
    let a = s.a;
    decide(&mut s, 1330, 1500, 1800);
    let asked = |s: &mut Scene| {
        let against = s.with_job(|job| to_cut(job, a).unwrap());
        let asked = against.questions.into_iter().map(|asked| asked.sentence);
        asked.collect::<Vec<_>>().join(" ")
    };
    assert!(!asked(&mut s).contains("People differ"));
    let other = library::copy_of(&library::rule_set("nz-f4").unwrap());
    let job = Subject::Job(s.device.job());
    s.say_over(
        fields::JOB_RULE_SET,
        &job,
        "",
        Some(other),
        None::<Said>,
        Vec::new(),
    );
    assert!(asked(&mut s).contains("People differ on the rule set, and the tensions of run A"));
    let plan = plan(&mut s);
    assert!(
        plan.issues
            .iter()
            .any(|told| told.contains("settle that first"))
    );
    let offered = s.offered();
    let what: Vec<NextWhat> = offered.iter().map(|act| act.what).collect();
    assert!(what.contains(&NextWhat::Settle), "{what:?}");
    assert!(!what.contains(&NextWhat::ChooseRuleSet), "{what:?}");
}

#[test]
fn a_set_tension_below_what_has_to_be_shown_is_no_figure_to_raise_a_wire_to() {
    let mut s = measured();
    let a = s.a;
    decide(&mut s, 400, 900, 1800);
    let bay = s.bay_place("A2", "A3");
    let with = tension_read(Method::Gauge, Stage::Final, Some(s.gauge));
    s.say(
        fields::WIRE_TENSION,
        &Subject::Wire(a, 4),
        &bay,
        Force::newtons(900),
        Some(with),
    );
    let offered = s.offered().into_iter();
    let raise = offered.into_iter().find(|act| act.what == NextWhat::Raise);
    let raise = raise.unwrap();
    assert_eq!(raise.figure, None);
    assert!(
        raise
            .sentence
            .contains("It has to show 1330\u{a0}N: decide the tensions of run A again"),
        "{}",
        raise.sentence
    );
}
