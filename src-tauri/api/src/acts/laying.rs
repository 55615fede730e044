//! Laying out wires: taking a proposal into the record as it was shown.

use records::Record;
use records::book::BookView;
use records::crew::Crew;
use records::entry::At;
use records::ids::{BookId, ItemId};
use records::job::{Job, PostInRun, Run, Wire};
use records::model::context::Said;
use records::model::fields;
use records::model::values::{End, FaceSide, Length, Slope, WireHeights};
use records::subject::{Subject, SubjectKind};
use records::work::{self, LayoutAsk, LayoutProposals, SaidNow};
use serde_json::json;

use super::ask;
use super::say::beside_each_other;
use crate::claim::{Act, Acted, Earlier, plain, tips};
use crate::handlers::laying::{PutAside, TakeLayout};
use crate::handlers::measure::Typed;
use crate::{ApiError, ErrorCode};

/// Takes a proposal into the record, number of wires and heights in one act.
pub(crate) fn take(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    ask: &LayoutAsk,
    request: TakeLayout,
) -> Result<Acted, ApiError> {
    let origin = taken(&record.job(job)?, run, ask, &request)?;
    let typed = request.wishes.overhang.as_ref().map(Typed::entered);
    let subject = Subject::run(run);
    let count = i64::try_from(request.heights_nm.len()).unwrap_or(i64::MAX);
    let heights = WireHeights {
        nm: request.heights_nm,
    };
    let said = Said {
        origin: Some(origin),
        ..Said::default()
    };
    let mut act = Act::default();
    let over = tips(record, job, &subject, fields::RUN_WIRE_COUNT.name, "")?;
    act.claim(
        fields::RUN_WIRE_COUNT,
        subject,
        "",
        Some(&count),
        &said,
        Earlier::over(over),
    )?;
    let over = tips(record, job, &subject, fields::RUN_WIRE_HEIGHTS.name, "")?;
    act.claim(
        fields::RUN_WIRE_HEIGHTS,
        subject,
        "",
        Some(&heights),
        &said,
        Earlier::over(over),
    )?;
    let typed = typed.as_ref().zip(ask.overhang);
    if let Some((slope, said)) = overhung(&record.job(job)?, run, typed) {
        let field = fields::RUN_SLOPE;
        let over = tips(record, job, &Subject::run(run), field.name, "")?;
        let (subject, earlier) = (Subject::run(run), Earlier::over(over));
        act.claim(field, subject, "", Some(&slope), &said, earlier)?;
    }
    act.record(record, job)
}

/// The run's slope with the overhang that the layout was asked with, where the record has another one or
/// none: what follows from the stair's triangle later counts what was told here.
fn overhung(job: &Job<'_>, run: ItemId, typed: Option<(&String, Length)>) -> Option<(Slope, Said)> {
    let ((typed, overhang), slope) = (typed?, job.run(run)?.slope?);
    let told = Slope {
        overhang_nm: Some(overhang.nm),
        ..slope
    };
    let said = Said {
        entered: Some(format!("overhang {typed}")),
        origin: Some("told with the layout that was taken".to_owned()),
        ..Said::default()
    };
    (told != slope).then_some((told, said))
}

/// Where the heights are from: the proposal that still has them. Asks where wires or posts were
/// worked on at other heights, and where they are laid out below another rail than the recorded one.
fn taken(
    job: &Job<'_>,
    run: ItemId,
    ask: &LayoutAsk,
    request: &TakeLayout,
) -> Result<String, ApiError> {
    let found = work::propose(job, run, ask)?;
    let origin = origin(&found, &request.heights_nm)?;
    let run = job.run(run).ok_or(work::WorkError::UnknownRun(run))?;
    let asked = begun(run, &request.heights_nm).into_iter();
    let asked = asked.chain(other_rail(run, ask));
    let questions: Vec<String> = asked.chain(unusual(&request.heights_nm)).collect();
    match questions.is_empty() || request.confirmed {
        true => Ok(origin),
        false => Err(ApiError::new(ErrorCode::Questioned, questions.join(" "))),
    }
}

/// Asks where the layout goes by another rail than the record: all that follows goes by the recorded one.
fn other_rail(run: &Run, ask: &LayoutAsk) -> Option<String> {
    let (wished, told) = (ask.rail?.nm, run.rail?.underside_nm);
    (wished != told).then(|| {
        format!(
            "These heights are laid out below a rail whose underside is at {}, and the record has it at {}: \
             gaps and before ordering go by the record. If the rail is another one, tell it there first. \
             Take the layout all the same?",
            work::words::mm(wished),
            work::words::mm(told)
        )
    })
}

/// What is asked of heights whoever tells them: a bottom wire in another unit, wires in the floor.
fn unusual(heights: &[i64]) -> Option<String> {
    let value = json!({ "nm": heights });
    work::odd_value(SubjectKind::Run, fields::RUN_WIRE_HEIGHTS.name, &value, &[])
}

fn origin(found: &LayoutProposals, heights: &[i64]) -> Result<String, ApiError> {
    let Some(taken) = found.proposals.iter().find(|p| p.heights_nm == heights) else {
        return Err(ApiError::new(
            ErrorCode::Changed,
            "What the layout follows from changed meanwhile, and these heights are no longer \
             proposed. Nothing was saved: look at the proposals again.",
        ));
    };
    let set = found.rule_set.as_ref();
    let set = set.map_or("no rule set", |set| set.title.as_str());
    Ok(format!("layout aid, {set}: {}", taken.sentence))
}

