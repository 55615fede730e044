//! Materials with their batches and arrival, and tools with their dates.

mod sets;

use records::job::things::Tool;
use records::model::values::{BatchKind, Evidence, Force};

use super::reading::Reading;
use super::{Block, Row, Section, barrier, parts, section, words};

pub(super) fn batches(reading: &Reading<'_>) -> Section {
    let mut blocks = parts::blocks(reading);
    let rows: Vec<Row> = reading
        .job
        .batches
        .iter()
        .map(|b| {
            let arrival = b.arrival.as_ref().map_or_else(String::new, |a| {
                // A hand is tried where there is one: the rest is only counted.
                let handed = b.kind.is_some_and(BatchKind::has_hands) || a.counted_right > 0;
                let tried = if handed && a.tried {
                    ", one of each hand tried"
                } else {
                    ""
                };
                let counted = if handed {
                    format!("{} LH, {} RH counted", a.counted_left, a.counted_right)
                } else {
                    format!("{} counted", a.counted_left)
                };
                let counts = [(a.short, "short"), (a.wrong, "wrong")];
                let told =
                    |(count, what): (Option<i64>, &str)| Some(format!(", {} {what}", count?));
                let off: String = counts.into_iter().filter_map(told).collect();
                let remark = if a.remark.is_empty() {
                    String::new()
                } else {
                    format!(", {}", a.remark)
                };
                format!("{counted}{tried}{off}{remark}")
            });
            let marks = [
                b.grade.clone().map(|g| format!("grade {g}")),
                b.lay.clone().map(|l| format!("lay {l}")),
                b.thread.clone().map(|t| format!("thread {t}")),
                b.heat.clone().map(|h| format!("heat {h}")),
                b.reel.clone().map(|r| format!("reel {r}")),
                b.metres.map(words::metres),
                b.left_mark
                    .clone()
                    .map(|m| format!("left hand marked: {m}")),
            ];
            let marks: Vec<String> = marks.into_iter().flatten().collect();
            Row::of([
                b.name.clone(),
                b.kind.map_or("", words::batch).into(),
                marks.join(", "),
                [
                    b.ordered.map(|n| {
                        if b.kind.is_some_and(BatchKind::has_hands) {
                            format!("{n} of each hand")
                        } else {
                            n.to_string()
                        }
                    }),
                    b.promised
                        .as_ref()
                        .map(|day| format!("promised for {}", words::date(Some(day)))),
                ]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(", "),
                arrival,
            ])
        })
        .collect();
    if !rows.is_empty() {
        blocks.push(Block::head("Batches and arrival"));
        blocks.push(Block::table(
            &[
                "Batch",
                "Kind",
                "Grade, lay, thread, heat, reel",
                "Ordered",
                "Arrival",
            ],
            &[2.0, 1.0, 2.4, 1.3, 2.6],
            rows,
        ));
    }
    let known = reading.job.strands.iter().any(|s| s.figures.is_some())
        || reading
            .job
            .fitting_sets
            .iter()
            .any(|s| s.terminals.is_some());
    if known {
        blocks.push(Block::head(
            "Strand and fittings, with the origin of each figure",
        ));
    }
    for strand in &reading.job.strands {
        let Some(f) = &strand.figures else { continue };
        let mut text = format!(
            "Strand {}: {} {}{}, EA {} ({}), permanent stretch {} parts per million ({})",
            strand.name,
            words::mm(f.diameter_nm),
            f.construction,
            f.diameter_origin
                .as_ref()
                .map_or_else(String::new, |origin| format!(" (diameter: {origin})")),
            words::newtons(f.ea_mn),
            f.ea_origin,
            f.stretch_ppm,
            f.stretch_origin
        );
        if let Some(load) = f.breaking_mn {
            let origin = f.breaking_origin.as_deref().unwrap_or("origin not told");
            text.push_str(&format!(
                ", breaking load {} ({origin})",
                words::newtons(load)
            ));
        }
        blocks.push(Block::text(text));
    }
    for set in &reading.job.fitting_sets {
        let Some(t) = &set.terminals else { continue };
        blocks.push(Block::text(sets::told(reading, set, t)));
    }
    barrier::documents(
        reading,
        &mut blocks,
        &[Evidence::Materials, Evidence::ClientChoice],
    );
    section(
        reading,
        "Materials, batches, arrival",
        blocks,
        &[Evidence::Materials, Evidence::ClientChoice],
    )
}

pub(super) fn tools(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    let made = reading.source.made;
    let today = words::day(made);
    let rows: Vec<Row> = reading
        .job
        .tools
        .iter()
        .map(|t| {
            let due = words::date(t.due.as_ref());
            let overdue = !due.is_empty() && due < today;
            let size = [
                range(t),
                t.reference
                    .map(|r| format!("counts from its {}", words::reference(r))),
                t.size.map(|s| words::mm(s.nm)),
                t.mass_mg
                    .map(|m| format!("weighed {}", words::kilograms(m))),
                t.error_per_10000.map(|e| {
                    format!(
                        "±{} %",
                        words::number(f64::from(i32::try_from(e).unwrap_or(0)) / 100.0)
                    )
                }),
            ];
            let size: Vec<String> = size.into_iter().flatten().collect();
            Row::of([
                t.name.clone(),
                t.kind.map_or("", words::tool).into(),
                size.join(", "),
                [
                    words::date(t.compared_on.as_ref()),
                    t.compared_with.clone().unwrap_or_default(),
                ]
                .join(" ")
                .trim()
                .to_owned(),
                if overdue {
                    format!("{due} (overdue)")
                } else {
                    due
                },
                t.certificate.clone().unwrap_or_default(),
            ])
            .marked(overdue)
        })
        .collect();
    if !rows.is_empty() {
        blocks.push(Block::table(
            &[
                "Tool",
                "Kind",
                "Range, size, error",
                "Compared",
                "Due",
                "Certificate",
            ],
            &[1.2, 1.2, 2.2, 2.2, 1.2, 1.2],
            rows,
        ));
    }
    barrier::documents(reading, &mut blocks, &[Evidence::Tools]);
    section(reading, "Tools and dates", blocks, &[Evidence::Tools])
}

/// Between which forces a tool reads, and what else was said of its range.
fn range(tool: &Tool) -> Option<String> {
    let force = |of: Option<Force>| of.map(|f| words::bare_newtons(f.mn));
    let stated = match (force(tool.range_from), force(tool.range_to)) {
        (Some(from), Some(to)) => Some(format!("{from} to {to} N")),
        (Some(from), None) => Some(format!("from {from} N")),
        (None, Some(to)) => Some(format!("up to {to} N")),
        (None, None) => None,
    };
    let more = tool
        .range
        .clone()
        .filter(|text| Some(text) != stated.as_ref());
    let told: Vec<String> = [stated, more].into_iter().flatten().collect();
    (!told.is_empty()).then(|| told.join(", "))
}
