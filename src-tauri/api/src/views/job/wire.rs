//! A wire: its length for cutting, its crimps and its tensions.
//!
//! Tensions are those of the piece of strand in place; crimps are those of all pieces.

use records::job::{Fact, Job, Run, Standing, Wire, WireLength};
use records::model::context::TensionRead;
use records::model::values::{Act, CrimpResult, Force, Length, Method, PostState, Stage};
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use crate::views::overview::name;

/// Where a wire stands as a length to cut from.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum LengthView {
    /// Nobody measured it.
    NotMeasured,
    /// Fit to cut from.
    #[serde(rename_all = "camelCase")]
    Cuttable {
        /// Mean of the readings, mm.
        mm: f64,
        /// Half the range of repeats, mm.
        spread_mm: f64,
    },
    /// People disagree.
    Disputed,
    /// A newer version changed it.
    Newer,
    /// Read for a quote only, mm not to be cut from.
    QuoteOnly,
    /// Read before posts and rail were final.
    #[serde(rename_all = "camelCase")]
    TooEarly {
        /// State of the posts then.
        posts: PostState,
    },
}

/// A wire.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct WireView {
    /// The wire as a subject.
    pub subject: String,
    /// Number from the bottom.
    pub number: u32,
    /// Height above floor or nosings, mm.
    pub height_mm: Option<f64>,
    /// Its length for cutting.
    pub length: LengthView,
    /// Last length that anybody read, for any purpose, mm.
    pub last_read_mm: Option<f64>,
    /// Piece of strand in place, from 1.
    pub piece: u32,
    /// Length released for cutting, mm.
    pub issued_mm: Option<f64>,
    /// Length as cut, mm.
    pub cut_mm: Option<f64>,
    /// Acts ticked off on this piece.
    pub done: Vec<Act>,
    /// Crimps of all pieces.
    pub crimps: Vec<CrimpView>,
    /// Tensions of this piece, newest first.
    pub tensions: Vec<ReadingView>,
    /// Something about it is disputed or changed by a newer version.
    pub unsettled: bool,
}

/// A crimp as checked.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CrimpView {
    /// The end's post.
    pub post: String,
    /// Good or reject.
    pub result: Option<CrimpResult>,
    /// Piece of strand.
    pub piece: u32,
    /// Why it was rejected.
    pub reason: Option<String>,
    /// The entry.
    pub entry: String,
}

/// A tension reading.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ReadingView {
    /// The entry, to correct or withdraw it.
    pub entry: String,
    /// Place: the bay as `<post>:<post>`.
    pub bay: String,
    /// Newtons, where people agree.
    pub newtons: Option<f64>,
    /// How far people agree.
    pub standing: String,
    /// Pass, final or recheck.
    pub stage: Stage,
    /// Number of the pass.
    pub pass: Option<u32>,
    /// How it was taken.
    pub method: Method,
    /// Who.
    pub who: String,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Minutes east of UTC on the clock that recorded it.
    pub offset_min: i32,
    /// Gauge, wire temperature and the rest, as recorded.
    pub with: Option<TensionRead>,
}

pub(super) fn wire_view(job: &Job<'_>, run: &Run, wire: &Wire) -> WireView {
    let subject = Subject::Wire(run.id, wire.number);
    let text = subject.to_string();
    let unsettled = job.reader.unsettled().any(|(key, _)| key.subject == text);
    let height = usize::try_from(wire.number)
        .ok()
        .and_then(|n| run.heights.get(n.wrapping_sub(1)));
    WireView {
        number: wire.number,
        height_mm: height.map(|l| l.as_mm()),
        length: length_view(&wire.length),
        last_read_mm: wire
            .lengths
            .last()
            .and_then(|f| f.tips.last())
            .and_then(|t| t.value)
            .map(Length::as_mm),
        piece: wire.piece_number,
        issued_mm: wire.issued.value().map(|c| Length { nm: c.cut_nm }.as_mm()),
        cut_mm: wire.cut.value().map(|c| Length { nm: c.nm }.as_mm()),
        done: wire
            .done
            .iter()
            .filter(|(_, fact)| fact.value() == Some(&true))
            .map(|(act, _)| *act)
            .collect(),
        crimps: wire
            .crimps
            .iter()
            .filter_map(|(post, fact)| {
                let told = fact.tips.first()?;
                Some(CrimpView {
                    post: post.to_string(),
                    result: fact.value().map(|c| c.result),
                    piece: told.with.as_ref().map_or(1, |w| w.piece),
                    reason: told.value.as_ref().and_then(|c| c.reason.clone()),
                    entry: told.id.to_string(),
                })
            })
            .collect(),
        tensions: wire
            .tensions_now()
            .filter_map(|(bay, fact)| reading(job, bay, fact))
            .collect(),
        unsettled,
        subject: text,
    }
}

fn reading(job: &Job<'_>, bay: &str, fact: &Fact<Force, TensionRead>) -> Option<ReadingView> {
    let told = fact.tips.first()?;
    let with = told.with.clone();
    Some(ReadingView {
        entry: told.id.to_string(),
        bay: bay.to_owned(),
        newtons: fact.value().map(|f| f.as_newtons()),
        standing: standing(fact.standing).to_owned(),
        stage: with.as_ref().map_or(Stage::Pass, |w| w.stage),
        pass: with.as_ref().and_then(|w| w.pass),
        method: with.as_ref().map_or(Method::Gauge, |w| w.method),
        who: name(job.reader.person(&told.person)),
        at_ms: told.at.ms,
        offset_min: told.at.offset_min,
        with,
    })
}

/// Standing as a word.
#[must_use]
pub fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Missing => "missing",
        Standing::Agreed => "agreed",
        Standing::Withdrawn => "withdrawn",
        Standing::Disputed => "disputed",
        Standing::Newer => "newer",
    }
}

fn length_view(length: &WireLength) -> LengthView {
    match length {
        WireLength::NotMeasured => LengthView::NotMeasured,
        WireLength::Cuttable { nm, spread_nm, .. } => LengthView::Cuttable {
            mm: Length { nm: *nm }.as_mm(),
            spread_mm: Length { nm: *spread_nm }.as_mm(),
        },
        WireLength::Disputed => LengthView::Disputed,
        WireLength::Newer => LengthView::Newer,
        WireLength::QuoteOnly => LengthView::QuoteOnly,
        WireLength::TooEarly(posts) => LengthView::TooEarly { posts: *posts },
    }
}
