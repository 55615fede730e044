//! The routes: commands, pieces in, pictures and written PDFs out, pages.

use std::{sync::Arc, time::Duration};

use api::{
    ApiError, App, ErrorCode, pictures::PictureRequest, uploads::PIECE_LIMIT,
    written::WrittenRequest,
};
use axum::{
    Json, Router,
    body::{Body, Bytes, to_bytes},
    extract::{Path, RawQuery, State},
    http::{HeaderMap, Request, StatusCode, Uri, header},
    middleware,
    response::{IntoResponse, Response},
    routing::{get, post},
};
use serde_json::{Value, json};

use super::{gate, pages::Pages};

/// The largest request of a command, in bytes.
const BODY_LIMIT: usize = 2 * 1024 * 1024;

/// What every request works with.
pub(super) struct Shared {
    pub(super) app: Arc<App>,
    pub(super) pages: Pages,
    pub(super) body: Duration,
}

/// An error on its way out.
struct Failed(StatusCode, ApiError);

pub(super) fn router(shared: Shared, door: gate::Door) -> Router {
    let shared = Arc::new(shared);
    Router::new()
        .route("/api/{name}", post(command))
        .route("/pieces/{upload}/{offset}", post(piece))
        .route("/photo/{sha256}", get(picture))
        .route("/written/{folder}/{name}", get(written))
        .route("/readyz", get(|| async { "ready\n" }))
        .fallback(get(page))
        .layer(middleware::from_fn_with_state(Arc::new(door), gate::gate))
        .with_state(shared)
}

async fn command(
    State(shared): State<Arc<Shared>>,
    Path(name): Path<String>,
    request: Request<Body>,
) -> Result<Json<Value>, Failed> {
    expect_type(request.headers(), "application/json")?;
    let body = read(request, BODY_LIMIT, shared.body).await?;
    let asked: Value = serde_json::from_slice(&body)
        .map_err(|error| ApiError::invalid(format!("The request is not JSON: {error}.")))?;
    let app = Arc::clone(&shared.app);
    off_the_loop(move || api::dispatch(&app, &name, asked))
        .await
        .map(Json)
}

async fn piece(
    State(shared): State<Arc<Shared>>,
    Path((upload, offset)): Path<(String, u64)>,
    request: Request<Body>,
) -> Result<Json<Value>, Failed> {
    expect_type(request.headers(), "application/octet-stream")?;
    let body = read(request, PIECE_LIMIT, shared.body).await?;
    let app = Arc::clone(&shared.app);
    let bytes = off_the_loop(move || app.uploads.add(&upload, offset, &body)).await?;
    Ok(Json(json!({ "bytes": bytes })))
}

async fn picture(
    State(shared): State<Arc<Shared>>,
    Path(sha256): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Failed> {
    let asked = PictureRequest::parse(&sha256, query.as_deref())?;
    let app = Arc::clone(&shared.app);
    let picture = off_the_loop(move || app.picture(&asked)).await?;
    Ok((
        [
            (header::CONTENT_TYPE, picture.content_type),
            // A document that a browser would run as a page must not become one.
            (header::CONTENT_DISPOSITION, "attachment"),
        ],
        picture.bytes,
    )
        .into_response())
}

async fn written(
    State(shared): State<Arc<Shared>>,
    Path((folder, name)): Path<(String, String)>,
) -> Result<Response, Failed> {
    let asked = WrittenRequest::parse(&folder, &name)?;
    let app = Arc::clone(&shared.app);
    let bytes = off_the_loop(move || app.written(&asked)).await?;
    Ok((
        [
            (header::CONTENT_TYPE, "application/pdf"),
            (header::CONTENT_DISPOSITION, "attachment"),
        ],
        bytes,
    )
        .into_response())
}

async fn page(State(shared): State<Arc<Shared>>, uri: Uri) -> Response {
    shared.pages.answer(uri.path())
}

/// Commands wait for the disk; that must not hold up other connections.
async fn off_the_loop<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, ApiError> + Send + 'static,
) -> Result<T, Failed> {
    let ended = tokio::task::spawn_blocking(work).await.map_err(|_| {
        ApiError::new(
            ErrorCode::Internal,
            "The command broke off through a mistake in the program. What was saved is kept.",
        )
    })?;
    Ok(ended?)
}

fn expect_type(headers: &HeaderMap, expected: &str) -> Result<(), Failed> {
    let given = headers
        .get(header::CONTENT_TYPE)
        .and_then(|value| value.to_str().ok())
        .and_then(|value| value.split(';').next())
        .map(str::trim);
    if given.is_some_and(|given| given.eq_ignore_ascii_case(expected)) {
        return Ok(());
    }
    Err(Failed(
        StatusCode::UNSUPPORTED_MEDIA_TYPE,
        ApiError::invalid(format!("Send this as {expected}.")),
    ))
}

async fn read(request: Request<Body>, limit: usize, time: Duration) -> Result<Bytes, Failed> {
    let too_large = || {
        Failed(
            StatusCode::PAYLOAD_TOO_LARGE,
            ApiError::invalid(format!("At most {limit} bytes are taken in at once.")),
        )
    };
    let announced = request
        .headers()
        .get(header::CONTENT_LENGTH)
        .and_then(|value| value.to_str().ok())
        .and_then(|value| value.parse::<u64>().ok());
    if announced.is_some_and(|bytes| bytes > limit as u64) {
        return Err(too_large());
    }
    match tokio::time::timeout(time, to_bytes(request.into_body(), limit)).await {
        Ok(Ok(bytes)) => Ok(bytes),
        Ok(Err(_)) => Err(too_large()),
        Err(_) => Err(Failed(
            StatusCode::REQUEST_TIMEOUT,
            ApiError::retryable(
                ErrorCode::Invalid,
                "The request took too long to arrive. Nothing was changed; send it again.",
            ),
        )),
    }
}

impl From<ApiError> for Failed {
    fn from(error: ApiError) -> Self {
        let status = match error.code {
            ErrorCode::UnknownCommand | ErrorCode::NotFound => StatusCode::NOT_FOUND,
            ErrorCode::Invalid | ErrorCode::Questioned => StatusCode::BAD_REQUEST,
            ErrorCode::Disputed | ErrorCode::Newer | ErrorCode::Cancelled | ErrorCode::Changed => {
                StatusCode::CONFLICT
            }
            ErrorCode::Locked => StatusCode::LOCKED,
            ErrorCode::Fault => StatusCode::UNPROCESSABLE_ENTITY,
            ErrorCode::Storage => StatusCode::SERVICE_UNAVAILABLE,
            ErrorCode::Internal => StatusCode::INTERNAL_SERVER_ERROR,
        };
        Self(status, error)
    }
}

impl IntoResponse for Failed {
    fn into_response(self) -> Response {
        let mut response = (self.0, Json(self.1)).into_response();
        if matches!(
            self.0,
            StatusCode::PAYLOAD_TOO_LARGE | StatusCode::REQUEST_TIMEOUT
        ) {
            // The rest of the body is not read, so the connection can't be used again.
            response.headers_mut().insert(
                header::CONNECTION,
                header::HeaderValue::from_static("close"),
            );
        }
        response
    }
}
