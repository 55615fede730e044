//! The barrier as it stands: drawings, then posts with fixings and joints. One file past 400 lines,
//! since both tell of the same posts and bays.

use std::collections::BTreeMap;

use records::ids::ItemId;
use records::job::{Bay, Run};
use records::model::values::{Along, Evidence, Shape};
use records::work::{BayRow, RowOutcome, Topic};

use super::reading::Reading;
use super::{Block, Row, Section, asked, cautions, section, words};
use crate::drawing::{self, Paper, State, States};

pub(super) fn drawings(reading: &Reading<'_>, states: &BTreeMap<ItemId, States>) -> Section {
    let mut blocks = Vec::new();
    let none = States::default();
    for run in &reading.job.runs {
        let states = states.get(&run.id).unwrap_or(&none);
        let drawn = drawing::drawing(run, states);
        // A rake is drawn to one scale: it needs the height, and smaller letters beside it.
        let (height, text) = if run.shape == Shape::Raked {
            (80.0, 2.1)
        } else {
            (58.0, 2.5)
        };
        let paper = Paper {
            width: 172.0,
            height,
            text,
        };
        let (across, down) = paper.scales(&drawn);
        let mut caption = format!("Run {}, seen from the deck.", run.name);
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
        blocks.push(Block::Drawing {
            svg: drawing::svg(&drawn, &paper),
            alt: format!(
                "Run {} drawn with its posts, wires, rail and floor",
                run.name
            ),
            caption,
        });
        blocks.extend(asked::in_short(reading, run).map(Block::remark));
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
                row.map_or_else(String::new, asked::rows_of_bay),
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
            let how = with.map_or("", |w| words::instrument(w.instrument));
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
        .flat_map(|bay| [&bay.source, &bay.deflection_source])
        .flatten()
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

/// The next longer post distance of each table.
fn next_row(row: &BayRow) -> String {
    let without = |outcome| match outcome {
        RowOutcome::NotAllowed => "not allowed".to_owned(),
        _ => "outside the table".into(),
    };
    let tension = row.longer.as_ref().map(|next| {
        let after = match (next.outcome, next.difference_n) {
            (RowOutcome::Figure, Some(more)) => format!("{more:+.0} N"),
            (outcome, _) => without(outcome),
        };
        format!("{} mm on: {after}", words::number(next.distance_mm))
    });
    let down = row.deflection_longer.as_ref().map(|next| {
        let after = match (next.outcome, next.most_mm) {
            (RowOutcome::Figure, Some(most)) => format!("≤ {} mm", words::number(most)),
            (outcome, _) => without(outcome),
        };
        let tension = row.longer.as_ref().map(|t| t.distance_mm);
        if tension == Some(next.distance_mm) {
            after
        } else {
            let distance = words::number(next.distance_mm);
            format!("deflection {distance} mm on: {after}")
        }
    });
    let told: Vec<String> = [tension, down].into_iter().flatten().collect();
    told.join(", ")
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
                parts.extend(m.treatment.as_ref().map(|t| format!("treatment {t}")));
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
    blocks.extend(asked::in_words(reading, Topic::Loads).map(Block::text));
    if !reading.job.posts.is_empty() {
        blocks.push(cautions::posts());
    }
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
            &[2.6, 1.8, 1.1, 3.6, 0.9],
            rows,
        ));
    }
}
