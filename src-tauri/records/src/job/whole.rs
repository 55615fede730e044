//! All of a job: its facts, runs, posts, and the things recorded beside them.
//!
//! Every list has an order of its own, by what the record says or by id, so that two devices with
//! the same entries read the same job.

use std::borrow::Cow;
use std::collections::{BTreeSet, HashMap};
use std::ops::Deref;

use super::layout::{self, Run};
use super::reader::{Fact, Reader};
use super::things::{
    self, Batch, Defect, Document, JobFittingSet, JobStrand, Photo, PostFacts, Tool, Visit,
};
use crate::book::BookView;
use crate::claims;
use crate::crew::Crew;
use crate::ids::{BookId, DeviceId, ItemId};
use crate::model::context::{BayRead, CrimpRead, GapRead, Head, Said, Told as Decided};
use crate::model::fields;
use crate::model::values::{CallBack, GapCheck, Length, SampleCrimp, SignOff};
use crate::subject::{ItemKind, Subject};

/// All of a job.
#[derive(Clone, Debug)]
pub struct Job<'a> {
    /// The job.
    pub id: BookId,
    /// Reads what the parts leave out.
    pub reader: Reader<'a>,
    parts: Cow<'a, Parts>,
}

/// What a job's book comes to. The record holds it between commands (`record::kept`).
#[derive(Clone, Debug)]
#[allow(missing_docs)] // names of the things, see `things`
pub struct Parts {
    pub runs: Vec<Run>,
    pub posts: Vec<PostFacts>,
    pub photos: Vec<Photo>,
    pub documents: Vec<Document>,
    pub defects: Vec<Defect>,
    pub tools: Vec<Tool>,
    pub batches: Vec<Batch>,
    pub visits: Vec<Visit>,
    pub strands: Vec<JobStrand>,
    pub fitting_sets: Vec<JobFittingSet>,
    pub sample_crimps: Vec<Fact<SampleCrimp, CrimpRead>>,
    pub call_backs: Vec<Fact<CallBack, Said>>,
    pub sign_offs: Vec<(String, Fact<SignOff, Decided>)>,
    /// Devices whose chain has two branches here: their numbers order nothing.
    pub forked: BTreeSet<DeviceId>,
}

impl Deref for Job<'_> {
    type Target = Parts;

    fn deref(&self) -> &Parts {
        &self.parts
    }
}

impl Parts {
    /// Reads all there is but for runs that are known: nothing was said since that they go by.
    pub(crate) fn read(reader: &Reader<'_>, known: Vec<Run>) -> Self {
        let view = reader.view;
        let items = |kind| live(reader, kind);
        let posts = items(ItemKind::Post);
        let mut known: HashMap<ItemId, Run> = known.into_iter().map(|run| (run.id, run)).collect();
        let mut runs: Vec<Run> = items(ItemKind::Run)
            .into_iter()
            .map(|id| {
                let run = known.remove(&id);
                run.unwrap_or_else(|| layout::read_run(reader, id, &posts))
            })
            .collect();
        runs.sort_by(|a, b| a.name.cmp(&b.name).then(a.id.cmp(&b.id)));
        let job = Subject::Job(view.book).to_string();
        let mut posts: Vec<PostFacts> = posts
            .into_iter()
            .map(|id| things::post(reader, id))
            .collect();
        posts.sort_by(|a, b| a.name.cmp(&b.name).then(a.id.cmp(&b.id)));
        let mut photos: Vec<Photo> = items(ItemKind::Photo)
            .into_iter()
            .filter_map(|id| things::photo(reader, id))
            .collect();
        photos.sort_by_key(|p| (p.taken.as_ref().and_then(|t| t.ms), p.id));
        let mut defects: Vec<Defect> = items(ItemKind::Defect)
            .into_iter()
            .filter_map(|id| things::defect(reader, id))
            .collect();
        defects.sort_by_key(|d| (d.found.at, d.id));
        let mut visits: Vec<Visit> = items(ItemKind::Visit)
            .into_iter()
            .map(|id| things::visit(reader, id))
            .collect();
        visits.sort_by(|a, b| a.day.cmp(&b.day).then(a.id.cmp(&b.id)));
        let read_all = |kind| items(kind).into_iter();
        let mut tools: Vec<Tool> = read_all(ItemKind::Tool)
            .map(|id| things::tool(reader, id))
            .collect();
        tools.sort_by(|a, b| (a.kind, &a.name, a.id).cmp(&(b.kind, &b.name, b.id)));
        let mut batches: Vec<Batch> = read_all(ItemKind::Batch)
            .map(|id| things::batch(reader, id))
            .collect();
        batches.sort_by(|a, b| (a.kind, &a.name, a.id).cmp(&(b.kind, &b.name, b.id)));
        let mut strands: Vec<JobStrand> = read_all(ItemKind::Strand)
            .map(|id| things::strand(reader, id))
            .collect();
        strands.sort_by(|a, b| (&a.name, a.id).cmp(&(&b.name, b.id)));
        let mut fitting_sets: Vec<JobFittingSet> = read_all(ItemKind::FittingSet)
            .map(|id| things::fitting_set(reader, id))
            .collect();
        fitting_sets.sort_by(|a, b| (&a.name, a.id).cmp(&(&b.name, b.id)));
        let sign_offs = reader
            .places(fields::JOB_SIGN_OFF, &job)
            .into_iter()
            .flat_map(|place| {
                reader
                    .many(fields::JOB_SIGN_OFF, &job, &place)
                    .into_iter()
                    .map(move |fact| (place.clone(), fact))
            })
            .collect();
        Parts {
            runs,
            posts,
            photos,
            documents: items(ItemKind::Document)
                .into_iter()
                .filter_map(|id| things::document(reader, id))
                .collect(),
            defects,
            tools,
            batches,
            visits,
            strands,
            fitting_sets,
            sample_crimps: reader.many(fields::JOB_SAMPLE_CRIMP, &job, ""),
            call_backs: reader.many(fields::JOB_CALLED_BACK, &job, ""),
            sign_offs,
            forked: view.forked(),
        }
    }
}

