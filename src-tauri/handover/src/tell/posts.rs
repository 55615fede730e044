//! Posts with fixings and joints, what the wires ask of them, and how known pulls moved them.

use records::model::values::{Evidence, Support};
use records::work::Topic;

use super::barrier::documents;
use super::reading::Reading;
use super::{Block, Row, Section, asked, cautions, section, words};

pub(super) fn posts(reading: &Reading<'_>) -> Section {
    let rows: Vec<Row> = reading
        .job
        .posts
        .iter()
        .map(|post| {
            let section = post.section.map_or_else(String::new, |s| {
                let built = match (s.wall_nm, s.solid) {
                    (Some(wall), _) => format!(", wall {}", words::mm(wall)),
                    (None, Some(true)) => ", solid".to_owned(),
                    (None, Some(false)) => ", hollow, wall not told".to_owned(),
                    (None, None) => String::new(),
                };
                format!(
                    "{} × {} mm{built}",
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
                parts.extend(b.turning_nm_per_rad.map(|turning| {
                    let from = b.turning_origin.as_deref().unwrap_or("origin not told");
                    format!("turns by one radian at {turning} N·m ({from})")
                }));
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
                parts.extend(s.embedment_nm.map(|nm| format!("{} deep", words::mm(nm))));
                parts.extend(
                    s.edge_nm
                        .map(|nm| format!("{} from the edge", words::mm(nm))),
                );
                parts.extend(gate(reading, s));
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
                    "{} end of run {}: {}",
                    post.name,
                    run.name,
                    words::end(end.kind)
                );
                if end.kind.has_thread() {
                    text.push_str(&format!(", {}", words::hand(end.hand)));
                }
                if end.tensioner && end.kind.has_thread() {
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
    blocks.extend(known_pulls(reading));
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

/// What is told of a gate at its post.
fn gate(reading: &Reading<'_>, of: &Support) -> Vec<String> {
    let across = of.gate_across.and_then(|id| reading.job.post(id));
    let told = [
        (of.gate_clear_nm, "clear before tension"),
        (of.gate_leaf_nm, "leaf"),
        (of.gate_leaf_thick_nm, "leaf thick"),
        (of.gate_hinge_gap_nm, "gap at the hinges"),
    ];
    let lengths = told
        .into_iter()
        .filter_map(|(nm, what)| Some(format!("{what} {}", words::mm(nm?))));
    let other = across.map(|post| format!("across from {}", post.name));
    other.into_iter().chain(lengths).collect()
}

/// Known pulls on posts, as they were read.
fn known_pulls(reading: &Reading<'_>) -> Vec<Block> {
    let mut rows = Vec::new();
    for post in &reading.job.posts {
        for (run, fact) in &post.pulls {
            let name = reading.job.run(*run).map_or("?", |r| r.name.as_str());
            let with = fact.tips.last().and_then(|t| t.with.as_ref());
            rows.push(
                Row::of([
                    post.name.clone(),
                    format!("along run {name}"),
                    reading.say(fact, |p| {
                        format!(
                            "{} at {}, moved {}, rail {}",
                            words::newtons(p.mn),
                            words::mm(p.at_nm),
                            words::mm(p.moved_nm),
                            if p.rail_on { "on" } else { "off" }
                        )
                    }),
                    with.and_then(|w| w.reason.clone()).unwrap_or_default(),
                    reading.by(fact),
                ])
                .marked(fact.blocks()),
            );
        }
    }
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("Known pulls on posts"),
        Block::table(
            &["Post", "Pulled", "Read", "Remark", "By"],
            &[0.8, 1.3, 4.0, 1.8, 1.6],
            rows,
        ),
    ]
}
