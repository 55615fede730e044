//! Bringing a run to its tension.

use records::work::{self, Tensioning};

use super::work::{OfRun, of_run};
use crate::{ApiError, App};

/// Tells how a run is brought to its set tension, and what is left to turn.
pub fn tensioning(app: &App, request: OfRun) -> Result<Tensioning, ApiError> {
    of_run(app, &request, work::tensioning)
}
