//! Marking a copy of a picture: which can be marked, and what takes the place of what.

use records::Record;
use records::ids::BookId;
use records::job::things::Photo;
use records::job::{Job, Standing};
use records::model::context::Said;
use records::model::fields;
use records::model::values::{Mark, Marks};
use records::subject::{ItemKind, Subject};

use super::say::unchanged;
use crate::claim::{Act, Acted, Earlier};
use crate::handlers::marks::MarkPicture;
use crate::{ApiError, ErrorCode};

/// Says what is marked on a picture over all that stood there, or takes it back.
pub(crate) fn mark_picture(
    record: &mut Record,
    job: BookId,
    picture: Subject,
    request: &MarkPicture,
) -> Result<Acted, ApiError> {
    let stood = photo_of(&record.job(job)?, &picture)?.marks;
    if stood.standing == Standing::Newer {
        return Err(ApiError::invalid(
            "A newer version marked this picture in a way that is not known here. Mark it on a device that \
             has the newer version.",
        ));
    }
    let over = stood.tip_ids();
    unchanged(request.seen.as_deref(), &over)?;
    let marks = Marks {
        marks: request.marks.iter().map(tidy).collect(),
    };
    let marks = Some(&marks).filter(|marks| !marks.marks.is_empty());
    if marks.is_none() && stood.values().next().is_none() {
        return Err(ApiError::invalid(
            "Nothing is marked on this picture. Draw a mark first.",
        ));
    }
    let (field, with) = (fields::PHOTO_MARKS, Said::default());
    let mut act = Act::default();
    act.claim(field, picture, "", marks, &with, Earlier::over(over))?;
    act.record(record, job)
}

/// A picture of the job that can be shown: nobody marks what nobody sees.
fn photo_of(job: &Job<'_>, picture: &Subject) -> Result<Photo, ApiError> {
    let Subject::Item(ItemKind::Photo, id) = picture else {
        return Err(ApiError::invalid("That is no picture."));
    };
    let found = job.photos.iter().find(|photo| photo.id == *id);
    let photo = found.ok_or_else(|| {
        ApiError::new(
            ErrorCode::NotFound,
            "The job has no such picture any more. Look at its pictures again.",
        )
    })?;
    if !photo.files.iter().any(|file| file.kind == "view.jpg") {
        return Err(ApiError::invalid(
            "This picture is kept as it is and can't be shown, so that nothing can be marked on it.",
        ));
    }
    Ok(photo.clone())
}

/// A mark with its words on one line, without blanks about them.
fn tidy(mark: &Mark) -> Mark {
    match mark {
        Mark::Text { x, y, text } => Mark::Text {
            x: *x,
            y: *y,
            text: text.split_whitespace().collect::<Vec<_>>().join(" "),
        },
        other => other.clone(),
    }
}
