//! What does not fit in a run as recorded, each in one plain sentence that says what to do. One file past
//! 400 lines, since every sort of problem is found beside the others.

use mechanics::Millimetres;
use mechanics::lengths::{LengthAdvice, middle_advice};
use mechanics::plausible::{Beside, LengthQuestion, middle, question_length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::convert::{ends_of, fitting_of, mm, no_slope, strand_of};
use super::differing::{Wires, differing};
use super::lengths::readings;
use super::odd_layout::wires_alike;
use super::ordering::RuleSetNote;
use super::posts::odd_modulus;
use super::shared_post::contradicted;
use super::slips::{deduction_over_wires, flight_apart, floor_over_top, tops_apart};
use super::tension::TensionPlan;
use super::wires_in::wires_in;
use super::{WorkError, cannot_be, off_middle, supports, to_cut, words};
use crate::job::{Job, Run, WireLength};
use crate::model::fields;
use crate::model::values::{Along, PostRole};
use crate::subject::Subject;

/// What sort of thing does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum ProblemCode {
    /// No rule set is chosen.
    NoRuleSet,
    /// Fewer than two anchors.
    FewAnchors,
    /// A post before the first or beyond the last anchor.
    PostOutside,
    /// A raked run whose slope is not told.
    NoSlope,
    /// A flight of steps and the posts beside it are not as long.
    Flight,
    /// A run without wires or their heights.
    NoWires,
    /// Heights that do not rise, or that contradict the rail or the coming floor.
    Heights,
    /// A floor, or a coming one, at or above the barrier's top.
    Floor,
    /// A fixed deduction that leaves nothing of a wire.
    Deduction,
    /// No strand or fitting set chosen.
    NoParts,
    /// A second post of the same name.
    SameName,
    /// A post stiffer than what it is told to be of, or than steel.
    Modulus,
    /// A spreader within the run: whether it counts as a post is to be asked.
    Spreader,
    /// A glass edge or a spreader at the end of a run.
    NeverAnAnchor,
    /// Both ends have a thread of the same hand.
    SameHand,
    /// Holes off the middle of their face with little wood to its edge, or beyond it.
    HolesAtEdge,
    /// Holes into an end post that come out on its far side.
    HolesTooDeep,
    /// Two ends in one post say sides of each other's holes that can't both be.
    SidesContradict,
    /// Inside to inside and the bays disagree.
    BaysDisagree,
    /// A length off the straight line between its neighbours.
    OffTheLine,
    /// Wires of two runs would have one name.
    NamesAlike,
    /// A bay and the positions of its posts disagree.
    PositionsDisagree,
    /// The middle wire is to be measured.
    MeasureMiddle,
    /// About 25 times off its neighbours.
    Inches,
    /// Over a hundred metres, or far off its neighbours.
    Unlikely,
    /// The set tension is above the upper one.
    SetAboveUpper,
    /// Another doubt about the tensions.
    Tension,
    /// People disagree on a fact that something rests on, or a newer version changed it.
    Disputed,
}

/// Something that does not fit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Problem {
    /// What sort.
    pub code: ProblemCode,
    /// What it is about.
    pub subject: Subject,
    /// One sentence.
    pub sentence: String,
    /// Documents and rows that its figures are from; none where it rests on the record alone.
    pub source: Option<String>,
    /// Who must confirm what such figures come to; none where it rests on the record alone.
    pub confirm: Option<String>,
}

