//! What the rule set asks of each run, beside what was measured.
//!
//! Invariant: figures, margin, source and who must confirm stand together; no row is a verdict on
//! the barrier. One file past 400 lines, since all that is asked is read by the same few functions.

use std::collections::BTreeSet;

use records::job::Run;
use records::model::fields;
use records::work::{
    self, BayRow, BeforeOrdering, Finding, Quantity, RowOutcome, SourceStatus, Topic, Unit, Verdict,
};

use super::reading::Reading;
use super::{Block, Row, words};

/// Findings of these topics for every run, as tables with their sources below.
pub(super) fn tables(reading: &Reading<'_>, topics: &[Topic]) -> Vec<Block> {
    let mut blocks = Vec::new();
    for run in &reading.job.runs {
        match reading.found.asked(run) {
            None => {}
            Some(Ok(asked)) => table(run, asked, topics, &mut blocks),
            Some(Err(e)) => blocks.push(Block::text(format!(
                "What the rule set asks of run {} can't be shown: {e}",
                run.name
            ))),
        }
    }
    blocks
}

/// Findings of a run that want a person's eye, in one sentence each.
pub(super) fn open(reading: &Reading<'_>, run: &Run) -> Vec<String> {
    let Some(Ok(asked)) = reading.found.asked(run) else {
        return Vec::new();
    };
    let findings = asked.findings.iter().filter(|f| eye(f.verdict));
    findings
        .map(|f| format!("{}: {}", place(f, run), f.sentence))
        .chain(asked.problems.iter().map(|p| {
            let named = format!("Run {}", run.name);
            if p.sentence.starts_with(&named) {
                p.sentence.clone()
            } else {
                format!("{named}: {}", p.sentence)
            }
        }))
        .collect()
}

/// What a person has to be asked before anything else, once for all runs that it is said of.
pub(super) fn ask_first(reading: &Reading<'_>) -> Vec<String> {
    let mut said: Vec<(Vec<String>, &Finding)> = Vec::new();
    let mut loads: Vec<&Finding> = Vec::new();
    let findings = reading.job.runs.iter().flat_map(|run| {
        let asked = reading.found.asked(run).and_then(|a| a.as_ref().ok());
        let findings = asked.map_or(&[][..], |a| a.findings.as_slice());
        findings.iter().map(move |f| (place(f, run), f))
    });
    for (place, finding) in findings.filter(|(_, f)| f.verdict == Verdict::AskFirst) {
        let alike = |known: &Finding| {
            known.sentence == finding.sentence && known.confirm == finding.confirm
        };
        if finding.topic == Topic::Loads {
            if !loads.iter().any(|known| alike(known)) {
                loads.push(finding);
            }
            continue;
        }
        match said.iter_mut().find(|(_, known)| alike(known)) {
            Some((places, _)) if places.contains(&place) => {}
            Some((places, _)) => places.push(place),
            None => said.push((vec![place], finding)),
        }
    }
    let mut items: Vec<String> = said
        .into_iter()
        .map(|(places, f)| {
            format!(
                "Ask first ({}), {}: {}",
                f.confirm,
                places.join(", "),
                f.sentence
            )
        })
        .collect();
    let mut confirm: Vec<&str> = loads.iter().map(|f| f.confirm.as_str()).collect();
    confirm.sort_unstable();
    confirm.dedup();
    if !loads.is_empty() {
        let count = u64::try_from(loads.len()).unwrap_or(u64::MAX);
        items.push(format!(
            "Ask first ({}): {} by the rule set and not computed here; section 3 has them",
            confirm.join("; "),
            words::count(count, "load is stated", "loads are stated"),
        ));
    }
    items
}

/// The row of the table that asks the most of a run; what the table says where it has no figure.
pub(super) fn hardest_row(reading: &Reading<'_>, run: &Run) -> String {
    let Some(Ok(asked)) = reading.found.asked(run) else {
        return "–".into();
    };
    let worst = |row: &BayRow| match row.outcome {
        RowOutcome::NotAllowed => f64::INFINITY,
        RowOutcome::Outside => f64::MAX,
        RowOutcome::Figure => row.least_tension_n.unwrap_or(0.0),
    };
    asked
        .bays
        .iter()
        .max_by(|a, b| worst(a).total_cmp(&worst(b)))
        .map_or_else(|| "–".into(), table_row)
}

