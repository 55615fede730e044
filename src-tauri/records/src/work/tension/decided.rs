//! What a run must show at least and may show at most, of what was decided and what is known; and
//! where a figure that somebody typed is from.
//!
//! Invariant: a table is a floor and a known limit a ceiling: what was decided beyond them moves
//! neither. Whoever asks what is required, or what nothing may exceed, asks here.

use mechanics::Newtons;
use mechanics::tension::{clear_from, clear_to, held_upper, upper_tension};

use super::TensionPlan;
use crate::job::{Job, Run};
use crate::model::values::Tensions;
use crate::work::WorkError;
use crate::work::convert::mn;
use crate::work::limits::limits;
use crate::work::ordering::Required;
use crate::work::words;

/// What every wire of a run has to show at least: the greater of what was decided and of what the
/// table asks of the bays that have a figure.
pub(in crate::work) fn required_of(run: &Run, asked: Option<&Required>) -> Option<Newtons> {
    let decided = run.tensions.value().map(|t| mn(t.required_mn));
    let table = asked.map(|r| Newtons(r.newtons));
    decided.into_iter().chain(table).reduce(Newtons::max)
}

/// What nothing may exceed: the lesser of what was decided and of the least limit that is known;
/// none where neither is. Whole newtons, rounded down: as it is told, so it is held.
///
/// # Errors
/// When a limit can't be.
pub fn upper_of(job: &Job<'_>, run: &Run) -> Result<Option<Newtons>, WorkError> {
    let known = upper_tension(&limits(job, run)?.parts)?.map(|upper| upper.limit);
    Ok(lesser(run, known))
}

/// The most that a gauge may show without its wire being over the upper tension: upper ÷ (1 + error), the error a share;
/// upper where none is told. What was decided to be set may be shown, and nothing over the upper tension itself.
///
/// # Errors
/// When the error is out of range.
pub(in crate::work) fn most_shown(
    upper: Newtons,
    set: Option<Newtons>,
    error: Option<f64>,
) -> Result<Newtons, WorkError> {
    let Some(error) = error.filter(|_| upper.value() > 0.0) else {
        return Ok(upper);
    };
    // An error out of range is refused there.
    let whole = clear_to(upper, error)?;
    let exact = whole.max(Newtons(upper.value() / (1.0 + error)));
    Ok(exact.max(set.unwrap_or_default().min(upper)))
}

/// Whether an upper tension, in millinewtons, is above a limit in newtons, as it is held.
#[must_use]
pub fn is_above(upper_mn: i64, most_n: f64) -> bool {
    held_upper(mn(upper_mn)).value() > most_n
}

/// The lesser of the upper tension decided and the least known limit, as it is held; where people differ
/// on what was decided, the least that any of them did.
pub(super) fn lesser(run: &Run, known: Option<Newtons>) -> Option<Newtons> {
    let decided = run.tensions.values().map(|t| mn(t.upper_mn));
    decided.chain(known).reduce(Newtons::min).map(held_upper)
}

const TYPED: &str = "typed by who decided";
const TYPED_BELOW: &str = "typed below the table by who decided";
/// What stands behind the origin of an upper tension that was decided without the strand's breaking
/// load.
pub const NO_BREAKING_LOAD: &str = "; no breaking load is told";
/// The same without the terminals' efficiency and factor.
pub const NO_FACTOR: &str = "; efficiency and factor are not told";

/// The origin of a figure that is not the job's own, as the person states it.
#[must_use]
pub fn typed(stated: &str) -> String {
    said(TYPED, stated)
}

/// The same of a required tension below the table.
#[must_use]
pub fn typed_below(stated: &str) -> String {
    said(TYPED_BELOW, stated)
}

fn said(how: &str, stated: &str) -> String {
    // What was kept before comes back from a form with its words around it.
    let kept = stated.starts_with(TYPED) || stated.starts_with(TYPED_BELOW);
    let stated = if kept {
        stated_in(stated).unwrap_or_default()
    } else {
        stated
    };
    match stated.trim() {
        "" => how.to_owned(),
        stated => format!("{how}: {stated}"),
    }
}

/// What a person stated in an origin that was kept; none where nothing was, or where the figure is
/// the table's own.
pub(super) fn stated_in(origin: &str) -> Option<&str> {
    let rest = [TYPED_BELOW, TYPED]
        .iter()
        .find_map(|how| origin.strip_prefix(how))?;
    let rest = rest.strip_prefix(": ")?;
    let beside = [
        "; the table ",
        "; the least known limit ",
        NO_BREAKING_LOAD,
        NO_FACTOR,
    ];
    let end = beside.iter().filter_map(|words| rest.find(words)).min();
    Some(end.map_or(rest, |end| rest.get(..end).unwrap_or(rest)))
}