/// What would no longer be of this layout: wires that were measured, released or cut at other
/// heights, and spacings that were read as drilled.
fn begun(run: &Run, heights: &[i64]) -> Option<String> {
    let stands: Vec<i64> = run.heights.iter().map(|h| h.nm).collect();
    if stands.is_empty() || stands == heights {
        return None;
    }
    let worked = run
        .wires
        .iter()
        .filter(|w| !w.lengths.is_empty() || w.issued.shown().is_some() || w.cut.shown().is_some())
        .count();
    let drilled = run.posts.iter().filter(|p| !p.drilled.is_empty()).count();
    let mut what = Vec::new();
    if worked > 0 {
        what.push(match worked {
            1 => "1 wire was measured or cut".to_owned(),
            n => format!("{n} wires were measured or cut"),
        });
    }
    if drilled > 0 {
        what.push(match drilled {
            1 => "1 post was read as drilled".to_owned(),
            n => format!("{n} posts were read as drilled"),
        });
    }
    (!what.is_empty()).then(|| {
        format!(
            "{} at the heights that stand now. They keep their words and would belong to other \
             heights. Take the new layout?",
            what.join(" and ")
        )
    })
}

/// Puts the holes of a run's end off the middle of their face, away from where the other run's enter.
pub(crate) fn put_aside(
    record: &mut Record,
    job: BookId,
    (run, post): (ItemId, ItemId),
    request: &PutAside,
) -> Result<Acted, ApiError> {
    let off = request.off.left()?;
    let end = aside(&record.job(job)?, (run, post), off, request)?;
    let (subject, place) = (Subject::post(post), run.to_string());
    let said = Said {
        entered: Some(format!("holes {} off the middle", request.off.entered())),
        ..Said::default()
    };
    let mut act = Act::default();
    let over = tips(record, job, &subject, fields::POST_END.name, &place)?;
    let earlier = Earlier::over(over);
    act.claim(
        fields::POST_END,
        subject,
        &place,
        Some(&end),
        &said,
        earlier,
    )?;
    act.record(record, job)
}

/// The end with its holes put aside. Asks where they are drilled already, or little wood stays beside them.
fn aside(
    job: &Job<'_>,
    (run, post): (ItemId, ItemId),
    off: Length,
    request: &PutAside,
) -> Result<End, ApiError> {
    let run = job.run(run).ok_or(work::WorkError::UnknownRun(run))?;
    let at = run.posts.iter().find(|p| p.id == post);
    let ends = run.ends().filter(|(a, b)| [a.id, b.id].contains(&post));
    let Some((at, _)) = at.zip(ends) else {
        return Err(ApiError::invalid(
            "The run does not end at that post: only the holes of its ends are put aside. Nothing was \
             saved.",
        ));
    };
    // Kind and hand stand in the same word: nothing that was only taken so is recorded as told.
    let Some(end) = at.end.value().copied() else {
        return Err(ApiError::invalid(format!(
            "The end of run {} at {} is not told, or people differ on it: tell its kind and hand first. \
             Nothing was saved.",
            run.name, at.name
        )));
    };
    let away = match request.other_enters {
        FaceSide::Right => -off.nm,
        FaceSide::Left => off.nm,
    };
    let aside = End {
        aside_nm: (away != 0).then_some(away),
        other_enters: (away != 0).then_some(request.other_enters),
        ..end
    };
    let odd = odd(job, run, at, &aside)?;
    if !request.confirmed {
        ask(odd)?;
    }
    Ok(aside)
}

/// What to ask of an end with its holes put aside; refuses what lies off the post.
fn odd(job: &Job<'_>, run: &Run, at: &PostInRun, end: &End) -> Result<Vec<String>, ApiError> {
    let (value, place) = (plain(end)?, run.id.to_string());
    let said = SaidNow {
        subject: Subject::post(at.id),
        field: fields::POST_END.name,
        place: &place,
        value: &value,
    };
    let mut odd = beside_each_other(job, &[said])?;
    if !at.drilled.is_empty() || run.wires.iter().any(Wire::is_fitted) {
        odd.push(format!(
            "Holes of run {} at {} are told as drilled, or wires are in. Do they stand there?",
            run.name, at.name
        ));
    }
    Ok(odd)
}

/// A job as it stands at a time, to be read where no lock is held.
pub(crate) struct JobAt {
    view: BookView,
    crew: Crew,
    /// The time.
    pub(crate) at: At,
}

impl JobAt {
    /// Takes a copy of all that the job's book holds.
    pub(crate) fn now(record: &mut Record, job: BookId) -> Result<Self, ApiError> {
        let at = records::clock::next_at(record.clock(), None);
        let crew = record.crew_of_job(job)?;
        let crew = record.crew(crew).clone();
        let view = record.view(job)?.clone();
        Ok(JobAt { view, crew, at })
    }

    /// Reads the copy.
    pub(crate) fn job(&self) -> Job<'_> {
        Job::read(&self.view, &self.crew)
    }
}
