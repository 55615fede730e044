//! One wire: its lengths, what may be cut, and how far it has come.

use crate::book::Key;
use crate::ids::{Hash, ItemId};
use crate::job::Reader;
use crate::job::in_run::PostInRun;
use crate::job::reader::{Fact, Standing, said};
use crate::model::context::{CrimpRead, LengthRead, OnPiece, TakenOut, TensionRead, Told};
use crate::model::fields;
use crate::model::values::{
    Act, Crimp, CutIssue, CutMade, Deflection, Force, Length, Piece, PostState, Purpose, Turns,
};
use crate::subject::Subject;

/// What the readings of a wire's length come to, or why they can't be cut from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WireLength {
    /// Nobody measured it.
    NotMeasured,
    /// Measured and fit to cut from: mean of the repeats, their spread, and the claims used.
    Cuttable {
        /// Mean of the readings.
        nm: i64,
        /// Half the range of the repeats.
        spread_nm: i64,
        /// The claims.
        basis: Vec<Hash>,
    },
    /// People disagree.
    Disputed,
    /// A newer version changed it.
    Newer,
    /// Read for a quote only.
    QuoteOnly,
    /// Read before posts and rail were final.
    TooEarly(PostState),
}

/// A wire of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// Number from the bottom.
    pub number: u32,
    /// Lines of length readings.
    pub lengths: Vec<Fact<Length, LengthRead>>,
    /// What they come to.
    pub length: WireLength,
    /// Piece of strand in place; the first is 1.
    pub piece: Fact<Piece, TakenOut>,
    /// Number of that piece.
    pub piece_number: u32,
    /// Release for cutting, of the present piece.
    pub issued: Fact<CutIssue, Told>,
    /// Cut, of the present piece.
    pub cut: Fact<CutMade, OnPiece>,
    /// Acts ticked off on the present piece.
    pub done: Vec<(Act, Fact<bool, OnPiece>)>,
    /// Words that say that the present piece is threaded, since it last was not; empty where it is not.
    pub threaded_by: Vec<Hash>,
    /// Crimps by end.
    pub crimps: Vec<(ItemId, Fact<Crimp, CrimpRead>)>,
    /// Thread left by end.
    pub thread_left: Vec<(ItemId, Fact<Length, OnPiece>)>,
    /// Turn-in by end.
    pub turns: Vec<(ItemId, Fact<Turns, OnPiece>)>,
    /// Mark moved by end.
    pub mark_moved: Vec<(ItemId, Fact<Length, OnPiece>)>,
    /// Too long (above zero) or too short by, hand tight.
    pub out_by: Vec<Fact<Length, OnPiece>>,
    /// Engagement mark hidden by end.
    pub mark_hidden: Vec<(ItemId, Fact<bool, OnPiece>)>,
    /// Lock nut tight by end.
    pub nut_tight: Vec<(ItemId, Fact<bool, OnPiece>)>,
    /// Wire end out of the swage by end.
    pub end_out: Vec<(ItemId, Fact<Length, OnPiece>)>,
    /// Tensions by bay, as `<post>:<post>`, oldest first.
    pub tensions: Vec<(String, Fact<Force, TensionRead>)>,
    /// Deflections by bay.
    pub deflections: Vec<(String, Fact<Deflection, TensionRead>)>,
}

impl Wire {
    /// Whether an act is ticked off on the present piece.
    #[must_use]
    pub fn has(&self, act: Act) -> bool {
        self.done
            .iter()
            .any(|(a, fact)| *a == act && fact.value() == Some(&true))
    }

    /// Whether the present piece is cut, by its length or by a tick.
    #[must_use]
    pub fn is_cut(&self) -> bool {
        self.cut.value().is_some() || self.has(Act::Cut)
    }

    /// Whether both ends of the present piece are ticked as fitted, at once or one by one.
    #[must_use]
    pub fn is_fitted(&self) -> bool {
        let acts = [Act::LeftEndPressed, Act::Threaded, Act::RightEndPressed];
        self.has(Act::Fitted) || acts.iter().all(|act| self.has(*act))
    }

