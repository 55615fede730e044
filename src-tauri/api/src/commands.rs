//! THE list: every command there is, with its request, its answer and its handler.

use crate::{
    boundary::{Nothing, commands},
    tasks, uploads,
};

commands! {
    /// Waits for progress of long work and gives its state; with `seen` it waits until there is
    /// something newer or the time is over.
    task(tasks::TaskRequest) -> tasks::TaskState = tasks::task;
    /// Asks long work to end; it stops at its next safe point and keeps what is whole.
    cancel_task(tasks::CancelTask) -> tasks::TaskState = tasks::cancel_task;
    /// Takes in a piece of a picture or document as base64, where raw bytes can't be sent.
    add_piece(uploads::AddPiece) -> uploads::PieceAdded = uploads::add_piece;
    /// Forgets the pieces of an upload that will not be finished.
    drop_upload(uploads::DropUpload) -> Nothing = uploads::drop_upload;
}
