//! A drilling template of a run's posts as a PDF at full size.
//!
//! Faces that are drilled alike share their pages. Invariant: no template is made while people
//! differ on what its holes follow from, and every page carries two bars of 100 mm with the words to measure them
//! first.

use mechanics::Millimetres;
use mechanics::template::{Paper, TemplateMark, TemplatePage, template};
use records::entry::At;
use records::ids::ItemId;
use records::job::{Job, Run};
use records::model::fields;
use records::model::values::Shape;
use records::work::{self, HoleLine, HoleSchedule};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use ts_rs::TS;

use crate::tell::words;
use crate::{HandoverError, print, visible};

/// The paper that a template is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum PaperSize {
    /// A4, 210 × 297 mm.
    #[default]
    A4,
    /// US letter, 8.5 × 11 in.
    Letter,
}

/// Which template is wanted.
#[derive(Clone, Copy, Debug, Default)]
pub struct TemplateAsk {
    /// One post alone; all of the run where none.
    pub post: Option<ItemId>,
    /// The paper.
    pub paper: PaperSize,
    /// Heights told in inches, to the nearest thirty-second; marks lie at their true places.
    pub inches: bool,
}

/// A template, set.
#[derive(Clone, Debug)]
pub struct DrillingTemplate {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// Its pages.
    pub pages: usize,
    /// Faces, those that share their pages together ("A2 towards A1, A2 towards A3").
    pub faces: Vec<String>,
    /// Posts whose holes stand so far off the middle that the paper does not hold them: why, and what to do.
    pub left_out: Vec<String>,
}

/// How far left of the middle a mark may lie beside the words of the sheet, in millimetres.
const FREE_LEFT: f64 = 10.0;

/// Faces that are drilled alike.
struct Alike<'a> {
    faces: Vec<(String, String)>,
    holes: Vec<&'a HoleLine>,
    /// What is said of holes of two runs that come close in these posts.
    close: Vec<&'a str>,
}

/// Sets the drilling template of a run, or of one of its posts.
///
/// # Errors
/// [`HandoverError::NoSuchRun`]; [`HandoverError::NoTemplate`] where nothing is to be drilled or
/// people differ on what the holes follow from;
/// [`HandoverError::Document`] with what the typesetter said.
pub fn drilling_template(
    job: &Job<'_>,
    run: ItemId,
    ask: &TemplateAsk,
    made: At,
) -> Result<DrillingTemplate, HandoverError> {
    let refuse = |why: String| HandoverError::NoTemplate(why);
    let found = job.run(run).ok_or(HandoverError::NoSuchRun(run))?;
    settled(job, run)?;
    let schedule = work::hole_schedule(job, run).map_err(|e| refuse(format!("{e}.")))?;
    let alike = alike(&schedule, ask.post);
    if alike.is_empty() {
        let why = schedule.notes.iter().skip(1).cloned().collect::<Vec<_>>();
        return Err(refuse(format!(
            "Run {} has no holes to mark: tell posts, wire heights and fitting set first. {}",
            found.name,
            why.join(" ")
        )));
    }
    let paper = paper(ask.paper);
    let (alike, beyond): (Vec<_>, Vec<_>) = alike
        .into_iter()
        .partition(|one| one.holes.iter().all(|hole| held(hole, paper)));
    let left_out = left_out(&beyond, ask);
    if alike.is_empty() {
        return Err(refuse(left_out.join(" ")));
    }
    let mut pages = Vec::new();
    for one in &alike {
        let of_face = face_pages(job, found, one, (ask, &left_out));
        pages.extend(of_face.map_err(|e| refuse(format!("{e}.")))?);
    }
    let count = pages.len();
    for (at, page) in pages.iter_mut().enumerate() {
        if let Some(fields) = page.as_object_mut() {
            let foot = format!(
                "sheet {} of {count} · {} · {}",
                at + 1,
                words::when(made),
                shown(job, &job.subject())
            );
            fields.insert("foot".to_owned(), foot.into());
        }
    }
    let model = json!({
        "title": format!("Drilling template, run {}", found.name),
        "job": shown(job, &job.subject()),
        "pages": pages,
    });
    Ok(DrillingTemplate {
        pdf: print::drilling(model, made)?,
        pages: count,
        faces: alike.iter().map(|one| faces(&one.faces)).collect(),
        left_out,
    })
}

const fn paper(size: PaperSize) -> Paper {
    match size {
        PaperSize::A4 => Paper::A4,
        PaperSize::Letter => Paper::LETTER,
    }
}

/// Whether the paper holds a hole so far off the middle.
fn held(hole: &HoleLine, paper: Paper) -> bool {
    let most = paper.beside_the_middle(Millimetres(hole.diameter_mm));
    Millimetres(hole.aside_mm).abs() <= most
}

