//! Holes of every post face, as the schedule on the screens has them, and wires as drilled.
//!
//! Faces that are drilled alike share a column; on a rake the two faces of a post differ.

use records::ids::ItemId;
use records::job::Run;
use records::subject::Subject;
use records::work::{HoleLine, HoleSchedule, Stagger};

use super::reading::Reading;
use super::{Block, Row, words};

/// Faces beside each other in one table.
const MOST_FACES: usize = 6;

/// Faces that are drilled alike.
struct Column {
    title: String,
    hole: String,
    heights: Vec<(u32, String)>,
}

/// The hole schedule of a run.
pub(super) fn blocks(reading: &Reading<'_>, run: &Run) -> Vec<Block> {
    let schedule = match reading.found.run(run).map(|r| &r.holes) {
        Some(Ok(schedule)) => schedule,
        Some(Err(e)) => {
            return vec![Block::text(format!(
                "The holes of run {} can't be worked out: {e}",
                run.name
            ))];
        }
        None => return Vec::new(),
    };
    let mut blocks = Vec::new();
    if !schedule.holes.is_empty() {
        blocks.push(Block::head(format!("Run {}: holes by post face", run.name)));
        let columns = columns(schedule);
        for part in columns.chunks(MOST_FACES) {
            blocks.push(table(part, schedule));
        }
    }
    let mut said = schedule.notes.clone();
    if !schedule.holes.is_empty() {
        said.insert(0, "Heights and sizes in mm.".into());
    }
    blocks.extend((!said.is_empty()).then(|| Block::remark(said.join(" "))));
    blocks.extend(close(reading, run, schedule));
    blocks
}

fn columns(schedule: &HoleSchedule) -> Vec<Column> {
    let groups = schedule.groups.iter();
    groups
        .map(|group| {
            let holes = group.holes(&schedule.holes);
            Column {
                title: group.title.clone(),
                hole: holes.first().map(|hole| drill(hole)).unwrap_or_default(),
                heights: holes
                    .iter()
                    .map(|hole| (hole.wire, words::number(hole.height_mm)))
                    .collect(),
            }
        })
        .collect()
}

/// Size of a hole, its hand, and how the drill is held.
fn drill(hole: &HoleLine) -> String {
    let mut text = words::number(hole.diameter_mm);
    if hole.through {
        text.push_str(&format!(" through, {} long", words::number(hole.depth_mm)));
    } else {
        text.push_str(&format!(" × {} deep", words::number(hole.depth_mm)));
    }
    if let Some(hand) = hole.hand {
        text.push_str(&format!(", {}", words::hand(hand)));
    }
    if hole.aside_mm != 0.0 {
        let side = if hole.aside_mm > 0.0 { "right" } else { "left" };
        text.push_str(&format!(
            ", {} {side} of the middle, looking at the face",
            words::number(hole.aside_mm.abs())
        ));
    }
    if hole.rise_deg.abs() > 0.05 {
        let way = if hole.rise_deg > 0.0 {
            "rising"
        } else {
            "falling"
        };
        text.push_str(&format!(
            ", {way} {:.1}° towards the run's end",
            hole.rise_deg.abs()
        ));
    }
    text
}

fn table(columns: &[Column], schedule: &HoleSchedule) -> Block {
    let mut head = vec!["Wire".to_owned(), "Above the one below".to_owned()];
    head.extend(columns.iter().map(|c| c.title.clone()));
    let mut widths = vec![0.6, 1.5];
    widths.extend(columns.iter().map(|_| 2.0));
    let mut sizes = vec!["Hole".to_owned(), String::new()];
    sizes.extend(columns.iter().map(|c| c.hole.clone()));
    let mut wires: Vec<u32> = schedule.holes.iter().map(|h| h.wire).collect();
    wires.sort_unstable();
    wires.dedup();
    let mut rows = vec![Row::of(sizes)];
    rows.extend(wires.into_iter().map(|wire| {
        let mut cells = vec![wire.to_string(), below(schedule, wire)];
        cells.extend(columns.iter().map(|c| {
            let height = c.heights.iter().find(|(w, _)| *w == wire);
            height.map_or_else(|| "–".into(), |(_, h)| h.clone())
        }));
        Row::of(cells)
    }));
    Block::Table { head, widths, rows }
}

/// Distance to the wire below as planned: plumb, and square to the wires where that differs.
fn below(schedule: &HoleSchedule, wire: u32) -> String {
    let Some(hole) = schedule.holes.iter().find(|h| h.wire == wire) else {
        return String::new();
    };
    let Some(plumb) = hole.planned_below_mm else {
        return "–".into();
    };
    match hole.planned_below_square_mm {
        Some(square) if (square - plumb).abs() > 0.05 => format!(
            "{} ({} square)",
            words::number(plumb),
            words::number(square)
        ),
        _ => words::number(plumb),
    }
}

/// Posts in which holes of this run and of a later one come close: how many, and the closest.
fn close(reading: &Reading<'_>, run: &Run, schedule: &HoleSchedule) -> Vec<Block> {
    let items: Vec<String> = close_posts(reading, run, schedule, |_| true)
        .into_iter()
        .map(|(pairs, least)| {
            format!(
                "{pairs} in this post. The closest: {} How much wood is wanted is a remark and no rule.",
                least.sentence
            )
        })
        .collect();
    if items.is_empty() {
        return Vec::new();
    }
    vec![Block::List { items }]
}

/// The same posts, to stand among what is open until they are drilled or the wires are in.
pub(super) fn open(reading: &Reading<'_>, run: &Run) -> Vec<String> {
    let Some(Ok(schedule)) = reading.found.run(run).map(|r| &r.holes) else {
        return Vec::new();
    };
    let post = |least: &Stagger| match least.post {
        Subject::Item(_, id) => run.posts.iter().find(|p| p.id == id),
        _ => None,
    };
    // What is drilled is not open any more; that it came close stands with the holes.
    close_posts(reading, run, schedule, |pair| !pair.made)
        .into_iter()
        .map(|(pairs, least)| {
            let name = post(least).map_or("?", |p| p.name.as_str());
            format!("Post {name}: {pairs}; section 7 has the closest")
        })
        .collect()
}

/// Those posts, each with its pairs counted in words and the closest of them.
fn close_posts<'s>(
    reading: &Reading<'_>,
    run: &Run,
    schedule: &'s HoleSchedule,
    wanted: impl Fn(&Stagger) -> bool,
) -> Vec<(String, &'s Stagger)> {
    let staggers: Vec<&Stagger> = schedule.staggers.iter().filter(|s| wanted(s)).collect();
    let mut posts: Vec<Subject> = staggers.iter().map(|s| s.post).collect();
    posts.dedup();
    posts
        .into_iter()
        .filter(|post| first_of(reading, post) == Some(run.id))
        .filter_map(|post| {
            let pairs = staggers.iter().copied().filter(|s| s.post == post);
            let count = u64::try_from(pairs.clone().count()).unwrap_or(u64::MAX);
            let least = pairs.min_by(|a, b| a.wood_mm.total_cmp(&b.wood_mm))?;
            let told = words::count(
                count,
                "pair of holes comes close",
                "pairs of holes come close",
            );
            Some((told, least))
        })
        .collect()
}

/// The first run that a post belongs to: what is said of two runs is said once.
fn first_of(reading: &Reading<'_>, post: &Subject) -> Option<ItemId> {
    let runs = &reading.job.runs;
    runs.iter()
        .find(|r| r.posts.iter().any(|p| Subject::post(p.id) == *post))
        .map(|r| r.id)
}