/// What does not fit in a run; `set` is the rule set that it is held against, where there is one.
pub(super) fn problems(
    job: &Job<'_>,
    run: &Run,
    tension: &TensionPlan,
    set: Option<&RuleSetNote>,
) -> Result<Vec<Problem>, WorkError> {
    let mut found = Vec::new();
    let mut say = |code, subject, sentence: String| {
        found.push(Problem {
            code,
            subject,
            sentence,
            source: None,
            confirm: None,
        });
    };
    if super::rules::copied(job).is_none() {
        let job_subject = Subject::Job(job.id);
        say(
            ProblemCode::NoRuleSet,
            job_subject,
            if job.reader.blocks(fields::JOB_RULE_SET, &job_subject) {
                "The rule set is disputed. Settle which edition was in force on the permit's date."
            } else {
                "No rule set stands for the job. Choose the edition in force on the permit's date."
            }
            .into(),
        );
    }
    if let Some(sentence) = wires_alike(job, run) {
        say(ProblemCode::NamesAlike, run.subject(), sentence);
    }
    posts(run, &mut say);
    for facts in run.posts.iter().filter_map(|post| job.post(post.id)) {
        if let Some(sentence) = odd_modulus(facts) {
            say(ProblemCode::Modulus, Subject::post(facts.id), sentence);
        }
    }
    supports::problems(run, &mut say);
    wires(run, &mut say);
    // Heights that do not rise are read as not told: why stands here.
    let heights = fields::RUN_WIRE_HEIGHTS.name;
    if let Some(sentence) = cannot_be::of_field(job, &run.subject(), heights) {
        say(ProblemCode::Heights, run.subject(), sentence);
    }
    for sentence in wires_in(job, run)?.into_iter().chain(tops_apart(run)?) {
        say(ProblemCode::Heights, run.subject(), sentence);
    }
    if let Some((subject, sentence)) = floor_over_top(job, run)? {
        say(ProblemCode::Floor, subject, sentence);
    }
    if let Some((subject, sentence)) = deduction_over_wires(job, run) {
        say(ProblemCode::Deduction, subject, sentence);
    }
    if let Some(sentence) = flight_apart(run) {
        say(ProblemCode::Flight, run.subject(), sentence);
    }
    if let Some(sentence) = no_slope(run) {
        say(ProblemCode::NoSlope, run.subject(), sentence);
    }
    if strand_of(job, run).is_none() || fitting_of(job, run).is_none_or(|f| f.terminals.is_none()) {
        say(
            ProblemCode::NoParts,
            run.subject(),
            format!("Run {}: choose its strand and its fitting set.", run.name),
        );
    }
    if let Some(ends) = ends_of(job, run).filter(|e| e.first.hand == e.last.hand) {
        let hand = super::words::hand(ends.first.hand);
        say(
            ProblemCode::SameHand,
            run.subject(),
            format!(
                "Run {}: both ends have a {hand} thread, so turning the wire tightens nothing. One end \
                 must be LH and the other RH.",
                run.name
            ),
        );
    }
    for post in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
        if let Some(sentence) = off_middle::problem(job, run, post) {
            say(ProblemCode::HolesAtEdge, Subject::post(post.id), sentence);
        }
        if let Some(sentence) = off_middle::too_deep(job, run, post) {
            say(ProblemCode::HolesTooDeep, Subject::post(post.id), sentence);
        }
        if let Some(sentence) = contradicted(job, run, post) {
            say(
                ProblemCode::SidesContradict,
                Subject::post(post.id),
                sentence,
            );
        }
    }
    lengths(run, &mut say)?;
    let told = [
        fields::POST_POSITION.name,
        fields::BAY_CLEAR.name,
        fields::POST_SUPPORT.name,
    ];
    let unsettled = differing(job, Some(run), Wires::LeftOut);
    for one in unsettled
        .iter()
        .filter(|u| !told.contains(&u.field.as_str()))
    {
        let subject = one.subject.unwrap_or(run.subject());
        say(ProblemCode::Disputed, subject, one.sentence());
    }
    let mut known: Vec<String> = unsettled.iter().map(|u| u.sentence()).collect();
    known.extend(found.iter().map(|p| p.sentence.clone()));
    for sentence in tension.issues.iter().filter(|i| !known.contains(i)) {
        let code = if tension.above_upper.as_ref() == Some(sentence) {
            ProblemCode::SetAboveUpper
        } else {
            ProblemCode::Tension
        };
        let by_figures = tension.by_figures.contains(sentence);
        found.push(Problem {
            code,
            subject: run.subject(),
            sentence: sentence.clone(),
            source: source_of(tension, set).filter(|_| by_figures),
            confirm: set.filter(|_| by_figures).map(|set| set.confirm.clone()),
        });
    }
    Ok(found)
}

/// Where the figures of the tensions are from.
fn source_of(tension: &TensionPlan, set: Option<&RuleSetNote>) -> Option<String> {
    let required = tension.required.as_ref().map(|r| r.origin.as_str());
    let asked = required.map(|from| format!("required: {from}"));
    let asked = asked.or(set.map(|set| set.document.clone()));
    let upper = Some(tension.upper_origin.as_str()).filter(|from| !from.is_empty());
    let upper = upper.map(|from| format!("upper: {from}"));
    let told: Vec<String> = asked.into_iter().chain(upper).collect();
    (!told.is_empty()).then(|| told.join("; "))
}

fn posts(run: &Run, say: &mut impl FnMut(ProblemCode, Subject, String)) {
    for (at, post) in run.posts.iter().enumerate() {
        let before = run.posts.iter().take(at);
        if before
            .into_iter()
            .any(|p| p.name.trim() == post.name.trim())
        {
            say(
                ProblemCode::SameName,
                Subject::post(post.id),
                format!(
                    "Run {} has a second post named {}. Give one of them another name: ends, bays \
                     and holes are told by it.",
                    run.name, post.name
                ),
            );
        }
    }
    let anchors: Vec<usize> = run
        .posts
        .iter()
        .enumerate()
        .filter(|(_, p)| p.role == PostRole::Anchor)
        .map(|(at, _)| at)
        .collect();
    if let Some(sentence) = to_cut::few_anchors(run) {
        say(ProblemCode::FewAnchors, run.subject(), sentence);
        return;
    }
    let (Some(first), Some(last)) = (anchors.first(), anchors.last()) else {
        return;
    };
    for (at, post) in run.posts.iter().enumerate() {
        if at < *first || at > *last {
            say(
                ProblemCode::PostOutside,
                Subject::post(post.id),
                format!(
                    "Post {} stands outside run {}, beyond its anchors. Correct its position or \
                     make it an anchor.",
                    post.name, run.name
                ),
            );
        }
        if post.position.blocks() {
            say(
                ProblemCode::Disputed,
                Subject::post(post.id),
                format!(
                    "People disagree on where post {} stands. Measure it again.",
                    post.name
                ),
            );
        }
    }
}