impl<'a> Job<'a> {
    /// Reads a job from its book.
    #[must_use]
    pub fn read(view: &'a BookView, crew: &'a Crew) -> Self {
        let reader = Reader { view, crew };
        Job {
            id: view.book,
            reader,
            parts: Cow::Owned(Parts::read(&reader, Vec::new())),
        }
    }

    /// A job whose parts were read from this book as it is.
    pub(crate) fn of(reader: Reader<'a>, parts: &'a Parts) -> Self {
        Job {
            id: reader.view.book,
            reader,
            parts: Cow::Borrowed(parts),
        }
    }

    /// Reads one run alone, if the job has it: the same as in the whole job, at a part of the cost.
    #[must_use]
    pub fn read_run(view: &'a BookView, crew: &'a Crew, id: ItemId) -> Option<Run> {
        let reader = Reader { view, crew };
        let posts = live(&reader, ItemKind::Post);
        live(&reader, ItemKind::Run)
            .contains(&id)
            .then(|| layout::read_run(&reader, id, &posts))
    }

    /// Reads one tool alone, if the job has it.
    #[must_use]
    pub fn read_tool(view: &'a BookView, crew: &'a Crew, id: ItemId) -> Option<Tool> {
        let reader = Reader { view, crew };
        live(&reader, ItemKind::Tool)
            .contains(&id)
            .then(|| things::tool(&reader, id))
    }

    /// How many entries are here that stand before none of these heads.
    #[must_use]
    pub fn entries_since(&self, heads: &[Head]) -> u64 {
        let view = self.reader.view;
        let of = |device: DeviceId| heads.iter().filter(move |head| head.device == device);
        let furthest = |device| of(device).map(|head| head.n).max().unwrap_or(0);
        let devices = view.heads().iter();
        let since = devices.map(|(device, (n, _))| {
            if !self.forked.contains(device) {
                return n.saturating_sub(furthest(*device));
            }
            // Of two branches a number says nothing, but of a head that has not come here.
            let covered = view.up_to(of(*device).map(|head| head.hash));
            let away = of(*device).filter(|head| view.entry(&head.hash).is_none());
            let away = away.map(|head| head.n).max().unwrap_or(0);
            let own = view.ids().filter_map(|id| view.entry(id));
            let own = own.filter(|entry| entry.body.device == *device);
            let open = own.filter(|e| e.body.n > away && !covered.contains(&e.id));
            open.count() as u64
        });
        since.sum()
    }

    /// The job as a subject, in text form.
    #[must_use]
    pub fn subject(&self) -> String {
        Subject::Job(self.id).to_string()
    }

    /// The run with this id.
    #[must_use]
    pub fn run(&self, id: ItemId) -> Option<&Run> {
        self.runs.iter().find(|r| r.id == id)
    }

    /// The post with this id.
    #[must_use]
    pub fn post(&self, id: ItemId) -> Option<&PostFacts> {
        self.posts.iter().find(|p| p.id == id)
    }

