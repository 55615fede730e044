//! Posts as they stand in a run, in order, and openings as built.

use std::collections::BTreeMap;

use crate::ids::ItemId;
use crate::job::Reader;
use crate::job::reader::Fact;
use crate::model::context::{OpeningRead, Said};
use crate::model::fields;
use crate::model::values::{End, Length, Opening, PostRole, Section, Support};
use crate::subject::Subject;

/// A post as it stands in a run.
#[derive(Clone, Debug, PartialEq)]
pub struct PostInRun {
    /// The post.
    pub id: ItemId,
    /// Its name.
    pub name: String,
    /// Middle of the post from the run's first post, level.
    pub position: Fact<Length, Said>,
    /// What it does here. Where people differ, a corner if anybody says so, for a corner asks the most
    /// of a post; whoever tells of it says that it is disputed.
    pub role: PostRole,
    /// The run's end here, where it is an anchor.
    pub end: Fact<End, Said>,
    /// What carries the wire here: a post, or a spreader that only spaces.
    pub support: Fact<Support, Said>,
    /// Cross section.
    pub section: Option<Section>,
    /// Floor level against the run's first post.
    pub floor: Option<Length>,
    /// The highest floor level that somebody tells, where people disagree on it.
    pub floor_disputed: Option<Length>,
    /// The lowest floor level that somebody tells.
    pub floor_lowest: Option<Length>,
    /// As-drilled distance centre to centre above each wire, where it was measured.
    pub drilled: BTreeMap<u32, Fact<Length, Said>>,
    /// Openings as built at this post, by place.
    pub openings: Vec<(String, Fact<Opening, OpeningRead>)>,
}

pub(super) fn read_posts(reader: &Reader<'_>, run: ItemId, posts: &[ItemId]) -> Vec<PostInRun> {
    let place = run.to_string();
    let mut found: Vec<PostInRun> = posts
        .iter()
        .filter_map(|id| {
            let subject = Subject::post(*id).to_string();
            let position = reader.one(fields::POST_POSITION, &subject, &place);
            position.shown()?;
            let floor = reader.one(fields::POST_FLOOR, &subject, "");
            Some(PostInRun {
                id: *id,
                name: name(reader.one(fields::POST_NAME, &subject, "").shown()),
                position,
                role: role(&reader.one(fields::POST_ROLE, &subject, &place)),
                end: reader.one(fields::POST_END, &subject, &place),
                support: reader.one(fields::POST_SUPPORT, &subject, ""),
                section: reader.value(fields::POST_SECTION, &subject),
                floor: floor.value().copied(),
                floor_disputed: floor.values().max().copied().filter(|_| floor.blocks()),
                floor_lowest: floor.values().min().copied(),
                drilled: drilled(reader, &subject, &place),
                openings: openings(reader, fields::POST_OPENING, &subject),
            })
        })
        .collect();
    found.sort_by_key(|p| (p.position.shown().map(|l| l.nm), p.id));
    found
}

fn role(told: &Fact<PostRole, Said>) -> PostRole {
    let corner = told.values().find(|role| **role == PostRole::Corner);
    let role = corner.or_else(|| told.shown()).copied();
    role.unwrap_or(PostRole::Intermediate)
}

fn drilled(reader: &Reader<'_>, subject: &str, run: &str) -> BTreeMap<u32, Fact<Length, Said>> {
    reader
        .places(fields::POST_DRILLED, subject)
        .into_iter()
        .filter_map(|place| {
            let (of, wire) = place.split_once('/')?;
            let wire = (of == run).then(|| wire.parse().ok()).flatten()?;
            Some((wire, reader.one(fields::POST_DRILLED, subject, &place)))
        })
        .collect()
}

pub(super) fn openings(
    reader: &Reader<'_>,
    field: crate::model::Field<Opening, OpeningRead>,
    subject: &str,
) -> Vec<(String, Fact<Opening, OpeningRead>)> {
    reader
        .places(field, subject)
        .into_iter()
        .flat_map(|place| {
            reader
                .many(field, subject, &place)
                .into_iter()
                .map(move |fact| (place.clone(), fact))
        })
        .collect()
}

/// Letters of a name; longer ones are cut where they are shown.
const LONGEST_NAME: usize = 1_000;

/// A name, on one line whoever wrote it and with nothing hidden in it: it stands in sentences beside figures,
/// which a sign that turns the reading direction would turn with it.
pub(crate) fn name(shown: Option<&String>) -> String {
    let one_line = text(shown).replace(['\n', '\r'], " ");
    crate::photos::visible(&one_line, LONGEST_NAME)
}

pub(crate) fn text(shown: Option<&String>) -> String {
    shown.cloned().unwrap_or_default()
}
