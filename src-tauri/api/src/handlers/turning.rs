//! Bringing a run to its tension, and what it loses later.

use records::work::{self, Corners, Recheck, Tensioning};

use super::work::{OfRun, of_run};
use crate::{ApiError, App};

/// Tells how a run is brought to its set tension, and what is left to turn.
pub fn tensioning(app: &App, request: OfRun) -> Result<Tensioning, ApiError> {
    of_run(app, &request, work::tensioning)
}

/// Tells what a run is expected to lose later, and how it stands when it is looked at again.
pub fn recheck(app: &App, request: OfRun) -> Result<Recheck, ApiError> {
    of_run(app, &request, work::recheck)
}

/// Tells what friction leaves of a run's tension behind its corners, and where to tension from.
pub fn corners(app: &App, request: OfRun) -> Result<Corners, ApiError> {
    of_run(app, &request, work::corners)
}
