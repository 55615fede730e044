//! The tables of plans.
//! One file past 400 lines, since the rows of all plans are made by the same few functions.

use std::collections::BTreeMap;

use super::*;
use crate::name::{ObjectName, PER_SHARD};

const BEN: &str = "benaaaaaaaaaaaaaaaaaaaaaa2";
const CREW: &str = "crewaaaaaaaaaaaaaaaaaaaaaa";
const DECK: &str = "deckaaaaaaaaaaaaaaaaaaaaaa";
const POOL: &str = "poolaaaaaaaaaaaaaaaaaaaaaa";

fn segment(no: u32, book: &str, hash: char) -> SegmentName {
    SegmentName {
        device: BEN.into(),
        no,
        book: book.into(),
        hash: hash.to_string().repeat(32),
    }
}

fn seen(name: SegmentName, bytes: u64) -> SeenSegment {
    let path = name.path();
    SeenSegment { name, path, bytes }
}

fn log(segments: Vec<SeenSegment>) -> SeenLog {
    SeenLog {
        segments,
        listed: BTreeSet::from([0]),
        ..SeenLog::default()
    }
}

fn taken(numbers: impl IntoIterator<Item = u32>) -> KnownLog {
    KnownLog {
        taken: numbers.into_iter().map(|no| (no, "a".repeat(32))).collect(),
        passed: BTreeMap::new(),
    }
}

fn numbers(plan: &LogPlan) -> Vec<u32> {
    plan.fetch.iter().map(|fetch| fetch.name.no).collect()
}

/// No path was found wrong.
fn none() -> BTreeSet<String> {
    BTreeSet::new()
}

fn all(_: &str) -> bool {
    true
}

fn kept(book: &str) -> bool {
    book != POOL
}

#[test]
fn a_log_is_fetched_in_order_and_only_once() {
    let there = log(vec![
        seen(segment(3, DECK, 'a'), 9),
        seen(segment(1, CREW, 'a'), 9),
        seen(segment(2, DECK, 'a'), 9),
    ]);
    for (known, expected) in [
        (taken([]), vec![1, 2, 3]),
        (taken([1]), vec![2, 3]),
        (taken([1, 3]), vec![2]),
        (taken([1, 2, 3]), vec![]),
    ] {
        assert_eq!(numbers(&plan_log(&known, &there, &all, &all)), expected);
    }
}

#[test]
fn books_that_are_not_kept_are_passed_by_name_and_others_wait_their_turn() {
    let there = log(vec![
        seen(segment(1, CREW, 'a'), 9),
        seen(segment(2, POOL, 'a'), MAX_SEGMENT + 1),
        seen(segment(3, DECK, 'a'), 9),
    ]);
    let crew_first = plan_log(&taken([]), &there, &|book| book == CREW, &kept);
    assert_eq!(numbers(&crew_first), [1]);
    assert_eq!(crew_first.pass, BTreeSet::from([segment(2, POOL, 'a')]));
    assert!(crew_first.oversized.is_empty());
    let then = plan_log(&taken([1]), &there, &kept, &kept);
    assert_eq!(numbers(&then), [3]);
}

#[test]
fn a_second_branch_under_the_same_number_is_fetched_too() {
    let there = log(vec![
        seen(segment(1, DECK, 'a'), 9),
        seen(segment(1, DECK, 'b'), 9),
    ]);
    let plan = plan_log(&taken([1]), &there, &all, &all);
    assert_eq!(plan.fetch.len(), 1);
    assert_eq!(plan.fetch[0].name, segment(1, DECK, 'b'));
}

#[test]
fn a_copy_under_another_name_is_a_second_chance() {
    let name = segment(1, DECK, 'a');
    let copy = SeenSegment {
        name: name.clone(),
        path: "log/ben/000000/copy".into(),
        bytes: 9,
    };
    let both = plan_log(
        &taken([]),
        &log(vec![copy.clone(), seen(name.clone(), 4)]),
        &all,
        &all,
    );
    assert_eq!(both.fetch[0].paths, [name.path(), copy.path.clone()]);
    let only_copy = plan_log(&taken([]), &log(vec![copy.clone()]), &all, &all);
    assert_eq!(only_copy.fetch[0].paths, [copy.path]);
}

