//! The barrier as it stands: drawings with bays, and documents kept as evidence.

use std::collections::BTreeMap;

use records::ids::ItemId;
use records::job::{Bay, Run};
use records::model::values::{Along, Evidence, Shape};
use records::work::{BayRow, RowOutcome};

use super::reading::Reading;
use super::{Block, Row, Section, asked, deflection, section, words};
use crate::drawing::{self, Paper, State, States};

pub(super) fn drawings(reading: &Reading<'_>, states: &BTreeMap<ItemId, States>) -> Section {
    let mut blocks = Vec::new();
    let none = States::default();
    for run in &reading.job.runs {
        let states = states.get(&run.id).unwrap_or(&none);
        let drawn = drawing::drawing(run, states);
        // A rake is drawn to one scale: it needs the height, and smaller letters beside it. A level run
        // and a stair stand on one page, the second that an inspector reads.
        let (height, text) = if run.shape == Shape::Raked {
            (60.0, 1.75)
        } else {
            (46.0, 2.4)
        };
        let paper = Paper {
            width: 172.0,
            height,
            text,
        };
        let (across, down) = paper.scales(&drawn);
        // From the side that people stand on; a drawing of an untold run too has only that side.
        let from = run.surface.map_or("deck", words::surface);
        let mut caption = format!("Run {}, seen from the {from}.", run.name);
        for sign in drawing::signs(run, &drawn) {
            caption.push(' ');
            caption.push_str(&sign);
        }
        let stretch = down / across.max(1e-9);
        if stretch > 1.02 {
            caption.push_str(&format!(
                " Heights are drawn {stretch:.1} times as large as lengths."
            ));
        }
        caption.push_str(&legend(states));
        let mut of_run = vec![Block::Drawing {
            svg: drawing::svg(&drawn, &paper),
            alt: format!(
                "Run {} drawn with its posts, wires, rail and floor",
                run.name
            ),
            caption,
        }];
        of_run.extend(asked::in_short(reading, run).map(Block::remark));
        of_run.extend(bays(reading, run));
        of_run.extend(asked::left_out(reading, run).map(Block::remark));
        // A drawing is read beside the figures of its bays.
        blocks.push(Block::Together { blocks: of_run });
    }
    blocks.extend(sources(reading));
    let mut made = section(reading, "Drawing as built", blocks, &[]);
    made.new_page = true;
    made
}

fn legend(states: &States) -> String {
    let mut seen: Vec<State> = states
        .wires
        .values()
        .map(|w| w.state)
        .chain(states.bays.values().copied())
        .chain(states.posts.values().copied())
        .collect();
    seen.sort_unstable();
    seen.dedup();
    let words: Vec<String> = seen
        .into_iter()
        .filter(|s| !s.letter().is_empty())
        .map(|s| format!("{} {}", s.letter(), s.words()))
        .collect();
    if words.is_empty() {
        String::new()
    } else {
        format!(" Letters: {}.", words.join(", "))
    }
}

/// Bays as measured, with what the code's table asks of each.
fn bays(reading: &Reading<'_>, run: &Run) -> Vec<Block> {
    let asked = reading.found.asked(run);
    let rows_asked = match asked {
        Some(Ok(asked)) => asked.bays.as_slice(),
        _ => &[],
    };
    let raked = run.shape == Shape::Raked;
    let rows = run
        .bays
        .iter()
        .map(|bay| {
            let row = rows_asked.iter().find(|r| r.bays.contains(&bay.subject));
            let mut cells = vec![bay.name.clone()];
            if raked {
                cells.extend(both_ways(bay, row));
            } else {
                cells.push(bay.clear.map_or_else(|| "–".into(), |l| words::mm(l.nm)));
            }
            cells.extend([
                readings(reading, bay),
                row.map_or_else(
                    || "–".into(),
                    |r| format!("{} mm", words::number(r.spacing_mm)),
                ),
                row.map_or_else(String::new, asked::row_of_bay),
                row.map_or_else(|| "–".into(), demand),
                row.map_or_else(String::new, next_row),
            ]);
            Row::of(cells).marked(row.is_some_and(|r| r.outcome != RowOutcome::Figure))
        })
        .collect();
    let mut head = vec!["Bay"];
    let mut widths = vec![0.9];
    if raked {
        head.extend(["Level", "Along the slope"]);
        widths.extend([0.9, 1.1]);
    } else {
        head.push("Clear");
        widths.push(0.9);
    }
    head.extend([
        "Read",
        if raked { "Spacing, square" } else { "Spacing" },
        "Row: bay / spacing / strand",
        "Asked",
        "Next row",
    ]);
    widths.extend([if raked { 1.9 } else { 2.5 }, 1.1, 1.6, 1.7, 2.1]);
    let mut blocks = vec![Block::table(&head, &widths, rows)];
    if raked {
        blocks.push(Block::remark(
            "On a rake the table counts posts' distance along the slope, as the wire runs (next row too), and spacing square to the wires.",
        ));
    }
    if let Some(Err(e)) = asked {
        blocks.push(Block::remark(format!(
            "What the rule set asks can't be shown: {e}"
        )));
    }
    blocks
}

