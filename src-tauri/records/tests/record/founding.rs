//! Which entry founded a crew: the one that the device confirmed, whatever else comes and when.

use std::fs;
use std::ops::ControlFlow;
use std::path::Path;

use crate::common::{Device, Ticking, lines_of, said_again};
use records::Record;
use records::crew::Role;
use records::entry::Entry;
use records::ids::{BookId, Hash};
use records::verify::{IndexStands, verify};

type Lines = Vec<Vec<u8>>;

/// Ann's crew and job with Ben in it, and what Eve makes to take the crew over.
struct Scene {
    ann: Device,
    eve: Device,
    crew: BookId,
    job: BookId,
    founding: Hash,
    /// Ann's founding entry; the rest of the crew's book; the job's; Eve's.
    blocks: [Lines; 4],
}

fn scene() -> Scene {
    let mut ann = Device::founder("ann");
    let ben = Device::founder("ben");
    let mut eve = Device::founder("eve");
    ann.admit(&ben, Role::Installer);
    let (crew, job) = (ann.crew, ann.job());
    let founding = ann.record.crew(crew).founding.unwrap();
    let mut of_crew = lines_of(&mut ann.record, crew);
    let rest = of_crew.split_off(1);

    let own_crew = eve.crew;
    eve.admit(&ben, Role::Office);
    let own = eve.record.own_after(own_crew, 0).unwrap();
    let first = said_again(&eve, &own[0], 1, Hash::ZERO, crew, &format!("crew:{crew}"));
    let ben_again = format!("device:{}", ben.record.device());
    let second = said_again(&eve, own.last().unwrap(), 2, first.id, crew, &ben_again);
    let of_eve = [first, second].map(|entry| entry.line().to_vec()).to_vec();
    let blocks = [of_crew, rest, lines_of(&mut ann.record, job), of_eve];
    Scene {
        ann,
        eve,
        crew,
        job,
        founding,
        blocks,
    }
}

/// All orders of four.
fn orders() -> Vec<[usize; 4]> {
    let mut all = Vec::new();
    for code in 0..256 {
        let order = [code / 64, code / 16 % 4, code / 4 % 4, code % 4];
        let mut sorted = order;
        sorted.sort_unstable();
        if sorted == [0, 1, 2, 3] {
            all.push(order);
        }
    }
    assert_eq!(all.len(), 24);
    all
}

fn open(dir: &Path) -> Record {
    Record::open(dir, Ticking::starting(1_790_500_000_000)).unwrap()
}

fn forget(dir: &Path, store: &str) {
    for end in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(dir.join(format!("{store}{end}")));
    }
}

impl Scene {
    /// What Ann's device tells: crew's book, job's book.
    fn expected(&self) -> [Vec<String>; 2] {
        self.told(&self.ann.record)
    }

    fn told(&self, record: &Record) -> [Vec<String>; 2] {
        [self.crew, self.job].map(|book| record.dump(book).unwrap())
    }
}

fn looked_over(record: &Record) -> IndexStands {
    let moment = record.moment().unwrap();
    let found = verify(record.dir(), &moment, &|_| ControlFlow::Continue(()));
    found.unwrap().index
}

#[test]
fn the_confirmed_founding_entry_holds_in_whatever_order_entries_come() {
    let scene = scene();
    let expected = scene.expected();
    for order in orders() {
        let dir = tempfile::tempdir().unwrap();
        let mut office = open(dir.path());
        office.pin(scene.crew, scene.founding).unwrap();
        for at in order {
            office.take_in(scene.crew, &scene.blocks[at]).unwrap();
        }
        assert_eq!(office.crew(scene.crew).founding, Some(scene.founding));
        assert_eq!(scene.told(&office), expected, "{order:?}");
        assert_eq!(looked_over(&office), IndexStands::Same, "{order:?}");
        office.rebuild().unwrap();
        assert_eq!(scene.told(&office), expected, "{order:?} made anew");
    }
}

#[test]
fn without_its_pins_a_folder_keeps_to_what_its_jobs_name() {
    let scene = scene();
    let expected = scene.expected();
    for (order, stores) in [
        ([3, 0, 1, 2], vec!["local.db"]),
        ([3, 0, 1, 2], vec!["local.db", "index.db"]),
        ([3, 2, 0, 1], vec!["local.db", "index.db"]),
        ([0, 1, 2, 3], vec!["local.db", "index.db"]),
    ] {
        let dir = tempfile::tempdir().unwrap();
        let mut office = open(dir.path());
        office.pin(scene.crew, scene.founding).unwrap();
        for at in order {
            office.take_in(scene.crew, &scene.blocks[at]).unwrap();
        }
        drop(office);
        stores.iter().for_each(|store| forget(dir.path(), store));
        let closed = records::verify::moment_of(dir.path()).unwrap().unwrap();
        verify(dir.path(), &closed, &|_| ControlFlow::Continue(())).unwrap();
        drop(closed);
        let office = open(dir.path());
        assert_eq!(office.pinned(scene.crew), Some(scene.founding), "{order:?}");
        assert_eq!(
            scene.told(&office),
            expected,
            "{order:?} without {stores:?}"
        );
    }
}

#[test]
fn a_founder_without_its_pins_keeps_to_its_own_founding_entry() {
    let mut scene = scene();
    let expected = scene.expected();
    let of_eve = scene.blocks[3].clone();
    scene.ann.record.take_in(scene.crew, &of_eve).unwrap();
    assert_eq!(scene.expected(), expected);
    let (_dir, path) = scene.ann.close();
    forget(&path, "local.db");
    forget(&path, "index.db");
    let ann = open(&path);
    assert_eq!(ann.crew(scene.crew).founding, Some(scene.founding));
    for (book, told) in [scene.crew, scene.job].into_iter().zip(&expected) {
        assert_eq!(&ann.dump(book).unwrap(), told);
    }
}