/// Post distance, spacing and strand of the row that was read.
pub(super) fn table_row(row: &BayRow) -> String {
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

/// What was assumed or left out when the rule set was held against a run.
pub(super) fn left_out(reading: &Reading<'_>, run: &Run) -> Option<String> {
    let asked = reading.found.asked(run)?.as_ref().ok()?;
    words::assumed(&run.name, &asked.notes)
}

/// The row that was read, and the bay that it was read for where that is more than this one.
pub(super) fn row_of_bay(row: &BayRow) -> String {
    let read = table_row(row);
    if row.bays.len() > 1 {
        format!("{read}, for {} as one bay", row.name)
    } else {
        read
    }
}

/// What the wires ask of end and corner posts, computed, with the post's own figure where one is
/// known and who must confirm.
pub(super) fn posts(reading: &Reading<'_>) -> Vec<Block> {
    let (mut items, mut left) = (Vec::new(), Vec::new());
    for run in &reading.job.runs {
        let Some(Ok(asked)) = reading.found.asked(run) else {
            continue;
        };
        left_out_of(&asked.posts, &mut left);
        items.extend(asked.posts.iter().map(|p| {
            let own = p.own.as_ref().map_or_else(String::new, |own| {
                format!(
                    " Beside it: {} MPa ({}).",
                    words::number(own.strength_mpa),
                    own.origin
                )
            });
            let of_it = figures_left_out(p).map(|said| format!(" {said}"));
            let pulled = p.pulled.iter().map(|said| format!(" {said}")).chain(of_it);
            format!(
                "Run {}: {}{own}{} Computed; to be confirmed by: {}.",
                run.name,
                p.sentence,
                pulled.collect::<String>(),
                p.confirm
            )
        }));
    }
    if items.is_empty() {
        return Vec::new();
    }
    let told = left.into_iter().map(|(sentence, names)| {
        let posts = if names.len() == 1 { "post" } else { "posts" };
        Block::remark(format!("Of {posts} {}: {sentence}", names.join(", ")))
    });
    let mut blocks = vec![
        Block::head("What the wires ask of end and corner posts"),
        Block::List { items },
    ];
    blocks.extend(told);
    blocks
}

/// Whether what is left out is a figure, of these wires on this post: such stands with them.
fn is_figure(sentence: &str) -> bool {
    sentence.chars().any(|c| c.is_ascii_digit())
}

/// What a post's figures leave out and a figure tells, of this run's wires and of all on it together.
fn figures_left_out(post: &work::PostAsked) -> impl Iterator<Item = String> + use<> {
    let once = |held: &[work::PostHeld]| {
        let all = held.iter().flat_map(|held| &held.left_out);
        let told: BTreeSet<&String> = all.filter(|s| is_figure(s)).collect();
        told.into_iter().cloned().collect::<Vec<_>>()
    };
    let alone = once(&post.held);
    let together = post.together.iter().flat_map(|t| once(&t.held));
    let together = together.filter(|said| !alone.contains(said));
    let together: Vec<String> = together
        .map(|said| format!("All runs on it: {said}"))
        .collect();
    alone.into_iter().chain(together)
}

/// What the figures of all posts leave out, each sentence once with the posts that it is about.
fn left_out_of(posts: &[work::PostAsked], left: &mut Vec<(String, Vec<String>)>) {
    for post in posts {
        let together = post.together.iter().flat_map(|t| &t.held);
        let held = post.held.iter().chain(together);
        let of_all = held
            .flat_map(|held| &held.left_out)
            .filter(|s| !is_figure(s));
        for sentence in of_all {
            let at = left.iter().position(|(told, _)| told == sentence);
            let at = at.unwrap_or_else(|| {
                left.push((sentence.clone(), Vec::new()));
                left.len() - 1
            });
            if let Some((_, names)) = left.get_mut(at).filter(|(_, n)| !n.contains(&post.name)) {
                names.push(post.name.clone());
            }
        }
    }
}

/// Posts of a run whose own figure lies below what the pull asks of them however they are held, and those
/// of which no stress is known, each in one sentence.
pub(super) fn over_own(reading: &Reading<'_>, run: &Run) -> Vec<(String, String)> {
    let Some(Ok(asked)) = reading.found.asked(run) else {
        return Vec::new();
    };
    let over = |post: &work::PostAsked| {
        let together = post.together.iter().flat_map(|t| &t.held);
        let held: Vec<_> = post.held.iter().chain(together).collect();
        let stresses: Option<Vec<f64>> = held.iter().map(|h| h.base_stress_mpa).collect();
        let Some(stresses) = stresses else {
            let told = format!(
                "Post {}: the stress at its base is not known, since its wall thickness is not told",
                post.name
            );
            return Some((post.name.clone(), told));
        };
        let own = post.own.as_ref()?;
        let figure = own.design_mpa.unwrap_or(own.strength_mpa);
        let worst = stresses.into_iter().reduce(f64::max)?;
        (worst > figure).then(|| {
            let solid = match held.iter().any(|h| h.taken_as_solid) {
                true => " if it is solid",
                false => "",
            };
            let told = format!(
                "Post {}: the wires ask up to {} MPa at its base{solid}, its own figure is {} MPa; section \
                 3 has both, and an engineer is to be asked",
                post.name,
                words::number(worst),
                words::number(figure)
            );
            (post.name.clone(), told)
        })
    };
    asked.posts.iter().filter_map(over).collect()
}

/// Fall, height and the widest opening of a run beside what is asked, for below its drawing.
pub(super) fn in_short(reading: &Reading<'_>, run: &Run) -> Option<String> {
    let asked = reading.found.asked(run)?.as_ref().ok()?;
    let of = |topic: Topic| {
        asked
            .findings
            .iter()
            .filter(move |f| f.topic == topic && f.margin.is_some())
            .min_by(|a, b| {
                let left = |f: &Finding| f.margin.map_or(f64::INFINITY, |m| m.value);
                left(a).total_cmp(&left(b))
            })
    };
    let fall = run
        .fall
        .or_else(|| {
            let job = reading.job;
            job.reader.value(fields::JOB_FALL, &job.subject())
        })
        .map(|fall| format!("Fall beside it {}", words::mm(fall.nm)));
    let height = of(Topic::Height).map(|f| {
        format!(
            "height {}, at least {} asked",
            quantity(f.actual),
            quantity(f.required)
        )
    });
    let opening = of(Topic::Opening).map(|f| {
        format!(
            "opening with the least in hand: {}, {} where a sphere of {} must not pass",
            f.place,
            quantity(f.actual),
            quantity(f.required)
        )
    });
    let parts: Vec<String> = [fall, height, opening].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| format!("{}; sections 10 and 11 have the rest.", parts.join("; ")))
}

