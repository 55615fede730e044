//! Pictures for the page: `photo://localhost/<sha256>?size=thumb|view|original`.
//!
//! Invariant: what is named is a hash checked by pattern, never a path.

use api::{ApiError, pictures::PictureRequest};
use tauri::{
    Manager, Runtime, UriSchemeContext, UriSchemeResponder,
    http::{Request, Response, StatusCode, header},
};

use crate::Opened;

pub(crate) fn answer<R: Runtime>(
    context: UriSchemeContext<'_, R>,
    request: Request<Vec<u8>>,
    responder: UriSchemeResponder,
) {
    let app = context.app_handle().state::<Opened>().app();
    let asked = PictureRequest::parse(
        request.uri().path().trim_start_matches('/'),
        request.uri().query(),
    );
    tauri::async_runtime::spawn_blocking(move || {
        let found = app.and_then(|app| app.picture(&asked?));
        responder.respond(match found {
            Ok(picture) => response(StatusCode::OK, picture.content_type, picture.bytes),
            Err(error) => refusal(error),
        });
    });
}

fn refusal(error: ApiError) -> Response<Vec<u8>> {
    response(
        StatusCode::NOT_FOUND,
        "text/plain; charset=utf-8",
        error.message.into_bytes(),
    )
}

fn response(status: StatusCode, content_type: &str, body: Vec<u8>) -> Response<Vec<u8>> {
    Response::builder()
        .status(status)
        .header(header::CONTENT_TYPE, content_type)
        .header(header::X_CONTENT_TYPE_OPTIONS, "nosniff")
        .body(body)
        .unwrap_or_default()
}