/// Said of faces that the paper does not hold, once a post.
fn left_out(beyond: &[Alike<'_>], ask: &TemplateAsk) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for one in beyond {
        let far = one.holes.iter().map(|hole| hole.aside_mm.abs());
        let (far, across) = (far.fold(0.0, f64::max), one.holes.first());
        let across = across.map_or(0.0, |hole| hole.diameter_mm);
        let most = paper(ask.paper).beside_the_middle(Millimetres(across));
        for (post, _) in &one.faces {
            let sentence = format!(
                "Post {post} is on no sheet: its holes stand {} off the middle of their face, and this paper \
                 holds {} on either side. Mark them by hand from the hole schedule.",
                told(Millimetres(far), ask.inches),
                told(most, ask.inches)
            );
            if !said.contains(&sentence) {
                said.push(sentence);
            }
        }
    }
    said
}

fn settled(job: &Job<'_>, run: ItemId) -> Result<(), HandoverError> {
    let apart = work::unsettled_to_drill(job, run)
        .map_err(|e| HandoverError::NoTemplate(format!("{e}.")))?;
    if apart.is_empty() {
        return Ok(());
    }
    Err(HandoverError::NoTemplate(format!(
        "People differ on {}: settle it before anything is drilled.",
        apart.join(" and ")
    )))
}

fn shown(job: &Job<'_>, subject: &str) -> String {
    let title = job.reader.one(fields::JOB_TITLE, subject, "");
    visible::shown(&title.label())
}

/// Faces that are drilled alike, of one post alone or of all.
fn alike(schedule: &HoleSchedule, post: Option<ItemId>) -> Vec<Alike<'_>> {
    let groups = schedule.groups.iter();
    groups
        .map(|group| {
            let faces = group.faces.iter();
            let faces = faces.filter(|face| post.is_none_or(|post| post == face.post));
            let close = schedule.close.iter();
            let close = close.filter(|c| faces.clone().any(|face| face.post == c.post));
            Alike {
                close: close.map(|c| c.sentence.as_str()).collect(),
                faces: faces
                    .map(|face| (face.post_name.clone(), face.face.clone()))
                    .collect(),
                holes: group.holes(&schedule.holes),
            }
        })
        .filter(|one| !one.faces.is_empty())
        .collect()
}

fn faces(faces: &[(String, String)]) -> String {
    let each: Vec<String> = faces
        .iter()
        .map(|(post, face)| format!("{post} {face}"))
        .collect();
    each.join(", ")
}

fn face_pages(
    job: &Job<'_>,
    run: &Run,
    one: &Alike<'_>,
    (ask, left_out): (&TemplateAsk, &[String]),
) -> Result<Vec<Value>, mechanics::MechanicsError> {
    let paper = paper(ask.paper);
    let marks: Vec<TemplateMark> = one
        .holes
        .iter()
        .map(|hole| TemplateMark {
            label: hole.wire.to_string(),
            height: Millimetres(hole.height_mm),
            aside: Millimetres(hole.aside_mm),
            diameter: Millimetres(hole.diameter_mm),
        })
        .collect();
    let title = format!("Run {}", run.name);
    let laid = template(&title, &marks, paper)?;
    let raked = run.shape == Shape::Raked;
    let datum = if raked {
        "0 is the line of the nosings at the middle of the post: carry it level round to this face. \
         Heights differ on the two faces."
    } else {
        "0 is the floor at this post. Hold the paper's middle on the middle of the face."
    };
    let mut datum = datum.to_owned();
    if raked && !work::fall_is_told(run) {
        datum = format!(
            "{datum} Which end of the run is the lower is not told: the faces are laid out as falling from \
             the first post. Tell the floors of both ends before drilling."
        );
    }
    if let Some(changed) = work::changed_rules(job) {
        datum = format!("{datum} {changed}");
    }
    // Whoever drills from the sheet reads it there, and not in the schedule.
    let close = one.close.iter().copied();
    let close: Vec<&str> = close.chain(left_out.iter().map(String::as_str)).collect();
    let close = visible::shown(&close.join(" "));
    // Words stand on the side that the marks leave free.
    let leftmost = one
        .holes
        .iter()
        .map(|hole| hole.aside_mm)
        .fold(0.0, f64::min);
    let of = laid.pages.len();
    let length = |mm: Millimetres| told(mm, ask.inches);
    Ok(laid
        .pages
        .iter()
        .map(|page| {
            json!({
                "width": paper.width, "height": paper.height, "margin": paper.margin,
                "title": format!("Drilling template, run {}", visible::shown(&run.name)),
                "place": format!(
                    "Page {} of {of}: {} to {} above {}",
                    page.number, length(page.from), length(page.to),
                    if raked { "the nosing line" } else { "the floor" }
                ),
                "faces": format!("Post {}", faces(&one.faces)),
                "datum": datum,
                "close": close,
                "words": laid.words,
                "barLabel": if ask.inches { "100 mm = 3 15/16 in" } else { "100 mm" },
                "bars": page.bars,
                "middle": paper.width / 2.0,
                "wordsRight": leftmost < -FREE_LEFT,
                "top": paper.margin + paper.header,
                "bottom": paper.height - paper.margin,
                "floor": page.floor_line,
                "floorLabel": if raked { "0: nosing line. Cut here." } else { "0: floor. Cut here." },
                "joins": joins(page, ask.inches),
                "marks": marked(page, one, ask.inches, work::fall_is_told(run)),
            })
        })
        .collect())
}