/// What the rule set says on a topic without figures, once for all runs.
pub(super) fn in_words(reading: &Reading<'_>, topic: Topic) -> Option<String> {
    let mut said: Vec<String> = reading
        .job
        .runs
        .iter()
        .filter_map(|run| reading.found.asked(run)?.as_ref().ok())
        .flat_map(|asked| &asked.findings)
        .filter(|f| f.topic == topic && f.verdict != Verdict::NotAsked)
        .map(|f| {
            format!(
                "{} To be confirmed by: {}. Source: {}.",
                f.sentence,
                f.confirm,
                source(&f.source)
            )
        })
        .collect();
    said.sort_unstable();
    said.dedup();
    (!said.is_empty()).then(|| said.join(" "))
}

/// Whose text the figures are from, as the rule set wants it said.
pub(super) fn attribution(reading: &Reading<'_>) -> Option<Block> {
    let set = work::rules(reading.job).ok()??;
    let changed = work::changed_rules(reading.job).map_or_else(String::new, |c| format!("{c} "));
    Some(Block::remark(format!(
        "{changed}{} {}",
        set.attribution, set.caution
    )))
}

fn eye(verdict: Verdict) -> bool {
    matches!(
        verdict,
        Verdict::Short | Verdict::NotAllowed | Verdict::OutsideTable
    )
}

