//! Drawings, the handover document, data export and its verification.