#[test]
fn empty_files_wait_and_oversized_ones_are_never_read() {
    let there = log(vec![
        seen(segment(1, DECK, 'a'), 0),
        seen(segment(2, DECK, 'a'), MAX_SEGMENT),
        seen(segment(3, DECK, 'a'), MAX_SEGMENT + 1),
    ]);
    let plan = plan_log(&taken([]), &there, &all, &all);
    assert_eq!(numbers(&plan), [2]);
    assert_eq!(plan.empty, [segment(1, DECK, 'a')]);
    let path = segment(3, DECK, 'a').path();
    assert_eq!(plan.oversized, [(path, MAX_SEGMENT + 1)]);
}

fn made(no: u32, hash: char, bytes: Option<u64>) -> MadeSegment {
    let name = segment(no, DECK, hash);
    MadeSegment { name, bytes }
}

#[test]
fn only_missing_segments_are_published() {
    let made = [
        made(1, 'a', None),
        made(3, 'c', Some(9)),
        made(2, 'b', Some(9)),
    ];
    for (there, expected) in [
        (vec![], vec![1, 2, 3]),
        (vec![0], vec![2, 3]),
        (vec![2], vec![1, 3]),
        (vec![0, 1, 2], vec![]),
    ] {
        let files = there
            .iter()
            .map(|at: &usize| seen(made[*at].name.clone(), 9));
        let plan = plan_publish(&made, &log(files.collect()), &none());
        let missing: Vec<u32> = plan.iter().map(|publish| publish.what.no).collect();
        assert_eq!(missing, expected);
        assert!(
            plan.iter()
                .all(|publish| !publish.repair && publish.path == publish.what.path())
        );
    }
}

#[test]
fn nothing_is_said_of_folders_that_were_not_listed() {
    let made = [made(1, 'a', None), made(PER_SHARD, 'b', None)];
    let plan = plan_publish(&made, &log(vec![]), &none());
    let numbers: Vec<u32> = plan.iter().map(|publish| publish.what.no).collect();
    assert_eq!(numbers, [1]);
}

#[test]
fn a_damaged_segment_is_written_again_beside_the_damaged_one() {
    let made = [made(1, 'a', Some(9))];
    let name = made[0].name.clone();
    let cut = seen(name.clone(), 4);
    let plan = plan_publish(&made, &log(vec![cut.clone()]), &none());
    assert_eq!(
        (plan[0].path.clone(), plan[0].repair),
        (name.repair_path(2), true)
    );
    let repaired = SeenSegment {
        path: name.repair_path(2),
        ..seen(name, 9)
    };
    assert_eq!(plan_publish(&made, &log(vec![cut, repaired]), &none()), []);
}

#[test]
fn folders_to_list() {
    let full = PER_SHARD;
    for (what, known, expected) in [
        ("nothing known", taken([]), vec![0]),
        ("first folder begun", taken(1..=5), vec![0]),
        ("first folder whole", taken(1..full), vec![0]),
        ("second begun, first whole", taken(1..=full), vec![1]),
        (
            "second begun, a number missing in the first",
            taken((1..=full).filter(|no| *no != 7)),
            vec![0, 1],
        ),
        ("far ahead", taken([1, 5 * full]), vec![0, 1, 2, 4, 5]),
    ] {
        // The folder 3 is not there.
        let there = BTreeSet::from([0, 1, 2, 4, 5, 6]);
        let mut list = older_with_gaps(&known, &all, &there);
        assert_eq!(has_older_gaps(&known, &all), !list.is_empty(), "{what}");
        list.insert(newest_shard(&known));
        assert_eq!(list.into_iter().collect::<Vec<_>>(), expected, "{what}");
    }
}

#[test]
fn a_number_that_was_passed_is_missing_once_its_book_is_kept() {
    let mut known = taken((1..=2 * PER_SHARD).filter(|no| *no != 7));
    known.passed.insert(7, POOL.into());
    assert_eq!(newest_shard(&known), 2);
    assert!(!has_older_gaps(&known, &kept));
    assert!(has_older_gaps(&known, &all));
    let there = BTreeSet::from([0, 1, 2]);
    assert_eq!(older_with_gaps(&known, &all, &there), BTreeSet::from([0]));
}

