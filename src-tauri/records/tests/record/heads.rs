//! How far each device had come: kept beside the index and the journal, and told when it is gone. One file past
//! 400 lines, since every damage is told of the same chains.

use std::fs;
use std::ops::ControlFlow;
use std::path::Path;

use crate::common::{Device, lines_of};
use records::crew::Role;
use records::heads::NotHere;
use records::ids::Hash;
use records::record::{Draft, Fetched, value_data};
use records::segment::{FORMAT, Header};
use records::verify::{Fault, FaultKind, Summary, moment_of, verify};
use serde_json::json;

fn say(device: &mut Device, text: &str) {
    let draft = Draft {
        kind: "job.note".into(),
        subject: format!("job:{}", device.job()),
        data: value_data("", &json!(text)),
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap();
}

/// Ann, and Ben whose two notes Ann has.
fn scene() -> (Device, Device) {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    say(&mut ben, "one");
    say(&mut ben, "two");
    ann.receive(&mut ben);
    (ann, ben)
}

fn told(device: &mut Device) -> Vec<NotHere> {
    let crew = device.crew;
    device.record.not_here(crew).unwrap()
}

fn look(dir: &Path) -> Result<Summary, Fault> {
    verify(dir, &moment_of(dir).unwrap()?, &|_| {
        ControlFlow::Continue(())
    })
}

/// A head of `by` in a job, as a segment's header tells it.
fn header(by: &Device, of: &Device, n: u64, hash: Hash) -> Header {
    Header {
        format: FORMAT,
        device: by.record.device(),
        no: 1,
        prev: Hash::ZERO,
        book: of.job(),
        book_prev: None,
        first: 1,
        last: 1,
        seen: vec![(of.record.device(), n, hash)],
    }
}

#[test]
fn an_end_that_was_here_is_missed_though_journal_and_index_know_nothing_of_it() {
    let (ann, mut ben) = scene();
    let (dir, path) = ann.close();
    assert_eq!(look(&path).unwrap().not_here, []);
    let journal = path.join("journal/00000001.jsonl");
    let text = fs::read_to_string(&journal).unwrap();
    let end = text.trim_end().rfind('\n').unwrap() + 1;
    fs::write(&journal, text.get(..end).unwrap()).unwrap();
    for end in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(path.join(format!("index.db{end}")));
    }
    let words = "This device had 2 entries of ben in “untitled”; 1 is here: 1 is gone. `rebuild`, \
                 then exchange: what the shared folder holds comes back";
    let fault = look(&path).unwrap_err();
    assert_eq!(
        (fault.kind, fault.what.as_str()),
        (FaultKind::Missing, words)
    );
    let mut ann = Device::open_at(dir, path.clone());
    let missing = told(&mut ann);
    assert_eq!((missing.len(), missing[0].words.as_str()), (1, words));
    assert_eq!(
        (missing[0].seen, missing[0].here, missing[0].differs),
        (2, 1, false)
    );
    ann.record.rebuild().unwrap();
    assert_eq!(told(&mut ann), missing, "a rebuild brings nothing back");
    ann.receive(&mut ben);
    assert_eq!(told(&mut ann), []);
    drop(ann.close());
}

#[test]
fn what_others_saw_is_told_until_it_comes_and_outlives_the_index() {
    let (mut ann, mut ben) = scene();
    say(&mut ben, "three");
    say(&mut ben, "four");
    let (job, device) = (ben.job(), ben.record.device());
    let head = ben.record.view(job).unwrap().heads()[&device];
    let mut cleo = Device::founder("cleo");
    cleo.follow(&ann);
    let seen = header(&cleo, &ben, head.0, head.1);
    // Cleo does not belong to the crew: nothing is heard.
    ann.record.note_seen(ann.crew, [&seen]).unwrap();
    assert_eq!(told(&mut ann), []);
    ann.admit(&cleo, Role::Office);
    assert_eq!(
        told(&mut ann),
        [],
        "what a stranger told is not heard later"
    );
    ann.record.note_seen(ann.crew, [&seen]).unwrap();
    let words = "cleo saw 4 entries of ben in “untitled”; 2 are here: waiting for 2";
    assert_eq!(told(&mut ann)[0].words, words);
    // An older header says nothing less.
    let older = header(&cleo, &ben, 3, Hash::of(b"older"));
    ann.record.note_seen(ann.crew, [&older]).unwrap();
    assert_eq!(told(&mut ann)[0].words, words);

    let (dir, path) = ann.close();
    for end in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(path.join(format!("index.db{end}")));
    }
    let summary = look(&path).unwrap();
    assert_eq!(
        summary.not_here[0].words, words,
        "and no fault: it may be on its way"
    );
    let mut ann = Device::open_at(dir, path);
    assert_eq!(told(&mut ann)[0].words, words);
    ann.receive(&mut ben);
    assert_eq!(told(&mut ann), []);
}