fn wires(run: &Run, say: &mut impl FnMut(ProblemCode, Subject, String)) {
    if let Some(sentence) = wires_without_heights(run) {
        say(ProblemCode::NoWires, run.subject(), sentence);
    }
}

/// Said of a run whose wires and heights are not as many, or none.
pub(super) fn wires_without_heights(run: &Run) -> Option<String> {
    (run.wires.is_empty() || run.heights.len() != run.wires.len()).then(|| {
        format!(
            "Run {} has {} wires and {} heights. Tell both.",
            run.name,
            run.wires.len(),
            run.heights.len()
        )
    })
}

fn lengths(run: &Run, say: &mut impl FnMut(ProblemCode, Subject, String)) -> Result<(), WorkError> {
    for bay in &run.bays {
        if bay.readings.iter().any(crate::job::Fact::blocks) {
            say(
                ProblemCode::Disputed,
                bay.subject,
                format!("People disagree on bay {}. Measure it again.", bay.name),
            );
        }
    }
    for bay in &run.bays {
        if let (Some(left), Some(read)) = (bay.positions, bay.clear) {
            let along = match bay.longest {
                Some((clear, Along::Slope)) if clear == read => " along the slope",
                _ => "",
            };
            say(
                ProblemCode::PositionsDisagree,
                bay.subject,
                format!(
                    "Bay {} is read as {}{along}, and the positions of its posts leave {} level: one of them \
                     is not right. Measure again; until they agree the longer counts for the table.",
                    bay.name,
                    words::mm(read.nm),
                    words::mm(left.nm)
                ),
            );
        }
    }
    for wire in &run.wires {
        if wire.length == WireLength::Disputed {
            say(
                ProblemCode::Disputed,
                Subject::Wire(run.id, wire.number),
                format!(
                    "People disagree on the length of wire {}. Measure it again.",
                    wire.number
                ),
            );
        }
    }
    let shown: Vec<(Subject, String, Millimetres)> = run
        .wires
        .iter()
        .filter_map(|w| {
            let length = w.lengths.iter().find_map(|f| f.shown())?;
            let subject = Subject::Wire(run.id, w.number);
            Some((subject, format!("Wire {}", w.number), mm(*length)))
        })
        .collect();
    doubtful(&shown, say);
    let bays: Vec<(Subject, String, Millimetres)> = run
        .bays
        .iter()
        .filter(|b| b.measured)
        .filter_map(|b| Some((b.subject, format!("Bay {}", b.name), mm(b.clear?))))
        .collect();
    doubtful(&bays, say);
    let readings = readings(run);
    let count = u32::try_from(run.wires.len()).unwrap_or(u32::MAX);
    if let Some(LengthAdvice::MeasureMiddle { wire, sentence, .. }) =
        middle_advice(count, &readings)
    {
        say(
            ProblemCode::MeasureMiddle,
            Subject::Wire(run.id, wire),
            sentence,
        );
    }
    if let Some(sentence) = to_cut::bays_apart(run)? {
        say(ProblemCode::BaysDisagree, run.subject(), sentence);
    }
    for off in to_cut::off_the_line(run) {
        let wire = Subject::Wire(run.id, off.wire);
        say(ProblemCode::OffTheLine, wire, off.sentence);
    }
    Ok(())
}

fn doubtful(
    lengths: &[(Subject, String, Millimetres)],
    say: &mut impl FnMut(ProblemCode, Subject, String),
) {
    for (at, (subject, name, length)) in lengths.iter().enumerate() {
        let alike: Vec<Millimetres> = lengths
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != at)
            .map(|(_, (_, _, length))| *length)
            .collect();
        let beside = middle(&alike).map(|length| Beside {
            name: "the middle one of its neighbours",
            length,
            alike: !matches!(subject, Subject::Bay(..)),
        });
        let (code, sentence) = match question_length(*length, beside) {
            Ok(None) => continue,
            Ok(Some(asked)) => {
                let code = match asked {
                    LengthQuestion::InchesOrMillimetres { .. } => ProblemCode::Inches,
                    _ => ProblemCode::Unlikely,
                };
                (code, asked.sentence().to_owned())
            }
            Err(error) => (ProblemCode::Unlikely, format!("{error}.")),
        };
        say(code, *subject, format!("{name}: {sentence}"));
    }
}
