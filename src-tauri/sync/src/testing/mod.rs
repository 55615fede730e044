//! Stores for tests: one in memory that can hold every strange thing, one that fails on demand.
//!
//! Invariant: both keep the promises of [`crate::SharedStore`], which the common suite checks.
//! Neither is used in the product.

mod faulty;
mod memory;

pub use faulty::{Calls, Faulty};
pub use memory::MemoryStore;