#[test]
fn missing_numbers_are_counted_where_a_signed_header_or_a_listed_folder_tells_of_them() {
    let there = BTreeSet::from([1, 2, 5, 60, 200]);
    let count = |taken, named, listed: &[u32]| {
        gaps(taken, named, &there, &listed.iter().copied().collect())
    };
    assert_eq!(count(0, 0, &[0]), 0);
    assert_eq!(count(5, 5, &[0]), 2, "3 and 4");
    assert_eq!(count(5, 60, &[0]), 2 + 54, "6 to 59 by a name");
    assert_eq!(count(5, 200, &[]), 2, "no folder of those was listed");
    assert_eq!(count(200, 200, &[]), 199 - 4);
    // The highest number there can be costs no step for each below it.
    assert_eq!(count(5, crate::name::LAST_NO, &[0]), 2 + 54 + 3);
}

#[test]
fn what_was_read_and_found_wrong_is_written_again_under_the_first_free_name() {
    let made = [made(1, 'a', Some(9))];
    let name = &made[0].name;
    let copy = |copy| SeenSegment {
        name: name.clone(),
        path: name.repair_path(copy),
        bytes: 9,
    };
    let there = log(vec![seen(name.clone(), 9), copy(2)]);
    let wrong = |paths: &[String]| paths.iter().cloned().collect::<BTreeSet<_>>();
    let plan = |wrong: &BTreeSet<String>| plan_publish(&made, &there, wrong);
    assert_eq!(plan(&none()), []);
    assert_eq!(plan(&wrong(&[name.path()])), [], "the second one is whole");
    let both = plan(&wrong(&[name.path(), name.repair_path(2)]));
    assert_eq!(
        (both[0].path.clone(), both[0].repair),
        (name.repair_path(3), true)
    );

    let held = object(ObjectRole::Thumb, 'a', true);
    let path = held.name.path();
    let there = SeenObjects::from([(held.name.sha256.clone(), vec![(path.clone(), 100)])]);
    let known = std::slice::from_ref(&held);
    assert_eq!(plan_objects(known, &there, &none()).publish, []);
    let plan = plan_objects(known, &there, &wrong(&[path]));
    assert_eq!(plan.publish[0].path, held.name.repair_path(2));
}

#[test]
fn the_next_folder_is_listed_when_this_one_is_full_or_has_a_gap() {
    let files = |numbers: &[u32]| -> Vec<SeenSegment> {
        numbers
            .iter()
            .map(|no| seen(segment(*no, DECK, 'a'), 9))
            .collect()
    };
    let whole: Vec<u32> = (1..PER_SHARD).collect();
    for (what, shard, numbers, known, expected) in [
        ("empty", 0, &[][..], taken([]), false),
        ("begun", 0, &[1, 2], taken([]), false),
        ("full", 0, &whole, taken([]), true),
        ("a gap", 0, &[1, 3], taken([]), true),
        ("a gap that is taken in", 0, &[1, 3], taken([2]), false),
        (
            "vanished from the folder and known to be full",
            0,
            &[],
            taken(1..PER_SHARD),
            true,
        ),
        ("only the last", 1, &[2 * PER_SHARD - 1], taken([]), true),
    ] {
        assert_eq!(
            goes_on(shard, &files(numbers), &known, &all),
            expected,
            "{what}"
        );
    }
}

fn object(role: ObjectRole, digit: char, held: bool) -> KnownObject {
    KnownObject {
        role,
        name: ObjectName {
            sha256: digit.to_string().repeat(64),
            extension: "jpg".into(),
        },
        bytes: 100,
        device: BEN.into(),
        held,
    }
}