#[test]
fn another_entry_than_was_seen_is_told_and_an_ended_device_is_not_heard() {
    let (mut ann, ben) = scene();
    let mut cleo = Device::founder("cleo");
    cleo.follow(&ann);
    ann.admit(&cleo, Role::Office);
    let seen = header(&cleo, &ben, 2, Hash::of(b"another"));
    ann.record.note_seen(ann.crew, [&seen]).unwrap();
    let missing = told(&mut ann);
    assert!(missing[0].differs);
    assert_eq!(
        missing[0].words,
        "cleo saw another entry 2 of ben in “untitled” than the one that is here: what ben \
         recorded went two ways"
    );
    let (crew, person, device) = (ann.crew, ann.person(), cleo.record.device());
    ann.record.end_device(crew, person, device).unwrap();
    let more = header(&cleo, &ben, 99, Hash::of(b"more"));
    ann.record.note_seen(crew, [&more]).unwrap();
    assert_eq!(told(&mut ann), []);
}

#[test]
fn a_stranger_in_the_book_is_not_missed() {
    let (mut ann, _ben) = scene();
    let mut eve = Device::founder("eve");
    eve.follow(&ann);
    eve.receive(&mut ann);
    say(&mut eve, "before she is admitted");
    ann.receive(&mut eve);
    let of_eve = lines_of(&mut eve.record, ann.job());
    assert!(of_eve.len() > 1);
    let mut cleo = Device::founder("cleo");
    cleo.follow(&ann);
    ann.admit(&cleo, Role::Office);
    let seen = header(&cleo, &eve, 7, Hash::of(b"seven"));
    ann.record.note_seen(ann.crew, [&seen]).unwrap();
    assert_eq!(told(&mut ann), []);
}

#[test]
fn a_book_of_which_no_line_is_left_is_missed() {
    let (ann, _) = scene();
    let job = ann.job();
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let text = fs::read_to_string(&journal).unwrap();
    let others = text
        .lines()
        .filter(|line| !line.contains(&format!("\"book\":\"{job}\"")));
    let kept: String = others.map(|line| format!("{line}\n")).collect();
    assert!(kept.len() < text.len());
    fs::write(&journal, kept).unwrap();
    for end in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(path.join(format!("index.db{end}")));
    }
    let fault = look(&path).unwrap_err();
    assert_eq!(fault.kind, FaultKind::Missing);
    assert!(fault.what.contains("nothing is left here"), "{fault}");
    let mut ann = Device::open_at(dir, path);
    let missing = told(&mut ann);
    let of_job = missing.iter().filter(|one| one.book == job.to_string());
    let mut seen: Vec<u64> = of_job.map(|one| one.seen).collect();
    seen.sort_unstable();
    assert_eq!(seen, [1, 2]);
}

/// A note of a piece that was taken in.
fn note_fetched(device: &Device) {
    let piece = Fetched {
        no: 1,
        book: device.job().to_string(),
        start: "a".repeat(32),
        taken: true,
    };
    let by = device.record.device();
    device.record.note_fetched("folder", &by, &[piece]).unwrap();
    device
        .record
        .set_setting(&format!("sent:{}", device.job()), "9")
        .unwrap();
}

