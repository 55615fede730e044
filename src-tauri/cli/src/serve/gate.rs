//! Who may come in: host, origin, token; and the headers on every answer.
//!
//! Invariant: the decision is made before any body is read, from method, path and headers alone.
//! Cookies are not used: they do not tell ports apart.

use std::{net::SocketAddr, sync::Arc};

use api::ApiError;
use axum::{
    Json,
    extract::{Request, State},
    http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, Uri, header},
    middleware::Next,
    response::{IntoResponse, Response},
};

/// The header that carries the token of this run.
pub(super) const TOKEN_HEADER: &str = "x-tautbook-token";

/// What the pages may ask a person for, and no page within them: the microphone and the motion sensor
/// for reading tensions, the position for pictures.
pub(super) const PERMISSIONS: &str = "microphone=(self), accelerometer=(self), gyroscope=(self), \
     geolocation=(self), camera=(), display-capture=(), usb=(), serial=(), hid=(), payment=()";

/// What a caller must name to come in.
pub(super) struct Door {
    host: String,
    origin: String,
    token: String,
    /// What the pages may load, told with every answer.
    policy: HeaderValue,
}

/// A request that is not let in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Refusal {
    Host,
    Origin,
    Token,
}

impl Door {
    pub(super) fn new(address: SocketAddr, token: String, policy: HeaderValue) -> Self {
        Self {
            host: address.to_string(),
            origin: format!("http://{address}"),
            token,
            policy,
        }
    }

    /// Decides on a request; `None` lets it in.
    pub(super) fn refuse(
        &self,
        method: &Method,
        uri: &Uri,
        headers: &HeaderMap,
    ) -> Option<Refusal> {
        let only = |name: HeaderName| {
            let mut values = headers.get_all(name).iter();
            (values.next(), values.next().is_some())
        };
        let (host, more) = only(header::HOST);
        let elsewhere = uri
            .authority()
            .is_some_and(|named| named.as_str() != self.host);
        if more || elsewhere || host.is_none_or(|host| host.as_bytes() != self.host.as_bytes()) {
            return Some(Refusal::Host);
        }
        let (origin, more) = only(header::ORIGIN);
        let foreign = origin.is_some_and(|origin| origin.as_bytes() != self.origin.as_bytes());
        let needed = !matches!(*method, Method::GET | Method::HEAD);
        if more || foreign || (needed && origin.is_none()) || from_another_site(headers) {
            return Some(Refusal::Origin);
        }
        if !is_public(uri.path()) {
            let (token, more) = only(HeaderName::from_static(TOKEN_HEADER));
            if more || !token.is_some_and(|token| same(token.as_bytes(), self.token.as_bytes())) {
                return Some(Refusal::Token);
            }
        }
        None
    }
}

/// The gate before every route.
pub(super) async fn gate(State(door): State<Arc<Door>>, request: Request, next: Next) -> Response {
    let refusal = door.refuse(request.method(), request.uri(), request.headers());
    let mut response = match refusal {
        Some(refusal) => refusal.into_response(),
        None => next.run(request).await,
    };
    let fixed = [
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (HeaderName::from_static("permissions-policy"), PERMISSIONS),
    ];
    for (name, value) in fixed {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    response
        .headers_mut()
        .insert(header::CONTENT_SECURITY_POLICY, door.policy.clone());
    response
        .headers_mut()
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let (status, message) = match self {
            Self::Host => (
                StatusCode::MISDIRECTED_REQUEST,
                "This address is not the one that was printed. Open the printed address.",
            ),
            Self::Origin => (
                StatusCode::FORBIDDEN,
                "Another page asked. Only the page from the printed address is answered.",
            ),
            Self::Token => (
                StatusCode::UNAUTHORIZED,
                "This page was opened before the program was started anew and no longer belongs to \
                 it. Open the address that is printed now; what was saved is kept.",
            ),
        };
        (status, Json(ApiError::invalid(message))).into_response()
    }
}

/// Pages and the readiness answer hold nothing of the record and can't carry a token.
fn is_public(path: &str) -> bool {
    let first = path.trim_start_matches('/').split('/').next();
    !matches!(first, Some("api" | "pieces" | "photo" | "written"))
}

/// What a browser says of itself about where the request comes from (Fetch Metadata).
fn from_another_site(headers: &HeaderMap) -> bool {
    headers
        .get("sec-fetch-site")
        .is_some_and(|site| !matches!(site.as_bytes(), b"same-origin" | b"none"))
}

