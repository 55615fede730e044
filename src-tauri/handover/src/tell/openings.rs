//! Openings with the probe, and heights.

use records::model::context::{GapRead, OpeningRead};
use records::model::fields;
use records::model::values::{Evidence, ProbeResult};
use records::work::{self, OpeningTold, Topic, openings_of_post, openings_of_run};

use super::reading::Reading;
use super::{Block, Fact, Row, Section, asked, said, words};

pub(super) fn section(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut rows = Vec::new();
    for run in &reading.job.runs {
        let stand = openings_of_run(reading.job, run);
        for one in &run.openings {
            rows.push(row(reading, &format!("run {}", run.name), one, &stand));
        }
    }
    let mut seen = Vec::new();
    for post in reading.job.runs.iter().flat_map(|r| &r.posts) {
        if seen.contains(&post.id) {
            continue;
        }
        seen.push(post.id);
        let stand = openings_of_post(reading.job, post);
        for one in &post.openings {
            rows.push(row(reading, &format!("post {}", post.name), one, &stand));
        }
    }
    if !rows.is_empty() {
        blocks.push(Block::table(
            &[
                "At",
                "Opening",
                "Clear size",
                "Probe",
                "Push",
                "Result",
                "By",
            ],
            &[1.0, 2.6, 1.2, 1.0, 1.0, 1.0, 2.0],
            rows,
        ));
    }
    for run in &reading.job.runs {
        let rows = gaps(reading, run);
        if !rows.is_empty() {
            blocks.push(Block::head(format!("Run {}: gap checks", run.name)));
            blocks.push(Block::table(
                &["Bays", "Opening", "Sphere", "Push", "Result", "By"],
                &[2.2, 1.3, 1.3, 0.9, 2.4, 1.6],
                rows,
            ));
        }
    }
    blocks.extend(asked::tables(
        reading,
        &[Topic::Opening, Topic::FaceGap, Topic::Climbing],
    ));
    super::section(reading, "Openings", blocks, &[Evidence::Opening])
}

fn row(reading: &Reading<'_>, at: &str, one: &OpeningTold, stand: &[&OpeningTold]) -> Row {
    let (place, fact) = one;
    let stands = stand.iter().any(|left| std::ptr::eq(*left, one));
    let with = fact.tips.last().and_then(|t| t.with.as_ref());
    let kind = with.map_or_else(
        || reading.place(place),
        |w| words::opening(w.kind).to_owned(),
    );
    let what = with
        .and_then(|w| w.remark.as_ref())
        .map_or_else(|| kind.clone(), |remark| format!("{kind}, {remark}"));
    let what = match with.and_then(|w| w.moment) {
        Some(moment) => format!("{what}, {}", words::moment_of(moment)),
        None => what,
    };
    let result = fact.shown().and_then(|o| o.result);
    Row::of([
        at.to_owned(),
        what,
        reading.say(fact, |o| words::mm(o.nm)),
        with.and_then(|w| w.probe_nm)
            .map_or_else(String::new, words::mm),
        push(result, with),
        match (result.map(words::probe), stands) {
            (told, true) => told.unwrap_or_default().to_owned(),
            (Some(told), false) => format!("{told}; read again later"),
            (None, false) => "read again later".to_owned(),
        },
        reading.by(fact),
    ])
    .marked((stands && result == Some(ProbeResult::Passes)) || fact.blocks())
}

/// How hard the probe was pushed: as measured, else by hand where one was offered.
fn push(result: Option<ProbeResult>, with: Option<&OpeningRead>) -> String {
    match (result, with.and_then(|w| w.push_mn)) {
        (_, Some(mn)) => words::newtons(mn),
        (Some(_), None) => "by hand".into(),
        (None, None) => String::new(),
    }
}

/// Diameter of the sphere, with the probe's name where it is one of the job's tools.
fn sphere(reading: &Reading<'_>, with: &GapRead) -> String {
    let size = words::mm(with.probe_nm);
    let tool = with
        .tool
        .and_then(|id| reading.job.tools.iter().find(|t| t.id == id));
    match tool {
        Some(tool) if !tool.name.is_empty() => format!("{size}, {}", tool.name),
        _ => size,
    }
}

