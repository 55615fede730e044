//! Wires that run on round a corner: what friction leaves of the tension behind it, what the bays
//! there may lack of what is required, and at which end to tension.
//!
//! Invariant: the required tension holds in every bay, and what is read there governs: this only
//! says where to look, and the lower end of every range comes first. Does not say whether a wire may
//! run on round a corner; the rules and the maker do.

mod answer;

use mechanics::corner::{PulledAt, RubbingBend, in_legs};
use mechanics::{Degrees, Newtons};

use super::WorkError;
use super::convert::{ends_of, run_of, turns_there};
use super::figures::Origin;
use super::ordering::{Required, asked};
use super::posts::{NO_TENSION, planned};
use super::tension::{required_of, upper_of};
use crate::ids::ItemId;
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::PostRole;
use crate::subject::Subject;
pub use answer::{Bend, Corners, LegBehind};

/// Friction of stainless strand over a post's edge, eye or sleeve, least and most where nobody tells
/// it: assumed about the 0.2 of the engineering basis, from memory.
const FRICTION: (f64, f64) = (0.1, 0.3);
/// Turns that a corner may have whose angle nobody told: none, and all the way back.
const ANY: (f64, f64) = (0.0, 180.0);
/// The turn that is told beside it.
const SQUARE: f64 = 90.0;
/// A turn below this is straight on.
const STRAIGHT: f64 = 0.5;

/// Tells what friction leaves of a run's tension behind each corner.
///
/// # Errors
/// When the run is unknown, the rule set can't be read, or a figure can't be.
pub fn corners(job: &Job<'_>, run: ItemId) -> Result<Corners, WorkError> {
    let run = run_of(job, run)?;
    let mut told = Corners {
        run: run.id,
        run_name: run.name.clone(),
        bends: Vec::new(),
        tension_n: None,
        tension_origin: String::new(),
        required_n: None,
        tensioned_at: Vec::new(),
        legs: Vec::new(),
        at_right_angle: Vec::new(),
        side: None,
        notes: Vec::new(),
    };
    let mut disputed = false;
    for post in turning(run) {
        match bend(job, run, post, &mut told.notes) {
            Some(bend) if bend.turn_to_deg < STRAIGHT => {}
            Some(bend) => told.bends.push(bend),
            None => disputed = true,
        }
    }
    if told.bends.is_empty() || disputed {
        return Ok(told);
    }
    told.notes.push(
        "Whether a wire may run on round a corner is for the rules and the maker to say: many end \
         the run there."
            .to_owned(),
    );
    let Some((tension, origin)) = planned(job, run)? else {
        told.notes.push(NO_TENSION.to_owned());
        return Ok(told);
    };
    told.tension_n = Some(tension.value());
    told.tension_origin = origin.to_owned();
    let Some(pulled) = pulled_at(job, run, &mut told) else {
        return Ok(told);
    };
    let asks = asked(job, run)?.required;
    let required = required_of(run, asks.as_ref());
    told.required_n = required.map(Newtons::value);
    let rubbing: Vec<RubbingBend> = told.bends.iter().map(rubs).collect();
    let shares = in_legs(tension, &rubbing, pulled)?;
    told.legs = legs(run, &told.bends, &shares, required);
    if told.bends.iter().any(Bend::is_untold) {
        let square: Vec<RubbingBend> = told.bends.iter().map(squared).collect();
        let shares = in_legs(tension, &square, pulled)?;
        told.at_right_angle = legs(run, &told.bends, &shares, required);
    }
    let both = in_legs(tension, &rubbing, PulledAt::Both)?;
    let least = |shares: &[(Newtons, Newtons)]| {
        let all = shares.iter().map(|(least, _)| *least);
        all.reduce(Newtons::min).unwrap_or(tension)
    };
    let side = Side {
        run,
        legs: &told.legs,
        pulled,
        tension,
        least: least(&shares),
        least_of_both: least(&both),
        required,
        upper: upper_of(job, run)?,
    };
    let side = side.sentence(asks.as_ref());
    told.side = side;
    Ok(told)
}

/// Corner posts between the ends.
pub(super) fn turning(run: &Run) -> impl Iterator<Item = &PostInRun> {
    let last = run.posts.len().saturating_sub(1);
    let between = run.posts.iter().take(last).skip(1);
    between.filter(|post| post.role == PostRole::Corner)
}

