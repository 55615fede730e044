//! The record: entries, chain, claims, journal, index, photos and projections.
