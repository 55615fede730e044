//! Ends of a wire of every kind, and what each gives to the cut's chain: length, and thread where it has one.
//!
//! Invariant: an end without a thread adds length and no engagement; a bolt engages by what stands out of its
//! post and nothing else. Figures are inputs with their origin in the record; no maker's product is known
//! here. One file past 400 lines, since each kind is checked beside what it gives.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, finite, not_negative, positive};
use crate::fitting::{self, FittingEnd};
use crate::thread::{Hand, Thread};
use crate::units::Millimetres;

/// A swaged stud with a thread, wherever that goes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Stud {
    /// Hand of the thread.
    pub hand: Hand,
    /// Thread of the stud.
    pub thread: Thread,
    /// O: overall length of the terminal before swaging.
    pub overall: Millimetres,
    /// w: wire swallowed by the terminal.
    pub insertion: Millimetres,
    /// g: growth of the shank on swaging.
    pub growth: Millimetres,
    /// h: usable thread of the stud.
    pub usable_thread: Millimetres,
    /// e_min: least engagement that holds.
    pub least_engagement: Millimetres,
    /// x_start: engagement at which the thread catches by hand.
    pub start_engagement: Millimetres,
    /// r: thread kept for later re-tensioning.
    pub reserve: Millimetres,
    /// Height of the lock nut; zero where there is none.
    pub lock_nut: Millimetres,
}

/// A stud that goes through its post, with washer, nut and lock nut on the far face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct BoltEnd {
    /// The stud.
    pub stud: Stud,
    /// Its solid shank, from the mouth to where it ends: it stops at the near face and goes into no hole.
    pub shank: Millimetres,
    /// Height of the nut, which is engaged over all of it at least.
    pub nut: Millimetres,
    /// The post along the wire, from the near face to the far one.
    pub post: Millimetres,
    /// Height of the washer on the far face; zero where there is none.
    pub washer: Millimetres,
    /// Length of an angled seat under the nut; zero where there is none.
    #[serde(default)]
    pub seat_length: Millimetres,
}

/// A turnbuckle: the wire's stud and a stud of the other hand in one body, held by a pin at the post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TurnbuckleEnd {
    /// The stud on the wire. Least engagement, start, reserve and lock nut count for each of the two threads.
    pub stud: Stud,
    /// From the post's face to the middle of the pin.
    pub standoff: Millimetres,
    /// From the middle of the pin to the tip of the stud that it holds.
    pub far_stud: Millimetres,
    /// Usable thread of that stud; its pitch is that of the wire's stud.
    pub far_thread: Millimetres,
    /// Length of the body: both tips lie within it and do not meet.
    pub body: Millimetres,
    /// Length of an angled seat under the bracket; zero where there is none.
    #[serde(default)]
    pub seat_length: Millimetres,
}

/// An end without a thread: fixed end, wall plate or eye.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FixedEnd {
    /// From the post's face to the mouth of the terminal's shank before swaging, as it hangs there under a
    /// pull: over the bracket and its pin, where it has them.
    pub mouth: Millimetres,
    /// w: wire swallowed by the terminal.
    pub insertion: Millimetres,
    /// g: growth of the shank on swaging.
    pub growth: Millimetres,
    /// Length of an angled seat; zero where there is none.
    #[serde(default)]
    pub seat_length: Millimetres,
}

/// One end of a wire.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind", content = "figures")]
pub enum WireEnd {
    /// A stud into an insert.
    Insert(FittingEnd),
    /// A bolt through the post.
    Bolt(BoltEnd),
    /// A turnbuckle.
    Turnbuckle(TurnbuckleEnd),
    /// An end without a thread.
    Fixed(FixedEnd),
}

impl From<FittingEnd> for WireEnd {
    fn from(end: FittingEnd) -> Self {
        Self::Insert(end)
    }
}

/// What the thread at an end gives and keeps, all in millimetres of engagement. Of a turnbuckle both threads
/// count.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct ThreadRoom {
    /// h: usable thread.
    pub(crate) usable: Millimetres,
    /// Taken by lock nuts, at the one limit or the other.
    pub(crate) lock_nuts: Millimetres,
    /// Taken by a shallow insert, a short body, or a post that the bolt does not stand out of far enough.
    pub(crate) lost: Millimetres,
    /// e_min without lock nuts.
    pub(crate) hold: Millimetres,
    /// x_start.
    pub(crate) start: Millimetres,
    /// r.
    pub(crate) reserve: Millimetres,
    /// The most that engages.
    pub(crate) full: Millimetres,
    /// The least that engages; of a bolt its lock nut stands on it too.
    pub(crate) least: Millimetres,
}

impl BoltEnd {
    /// What a nut can't be turned over: the post, the washer and the seat.
    fn behind(&self) -> Millimetres {
        self.post + self.washer + self.seat_length
    }

