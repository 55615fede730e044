//! Who belongs to the crew: applicants, keepers, ends, and this device's own identity.

use records::crew::{Crew, Role};
use records::ids::DeviceId;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::exchange::{Digits, folder_of};
use crate::acts::members as acts;
use crate::app::held;
use crate::views::overview::{self, Overview};
use crate::{ApiError, App};

/// Devices that ask to be admitted.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Applicants {
    /// One for each device, the next 32.
    pub devices: Vec<Digits>,
    /// How many more come after those.
    pub more: u64,
}

/// Asks which devices ask to be admitted.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AskApplicants {
    /// The last device that was listed before; none for the first ones.
    #[serde(default)]
    #[ts(optional)]
    pub after: Option<String>,
}

/// Lists devices in the shared folder that ask to be admitted, with the digits to compare, 32 at once.
pub fn applicants(app: &App, request: AskApplicants) -> Result<Applicants, ApiError> {
    let after: Option<DeviceId> = request.after.as_deref().map(str::parse).transpose()?;
    let record = app.shared_record();
    let (crew, store) = folder_of(&record)?;
    let (found, more) = sync::applicants(&store, &record, crew, after.as_ref())?;
    let record = held(&record);
    let told = |one| Digits::asked(record.crew(crew), one);
    let devices = found.into_iter().map(told).collect();
    Ok(Applicants { devices, more })
}

impl Digits {
    fn asked(crew: &Crew, one: sync::Applicant) -> Self {
        let founding = crew.founding.map(|f| f.to_string()).unwrap_or_default();
        let known = one.card.person.and_then(|id| crew.person_name(&id));
        Digits {
            device: one.card.device.to_string(),
            name: overview::name(&one.card.name),
            digits: one.digits,
            whole: format!("{founding} {}", String::from(one.card.key)),
            says_it_is: known.map(overview::name),
        }
    }
}

/// Admits a device to the crew.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Admit {
    /// The device.
    pub device: String,
    /// The digits that its screen shows.
    pub digits: String,
    /// What it is mostly used for.
    pub role: Role,
    /// Set when the device says by another name to be a person of the crew, and somebody who was
    /// asked says that it is: it is admitted under the name that the crew knows.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub as_known: bool,
}

/// Admits a device whose digits were compared; its entries count from the first on.
pub fn admit(app: &App, request: Admit) -> Result<Overview, ApiError> {
    let device = request.device.parse()?;
    let record = app.shared_record();
    let (crew, store) = folder_of(&record)?;
    let one = sync::applicant(&store, &record, crew, &device).map_err(acts::no_applicant)?;
    let mut record = held(&record);
    acts::admit(&mut record, crew, &one, &request)?;
    overview::overview(&mut record)
}

/// Names a device of the crew.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfDevice {
    /// The device.
    pub device: String,
}

/// Takes a new identity.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct NewIdentity {
    /// Set when entries that were not exchanged may stay on this device alone: under the new
    /// identity they can't be sent any more.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub leave_unsent: bool,
}

/// Takes a new identity after this device's record went two ways, as after a backup was put back,
/// after its key was lost, or after it was ended.
pub fn new_identity(app: &App, request: NewIdentity) -> Result<Overview, ApiError> {
    let mut record = app.record();
    acts::new_identity(&mut record, request.leave_unsent)?;
    overview::overview(&mut record)
}

/// Names a device of the crew a keeper, who may admit and end others; the founder alone can.
pub fn name_keeper(app: &App, request: OfDevice) -> Result<Overview, ApiError> {
    let device = request.device.parse()?;
    let mut record = app.record();
    acts::name_keeper(&mut record, device)?;
    overview::overview(&mut record)
}

/// Ends a device.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct EndDevice {
    /// The device.
    pub device: String,
    /// Set when the person was asked whether all of its entries came, and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Ends a device: what it recorded so far and is known here still counts, nothing after it.
pub fn end_device(app: &App, request: EndDevice) -> Result<Overview, ApiError> {
    let device = request.device.parse()?;
    let mut record = app.record();
    acts::end_device(&mut record, device, request.confirmed)?;
    overview::overview(&mut record)
}

/// Names a crew by its book.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfCrew {
    /// The crew's book.
    pub crew: String,
}

/// Chooses the crew whose jobs are shown and into which new ones go; jobs never move between crews.
pub fn choose_crew(app: &App, request: OfCrew) -> Result<Overview, ApiError> {
    let crew = request.crew.parse()?;
    let mut record = app.record();
    acts::choose_crew(&record, crew)?;
    overview::overview(&mut record)
}