fn forgotten(device: &Device) -> bool {
    let by = device.record.device();
    let fetched = device.record.fetched("folder", &by).unwrap();
    let sent = device.record.settings("sent:").unwrap();
    assert_eq!(fetched.is_empty(), sent.is_empty());
    fetched.is_empty()
}

/// Cuts what follows the first `keep` bytes of the journal; with `index`, its index goes as well.
fn cut(path: &Path, keep: usize, index: bool) {
    let journal = path.join("journal/00000001.jsonl");
    let bytes = fs::read(&journal).unwrap();
    fs::write(&journal, &bytes[..keep]).unwrap();
    for end in ["", "-wal", "-shm"].into_iter().filter(|_| index) {
        let _ = fs::remove_file(path.join(format!("index.db{end}")));
    }
}

#[test]
fn a_shorter_journal_lets_all_pieces_be_read_again_once_for_each_end_that_is_gone() {
    for index in [false, true] {
        let mut ann = Device::founder("ann");
        say(&mut ann, "kept");
        let journal = ann.dir().join("journal/00000001.jsonl");
        let keep = fs::read(&journal).unwrap().len();
        say(&mut ann, "lost");
        let job = ann.job();
        let lost = lines_of(&mut ann.record, job);
        note_fetched(&ann);
        let ann = ann.reopen();
        assert!(!forgotten(&ann), "nothing is gone");
        let (dir, path) = ann.close();
        // Into the line, as a disk that loses its end does.
        cut(&path, keep + 40, index);
        let mut ann = Device::open_at(dir, path.clone());
        assert!(forgotten(&ann), "index gone: {index}");
        let reasons = fs::read_to_string(path.join("aside/reasons.txt")).unwrap();
        let torn = reasons.lines().find(|l| l.starts_with("torn-")).unwrap();
        assert!(torn.contains("had been saved are gone"), "{torn}");
        assert!(!reasons.contains("never acknowledged"), "{reasons}");
        // What nobody has is not asked for again and again.
        note_fetched(&ann);
        say(&mut ann, "goes on");
        let mut ann = ann.reopen();
        assert!(!forgotten(&ann));
        // It came back, and is lost a second time.
        let crew = ann.crew;
        ann.record.take_in(crew, &lost).unwrap();
        assert_eq!(told(&mut ann), []);
        let (dir, path) = ann.close();
        cut(&path, keep, true);
        let ann = Device::open_at(dir, path);
        assert!(forgotten(&ann));
    }
}

#[test]
fn a_last_line_that_was_never_acknowledged_is_told_as_such() {
    let mut ann = Device::founder("ann");
    say(&mut ann, "kept");
    note_fetched(&ann);
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let mut bytes = fs::read(&journal).unwrap();
    bytes.extend_from_slice(b"being writ");
    fs::write(&journal, bytes).unwrap();
    let ann = Device::open_at(dir, path.clone());
    assert!(!forgotten(&ann));
    let reasons = fs::read_to_string(path.join("aside/reasons.txt")).unwrap();
    assert!(reasons.contains("was never acknowledged"), "{reasons}");
}

#[test]
fn what_a_device_says_of_itself_beyond_its_own_entries_is_not_waited_for() {
    let (mut ann, ben) = scene();
    let seen = header(&ben, &ben, 9_007_199_254_740_991, Hash::of(b"a lie"));
    ann.record.note_seen(ann.crew, [&seen]).unwrap();
    assert_eq!(told(&mut ann), []);
}

type Change = fn(&str) -> String;

/// One letter of a member's text is another one.
fn letter(line: &str, member: &str) -> String {
    let (before, text) = line.split_once(&format!("\"{member}\":\"")).unwrap();
    let other = if text.starts_with('a') { 'b' } else { 'a' };
    let rest: String = text.chars().skip(1).collect();
    format!("{before}\"{member}\":\"{other}{rest}")
}

