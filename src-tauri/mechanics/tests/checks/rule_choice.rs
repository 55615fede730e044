//! Rule sets offered by country and permit date, and warnings asked early.

use mechanics::assessment::{Layout, Topic, Verdict, WireDirection, assess};
use mechanics::rules::{Day, Fit, InForce, RuleSet, Status, WarningAbout, choices};

use crate::assessment::deck;
use crate::{all_sets, au};

fn day(text: &str) -> Option<Day> {
    Some(Day::read(text).unwrap())
}

fn fits(sets: &[RuleSet], country: &str, permit: Option<Day>) -> Vec<(String, Fit)> {
    choices(sets, country, permit)
        .into_iter()
        .map(|choice| (choice.id, choice.fit))
        .collect()
}

#[test]
fn days_of_the_calendar_only() {
    for good in ["2026-09-02", "2024-02-29", "2000-02-29", "1999-12-31"] {
        assert_eq!(Day::read(good).unwrap().to_string(), good);
    }
    for bad in [
        "2026-9-2",
        "2023-02-29",
        "1900-02-29",
        "2026-13-01",
        "2026-04-31",
        "2026-00-10",
        "2026-01-00",
        "2026-01-01T00",
        "2026/01/01",
        "",
        "０２０２-01-01",
        "-026-01-01",
        "0000-01-01",
        "2026-01-01-01",
    ] {
        assert_eq!(Day::read(bad), None, "{bad}");
        assert!(serde_json::from_value::<Day>(bad.into()).is_err());
    }
    assert!(Day::read("2026-09-02") < Day::read("2026-10-01"));
    assert_eq!(
        serde_json::to_string(&Day::new(2026, 9, 2)).unwrap(),
        "\"2026-09-02\""
    );
}

#[test]
fn the_permit_of_the_worked_job_finds_its_edition() {
    let sets = all_sets();
    let found = choices(&sets, "AU", day("2026-09-02"));
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].id.as_str(), found[0].fit),
        ("au-2022", Fit::InForce)
    );
    assert!(
        found[0]
            .sentence
            .contains("counts from 2023-05-01 (from memory)")
    );
    assert_eq!(
        fits(&sets, "AU", day("2023-04-30")),
        [("au-2022".to_owned(), Fit::NotYet)]
    );
    assert_eq!(
        fits(&sets, "AU", day("2023-05-01")),
        [("au-2022".to_owned(), Fit::InForce)]
    );
    assert_eq!(
        fits(&sets, "AU", None),
        [("au-2022".to_owned(), Fit::NotKnown)]
    );
}

#[test]
fn a_later_edition_takes_the_place_of_an_earlier_one_on_its_day() {
    let mut later = au();
    (later.id, later.edition) = ("au-later".to_owned(), "a later one".to_owned());
    later.in_force = later.in_force.map(|own| InForce {
        from: Day::new(2027, 1, 1).unwrap(),
        ..own
    });
    let sets = [later, au()];
    let named = |id: &str, fit| (id.to_owned(), fit);
    assert_eq!(
        fits(&sets, "AU", day("2026-12-31")),
        [
            named("au-2022", Fit::InForce),
            named("au-later", Fit::NotYet)
        ]
    );
    assert_eq!(
        fits(&sets, "AU", day("2027-01-01")),
        [
            named("au-later", Fit::InForce),
            named("au-2022", Fit::Replaced)
        ]
    );
}

#[test]
fn where_no_day_is_known_all_are_offered_with_that_said() {
    let sets = all_sets();
    let found = choices(&sets, "US", day("2026-09-02"));
    let ids: Vec<&str> = found.iter().map(|choice| choice.id.as_str()).collect();
    assert_eq!(ids, ["us-ibc", "us-irc-2018"]);
    for choice in &found {
        assert_eq!(choice.fit, Fit::NotKnown);
        assert!(
            choice.sentence.contains("ask the authority"),
            "{}",
            choice.sentence
        );
    }
    for country in ["NZ", "GB", "CA"] {
        assert_eq!(
            choices(&sets, country, day("2026-09-02")).len(),
            1,
            "{country}"
        );
    }
    assert!(choices(&sets, "XX", None).is_empty());
    // A set that a person wrote without a country is offered everywhere.
    let mut own = au();
    (own.country, own.in_force) = (None, None);
    assert_eq!(
        fits(&[own], "XX", None),
        [("au-2022".to_owned(), Fit::NotKnown)]
    );
}

#[test]
fn a_warning_is_asked_early_and_never_held_against_a_figure() {
    let mut told = 0;
    for set in all_sets() {
        let warns = |topic, layout: &Layout| {
            let found = assess(&set, layout).unwrap().findings;
            found
                .into_iter()
                .filter(|finding| finding.topic == topic && finding.required.is_none())
                .collect::<Vec<_>>()
        };
        let mut layout = deck();
        let horizontal = warns(Topic::Climbing, &layout);
        let of = |warning: &&mechanics::rules::RuleWarning| {
            warning.about == WarningAbout::HorizontalMembers
        };
        assert_eq!(
            horizontal.len(),
            set.warnings.iter().filter(of).count(),
            "{}",
            set.id
        );
        for finding in horizontal {
            assert_eq!(finding.verdict, Verdict::AskFirst);
            assert!(finding.margin.is_none() && finding.sentence.contains("Ask before"));
            assert_ne!(finding.source.status, Status::CommonPractice);
            told += 1;
        }
        layout.direction = WireDirection::VerticalOnTwoSupports;
        assert!(warns(Topic::Climbing, &layout).is_empty());
    }
    // New Zealand, United Kingdom, Canada.
    assert_eq!(told, 3);
}