#[test]
fn a_false_length_keeps_nobody_from_the_object_of_the_true_one() {
    let (held, awaited) = (
        object(ObjectRole::View, 'a', true),
        object(ObjectRole::View, 'b', false),
    );
    let mut known = vec![held.clone(), awaited.clone()];
    for one in [&held, &awaited] {
        known.push(KnownObject {
            bytes: 1,
            held: false,
            ..one.clone()
        });
    }
    let seen = SeenObjects::from([(
        awaited.name.sha256.clone(),
        vec![(awaited.name.path(), awaited.bytes)],
    )]);
    let plan = plan_objects(&known, &seen, &none());
    assert!(plan.publish.iter().map(|one| &one.what).eq([&held]));
    assert!(plan.fetch.iter().map(|(what, _)| what).eq([&awaited]));
    assert!(plan.missing.iter().all(|one| one.bytes == 1));
}

#[test]
fn objects_move_once_thumbs_first() {
    let known = [
        object(ObjectRole::Original, 'a', true),
        object(ObjectRole::View, 'b', true),
        object(ObjectRole::Thumb, 'c', true),
        object(ObjectRole::Thumb, 'c', true),
    ];
    let roles = |plan: &ObjectPlan| -> Vec<ObjectRole> {
        plan.publish
            .iter()
            .map(|publish| publish.what.role)
            .collect()
    };
    let plan = plan_objects(&known, &SeenObjects::new(), &none());
    assert_eq!(
        roles(&plan),
        [ObjectRole::Thumb, ObjectRole::View, ObjectRole::Original]
    );
    let there = |digit: char, bytes| {
        let name = object(ObjectRole::View, digit, true).name;
        (name.sha256.clone(), vec![(name.path(), bytes)])
    };
    let seen = SeenObjects::from([there('b', 100), there('c', 100)]);
    assert_eq!(
        roles(&plan_objects(&known, &seen, &none())),
        [ObjectRole::Original]
    );
}

#[test]
fn a_damaged_object_is_written_again_beside_the_damaged_one() {
    let held = object(ObjectRole::View, 'a', true);
    let file = |path: String, bytes| (path, bytes);
    let cut = file(held.name.path(), 3);
    let whole = file(held.name.repair_path(2), 100);
    let seen = |files| SeenObjects::from([(held.name.sha256.clone(), files)]);
    let known = std::slice::from_ref(&held);
    let plan = plan_objects(known, &seen(vec![cut.clone()]), &none());
    assert_eq!(plan.publish[0].path, held.name.repair_path(2));
    assert!(plan.publish[0].repair);
    assert_eq!(
        plan_objects(known, &seen(vec![cut, whole]), &none()).publish,
        []
    );
}

#[test]
fn an_object_is_fetched_only_in_its_full_length() {
    let wanted = object(ObjectRole::View, 'a', false);
    let hash = wanted.name.sha256.clone();
    let proper = wanted.name.path();
    let copy = format!("photos/aa/{hash}.JPG");
    for (what, files, expected) in [
        ("not there", vec![], vec![]),
        ("cut", vec![(proper.clone(), 99)], vec![]),
        ("whole", vec![(proper.clone(), 100)], vec![proper.clone()]),
        ("only a copy", vec![(copy.clone(), 100)], vec![copy.clone()]),
        (
            "copy and proper",
            vec![(copy.clone(), 100), (proper.clone(), 100)],
            vec![proper.clone(), copy.clone()],
        ),
        (
            "cut and a whole copy",
            vec![(proper.clone(), 1), (copy.clone(), 100)],
            vec![copy],
        ),
    ] {
        let seen = SeenObjects::from([(hash.clone(), files)]);
        let plan = plan_objects(std::slice::from_ref(&wanted), &seen, &none());
        let paths = plan
            .fetch
            .first()
            .map(|(_, paths)| paths.clone())
            .unwrap_or_default();
        assert_eq!(paths, expected, "{what}");
        assert_eq!(
            plan.missing.len(),
            usize::from(expected.is_empty()),
            "{what}"
        );
    }
}

#[test]
fn roles_are_read_from_types() {
    for (kind, role) in [
        ("thumb.jpg", ObjectRole::Thumb),
        ("view.jpg", ObjectRole::View),
        ("original.png", ObjectRole::Original),
        ("application/pdf", ObjectRole::Original),
        ("", ObjectRole::Original),
    ] {
        assert_eq!(ObjectRole::of_type(kind), role, "{kind}");
    }
}