/// Compares without telling by time how many bytes agree.
fn same(given: &[u8], token: &[u8]) -> bool {
    given.len() == token.len()
        && given
            .iter()
            .zip(token)
            .fold(0, |difference, (a, b)| difference | (a ^ b))
            == 0
}

#[cfg(test)]
mod tests {
    use super::{Door, HeaderMap, HeaderValue, Method, Refusal, Uri, same};

    const GOOD: &[(&str, &str)] = &[
        ("host", "127.0.0.1:4100"),
        ("origin", "http://127.0.0.1:4100"),
        ("x-tautbook-token", "secret"),
    ];

    fn decide(
        method: Method,
        uri: &str,
        headers: &[(&'static str, &'static str)],
    ) -> Option<Refusal> {
        let door = Door::new(
            "127.0.0.1:4100".parse().unwrap(),
            "secret".to_owned(),
            HeaderValue::from_static("default-src 'self'"),
        );
        let mut map = HeaderMap::new();
        for (name, value) in headers {
            map.append(*name, HeaderValue::from_static(value));
        }
        door.refuse(&method, &uri.parse::<Uri>().unwrap(), &map)
    }

    fn with(name: &'static str, value: Option<&'static str>) -> Vec<(&'static str, &'static str)> {
        GOOD.iter()
            .copied()
            .filter(|(known, _)| *known != name)
            .chain(value.map(|value| (name, value)))
            .collect()
    }

    #[test]
    fn the_printed_address_with_its_token_comes_in() {
        assert_eq!(decide(Method::POST, "/api/task", GOOD), None);
        assert_eq!(
            decide(Method::GET, "/photo/ab", &with("origin", None)),
            None
        );
        assert_eq!(decide(Method::GET, "/", &[GOOD[0]]), None);
        assert_eq!(decide(Method::GET, "/readyz", &[GOOD[0]]), None);
    }

    #[test]
    fn every_other_caller_is_refused() {
        use Refusal::{Host, Origin, Token};
        for (header, value, refusal) in [
            ("host", None, Host),
            ("host", Some("localhost:4100"), Host),
            ("host", Some("127.0.0.1"), Host),
            ("host", Some("127.0.0.1:4101"), Host),
            ("host", Some("evil.example:4100"), Host),
            ("origin", None, Origin),
            ("origin", Some("null"), Origin),
            ("origin", Some("http://127.0.0.1:4101"), Origin),
            ("origin", Some("http://localhost:4100"), Origin),
            ("origin", Some("https://127.0.0.1:4100"), Origin),
            ("x-tautbook-token", None, Token),
            ("x-tautbook-token", Some(""), Token),
            ("x-tautbook-token", Some("Secret"), Token),
            ("x-tautbook-token", Some("secretsecret"), Token),
        ] {
            let decided = decide(Method::POST, "/api/task", &with(header, value));
            assert_eq!(decided, Some(refusal), "{header}: {value:?}");
        }
    }

    #[test]
    fn doubled_headers_and_foreign_absolute_addresses_are_refused() {
        for (double, refusal) in [
            (("host", "127.0.0.1:4100"), Refusal::Host),
            (("origin", "http://127.0.0.1:4100"), Refusal::Origin),
            (("x-tautbook-token", "secret"), Refusal::Token),
        ] {
            let mut headers = GOOD.to_vec();
            headers.push(double);
            assert_eq!(decide(Method::POST, "/api/task", &headers), Some(refusal));
        }
        let absolute = decide(Method::POST, "http://evil.example/api/task", GOOD);
        assert_eq!(absolute, Some(Refusal::Host));
    }

    #[test]
    fn a_browser_that_names_another_site_is_refused_even_on_reading() {
        let mut headers = GOOD.to_vec();
        headers.push(("sec-fetch-site", "cross-site"));
        assert_eq!(
            decide(Method::GET, "/photo/ab", &headers),
            Some(Refusal::Origin)
        );
    }

    #[test]
    fn every_spelling_of_a_closed_path_needs_the_token() {
        for path in [
            "/api",
            "/api/",
            "/api/task",
            "//api/task",
            "/pieces/a/0",
            "/photo/ab?size=thumb",
            "/written/labels/a.pdf",
        ] {
            let decided = decide(Method::GET, path, &GOOD[..1]);
            assert_eq!(decided, Some(Refusal::Token), "{path}");
        }
    }

    #[test]
    fn tokens_are_compared_whole() {
        assert!(same(b"secret", b"secret"));
        assert!(!same(b"secret", b"secreT"));
        assert!(!same(b"", b"secret"));
    }
}
