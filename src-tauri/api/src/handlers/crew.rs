//! The first start, and the overview.

use records::crew::Role;
use records::record::Founding;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::some_text;
use crate::acts::exchange;
use crate::boundary::Nothing;
use crate::views::overview::{self, Overview};
use crate::{ApiError, App};

/// Founds a crew at the first start.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct FoundCrew {
    /// Name of the crew.
    pub crew: String,
    /// Name of the person at this device.
    pub person: String,
    /// What the device is mostly used for.
    pub role: Role,
}

/// Founds a crew with this device as its founder.
pub fn found_crew(app: &App, request: FoundCrew) -> Result<Overview, ApiError> {
    let founding = Founding {
        crew: some_text("The crew's name", &request.crew)?,
        person: some_text("Your name", &request.person)?,
        role: request.role,
    };
    exchange::not_shared(app.data())?;
    let mut record = app.record();
    record.found_crew(&founding)?;
    overview::overview(&mut record)
}

/// Reads the first screen.
pub fn read_overview(app: &App, _: Nothing) -> Result<Overview, ApiError> {
    overview::overview(&mut app.record())
}