impl TensionPlan {
    /// What is asked before a required tension is decided that is below the one decided before; none
    /// where it is not.
    #[must_use]
    pub fn question_required(&self, required_mn: i64) -> Option<String> {
        let before = self.decided_required_n?;
        (mn(required_mn).value() < before).then(|| {
            let from = match self.decided_required_from.as_deref() {
                Some(from) => format!(", {from}"),
                None => String::new(),
            };
            format!(
                "The required tension of {} is below the {} that was decided before{from}.",
                words::newtons(required_mn),
                Newtons(before)
            )
        })
    }

    /// What is asked before a set tension is decided that leaves the required one no room for what
    /// the gauge may err and what is lost later; none where it leaves it.
    ///
    /// # Errors
    /// When a figure can't be.
    pub fn question_set(&self, of: &Tensions) -> Result<Option<String>, WorkError> {
        let asked = Newtons(self.required.as_ref().map_or(0.0, |r| r.newtons));
        let (required, set) = (mn(of.required_mn).max(asked), mn(of.set_mn));
        let error = self.gauge.as_ref().and_then(|g| g.error).unwrap_or(0.0);
        let ceiling = self.ceiling_n.map(Newtons);
        let ceiling = ceiling.filter(|most| most.value() > 0.0);
        let upper = ceiling.into_iter().fold(mn(of.upper_mn), Newtons::min);
        let may = clear_to(upper, error)?;
        let mut asked: Vec<String> = self
            .question_room(required, set, (upper, may), error)?
            .into_iter()
            .collect();
        if set > may {
            asked.push(format!(
                "When the gauge shows the set tension of {set} the wire may carry {} for what the gauge errs, over \
                 the upper {upper}: to stay below it the gauge may show {may}.",
                Newtons((set * (1.0 + error)).value().ceil())
            ));
        }
        Ok((!asked.is_empty()).then(|| asked.join(" ")))
    }

    /// What leaves the required tension no room below a set tension.
    fn question_room(
        &self,
        required: Newtons,
        set: Newtons,
        (upper, may): (Newtons, Newtons),
        error: f64,
    ) -> Result<Option<String>, WorkError> {
        let clear = clear_from(required, error)?;
        if set < clear {
            return Ok(Some(format!(
                "The set tension of {set} is not clear of the required {required}: on this gauge \
                 that takes {clear}."
            )));
        }
        let Some(losing) = &self.losing else {
            return Ok(None);
        };
        let least = losing.least_set(required, error)?;
        if least.is_some_and(|least| least.set <= set) {
            return Ok(None);
        }
        let takes = match least.filter(|least| least.set <= may) {
            Some(least) => format!(
                "It takes {} to stay clear of the required {required} until then, of which up to {} \
                 are lost.",
                least.set,
                most(least.loss)
            ),
            None => format!(
                "No set tension within the upper {upper}, on this gauge {may}, stays clear of the \
                 required {required} until then: come back in time and turn again."
            ),
        };
        let lost = most(losing.at(set)?.first);
        Ok(Some(format!(
            "The set tension of {set} leaves no room for what is lost later, up to {lost} by the first \
             recheck. {takes}"
        )))
    }
}

/// The most that is lost, in whole newtons.
pub(super) fn most(loss: Newtons) -> Newtons {
    Newtons(loss.value().ceil())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_stated_is_kept_once() {
        let kept = format!(
            "{}; the table asks 1330 N (clause 3)",
            typed("letter EL-017")
        );
        assert_eq!(
            kept,
            "typed by who decided: letter EL-017; the table asks 1330 N (clause 3)"
        );
        assert_eq!(stated_in(&kept), Some("letter EL-017"));
        assert_eq!(typed(&kept), "typed by who decided: letter EL-017");
        assert_eq!(
            typed_below(&kept),
            "typed below the table by who decided: letter EL-017"
        );
        for nothing in [
            "",
            "  ",
            TYPED,
            "typed by who decided; the table asks 1330 N",
        ] {
            assert_eq!(typed(nothing), TYPED, "{nothing:?}");
        }
        assert_eq!(stated_in("table a, row 1500"), None);
        assert_eq!(
            stated_in("typed by who decided; the table asks 1330 N"),
            None
        );
    }
}