    /// O − shank − post − washer − seat: what stands out for nut and lock nut when the shank meets the post.
    #[must_use]
    pub fn stands_out(&self) -> Millimetres {
        self.stud.overall - self.shank - self.behind()
    }

    /// max(e_min, nut): what has to be in the nut. A nut that is not filled holds by fewer turns than its maker
    /// counts on.
    #[must_use]
    pub fn holds_by(&self) -> Millimetres {
        self.stud.least_engagement.max(self.nut)
    }
}

impl WireEnd {
    /// Whether the wire can be tensioned there.
    #[must_use]
    pub const fn has_thread(&self) -> bool {
        !matches!(self, Self::Fixed(_))
    }

    /// The threads that turn: one of a stud or bolt, both of a turnbuckle's body (2·P a turn), else none.
    #[must_use]
    pub fn threads(&self) -> Vec<Thread> {
        match self {
            Self::Insert(end) => vec![end.thread],
            Self::Bolt(end) => vec![end.stud.thread],
            Self::Turnbuckle(end) => vec![end.stud.thread; 2],
            Self::Fixed(_) => Vec::new(),
        }
    }

    /// w: wire swallowed by the terminal.
    #[must_use]
    pub const fn insertion(&self) -> Millimetres {
        match self {
            Self::Insert(end) => end.insertion,
            Self::Bolt(end) => end.stud.insertion,
            Self::Turnbuckle(end) => end.stud.insertion,
            Self::Fixed(end) => end.insertion,
        }
    }

    /// S: from the post's face to the wire's end with nothing engaged, towards the wire.
    ///
    /// Stud into an insert: O − w + g and the seat. Bolt: O − w + g less post, washer and seat, since its
    /// engagement begins behind them. Turnbuckle: bracket, the pin's stud, the body, then O − w + g. Without
    /// a thread: from the face to the wire's end, there being nothing to engage.
    #[must_use]
    pub fn to_wire_end(&self) -> Millimetres {
        let beyond = |stud: &Stud| stud.overall - stud.insertion + stud.growth;
        match self {
            Self::Insert(end) => fitting::tip_to_wire_end(end),
            Self::Bolt(end) => beyond(&end.stud) - end.behind(),
            Self::Turnbuckle(end) => {
                end.standoff + end.seat_length + end.far_stud + end.body + beyond(&end.stud)
            }
            Self::Fixed(end) => end.mouth + end.seat_length - end.insertion + end.growth,
        }
    }

    /// h: usable thread, of a turnbuckle both; zero without a thread.
    #[must_use]
    pub fn usable_thread(&self) -> Millimetres {
        self.room().usable
    }

    /// X_full: the most that can engage; zero without a thread.
    ///
    /// Stud into an insert: min(h − lock nut, clear depth). Bolt: min(h, O − shank − post − washer − seat).
    /// Turnbuckle: both advance alike, so twice the shorter thread less its lock nut, and no more than the
    /// body holds.
    #[must_use]
    pub fn full_engagement(&self) -> Millimetres {
        self.room().full
    }

    /// e_min; of a bolt max(e_min, nut) with the lock nut that stands on it too; zero without a thread.
    #[must_use]
    pub fn least_engagement(&self) -> Millimetres {
        self.room().least
    }

    /// x_start; zero without a thread.
    #[must_use]
    pub fn start_engagement(&self) -> Millimetres {
        self.room().start
    }

    /// r; zero without a thread.
    #[must_use]
    pub fn reserve(&self) -> Millimetres {
        self.room().reserve
    }

    /// The same end where nothing is turned after fitting: it is in by its least engagement before the other
    /// one is caught.
    #[must_use]
    pub fn not_turned(mut self) -> Self {
        match &mut self {
            Self::Insert(end) => {
                end.start_engagement = end.start_engagement.max(end.least_engagement);
            }
            Self::Bolt(end) => {
                let held = end.holds_by() + end.stud.lock_nut;
                end.stud.start_engagement = end.stud.start_engagement.max(held);
            }
            Self::Turnbuckle(TurnbuckleEnd { stud, .. }) => {
                stud.start_engagement = stud.start_engagement.max(stud.least_engagement);
            }
            Self::Fixed(_) => {}
        }
        self
    }

