//! The way from the page to the commands: one call by name, one for raw pieces
//! in, ones for written PDFs and originals out.

use api::{ApiError, ErrorCode, pictures::PictureRequest, written::WrittenRequest};
use serde_json::{Value, json};
use tauri::{
    State,
    ipc::{InvokeBody, Request, Response},
};

use crate::Opened;

/// Runs a command of the list.
#[tauri::command]
pub(crate) async fn call(
    name: String,
    request: Value,
    opened: State<'_, Opened>,
) -> Result<Value, ApiError> {
    let app = opened.app()?;
    aside(move || api::dispatch(&app, &name, request)).await
}

/// Takes in a piece: raw bytes with the headers `upload` and `offset`, or, where the bridge turns
/// bytes into text, the request of `addPiece`.
#[tauri::command]
pub(crate) async fn piece(
    request: Request<'_>,
    opened: State<'_, Opened>,
) -> Result<Value, ApiError> {
    let app = opened.app()?;
    let bytes = match request.body() {
        InvokeBody::Raw(bytes) => bytes.clone(),
        // Where the bridge can't carry bytes it turns them into a list of numbers.
        InvokeBody::Json(list @ Value::Array(_)) => serde_json::from_value(list.clone())
            .map_err(|_| ApiError::invalid("A piece is made of bytes."))?,
        InvokeBody::Json(request) => {
            let request = request.clone();
            return aside(move || api::dispatch(&app, "addPiece", request)).await;
        }
    };
    let header = |name| {
        request
            .headers()
            .get(name)
            .and_then(|value| value.to_str().ok())
            .map(str::to_owned)
            .ok_or_else(|| ApiError::invalid(format!("A piece needs the header {name}.")))
    };
    let upload = header("upload")?;
    let offset = header("offset")?
        .parse()
        .map_err(|_| ApiError::invalid("The offset of a piece is a whole number."))?;
    let length = aside(move || app.uploads.add(&upload, offset, &bytes)).await?;
    Ok(json!({ "bytes": length }))
}

/// The bytes of a PDF that the program wrote, so that the page can pass it on.
#[tauri::command]
pub(crate) async fn written(file: String, opened: State<'_, Opened>) -> Result<Response, ApiError> {
    let app = opened.app()?;
    aside(move || {
        app.written(&WrittenRequest::told(&file)?)
            .map(Response::new)
    })
    .await
}

/// The bytes of a picture or document as it was taken in, by its hash; the page plays a spoken note from them.
#[tauri::command]
pub(crate) async fn original(
    sha256: String,
    opened: State<'_, Opened>,
) -> Result<Response, ApiError> {
    let app = opened.app()?;
    aside(move || {
        let found = app.picture(&PictureRequest::parse(&sha256, None)?)?;
        Ok(Response::new(found.bytes))
    })
    .await
}

/// Commands wait for the disk and for long work; that must not hold up the window.
async fn aside<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, ApiError> + Send + 'static,
) -> Result<T, ApiError> {
    tauri::async_runtime::spawn_blocking(work)
        .await
        .unwrap_or_else(|_| {
            Err(ApiError::new(
                ErrorCode::Internal,
                "The command broke off through a mistake in the program. What was saved is kept.",
            ))
        })
}
