//! The answer where nothing is worked out of a run, and why.

use mechanics::MechanicsError;

use super::Tensioning;
use crate::job::Run;
use crate::work::convert::mn;

/// What to do where the figures of a run do not go together.
pub(super) fn cannot_be(run: &Run, why: &MechanicsError) -> String {
    let posts = run.ends().map_or_else(String::new, |(first, last)| {
        format!(
            ", sections and moduli of posts {} and {}",
            first.name, last.name
        )
    });
    format!(
        "Run {}: its figures do not go together: {why}. Look at its lengths and wire heights{posts}.",
        run.name
    )
}

/// The answer before anything is worked out.
pub(super) fn nothing(run: &Run) -> Tensioning {
    let decided = run.tensions.value();
    Tensioning {
        run: run.id,
        run_name: run.name.clone(),
        set_n: decided.map(|t| mn(t.set_mn).value()),
        upper_n: decided.map(|t| mn(t.upper_mn).value()),
        missing: None,
        turned_at: None,
        worth: None,
        passes: Vec::new(),
        passes_short: Vec::new(),
        passes_note: None,
        one_pass: None,
        wires: Vec::new(),
        even: Vec::new(),
        even_note: None,
        over: Vec::new(),
        notes: Vec::new(),
    }
}