/// Names of the posts at which a run turns; one of unknown or disputed angle is one of them.
pub(super) fn turns_at(job: &Job<'_>, run: &Run) -> Vec<String> {
    let turns = |post: &&PostInRun| told_turn(job, run, post).is_none_or(|turn| turn >= STRAIGHT);
    let found = turning(run).filter(turns);
    found.map(|post| post.name.clone()).collect()
}

/// By how many degrees the run turns at a post; none where nobody told it or people differ.
fn told_turn(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<f64> {
    let (subject, place) = (Subject::post(post.id).to_string(), run.id.to_string());
    let angle = job.reader.one(fields::POST_ANGLE, &subject, &place);
    let angle = angle.value()?;
    #[allow(clippy::cast_precision_loss)] // at most 18 000
    let inside = angle.cdeg as f64 / 100.0;
    Some(180.0 - inside)
}

/// How the run turns at a post; none where people differ on it.
fn bend(job: &Job<'_>, run: &Run, post: &PostInRun, notes: &mut Vec<String>) -> Option<Bend> {
    let (subject, place) = (Subject::post(post.id).to_string(), run.id.to_string());
    let angle = job.reader.one(fields::POST_ANGLE, &subject, &place);
    let rubs = job.reader.one(fields::POST_FRICTION, &subject, &place);
    let differ = match (angle.blocks(), rubs.blocks()) {
        (true, _) => Some("how it turns"),
        (_, true) => Some("the friction"),
        _ => None,
    };
    if let Some(what) = differ {
        notes.push(format!(
            "Run {} at post {}: people differ on {what}, so what friction leaves is not told. Settle \
             that first.",
            run.name, post.name
        ));
        return None;
    }
    let turn = told_turn(job, run, post);
    if turn.is_none() {
        notes.push(format!(
            "How run {} turns at post {}: the angle is not told. Every angle counts, so the least is \
             that of the widest turn; tell the angle, or read the wires behind it.",
            run.name, post.name
        ));
    }
    #[allow(clippy::cast_precision_loss)] // at most 2 000
    let share = |permille: i64| permille as f64 / 1000.0;
    let (from, to, origin) = match rubs.value() {
        Some(told) => {
            let (a, b) = (share(told.from_permille), share(told.to_permille));
            let origin = told.origin.clone().filter(|o| !o.trim().is_empty());
            let origin = origin.unwrap_or_else(|| "as recorded".to_owned());
            (a.min(b), a.max(b), origin)
        }
        None => {
            let origin = "assumed, from memory".to_owned();
            (FRICTION.0, FRICTION.1, origin)
        }
    };
    let (least, most) = turn.map_or(ANY, |turn| (turn, turn));
    Some(Bend {
        post: post.id,
        name: post.name.clone(),
        turn_from_deg: least,
        turn_to_deg: most,
        turn_origin: match turn {
            Some(_) => Origin::Recorded,
            None => Origin::Assumed,
        },
        friction_from: from,
        friction_to: to,
        friction_origin: origin,
    })
}

fn rubs(bend: &Bend) -> RubbingBend {
    RubbingBend {
        bend: (Degrees(bend.turn_from_deg), Degrees(bend.turn_to_deg)),
        friction: (bend.friction_from, bend.friction_to),
    }
}

/// The same square where nobody told the angle.
fn squared(bend: &Bend) -> RubbingBend {
    let mut found = rubs(bend);
    if bend.is_untold() {
        found.bend = (Degrees(SQUARE), Degrees(SQUARE));
    }
    found
}

/// At which ends the run is tensioned; none where nobody says so.
fn pulled_at(job: &Job<'_>, run: &Run, told: &mut Corners) -> Option<PulledAt> {
    let ((first, last), ends) = (run.ends()?, ends_of(job, run)?);
    let [at_first, at_last] = [&ends.first, &ends.last].map(turns_there);
    let at = [(first, at_first), (last, at_last)];
    let names = at.iter().filter(|(_, pulled)| *pulled);
    told.tensioned_at = names.map(|(post, _)| post.name.clone()).collect();
    if ends.assumed {
        told.notes
            .push("An end of the run is not told: taken as tensioned there.".to_owned());
    }
    match (at_first, at_last) {
        (true, true) => Some(PulledAt::Both),
        (true, false) => Some(PulledAt::Start),
        (false, true) => Some(PulledAt::End),
        (false, false) => {
            told.notes.push(format!(
                "No end of run {} is told as tensioned. Say at which post the wires are tensioned.",
                run.name
            ));
            None
        }
    }
}

/// Posts at which the straight legs begin and end, in order.
fn breaks<'r>(run: &'r Run, bends: &[Bend]) -> Vec<(usize, &'r PostInRun)> {
    let last = run.posts.len().saturating_sub(1);
    let ends = |at: usize, post: &PostInRun| {
        at == 0 || at == last || bends.iter().any(|bend| bend.post == post.id)
    };
    let all = run.posts.iter().enumerate();
    all.filter(|(at, post)| ends(*at, post)).collect()
}