/// Gap checks; bays that tell the same share a row.
fn gaps(reading: &Reading<'_>, run: &records::job::Run) -> Vec<Row> {
    let mut rows: Vec<(Vec<String>, Row)> = Vec::new();
    for bay in &run.bays {
        let checks = reading.job.gaps(run.id, &bay.subject);
        for (wire, fact) in &checks {
            // Days alone do not tell which of two checks came last.
            let last = work::standing_at(reading.job, &checks, wire, |_| true);
            let stands = last.iter().any(|left| std::ptr::eq(*left, fact));
            let with = fact.tips.last().and_then(|t| t.with.as_ref());
            let passes = fact
                .value()
                .is_some_and(|g| g.result == ProbeResult::Passes);
            let top = u32::try_from(run.wires.len()).unwrap_or(u32::MAX);
            let opening = match wire {
                None if passes => "some of the bay".to_owned(),
                None => "all of the bay".to_owned(),
                Some(0) => "floor to wire 1".to_owned(),
                Some(n) if *n >= top => format!("above wire {n}"),
                Some(n) => format!("wire {n} to wire {}", n + 1),
            };
            let mut said = reading.say(fact, |g| words::probe(g.result).into());
            if let Some(reason) = with.and_then(|w| w.reason.as_ref()) {
                said.push_str(&format!(": {reason}"));
            }
            if !stands {
                said = format!("{}; offered again later", said.trim_end_matches('.'));
            }
            let row = Row::of([
                opening,
                with.map_or_else(String::new, |w| sphere(reading, w)),
                with.and_then(|w| w.push_mn)
                    .map_or_else(|| "by hand".into(), words::newtons),
                said,
                reading.by(fact),
            ])
            .marked((stands && passes) || fact.blocks());
            match rows.iter_mut().find(|(_, known)| *known == row) {
                Some((bays, _)) => bays.push(bay.name.clone()),
                None => rows.push((vec![bay.name.clone()], row)),
            }
        }
    }
    rows.into_iter()
        .map(|(mut bays, mut row)| {
            bays.dedup();
            row.cells.insert(0, bays.join(", "));
            row
        })
        .collect()
}

pub(super) fn heights(reading: &Reading<'_>) -> Section {
    let rows: Vec<Fact> = reading
        .job
        .runs
        .iter()
        .filter_map(|run| {
            let height = run.height?;
            let rail = run.rail.map_or_else(String::new, |r| {
                format!(
                    "rail {} thick, underside {}",
                    words::mm(r.thickness_nm),
                    words::mm(r.underside_nm)
                )
            });
            let stands = run.surface.map_or("", words::surface);
            Some(
                Fact::of(&format!("Run {}, top", run.name), words::mm(height.nm))
                    .with(["above floor or nosings", stands, &rail].join(", ")),
            )
        })
        .collect();
    let mut blocks = Vec::new();
    if !rows.is_empty() {
        blocks.push(Block::Facts { rows });
    }
    let coming = reading.fact(fields::JOB_COMING_FLOOR, |l| words::mm(l.nm));
    let none = reading
        .job
        .reader
        .value(fields::JOB_COMING_FLOOR, &reading.job.subject());
    if none.is_some_and(|told| told.nm == 0) {
        blocks.push(Block::text(
            "No floor covering is still to come.".to_owned(),
        ));
    } else if !coming.is_empty() {
        blocks.push(Block::text(format!("A floor covering of {coming} is still to come; heights and the lowest opening shrink by it.")));
    }
    blocks.extend(asked::tables(
        reading,
        &[
            Topic::BarrierNeeded,
            Topic::Height,
            Topic::Handrail,
            Topic::Pool,
        ],
    ));
    blocks.extend(said::besides(reading));
    blocks.extend(asked::attribution(reading));
    super::section(
        reading,
        "Heights and handrail",
        blocks,
        &[Evidence::Height, Evidence::Handrail],
    )
}