    /// The wire as it stands for a piece that was in place before: release, cut and ticks are that piece's, and
    /// what is said of the present piece is said of that one.
    #[must_use]
    pub fn with_piece(&self, reader: &Reader<'_>, run: ItemId, piece: u32) -> Wire {
        let subject = Subject::Wire(run, self.number).to_string();
        let place = piece.to_string();
        Wire {
            piece_number: piece,
            issued: reader.one(fields::WIRE_CUT_ISSUED, &subject, &place),
            cut: reader.one(fields::WIRE_CUT, &subject, &place),
            done: done(reader, &subject, piece),
            threaded_by: threaded_by(reader, &subject, piece),
            ..self.clone()
        }
    }

    /// Tensions on the present piece, newest first.
    pub fn tensions_now(&self) -> impl Iterator<Item = (&str, &Fact<Force, TensionRead>)> {
        self.tensions
            .iter()
            .rev()
            .filter(|(_, fact)| {
                fact.tips
                    .iter()
                    .all(|t| t.with.as_ref().is_none_or(|w| w.piece == self.piece_number))
            })
            .map(|(bay, fact)| (bay.as_str(), fact))
    }
}

/// Reads a wire.
#[must_use]
pub fn read_wire(reader: &Reader<'_>, run: ItemId, number: u32, posts: &[PostInRun]) -> Wire {
    let subject = Subject::Wire(run, number).to_string();
    let lengths = reader.many(fields::WIRE_LENGTH, &subject, "");
    let piece = reader.one(fields::WIRE_PIECE, &subject, "");
    let piece_number = piece.shown().map_or(1, |p: &Piece| p.number);
    let place = piece_number.to_string();
    let by_end = |ids: &[PostInRun]| -> Vec<ItemId> { ids.iter().map(|p| p.id).collect() };
    let ends = by_end(posts);
    let mut tensions = by_place(reader, fields::WIRE_TENSION, &subject);
    tensions.sort_by_key(|(_, f)| f.tips.first().map(|t| (t.at, t.id)));
    Wire {
        number,
        length: summarise(&lengths),
        lengths,
        issued: reader.one(fields::WIRE_CUT_ISSUED, &subject, &place),
        cut: reader.one(fields::WIRE_CUT, &subject, &place),
        done: done(reader, &subject, piece_number),
        threaded_by: threaded_by(reader, &subject, piece_number),
        crimps: at_ends(reader, fields::WIRE_CRIMP, &subject, &ends),
        thread_left: at_ends(reader, fields::WIRE_THREAD_LEFT, &subject, &ends),
        turns: at_ends(reader, fields::WIRE_TURNS, &subject, &ends),
        mark_moved: at_ends(reader, fields::WIRE_MARK_MOVED, &subject, &ends),
        out_by: reader.many(fields::WIRE_OUT_BY, &subject, ""),
        mark_hidden: at_ends(reader, fields::WIRE_MARK_HIDDEN, &subject, &ends),
        nut_tight: at_ends(reader, fields::WIRE_NUT_TIGHT, &subject, &ends),
        end_out: at_ends(reader, fields::WIRE_END_OUT, &subject, &ends),
        tensions,
        deflections: by_place(reader, fields::WIRE_DEFLECTION, &subject),
        piece,
        piece_number,
    }
}