/// What may happen to a line, each by its name.
const CHANGES: [(&str, Change); 8] = [
    ("text", |line| letter(line, "value")),
    ("prev", |line| letter(line, "prev")),
    ("number", |line| line.replacen("\"n\":", "\"n\":7", 1)),
    ("number lowered", |line| {
        let (before, after) = line.split_once("\"n\":").unwrap();
        let (n, after) = after.split_once(',').unwrap();
        let n: u64 = n.parse().unwrap();
        format!("{before}\"n\":{},{after}", n - 1)
    }),
    ("device", |line| letter(line, "device")),
    ("book", |line| letter(line, "book")),
    ("no entry any more", |line| {
        line.replacen("\"over\"", "\"ovre\"", 1)
    }),
    ("gone", |_| String::new()),
];

/// Changes the one line of a journal that holds a text.
fn change_line(journal: &Path, said: &str, change: Change) {
    let text = fs::read_to_string(journal).unwrap();
    let said = format!("\"{said}\"");
    let of: Vec<&str> = text
        .split_inclusive('\n')
        .filter(|l| l.contains(&said))
        .collect();
    let [line] = of.as_slice() else {
        panic!("{said}: {of:?}")
    };
    let changed = change(line);
    assert_ne!(changed, *line);
    fs::write(journal, text.replacen(line, &changed, 1)).unwrap();
}

/// After two rebuilds as many entries as `left` are told.
fn is_told(device: &mut Device, left: usize, what: &str) {
    for _ in 0..2 {
        device.record.rebuild().unwrap();
        let told = device.record.broken_off_told().unwrap();
        let told = told.unwrap_or_else(|| panic!("nothing told: {what}"));
        let number = told.split(' ').next().unwrap();
        assert_eq!(number.parse(), Ok(left), "{what}: {told}");
    }
}

#[test]
fn whatever_letter_of_another_ones_entry_is_changed_it_is_told_until_it_is_back() {
    for (what, change) in CHANGES {
        // Of the first of two both are gone, of the second it alone.
        for (said, left) in [("one", 2), ("two", 1)] {
            let what = format!("{what} of {said}");
            let (mut ann, mut ben) = scene();
            assert_eq!(ann.record.broken_off_told().unwrap(), None);
            // Of one that is not here yet nothing is told: it is on its way.
            say(&mut ben, "three");
            assert_eq!(ann.record.broken_off_told().unwrap(), None);
            let (crew, job) = (ann.crew, ann.job());
            let (dir, path) = ann.close();
            change_line(&path.join("journal/00000001.jsonl"), said, change);
            let mut ann = Device::open_at(dir, path);
            is_told(&mut ann, left, &what);
            ann.followed_job(crew, job);
            ann.receive(&mut ben);
            assert_eq!(ann.record.broken_off_told().unwrap(), None, "{what}");
        }
    }
}

#[test]
fn a_number_that_damage_raised_hides_nothing_that_is_damaged_later() {
    let (ann, mut ben) = scene();
    let (crew, job) = (ann.crew, ann.job());
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    change_line(&journal, "two", |line| {
        line.replacen("\"n\":", "\"n\":90", 1)
    });
    let mut ann = Device::open_at(dir, path);
    is_told(&mut ann, 1, "the second");
    ann.followed_job(crew, job);
    ann.receive(&mut ben);
    say(&mut ben, "three");
    ann.receive(&mut ben);
    assert_eq!(ann.record.broken_off_told().unwrap(), None);
    let (dir, path) = ann.close();
    change_line(&journal, "three", |line| letter(line, "prev"));
    let mut ann = Device::open_at(dir, path);
    is_told(&mut ann, 1, "the third");
}

/// A device that went on before a gap that is closed since has two branches: each is guarded, here and by
/// who has them from it.
#[test]
fn a_letter_changed_in_either_branch_of_a_chain_is_told_until_it_is_back() {
    for (what, change) in CHANGES {
        for (said, left) in [("two", 2), ("three", 1), ("two again", 2), ("four", 1)] {
            for own in [true, false] {
                let what = format!("{what} of {said}, own: {own}");
                let (mut ann, mut ben) = branched();
                let who = if own { &mut ann } else { &mut ben };
                assert_eq!(who.record.broken_off_told().unwrap(), None, "{what}");
                let (crew, job) = (who.crew, who.job());
                let genuine = lines_of(&mut who.record, job);
                let who = if own { ann } else { ben };
                let (dir, path) = who.close();
                change_line(&path.join("journal/00000001.jsonl"), said, change);
                let mut who = Device::open_at(dir, path);
                is_told(&mut who, left, &what);
                who.followed_job(crew, job);
                who.record.take_in(crew, &genuine).unwrap();
                assert_eq!(who.record.broken_off_told().unwrap(), None, "{what}");
            }
        }
    }
}