fn table(run: &Run, asked: &BeforeOrdering, topics: &[Topic], blocks: &mut Vec<Block>) {
    let findings: Vec<&Finding> = asked
        .findings
        .iter()
        .filter(|f| topics.contains(&f.topic) && f.verdict != Verdict::NotAsked)
        .collect();
    if findings.is_empty() {
        return;
    }
    let mut rows: Vec<Row> = Vec::new();
    for finding in &findings {
        let row = row(finding, run);
        match rows.last_mut() {
            Some(last) if same(last, &row) => join(last, &row),
            _ => rows.push(row),
        }
    }
    blocks.push(Block::head(format!(
        "Run {}: asked by the rule set",
        run.name
    )));
    blocks.push(Block::table(
        &["Where", "Asked", "Found", "In hand", "In words"],
        &[1.9, 0.8, 0.8, 0.9, 4.6],
        rows,
    ));
    let mut sources: Vec<String> = findings.iter().map(|f| source(&f.source)).collect();
    sources.sort_unstable();
    sources.dedup();
    let mut confirm: Vec<&str> = findings.iter().map(|f| f.confirm.as_str()).collect();
    confirm.sort_unstable();
    confirm.dedup();
    blocks.push(Block::remark(format!(
        "To be confirmed by: {}. Sources: {}.",
        confirm.join("; "),
        sources.join("; ")
    )));
}

/// Where a finding is; what is said of a whole run tells of what as well.
fn place(f: &Finding, run: &Run) -> String {
    let name = &run.name;
    match f.topic {
        _ if f.place != *name => f.place.clone(),
        Topic::BarrierNeeded => format!("fall beside run {name}"),
        Topic::Height => format!("height of run {name}"),
        Topic::Handrail => format!("handrail of run {name}"),
        Topic::Corner => format!("corners of run {name}"),
        Topic::WireEnd => format!("wire ends of run {name}"),
        _ => format!("run {name}"),
    }
}

fn row(f: &Finding, run: &Run) -> Row {
    Row::of([
        place(f, run),
        quantity(f.required),
        match f.actual_origin {
            // A gap that nobody read was not found.
            Some(origin) if f.topic == Topic::Opening && origin != work::Origin::Measured => {
                format!("{}, planned", quantity(f.actual))
            }
            _ => quantity(f.actual),
        },
        // A fall beyond the threshold is no margin: it says that a barrier is asked for.
        f.margin
            .filter(|_| f.topic != Topic::BarrierNeeded)
            .map_or_else(|| "–".into(), margin),
        f.sentence.clone(),
    ])
    .marked(eye(f.verdict))
}

/// Whether two rows tell the same of two places named alike: "… at A2", "… at A3".
fn same(a: &Row, b: &Row) -> bool {
    let stem = |r: &Row| {
        let place = r.cells.first()?;
        place.split_once(" at ").map(|(stem, _)| stem.to_owned())
    };
    stem(a).is_some() && stem(a) == stem(b) && a.cells.iter().skip(1).eq(b.cells.iter().skip(1))
}

fn join(last: &mut Row, row: &Row) {
    let more = row.cells.first().and_then(|p| p.split_once(" at "));
    if let (Some(place), Some((_, more))) = (last.cells.first_mut(), more) {
        place.push_str(", ");
        place.push_str(more);
    }
}

fn quantity(q: Option<Quantity>) -> String {
    q.map_or_else(
        || "–".into(),
        |q| format!("{} {}", words::number(q.value), unit(q.unit)),
    )
}

fn margin(q: Quantity) -> String {
    let number = words::number(q.value.abs());
    let sign = if q.value < 0.0 { "−" } else { "+" };
    format!("{sign}{number} {}", unit(q.unit))
}

fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::Millimetres => "mm",
        Unit::Newtons => "N",
    }
}

/// A source in words, with how it came to be known.
pub(super) fn source(source: &work::Source) -> String {
    let status = match source.status {
        SourceStatus::Read => "read in the document",
        SourceStatus::SecondHand => "read where another document quotes it",
        SourceStatus::Memory => "from memory, to be checked",
        // No document says it.
        SourceStatus::CommonPractice => return "common practice".to_owned(),
        SourceStatus::Own => "changed or entered by the users of the set",
    };
    format!(
        "{}, {}, {} ({status})",
        source.document, source.edition, source.clause
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_that_tell_the_same_share_a_row() {
        let row = |place: &str, rest: &str| Row::of([place.to_owned(), rest.to_owned()]);
        let mut first = row("floor to bottom wire at A2", "74.4 mm");
        let alike = row("floor to bottom wire at A3", "74.4 mm");
        assert!(same(&first, &alike));
        join(&mut first, &alike);
        assert_eq!(first.cells[0], "floor to bottom wire at A2, A3");
        assert!(!same(&first, &row("floor to bottom wire at A4", "80 mm")));
        assert!(!same(&first, &row("top wire to rail, run A", "74.4 mm")));
    }
}