fn summarise(lengths: &[Fact<Length, LengthRead>]) -> WireLength {
    if lengths.iter().any(|f| f.standing == Standing::Newer) {
        return WireLength::Newer;
    }
    if lengths.iter().any(|f| f.standing == Standing::Disputed) {
        return WireLength::Disputed;
    }
    let mut problem = WireLength::NotMeasured;
    let mut used: Vec<(i64, Hash)> = Vec::new();
    for told in lengths.iter().filter_map(Fact::told) {
        let (Some(value), Some(with)) = (told.value, told.with.as_ref()) else {
            continue;
        };
        match (with.purpose, with.posts) {
            (Purpose::Quote, _) if problem == WireLength::NotMeasured => {
                problem = WireLength::QuoteOnly;
            }
            (Purpose::Cut, PostState::RailOn | PostState::InsertsIn) => {
                used.push((value.nm, told.id));
            }
            (Purpose::Cut, state) => problem = WireLength::TooEarly(state),
            (Purpose::Quote, _) => {}
        }
    }
    let (Some(least), Some(most)) = (
        used.iter().map(|u| u.0).min(),
        used.iter().map(|u| u.0).max(),
    ) else {
        return problem;
    };
    let count = i64::try_from(used.len()).unwrap_or(1).max(1);
    WireLength::Cuttable {
        nm: used.iter().map(|u| u.0).sum::<i64>() / count,
        spread_nm: (most - least) / 2,
        basis: used.into_iter().map(|u| u.1).collect(),
    }
}

fn done(reader: &Reader<'_>, subject: &str, piece: u32) -> Vec<(Act, Fact<bool, OnPiece>)> {
    Act::ALL
        .iter()
        .map(|act| {
            let place = act_place(*act, piece);
            (*act, reader.one(fields::WIRE_DONE, subject, &place))
        })
        .filter(|(_, fact)| fact.standing != Standing::Missing)
        .collect()
}

/// The ticks of a threaded piece that follow one another without one taken back between them.
fn threaded_by(reader: &Reader<'_>, subject: &str, piece: u32) -> Vec<Hash> {
    let place = act_place(Act::Threaded, piece);
    let fact = reader.one(fields::WIRE_DONE, subject, &place);
    let key = Key {
        subject: subject.to_owned(),
        field: fields::WIRE_DONE.name.to_owned(),
        place,
    };
    let mut next = match fact.value() {
        Some(true) => fact.tip_ids(),
        _ => Vec::new(),
    };
    let mut found = Vec::new();
    while let Some(id) = next.pop() {
        let entry = reader.view.entry(&id).filter(|_| !found.contains(&id));
        let Some(entry) = entry.filter(|e| said(e, &key).0.is_some_and(|v| *v == true)) else {
            continue;
        };
        found.push(id);
        next.extend(entry.body.over.iter().copied());
    }
    found
}

/// Place of a tick: `<act>/<piece>`.
#[must_use]
pub fn act_place(act: Act, piece: u32) -> String {
    let word = match act {
        Act::Cut => "cut",
        Act::InsertionMarked => "insertionMarked",
        Act::LeftEndPressed => "leftEndPressed",
        Act::Threaded => "threaded",
        Act::RightEndPressed => "rightEndPressed",
        Act::Fitted => "fitted",
        Act::WitnessMarked => "witnessMarked",
        Act::MarksMade => "marksMade",
    };
    format!("{word}/{piece}")
}

fn at_ends<T, C>(
    reader: &Reader<'_>,
    field: crate::model::Field<T, C>,
    subject: &str,
    ends: &[ItemId],
) -> Vec<(ItemId, Fact<T, C>)>
where
    T: serde::de::DeserializeOwned,
    C: serde::de::DeserializeOwned,
{
    let mut found = Vec::new();
    for end in ends {
        for fact in reader.many(field, subject, &end.to_string()) {
            found.push((*end, fact));
        }
    }
    found
}

fn by_place<T, C>(
    reader: &Reader<'_>,
    field: crate::model::Field<T, C>,
    subject: &str,
) -> Vec<(String, Fact<T, C>)>
where
    T: serde::de::DeserializeOwned,
    C: serde::de::DeserializeOwned,
{
    let mut found = Vec::new();
    for place in reader.places(field, subject) {
        for fact in reader.many(field, subject, &place) {
            found.push((place.clone(), fact));
        }
    }
    found
}