fn joins(page: &TemplatePage, inches: bool) -> Vec<Value> {
    let join = |join: &mechanics::template::Join| json!({ "y": join.y, "label": format!("{} · {}", join.label, told(join.height, inches)) });
    page.joins.iter().map(join).collect()
}

fn marked(page: &TemplatePage, one: &Alike<'_>, inches: bool, fall_told: bool) -> Vec<Value> {
    page.marks
        .iter()
        .map(|mark| {
            let hole = one.holes.iter().find(|h| h.wire.to_string() == mark.label);
            let hand = hole
                .and_then(|hole| hole.hand)
                .map_or_else(String::new, |hand| format!(" {}", words::hand(hand)));
            let depth = hole.map_or_else(String::new, |hole| match hole.through {
                true => "through, from both faces".to_owned(),
                false if inches => {
                    format!("{} deep", Millimetres(hole.depth_mm).in_inches_at_least())
                }
                false => format!("{} deep", Millimetres(hole.depth_mm)),
            });
            let rise = hole.map_or(0.0, |hole| hole.rise_deg);
            let aside = hole.map_or(0.0, |hole| hole.aside_mm);
            let off = match aside == 0.0 {
                true => String::new(),
                false => format!(
                    " · {} {} of the middle",
                    told(Millimetres(aside.abs()), inches),
                    if aside > 0.0 { "right" } else { "left" }
                ),
            };
            let lean = if rise == 0.0 {
                String::new()
            } else {
                let way = match (fall_told, rise > 0.0) {
                    (false, _) => "which way is not told: tell the floors of both ends",
                    (true, true) => "rising towards the run's end",
                    (true, false) => "falling towards the run's end",
                };
                format!("drill {:.1}° off square, {way}", rise.abs())
            };
            json!({
                "x": mark.x, "y": mark.y, "diameter": mark.diameter,
                "label": format!("Wire {}{hand} · {}", mark.label, told(mark.height, inches)),
                "told": format!("⌀ {} {depth}{off}", drill(mark.diameter, inches)),
                "lean": lean,
            })
        })
        .collect()
}

/// A length as it is read off a tape: millimetres to a tenth, or inches to a thirty-second.
fn told(length: Millimetres, inches: bool) -> String {
    if inches {
        length.in_inches()
    } else {
        length.to_string()
    }
}

/// A drill by its size.
fn drill(diameter: Millimetres, inches: bool) -> String {
    if inches {
        diameter.in_inches_of_a_drill()
    } else {
        diameter.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::{drill, told};
    use mechanics::Millimetres;

    #[test]
    fn inches_are_told_as_a_tape_has_them() {
        for (mm, text) in [
            (76.2, "3 in"),
            (100.0, "3 15/16 in"),
            (0.79375, "1/32 in"),
            (912.0, "35 29/32 in"),
            (-25.4, "−1 in"),
            (0.0, "0 in"),
        ] {
            assert_eq!(told(Millimetres(mm), true), text);
        }
        assert_eq!(told(Millimetres(75.84), false), "75.8 mm");
    }

    #[test]
    fn a_drill_is_the_fraction_that_it_is_or_thousandths_and_a_depth_is_never_less() {
        for (mm, text) in [(9.0, "0.354 in"), (9.525, "3/8 in"), (12.0, "0.472 in")] {
            assert_eq!(drill(Millimetres(mm), true), text);
        }
        assert_eq!(drill(Millimetres(9.0), false), "9 mm");
        // 42 mm are 52.9 thirty-seconds, 41.28 mm are 52 of them.
        assert_eq!(Millimetres(42.0).in_inches_at_least(), "1 21/32 in");
        assert_eq!(Millimetres(41.275).in_inches_at_least(), "1 5/8 in");
        assert_eq!(Millimetres(1500.0).in_inches_at_most(), "59 1/32 in");
    }
}