fn legs(
    run: &Run,
    bends: &[Bend],
    shares: &[(Newtons, Newtons)],
    required: Option<Newtons>,
) -> Vec<LegBehind> {
    let breaks = breaks(run, bends);
    let pairs = breaks.iter().zip(breaks.iter().skip(1));
    pairs
        .zip(shares)
        .map(|(((at, from), (to_at, to)), (least, most))| {
            let bays = run.bays.iter().take(*to_at).skip(*at);
            let lacks = required.map(|r| r - *least).filter(|l| l.value() > 0.0);
            LegBehind {
                from: from.name.clone(),
                to: to.name.clone(),
                bays: bays.map(|bay| bay.subject).collect(),
                least_n: least.value().round(),
                most_n: most.value().round(),
                lacks_n: lacks.map(|lacks| lacks.value().round()),
                sentence: told_of(&from.name, &to.name, (*least, *most), required),
            }
        })
        .collect()
}

fn told_of(
    from: &str,
    to: &str,
    (least, most): (Newtons, Newtons),
    required: Option<Newtons>,
) -> String {
    let whole = |n: Newtons| Newtons(n.value().round());
    let gets = match whole(most) == whole(least) {
        true => format!("{from} to {to} get {}", whole(least)),
        false => format!("{from} to {to} get {} to {}", whole(least), whole(most)),
    };
    match required {
        Some(asked) if asked > least => format!(
            "{gets}: up to {} short of the {} required. Read the wires there.",
            whole(asked - least),
            whole(asked)
        ),
        Some(asked) => format!("{gets}; {} is required.", whole(asked)),
        None => format!("{gets}."),
    }
}

/// At which end to tension, what both ends would leave, and what a tensioned end would have to show
/// where some bays may lack.
struct Side<'a> {
    run: &'a Run,
    legs: &'a [LegBehind],
    pulled: PulledAt,
    tension: Newtons,
    /// Least in any bay: as it is tensioned, and tensioned at both ends.
    least: Newtons,
    least_of_both: Newtons,
    required: Option<Newtons>,
    upper: Option<Newtons>,
}

impl Side<'_> {
    fn sentence(&self, asks: Option<&Required>) -> Option<String> {
        let (first, last) = self.run.ends()?;
        let (near, far, far_leg) = match self.pulled {
            PulledAt::Both => {
                let both = format!(
                    "Tension at both ends, {} and {}, in turns: from one alone friction takes from \
                     all that lies behind a corner.",
                    first.name, last.name
                );
                let each = format!("{} and {}", first.name, last.name);
                return Some(both + &self.needed(&each));
            }
            PulledAt::Start => (first, last, self.legs.last()?),
            PulledAt::End => (last, first, self.legs.first()?),
        };
        let mut said = format!(
            "Tensioned at {} alone. With a tensioner at {} as well every bay would get at least {}.",
            near.name,
            far.name,
            Newtons(self.least_of_both.value().round())
        );
        let hardest = asks.and_then(|asks| self.run.bays.iter().find(|bay| bay.name == asks.bay));
        if let Some(bay) = hardest.filter(|bay| far_leg.bays.contains(&bay.subject)) {
            said.push_str(&format!(
                " The bay that asks most, {}, lies at the other end: of one end alone tension at {}.",
                bay.name, far.name
            ));
        }
        Some(said + &self.needed(&near.name))
    }

    /// What the tensioned ends would have to show so that no bay lacks anything.
    fn needed(&self, ends: &str) -> String {
        let Some(required) = self.required.filter(|r| *r > self.least) else {
            return String::new();
        };
        let needs = Newtons((required * (self.tension / self.least)).value().ceil());
        let required = Newtons(required.value().round());
        match self.upper {
            Some(upper) if needs > upper => format!(
                " For {required} in every bay {ends} might have to show {needs}, over the upper {}: \
                 that is no way.",
                Newtons(upper.value().floor())
            ),
            _ => format!(" For {required} in every bay {ends} might have to show {needs}."),
        }
    }
}
