//! `verify` where no open record is needed, so that nothing is changed before it was looked at.
//!
//! A data folder that opens is already mended where it was torn, and one that is damaged may not
//! open at all; a handover is looked over by people who have no record. A shared folder is looked
//! over against the crew that this device has confirmed, and needs the record.

use std::ops::ControlFlow;

use api::{ApiError, handlers::verify};
use serde_json::Value;

use crate::{args::Args, follow, run, wrapped::Wrapped};

/// The answer of a `verify` that needs no open record; `None` for everything else.
pub(crate) fn without_record(args: &Args, wrapped: &Wrapped) -> Option<Result<Value, ApiError>> {
    let Wrapped::Verify { shared, handover } = wrapped else {
        return None;
    };
    let bar = follow::bar();
    let on = |what: &str, done: u64, of: u64| {
        bar.set_length(of);
        bar.set_position(done);
        bar.set_message(what.to_owned());
        ControlFlow::Continue(())
    };
    let answer = match (shared, handover) {
        (None, None) => run::data(args).and_then(|data| verify::closed_data(data, &on)),
        (None, Some(folder)) => verify::handover(folder, &on),
        _ => return None,
    };
    bar.finish_and_clear();
    Some(answer)
}