    pub(crate) fn room(&self) -> ThreadRoom {
        match self {
            Self::Insert(end) => {
                let full = fitting::full_engagement(end);
                ThreadRoom {
                    usable: end.usable_thread,
                    lock_nuts: end.lock_nut,
                    lost: end.usable_thread - end.lock_nut - full,
                    hold: end.least_engagement,
                    start: end.start_engagement,
                    reserve: end.reserve,
                    full,
                    least: end.least_engagement,
                }
            }
            Self::Bolt(end) => {
                let stud = &end.stud;
                let full = stud.usable_thread.min(end.stands_out());
                ThreadRoom {
                    usable: stud.usable_thread,
                    lock_nuts: stud.lock_nut,
                    lost: stud.usable_thread - full,
                    hold: end.holds_by(),
                    start: stud.start_engagement,
                    reserve: stud.reserve,
                    full,
                    least: end.holds_by() + stud.lock_nut,
                }
            }
            Self::Turnbuckle(end) => {
                let stud = &end.stud;
                let each = stud.usable_thread.min(end.far_thread) - stud.lock_nut;
                let full = (each * 2.0).min(end.body);
                let usable = stud.usable_thread + end.far_thread;
                ThreadRoom {
                    usable,
                    lock_nuts: stud.lock_nut * 2.0,
                    lost: usable - stud.lock_nut * 2.0 - full,
                    hold: stud.least_engagement * 2.0,
                    start: stud.start_engagement * 2.0,
                    reserve: stud.reserve * 2.0,
                    full,
                    least: stud.least_engagement * 2.0,
                }
            }
            Self::Fixed(_) => ThreadRoom::default(),
        }
    }
}

/// How many pairs of threads may start unequally: the two ends of a wire with a thread at both, and the two
/// threads of each turnbuckle's body.
pub(crate) fn unequal_pairs(left: &WireEnd, right: &WireEnd) -> f64 {
    let single = |end: &WireEnd| matches!(end, WireEnd::Insert(_) | WireEnd::Bolt(_));
    let turnbuckle = |end: &WireEnd| matches!(end, WireEnd::Turnbuckle(_));
    let of = |yes: bool| if yes { 1.0 } else { 0.0 };
    of(single(left) && single(right)) + of(turnbuckle(left)) + of(turnbuckle(right))
}

/// Refuses an end whose lengths are not numbers, below zero, or contradict each other.
///
/// # Errors
/// Names the first figure that cannot be; [`MechanicsError::BoltTooShort`] where a bolt does not stand out of
/// its post far enough.
pub fn check(end: &WireEnd) -> Result<(), MechanicsError> {
    match end {
        WireEnd::Insert(end) => fitting::check(end),
        WireEnd::Bolt(end) => check_bolt(end),
        WireEnd::Turnbuckle(end) => {
            check_stud(&end.stud)?;
            standoff(end.standoff, end.seat_length)?;
            positive("the length of the pin's stud", end.far_stud)?;
            positive("the usable thread of the pin's stud", end.far_thread)?;
            positive("the length of the turnbuckle's body", end.body)?;
            positive(
                "the length of the pin's stud less its thread",
                end.far_stud - end.far_thread,
            )?;
            Ok(())
        }
        WireEnd::Fixed(end) => {
            terminal(end.mouth, end.insertion, end.growth)?;
            standoff(Millimetres(0.0), end.seat_length)
        }
    }
}

fn check_bolt(end: &BoltEnd) -> Result<(), MechanicsError> {
    check_stud(&end.stud)?;
    positive("the post along the wire", end.post)?;
    positive("the nut's height", end.nut)?;
    positive("the shank", end.shank)?;
    not_negative(
        "the shank less the wire that it swallows",
        end.shank - end.stud.insertion,
    )?;
    not_negative("the washer's height", end.washer)?;
    not_negative("the seat's length", end.seat_length)?;
    let stud = &end.stud;
    let needs = end.holds_by() + stud.lock_nut + stud.reserve;
    let reaches = stud.usable_thread.min(end.stands_out());
    if reaches > needs {
        return Ok(());
    }
    Err(MechanicsError::BoltTooShort {
        stands_out: end.stands_out().max(Millimetres(0.0)),
        thread: stud.usable_thread,
        needs,
        post: end.post,
    })
}

fn check_stud(stud: &Stud) -> Result<(), MechanicsError> {
    terminal(stud.overall, stud.insertion, stud.growth)?;
    positive("the usable thread", stud.usable_thread)?;
    positive("the least engagement", stud.least_engagement)?;
    not_negative("the starting engagement", stud.start_engagement)?;
    not_negative("the thread kept in reserve", stud.reserve)?;
    not_negative("the lock nut's height", stud.lock_nut)?;
    Ok(())
}

fn terminal(
    overall: Millimetres,
    insertion: Millimetres,
    growth: Millimetres,
) -> Result<(), MechanicsError> {
    positive("the terminal's overall length", overall)?;
    positive("the insertion depth", insertion)?;
    not_negative("the growth on swaging", growth)?;
    positive(
        "the terminal's length less the insertion depth",
        overall - insertion,
    )?;
    Ok(())
}

fn standoff(standoff: Millimetres, seat: Millimetres) -> Result<(), MechanicsError> {
    not_negative("the bracket from the face to its pin", standoff)?;
    not_negative("the seat's length", seat)?;
    finite("the bracket with its seat", (standoff + seat).value())?;
    Ok(())
}