#[test]
fn what_came_before_the_pin_waits_for_it_and_no_second_pin_is_taken() {
    let scene = scene();
    let dir = tempfile::tempdir().unwrap();
    let mut office = open(dir.path());
    for at in [3, 0, 1, 2] {
        office.take_in(scene.crew, &scene.blocks[at]).unwrap();
    }
    assert_eq!(office.crew(scene.crew).founding, None);
    assert_eq!(scene.told(&office), [Vec::<String>::new(), Vec::new()]);
    office.pin(scene.crew, scene.founding).unwrap();
    assert_eq!(scene.told(&office), scene.expected());
    let of_eve = Entry::parse(&scene.blocks[3][0]).unwrap().id;
    let refused = office.pin(scene.crew, of_eve).unwrap_err();
    assert!(refused.to_string().contains("another founding entry"));
    assert_eq!(office.pinned(scene.crew), Some(scene.founding));
    assert_eq!(scene.told(&office), scene.expected());
}

#[test]
fn a_member_that_names_another_crew_for_a_job_takes_it_from_nobody() {
    let mut scene = scene();
    scene.ann.admit(&scene.eve, Role::Installer);
    let own_job = scene.eve.job();
    let own = scene.eve.record.own_after(own_job, 0).unwrap();
    let subject = format!("job:{}", scene.job);
    let forged = said_again(&scene.eve, &own[0], 1, Hash::ZERO, scene.job, &subject);
    let crew_lines = lines_of(&mut scene.ann.record, scene.crew);
    let expected = scene.expected();
    let good = scene.blocks[2][0].clone();
    for job_lines in [
        vec![forged.line().to_vec(), good.clone()],
        vec![good, forged.line().to_vec()],
    ] {
        let dir = tempfile::tempdir().unwrap();
        let mut office = open(dir.path());
        office.pin(scene.crew, scene.founding).unwrap();
        office.take_in(scene.crew, &crew_lines).unwrap();
        let taken = office.take_in(scene.crew, &job_lines).unwrap();
        assert_eq!((taken.new, taken.aside.len()), (2, 0));
        assert_eq!(scene.told(&office), expected);
    }
}

#[test]
fn a_word_of_another_crew_in_a_jobs_book_keeps_the_job_from_nobody() {
    let mut scene = scene();
    let own = scene.eve.record.own_after(scene.eve.crew, 0).unwrap();
    let (job, of_eve) = (scene.job, scene.eve.crew);
    let draft = records::record::Draft {
        kind: "job.note".into(),
        subject: format!("job:{job}"),
        data: records::record::value_data("", &serde_json::json!("of ann")),
        ..Default::default()
    };
    let person = scene.ann.person();
    scene.ann.record.act(job, person, vec![draft]).unwrap();
    let mut word = own[0].clone();
    word.body.kind = "job.note".into();
    word.body.data = records::record::value_data("", &serde_json::json!("eve was here"));
    let word = said_again(&scene.eve, &word, 1, Hash::ZERO, job, &format!("job:{job}"));
    let eves: Lines = lines_of(&mut scene.eve.record, of_eve);
    let word: Lines = vec![word.line().to_vec()];
    let [first, rest, ..] = scene.blocks.clone();
    let of_job = lines_of(&mut scene.ann.record, job);
    let founding = scene.eve.record.crew(of_eve).founding.unwrap();
    let anns: Lines = [first, rest].concat();
    let expected = scene.expected();
    // The word first, the job first, the word between the job's first entry and the rest.
    let (begun, later) = of_job.split_at(1);
    for order in [
        [&word[..], begun, later],
        [begun, &word[..], later],
        [begun, later, &word[..]],
        [&word[..], later, begun],
    ] {
        let dir = tempfile::tempdir().unwrap();
        let mut record = open(dir.path());
        record.pin(scene.crew, scene.founding).unwrap();
        record.pin(of_eve, founding).unwrap();
        record.take_in(of_eve, &eves).unwrap();
        record.take_in(scene.crew, &anns).unwrap();
        for lines in order {
            let crew = if lines == &word[..] {
                of_eve
            } else {
                scene.crew
            };
            let taken = record.take_in(crew, lines).unwrap();
            assert!(crew == of_eve || taken.aside.is_empty(), "{taken:?}");
        }
        assert_eq!(record.crew_of_job(job).unwrap(), scene.crew);
        assert_eq!(scene.told(&record), expected);
        record.rebuild().unwrap();
        assert_eq!(scene.told(&record), expected);
        assert_eq!(looked_over(&record), IndexStands::Same);
    }
}

#[test]
fn a_folder_that_names_a_job_as_its_crew_confirms_nothing() {
    let mut ann = Device::founder("ann");
    let eve = Device::founder("eve");
    let job = ann.job();
    let before = ann.record.state_hashes().unwrap();
    let founding = eve.record.crew(eve.crew).founding.unwrap();
    let refused = ann.record.pin(job, founding).unwrap_err().to_string();
    assert!(refused.contains("names a job as its crew"), "{refused}");
    let ann = ann.reopen();
    assert!(ann.record.pinned(job).is_none());
    assert_eq!(ann.record.state_hashes().unwrap(), before);
}