    /// Name of a subject as people say it: "A6", "run A", "wire A6", "bay A2–A3".
    #[must_use]
    pub fn name_of(&self, subject: &Subject) -> String {
        let post = |id: &ItemId| self.called(ItemKind::Post, *id);
        let run = |id: &ItemId| self.called(ItemKind::Run, *id);
        let gone = match self.in_layout(subject) {
            true => "",
            false => " (no longer in the layout)",
        };
        match subject {
            Subject::Job(_) => "job".into(),
            Subject::Item(ItemKind::Run, id) => format!("run {}", run(id)),
            Subject::Item(ItemKind::Post, id) => format!("post {}", post(id)),
            Subject::Wire(of, number) => format!("wire {}{number}{gone}", run(of)),
            Subject::Bay(a, b) => self
                .runs
                .iter()
                .flat_map(|r| &r.bays)
                .find(|bay| bay.subject == *subject)
                .map_or_else(
                    || {
                        let (left, right) = self.as_they_stand(*a, *b);
                        format!("bay {}–{}{gone}", post(&left), post(&right))
                    },
                    |bay| format!("bay {}", bay.name),
                ),
            Subject::Item(ItemKind::Tool, id) => self
                .tools
                .iter()
                .find(|t| t.id == *id)
                .map_or_else(|| "tool".into(), |t| t.name.clone()),
            Subject::Item(ItemKind::Defect, id) => self
                .defects
                .iter()
                .find(|d| d.id == *id)
                .and_then(|d| d.found.value.as_ref())
                .map_or_else(
                    || "defect".into(),
                    |found| format!("defect: {}", shortened(found)),
                ),
            Subject::Item(ItemKind::Strand, id) => {
                let name = self.strands.iter().find(|s| s.id == *id).map(|s| &s.name);
                name.map_or_else(|| "strand".into(), |name| format!("strand {name}"))
            }
            Subject::Item(ItemKind::FittingSet, id) => {
                let name = self
                    .fitting_sets
                    .iter()
                    .find(|s| s.id == *id)
                    .map(|s| &s.name);
                name.map_or_else(
                    || "fitting set".into(),
                    |name| format!("fitting set {name}"),
                )
            }
            other => crate::model::bounds::spaced(other.kind().word()),
        }
    }

    /// Two posts in the order in which a run that has both passes them.
    fn as_they_stand(&self, a: ItemId, b: ItemId) -> (ItemId, ItemId) {
        let in_turn = |run: &Run| {
            let at = |id| run.posts.iter().position(|post| post.id == id);
            Some(at(a)? < at(b)?)
        };
        match self.runs.iter().find_map(in_turn) {
            Some(false) => (b, a),
            Some(true) | None => (a, b),
        }
    }

    /// What people call a run or post, one that was taken out of the layout too.
    fn called(&self, kind: ItemKind, id: ItemId) -> String {
        let (subject, field) = match kind {
            ItemKind::Run => (Subject::run(id), fields::RUN_NAME),
            _ => (Subject::post(id), fields::POST_NAME),
        };
        match self.reader.one(field, &subject.to_string(), "").shown() {
            Some(name) => crate::photos::visible(name, 60),
            None => "?".to_owned(),
        }
    }

    /// Whether the layout still has a wire or bay that claims speak of.
    #[must_use]
    pub fn in_layout(&self, subject: &Subject) -> bool {
        match subject {
            Subject::Wire(run, number) => self.run(*run).is_some_and(|r| r.wire(*number).is_some()),
            Subject::Bay(..) => self
                .runs
                .iter()
                .flat_map(|r| &r.bays)
                .any(|bay| bay.subject == *subject),
            _ => true,
        }
    }

    /// Gap checks of a bay for a run: the whole bay's first, then single openings by lower wire.
    #[must_use]
    pub fn gaps(&self, run: ItemId, bay: &Subject) -> Vec<(Option<u32>, Fact<GapCheck, GapRead>)> {
        let subject = bay.to_string();
        let whole = run.to_string();
        let mut found = Vec::new();
        for place in self.reader.places(fields::BAY_GAPS, &subject) {
            let wire = match place.split_once('/') {
                None if place == whole => None,
                Some((of, wire)) if of == whole => wire.parse().ok(),
                _ => continue,
            };
            for fact in self.reader.many(fields::BAY_GAPS, &subject, &place) {
                found.push((wire, fact));
            }
        }
        found.sort_by_key(|(wire, fact)| (*wire, fact.tips.first().map(|t| t.at)));
        found
    }

    /// Bay readings of a bay, for showing.
    #[must_use]
    pub fn bay_readings(&self, bay: &Subject) -> Vec<Fact<Length, BayRead>> {
        self.reader.many(fields::BAY_CLEAR, &bay.to_string(), "")
    }
}

/// Things of a kind that were created and not taken back, by id.
pub(crate) fn live(reader: &Reader<'_>, kind: ItemKind) -> Vec<ItemId> {
    let mut found = BTreeSet::new();
    for (key, state) in reader.view.keys().filter(|(k, _)| k.field == "created") {
        if let Ok(Subject::Item(of, id)) = key.subject.parse() {
            let gone = state
                .lines
                .iter()
                .all(|l| l.standing == claims::Standing::Withdrawn);
            if of == kind && !gone {
                found.insert(id);
            }
        }
    }
    found.into_iter().collect()
}

/// The beginning of a text, as a name holds it.
pub(crate) fn shortened(text: &str) -> String {
    const MOST: usize = 80;
    let mut short: String = text.trim().chars().take(MOST).collect();
    if text.trim().chars().count() > MOST {
        short.push('…');
    }
    short
}
