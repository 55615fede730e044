//! The shared folder: publish, fetch, plan, apply.
//!
//! Owns how files are named, written and found in a folder that several devices reach. Invariant:
//! nothing there is overwritten or deleted, and nothing vanishes here because it vanished there.
//! It does not judge what an entry says or whether a chain holds: that is the record's matter.

mod card;
mod error;
mod exchange;
mod folder;
mod founder;
mod founding;
mod join;
mod local;
mod look;
pub mod name;
mod others;
pub mod plan;
mod report;
mod store;
pub mod testing;
pub mod verify;

pub use card::{Card, read_card};
pub use error::SyncError;
pub use exchange::{Options, Progress, exchange};
pub use folder::{FolderStore, Placing, Reach};
pub use founding::{Founding, read_founding};
pub use join::{Applicant, Joining, applicant, applicants, confirm, join, share_crew};
pub use local::choose_job;
pub use look::Depth;
pub use others::Others;
pub use report::{Aside, Fault, Moved, Report, Stranger, Waiting, WaitingFor};
pub use store::{
    IN_FLIGHT, ListedFile, Listing, MAX_LISTED, Put, SharedStore, Strange, StrangeKind,
};