#[test]
fn an_own_entry_that_is_back_lets_the_device_go_on_whatever_was_left_of_it() {
    for (what, change) in CHANGES {
        for said in ["one", "two"] {
            let mut ann = Device::founder("ann");
            say(&mut ann, "one");
            say(&mut ann, "two");
            let (crew, job) = (ann.crew, ann.job());
            let genuine = lines_of(&mut ann.record, job);
            let (dir, path) = ann.close();
            change_line(&path.join("journal/00000001.jsonl"), said, change);
            let mut ann = Device::open_at(dir, path);
            is_told(&mut ann, if said == "one" { 2 } else { 1 }, what);
            ann.followed_job(crew, job);
            ann.record.take_in(crew, &genuine).unwrap();
            assert_eq!(ann.record.broken_off_told().unwrap(), None, "{what}");
            assert!(!ann.record.misses_own(crew).unwrap(), "{what} of {said}");
            say(&mut ann, "goes on");
            assert_eq!(
                ann.record.own_end(job).unwrap(),
                (4, false),
                "{what} of {said}"
            );
        }
    }
}

/// Nothing of the job is whole any more and nobody noted what was: what is signed there tells of it.
#[test]
fn a_damaged_first_line_is_told_without_the_local_store_and_the_device_goes_on() {
    let mut ann = Device::founder("ann");
    say(&mut ann, "one");
    let (crew, job) = (ann.crew, ann.job());
    let genuine = lines_of(&mut ann.record, job);
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let text = fs::read_to_string(&journal).unwrap();
    let begins =
        |line: &&str| line.contains(&format!("\"book\":\"{job}\"")) && line.contains("\"n\":1,");
    let first = text.split_inclusive('\n').find(begins).unwrap();
    fs::write(&journal, text.replacen(first, &letter(first, "person"), 1)).unwrap();
    for name in ["index.db", "local.db"] {
        for end in ["", "-wal", "-shm"] {
            let _ = fs::remove_file(path.join(format!("{name}{end}")));
        }
    }
    let mut ann = Device::open_at(dir, path);
    ann.followed_job(crew, job);
    is_told(&mut ann, 2, "the first");
    assert!(ann.record.misses_own(crew).unwrap());
    ann.record.go_on_before_gaps(crew).unwrap();
    say(&mut ann, "goes on");
    assert!(!ann.record.misses_own(crew).unwrap());
    is_told(&mut ann, 2, "after going on");
    ann.record.take_in(crew, &genuine).unwrap();
    assert_eq!(ann.record.broken_off_told().unwrap(), None);
}

/// Ann's notes "one", then "two" and "three" in a branch, and "two again" and "four" in another; and Ben, who
/// has all of them.
fn branched() -> (Device, Device) {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    for text in ["one", "two", "three"] {
        say(&mut ann, text);
    }
    let (crew, job) = (ann.crew, ann.job());
    let lost = lines_of(&mut ann.record, job);
    let (dir, path) = ann.close();
    change_line(&path.join("journal/00000001.jsonl"), "two", |_| {
        String::new()
    });
    for name in ["index.db", "index.db-wal", "index.db-shm"] {
        let _ = fs::remove_file(path.join(name));
    }
    let mut ann = Device::open_at(dir, path);
    ann.followed_job(crew, job);
    ann.record.go_on_before_gaps(crew).unwrap();
    say(&mut ann, "two again");
    say(&mut ann, "four");
    // Going on closes no gap: it is told until what was lost is back.
    is_told(&mut ann, 2, "after going on");
    ann.record.take_in(crew, &lost).unwrap();
    ben.receive(&mut ann);
    (ann, ben)
}
