//! Whose a job is where two crews share a data folder: by what is here, in whatever order it came.

use std::ops::ControlFlow;
use std::path::Path;

use crate::common::{Device, Ticking, lines_of, said_again};
use records::Record;
use records::crew::Role;
use records::ids::{BookId, Hash};
use records::record::{Draft, value_data};
use records::verify::{IndexStands, verify};
use serde_json::json;

type Lines = Vec<Vec<u8>>;

/// Two crews; what they say of Ann's job. Eve belongs to both.
struct Scene {
    ann: Device,
    eve: Device,
    job: BookId,
    /// By the folder of whose crew they come: Ann's crew, her job, Eve's crew, that it lists the job
    /// too, that she began it for hers and went on there.
    blocks: [(BookId, Lines); 5],
}

fn scene() -> Scene {
    let (mut ann, mut eve) = (Device::founder("ann"), Device::founder("eve"));
    ann.admit(&eve, Role::Installer);
    let job = ann.job();
    let note = |text: &str| Draft {
        kind: "job.note".into(),
        subject: format!("job:{job}"),
        data: value_data("", &json!(text)),
        ..Draft::default()
    };
    let by = ann.person();
    ann.record.act(job, by, vec![note("of ann")]).unwrap();
    let own_job = eve.job();
    let subject = format!("job:{job}");

    let of_crew = eve.record.own_after(eve.crew, 0).unwrap();
    let listing = of_crew.iter().find(|e| e.body.kind == "job.created");
    let last = of_crew.last().unwrap();
    let (listing, n) = (listing.unwrap(), last.body.n + 1);
    let listed = said_again(&eve, listing, n, last.id, eve.crew, &subject);

    let begun = eve.record.own_after(own_job, 0).unwrap();
    let first = said_again(&eve, &begun[0], 1, Hash::ZERO, job, &subject);
    let mut more = begun[0].clone();
    (more.body.kind, more.body.data) = ("job.note".into(), value_data("", &json!("of eve")));
    let more = said_again(&eve, &more, 2, first.id, job, &subject);
    let line = |entry: &records::entry::Entry| entry.line().to_vec();
    let blocks = [
        (ann.crew, lines_of(&mut ann.record, ann.crew)),
        (ann.crew, lines_of(&mut ann.record, job)),
        (eve.crew, lines_of(&mut eve.record, eve.crew)),
        (eve.crew, vec![line(&listed)]),
        (eve.crew, vec![line(&first), line(&more)]),
    ];
    Scene {
        ann,
        eve,
        job,
        blocks,
    }
}

fn open(dir: &Path) -> Record {
    Record::open(dir, Ticking::starting(1_790_500_000_000)).unwrap()
}

fn looked_over(record: &Record) -> IndexStands {
    let moment = record.moment().unwrap();
    let found = verify(record.dir(), &moment, &|_| ControlFlow::Continue(()));
    found.unwrap().index
}

/// All orders of some blocks.
fn orders(of: &[usize]) -> Vec<Vec<usize>> {
    if of.is_empty() {
        return vec![Vec::new()];
    }
    let with = |&first: &usize| {
        let rest: Vec<usize> = of.iter().copied().filter(|at| *at != first).collect();
        let rest = orders(&rest);
        rest.into_iter()
            .map(move |rest| [vec![first], rest].concat())
    };
    of.iter().flat_map(with).collect()
}

impl Scene {
    /// The job's crew and the state of all three books once the blocks came in this order.
    fn after(&self, order: &[usize]) -> (BookId, [Vec<String>; 3]) {
        let dir = tempfile::tempdir().unwrap();
        let mut office = open(dir.path());
        for crew in [&self.ann, &self.eve] {
            let founding = crew.record.crew(crew.crew).founding.unwrap();
            office.pin(crew.crew, founding).unwrap();
        }
        for at in order {
            let (crew, lines) = &self.blocks[*at];
            office.take_in(*crew, lines).unwrap();
        }
        let told = self.told(&office);
        assert_eq!(looked_over(&office), IndexStands::Same, "{order:?}");
        office.rebuild().unwrap();
        assert_eq!(self.told(&office), told, "{order:?} made anew");
        told
    }

    fn told(&self, office: &Record) -> (BookId, [Vec<String>; 3]) {
        let books = [self.ann.crew, self.eve.crew, self.job];
        let dumps = books.map(|book| office.dump(book).unwrap());
        (office.crew_of_job(self.job).unwrap(), dumps)
    }
}

#[test]
fn a_job_that_two_crews_began_belongs_to_the_one_that_lists_it_whatever_came_first() {
    let scene = scene();
    let expected = scene.ann.record.dump(scene.job).unwrap();
    for order in orders(&[0, 1, 2, 4]) {
        let (crew, [_, _, job]) = scene.after(&order);
        assert_eq!(crew, scene.ann.crew, "{order:?}");
        // What Eve wrote behind her own beginning counts for nothing here, though she belongs.
        assert_eq!(job, expected, "{order:?}");
    }
}

#[test]
fn where_both_list_it_too_every_order_gives_the_same_crew() {
    let scene = scene();
    let all = orders(&[0, 1, 2, 3, 4]);
    assert_eq!(all.len(), 120);
    let first = scene.after(&all[0]);
    assert_eq!(first.0, scene.ann.crew.min(scene.eve.crew));
    for order in &all[1..] {
        assert_eq!(scene.after(order), first, "{order:?}");
    }
}

#[test]
fn a_crew_whose_founding_another_folder_brought_is_joined_all_the_same_and_never_unasked() {
    let mut scene = scene();
    let dir = tempfile::tempdir().unwrap();
    let mut office = open(dir.path());
    let (ours, theirs) = (scene.ann.crew, scene.eve.crew);
    let founding = |of: &Device| of.record.crew(of.crew).founding.unwrap();
    office.pin(ours, founding(&scene.ann)).unwrap();
    office.take_in(ours, &scene.blocks[0].1).unwrap();
    office.take_in(ours, &scene.blocks[2].1[..1]).unwrap();
    for _ in 0..2 {
        assert_eq!(office.pinned(theirs), None);
        assert_eq!(office.crew(theirs).founding, None);
        office.rebuild().unwrap();
    }
    office.pin(theirs, founding(&scene.eve)).unwrap();
    let lines = lines_of(&mut scene.eve.record, theirs);
    office.take_in(theirs, &lines).unwrap();
    assert_eq!(office.crew(theirs).founding, Some(founding(&scene.eve)));
    let expected = scene.eve.record.dump(theirs).unwrap();
    assert_eq!(office.dump(theirs).unwrap(), expected);
}
