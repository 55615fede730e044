//! The shared folder: publish, fetch, plan, apply.