/// Clear distance of a bay on a rake, level and along the slope, as far as each is known.
fn both_ways(bay: &Bay, row: Option<&BayRow>) -> [String; 2] {
    let read = bay.clear.map_or_else(|| "–".into(), |l| words::mm(l.nm));
    let along = row.filter(|r| r.bays.len() == 1).map_or_else(
        || "–".into(),
        |r| format!("{} mm", words::number(r.clear_mm)),
    );
    match bay.along {
        Along::Level => [read, along],
        Along::Slope => ["–".into(), read],
    }
}

/// How the clear distance of a bay came about.
fn readings(reading: &Reading<'_>, bay: &Bay) -> String {
    if !bay.measured && bay.readings.is_empty() {
        return "from positions, not measured".into();
    }
    let all: Vec<String> = bay
        .readings
        .iter()
        .map(|f| {
            let with = f.told().and_then(|t| t.with.as_ref());
            let tool = with.and_then(|w| w.tool);
            let tool = tool.and_then(|id| reading.job.tools.iter().find(|t| t.id == id));
            let instrument = with.map_or("", |w| words::instrument(w.instrument));
            let how = tool.map_or_else(
                || instrument.to_owned(),
                |tool| format!("{instrument} {}", tool.name),
            );
            let value = if bay.readings.len() > 1 || f.blocks() {
                format!("{} ", reading.say(f, |l| words::bare_mm(l.nm)))
            } else {
                String::new()
            };
            format!("{value}{how}, {}", reading.by(f))
        })
        .collect();
    all.join("; ")
}

/// Where the asked figures are from, once for all runs.
fn sources(reading: &Reading<'_>) -> Option<Block> {
    let mut sources: Vec<String> = reading
        .job
        .runs
        .iter()
        .filter_map(|run| reading.found.asked(run)?.as_ref().ok())
        .flat_map(|asked| &asked.bays)
        .flat_map(|bay| bay.source.iter().chain(&bay.deflection_source))
        .map(asked::source)
        .collect();
    sources.sort_unstable();
    sources.dedup();
    (!sources.is_empty()).then(|| {
        Block::remark(format!(
            "Asked: least tension, and most deflection under the table's mass. Source: {}. Looked up from clear length, widest spacing and strand, each taken to its row as the document says; ask the certifier.",
            sources.join("; ")
        ))
    })
}

fn demand(row: &BayRow) -> String {
    let tension = row
        .least_tension_n
        .map(|n| format!("≥ {} N", words::number(n)));
    let down = row.most_deflection_mm.map(|d| {
        let read = deflection::row_apart(row).map_or_else(String::new, |r| format!(" ({r})"));
        format!("≤ {} mm{read}", words::number(d))
    });
    let parts: Vec<String> = [tension, down].into_iter().flatten().collect();
    if parts.is_empty() {
        "–".into()
    } else {
        parts.join(", ")
    }
}

fn next_row(row: &BayRow) -> String {
    let Some(next) = &row.longer else {
        return String::new();
    };
    let after = match (next.outcome, next.difference_n) {
        (RowOutcome::Figure, Some(more)) => format!("{more:+.0} N"),
        (RowOutcome::NotAllowed, _) => "not allowed".into(),
        _ => "outside the table".into(),
    };
    format!("{} mm on: {after}", words::number(next.distance_mm))
}

/// Documents kept as evidence of one of these.
pub(super) fn documents(reading: &Reading<'_>, blocks: &mut Vec<Block>, shows: &[Evidence]) {
    let rows: Vec<Row> = reading
        .job
        .documents
        .iter()
        .filter_map(|d| {
            let (subject, evidence) = d.shows.iter().find(|(_, e)| shows.contains(e))?;
            let file = d.files.first();
            Some(Row::of([
                d.name.clone(),
                words::evidence(*evidence).into(),
                reading.name(subject),
                file.map_or_else(String::new, |f| f.sha256.short()),
                d.by.clone(),
            ]))
        })
        .collect();
    if !rows.is_empty() {
        blocks.push(Block::table(
            &["Document", "Proves", "About", "SHA-256 begins", "By"],
            &[2.6, 1.8, 1.1, 3.6, 0.9],
            rows,
        ));
    }
}
