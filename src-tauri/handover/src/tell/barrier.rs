//! The barrier as it stands: drawings, then posts with fixings and joints.

use std::collections::BTreeMap;

use records::ids::ItemId;
use records::job::Run;
use records::model::values::{Evidence, Shape};
use records::work::{self, BayRow, RowOutcome};

use super::reading::Reading;
use super::{Block, Row, Section, asked, section, words};
use crate::drawing::{self, Paper, State, States};

pub(super) fn drawings(reading: &Reading<'_>, states: &BTreeMap<ItemId, States>) -> Section {
    let mut blocks = Vec::new();
    let none = States::default();
    for run in &reading.job.runs {
        let states = states.get(&run.id).unwrap_or(&none);
        let drawn = drawing::drawing(run, states);
        let tall = if run.shape == Shape::Raked {
            80.0
        } else {
            62.0
        };
        let paper = Paper {
            width: 172.0,
            height: tall,
            text: 2.5,
        };
        let (across, down) = paper.scales(&drawn);
        let mut caption = format!(
            "Run {}, seen from the deck. Lengths in mm, clear between posts; in brackets: from positions, not measured.",
            run.name
        );
        let stretch = down / across.max(1e-9);
        if stretch > 1.02 {
            caption.push_str(&format!(
                " Heights are drawn {stretch:.1} times as large as lengths."
            ));
        }
        caption.push_str(&legend(states));
        blocks.push(Block::Drawing {
            svg: drawing::svg(&drawn, &paper),
            alt: format!(
                "Run {} drawn with its posts, wires, rail and floor",
                run.name
            ),
            caption,
        });
        blocks.extend(bays(reading, run));
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
    let asked = work::before_ordering(reading.job, run.id);
    let rows_asked = asked.as_ref().map_or(&[][..], |a| a.bays.as_slice());
    let rows = run
        .bays
        .iter()
        .map(|bay| {
            let origin = if bay.measured {
                "measured"
            } else {
                "from positions"
            };
            let readings: Vec<String> = bay
                .readings
                .iter()
                .map(|f| {
                    let with = f.told().and_then(|t| t.with.as_ref());
                    let how = with.map_or("", |w| words::instrument(w.instrument));
                    let value = reading.say(f, |l| words::bare_mm(l.nm));
                    format!("{value} {how}, {}", reading.by(f))
                })
                .collect();
            let row = rows_asked.iter().find(|r| r.subject == bay.subject);
            Row::of([
                bay.name.clone(),
                bay.clear.map_or_else(|| "–".into(), |l| words::mm(l.nm)),
                origin.into(),
                readings.join("; "),
                row.map_or_else(String::new, table_row),
                row.map_or_else(|| "–".into(), demand),
                row.map_or_else(String::new, next_row),
            ])
            .marked(row.is_some_and(|r| r.outcome != RowOutcome::Figure))
        })
        .collect();
    let mut blocks = vec![Block::table(
        &[
            "Bay",
            "Clear",
            "Origin",
            "Readings",
            "Row: bay / spacing / strand",
            "Asked",
            "Next row",
        ],
        &[0.8, 0.8, 1.1, 1.9, 1.5, 1.6, 1.8],
        rows,
    )];
    if let Err(e) = &asked {
        blocks.push(Block::remark(format!(
            "What the rule set asks can't be shown: {e}"
        )));
    }
    blocks
}

/// Where the asked figures are from, once for all runs.
fn sources(reading: &Reading<'_>) -> Option<Block> {
    let mut sources: Vec<String> = reading
        .job
        .runs
        .iter()
        .filter_map(|run| work::before_ordering(reading.job, run.id).ok())
        .flat_map(|asked| asked.bays)
        .filter_map(|bay| bay.source)
        .map(|s| asked::source(&s))
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

fn table_row(row: &BayRow) -> String {
    let part = |mm: Option<f64>| mm.map_or_else(|| "?".into(), words::number);
    match row.outcome {
        RowOutcome::Figure => format!(
            "{} / {} / {} mm",
            part(row.row_clear_mm),
            part(row.row_spacing_mm),
            part(row.row_diameter_mm)
        ),
        RowOutcome::NotAllowed => "not allowed".into(),
        RowOutcome::Outside => "outside the table".into(),
    }
}

fn demand(row: &BayRow) -> String {
    let tension = row
        .least_tension_n
        .map(|n| format!("≥ {} N", words::number(n)));
    let down = row
        .most_deflection_mm
        .map(|d| format!("≤ {} mm", words::number(d)));
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

pub(super) fn posts(reading: &Reading<'_>) -> Section {
    let rows: Vec<Row> = reading
        .job
        .posts
        .iter()
        .map(|post| {
            let section = post.section.map_or_else(String::new, |s| {
                let wall = s
                    .wall_nm
                    .map_or_else(String::new, |w| format!(", wall {}", words::bare_mm(w)));
                format!(
                    "{} × {}{wall} mm",
                    words::bare_mm(s.along_nm),
                    words::bare_mm(s.across_nm)
                )
            });
            let material = post.material.as_ref().map_or_else(String::new, |m| {
                let mut parts = vec![m.name.clone()];
                parts.extend(m.grade.clone());
                parts.extend(m.treatment.clone());
                parts.extend(m.modulus_mpa.map(|e| {
                    let origin = m.modulus_origin.as_deref().unwrap_or("origin not told");
                    format!("E {e} MPa ({origin})")
                }));
                parts.extend(
                    m.moisture_permille
                        .map(|p| format!("moisture {}.{} %", p / 10, p % 10)),
                );
                parts.join(", ")
            });
            let base = post.base.as_ref().map_or_else(String::new, |b| {
                let mut parts = vec![b.kind.clone()];
                parts.extend(b.bolts.map(|n| format!("{n} bolts")));
                parts.extend(b.spacing_nm.map(|s| format!("{} apart", words::mm(s))));
                parts.push(
                    if b.seen {
                        "seen before covered"
                    } else {
                        "not seen"
                    }
                    .into(),
                );
                parts.join(", ")
            });
            let support = post.support.as_ref().map_or_else(String::new, |s| {
                let mut parts = vec![words::support(s.kind).to_owned()];
                parts.extend(s.substrate.clone());
                parts.extend(
                    s.counts_as_post
                        .map(|c| format!("counts as a post for the table: {}", words::yes(c))),
                );
                parts.extend(
                    s.confirmed_by
                        .as_ref()
                        .map(|by| format!("confirmed by {by}")),
                );
                parts.join(", ")
            });
            let state = [
                post.condition.map(|c| words::condition(c).to_owned()),
                post.rail_joint.map(|j| words::rail_joint(j).to_owned()),
                post.floor
                    .map(|f| format!("floor {}", words::mm(f.nm).replace('-', "−"))),
            ];
            let state: Vec<String> = state.into_iter().flatten().collect();
            Row::of([
                post.name.clone(),
                support,
                section,
                material,
                base,
                state.join(", "),
            ])
        })
        .collect();
    let mut blocks = Vec::new();
    if !rows.is_empty() {
        blocks.push(Block::table(
            &[
                "Post",
                "Support",
                "Section",
                "Material",
                "Base fixing",
                "Condition, joint, floor",
            ],
            &[0.7, 1.2, 1.3, 2.4, 2.3, 2.0],
            rows,
        ));
    }
    for run in &reading.job.runs {
        for post in &run.posts {
            if let Some(end) = post.end.shown() {
                let mut text = format!(
                    "{} end of run {}: {}, {}",
                    post.name,
                    run.name,
                    words::end(end.kind),
                    words::hand(end.hand)
                );
                if end.tensioner {
                    text.push_str(", tensioned here");
                }
                if end.angled_seat {
                    text.push_str(", angled seat under the fitting");
                }
                blocks.push(Block::remark(text));
            }
        }
    }
    blocks.extend(asked::posts(reading));
    documents(
        reading,
        &mut blocks,
        &[
            Evidence::EngineersLetter,
            Evidence::PostFixing,
            Evidence::PostAdded,
            Evidence::RailJoint,
            Evidence::Permit,
        ],
    );
    section(
        reading,
        "Posts, fixings and rail joints",
        blocks,
        &[
            Evidence::PostFixing,
            Evidence::RailJoint,
            Evidence::EngineersLetter,
            Evidence::PostAdded,
            Evidence::Permit,
        ],
    )
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
            &[3.0, 2.0, 1.2, 2.4, 1.0],
            rows,
        ));
    }
}
