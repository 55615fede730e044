//! What the figures of a layout are of, and openings as they stand.

use mechanics::Millimetres;
use mechanics::assessment::OpeningKind;

use crate::subject::Subject;
use crate::work::figures::Origin;

/// What a figure of a layout is of.
pub(super) struct Place {
    pub(super) label: String,
    pub(super) subject: Subject,
    pub(super) origin: Origin,
    /// Where a figure of the whole run is at its widest.
    pub(super) widest_at: Option<Subject>,
}

impl Place {
    pub(super) const fn of(label: String, subject: Subject, origin: Origin) -> Self {
        Self {
            label,
            subject,
            origin,
            widest_at: None,
        }
    }

    pub(super) const fn widest_at(mut self, subject: Option<Subject>) -> Self {
        self.widest_at = subject;
        self
    }
}

/// An opening as it stands by what is on record.
pub(in crate::work) struct Standing {
    /// Name ("top wire to rail at A4").
    pub(in crate::work) label: String,
    pub(in crate::work) kind: OpeningKind,
    pub(in crate::work) clear: Millimetres,
    /// What it is of; none for one that no part of the run has to itself.
    pub(in crate::work) of: Option<Subject>,
    /// Where it stands at its widest, for one that is told of the whole run.
    pub(in crate::work) widest_at: Option<Subject>,
}
