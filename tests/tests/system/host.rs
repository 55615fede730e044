//! The loopback host as a browser, a stranger and a slow client meet it.
//!
//! One file past 400 lines, since all of them meet the same host.

use std::{
    fs,
    io::{Read, Write},
    net::TcpStream,
    sync::Arc,
    time::{Duration, Instant},
};

use api::App;
use reqwest::{
    Method, StatusCode,
    blocking::{Client, RequestBuilder, Response},
};
use serde_json::{Value, json};
use tautbook_cli::serve::{Host, Limits, Options, start};

const TOKEN: &str = "x-tautbook-token";
const SCRIPT: &str = "\n start('tautbook'); \n";
const UPLOAD: &str = "abcdefghij0123456789";

struct Served {
    host: Host,
    client: Client,
    dir: tempfile::TempDir,
}

impl Served {
    fn new() -> Self {
        Self::with(Limits::default())
    }

    fn with(limits: Limits) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let ui = dir.path().join("ui");
        fs::create_dir_all(ui.join("_app/immutable")).unwrap();
        let index = format!("<!doctype html><p>screens</p><script>{SCRIPT}</script>");
        fs::write(ui.join("index.html"), index).unwrap();
        fs::write(ui.join("_app/immutable/a.js"), "1").unwrap();
        let app = Arc::new(App::open(&dir.path().join("data")).unwrap());
        let options = Options {
            port: 0,
            ui: Some(ui),
            limits,
        };
        Self {
            host: start(app, options).unwrap(),
            client: Client::new(),
            dir,
        }
    }

    fn data(&self) -> std::path::PathBuf {
        self.dir.path().join("data")
    }

    fn url(&self, path: &str) -> String {
        format!("{}{path}", self.host.origin())
    }

    /// A request with everything that the page itself sends.
    fn request(&self, method: Method, path: &str) -> RequestBuilder {
        self.client
            .request(method, self.url(path))
            .header(TOKEN, self.host.token())
            .header("origin", self.host.origin())
    }

    fn api(&self, name: &str, request: &Value) -> Response {
        self.request(Method::POST, &format!("/api/{name}"))
            .json(request)
            .send()
            .unwrap()
    }

    /// The head of a request with everything that the page sends, up to its last header.
    fn head(&self, path: &str, content_type: &str) -> String {
        let origin = self.host.origin();
        format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nOrigin: {origin}\r\n{TOKEN}: {}\r\nContent-Type: {content_type}\r\n",
            origin.replace("http://", ""),
            self.host.token()
        )
    }

    /// Announces a body without sending any of it, and gives the answer.
    fn announce(&self, path: &str, content_type: &str, bytes: usize) -> String {
        let mut socket = self.socket();
        let head = self.head(path, content_type);
        write!(socket, "{head}Content-Length: {bytes}\r\n\r\n").unwrap();
        let mut answer = String::new();
        socket.read_to_string(&mut answer).unwrap();
        answer
    }

    fn socket(&self) -> TcpStream {
        let address = self.host.origin().replace("http://", "");
        let socket = TcpStream::connect(address).unwrap();
        socket
            .set_read_timeout(Some(Duration::from_secs(20)))
            .unwrap();
        socket
    }
}

#[test]
fn a_command_is_answered_and_its_error_comes_in_words() {
    let served = Served::new();
    let answer = served.api("task", &json!({"task": "task-9"}));
    assert_eq!(answer.status(), StatusCode::NOT_FOUND);
    let error: Value = answer.json().unwrap();
    assert_eq!(error["code"], "notFound");
    assert!(error["message"].as_str().unwrap().ends_with('.'));

    let added = served.api(
        "addPiece",
        &json!({"upload": UPLOAD, "offset": 0, "base64": "dGF1dA=="}),
    );
    assert_eq!(added.status(), StatusCode::OK);
    assert_eq!(added.json::<Value>().unwrap(), json!({"bytes": 4}));

    let unknown = served.api("nothing", &json!({}));
    assert_eq!(unknown.status(), StatusCode::NOT_FOUND);
    assert_eq!(unknown.json::<Value>().unwrap()["code"], "unknownCommand");
}

#[test]
fn the_token_stands_in_the_fragment_and_is_new_for_each_run() {
    let (one, two) = (Served::new(), Served::new());
    assert_ne!(one.host.token(), two.host.token());
    // 32 random bytes.
    assert_eq!(one.host.token().len(), 43);
    let open = one.host.open_address();
    assert_eq!(
        open,
        format!("{}/#token={}", one.host.origin(), one.host.token())
    );
    assert!(open.starts_with("http://127.0.0.1:"));
}

#[test]
fn nothing_of_the_record_is_told_without_the_token() {
    let served = Served::new();
    let hash = "a0".repeat(32);
    let paths = [
        (Method::POST, "/api/task".to_owned()),
        (Method::POST, "/api/".to_owned()),
        (Method::POST, format!("/pieces/{UPLOAD}/0")),
        (Method::GET, format!("/photo/{hash}?size=thumb")),
    ];
    let near = format!("{}x", served.host.token());
    for (method, path) in paths {
        for token in [None, Some(""), Some("wrong"), Some(near.as_str())] {
            let mut request = served
                .client
                .request(method.clone(), served.url(&path))
                .header("origin", served.host.origin())
                .header("content-type", "application/json")
                .body("{}");
            if let Some(token) = token {
                request = request.header(TOKEN, token);
            }
            let answer = request.send().unwrap();
            assert_eq!(
                answer.status(),
                StatusCode::UNAUTHORIZED,
                "{path} {token:?}"
            );
            assert!(answer.headers().get("set-cookie").is_none());
        }
        // Neither an address nor a cookie takes the place of the header.
        let asked = format!(
            "{path}{}token={}",
            if path.contains('?') { '&' } else { '?' },
            served.host.token()
        );
        let answer = served
            .client
            .request(method, served.url(&asked))
            .header("origin", served.host.origin())
            .header("cookie", format!("{TOKEN}={}", served.host.token()))
            .send()
            .unwrap();
        assert_eq!(answer.status(), StatusCode::UNAUTHORIZED, "{asked}");
    }
    let ready = served.client.get(served.url("/readyz")).send().unwrap();
    assert_eq!(ready.text().unwrap(), "ready\n");
}

#[test]
fn another_host_name_is_refused_everywhere() {
    let served = Served::new();
    let port = served.host.origin().rsplit(':').next().unwrap().to_owned();
    for host in [
        format!("localhost:{port}"),
        "evil.example".to_owned(),
        "127.0.0.1".to_owned(),
    ] {
        for path in ["/", "/readyz", "/api/task"] {
            let answer = served
                .request(Method::GET, path)
                .header("host", &host)
                .send()
                .unwrap();
            assert_eq!(
                answer.status(),
                StatusCode::MISDIRECTED_REQUEST,
                "{host} {path}"
            );
        }
    }
}

#[test]
fn another_origin_is_refused() {
    let served = Served::new();
    let post = |origin: Option<&str>| {
        let mut request = served
            .client
            .post(served.url("/api/task"))
            .header(TOKEN, served.host.token())
            .json(&json!({"task": "task-9"}));
        if let Some(origin) = origin {
            request = request.header("origin", origin);
        }
        request.send().unwrap()
    };
    for origin in [
        None,
        Some("null"),
        Some("http://localhost:1"),
        Some("https://evil.example"),
    ] {
        let answer = post(origin);
        assert_eq!(answer.status(), StatusCode::FORBIDDEN, "{origin:?}");
        assert!(
            answer
                .headers()
                .get("access-control-allow-origin")
                .is_none()
        );
    }
    let preflight = served
        .client
        .request(Method::OPTIONS, served.url("/api/task"))
        .header("origin", "https://evil.example")
        .header("access-control-request-method", "POST")
        .send()
        .unwrap();
    assert_eq!(preflight.status(), StatusCode::FORBIDDEN);
    assert_eq!(
        post(Some(&served.host.origin())).status(),
        StatusCode::NOT_FOUND
    );
}

#[test]
fn only_post_with_json_reaches_a_command() {
    let served = Served::new();
    for method in [Method::GET, Method::PUT, Method::DELETE, Method::PATCH] {
        let answer = served.request(method.clone(), "/api/task").send().unwrap();
        assert_eq!(answer.status(), StatusCode::METHOD_NOT_ALLOWED, "{method}");
    }
    for content_type in [
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data",
    ] {
        let answer = served
            .request(Method::POST, "/api/task")
            .header("content-type", content_type)
            .body(r#"{"task":"task-9"}"#)
            .send()
            .unwrap();
        assert_eq!(
            answer.status(),
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "{content_type}"
        );
    }
    let answer = served
        .request(Method::POST, "/api/task")
        .header("content-type", "application/json")
        .body("{\"task\": ")
        .send()
        .unwrap();
    assert_eq!(answer.status(), StatusCode::BAD_REQUEST);
}

#[test]
fn a_body_of_three_megabytes_is_refused_whether_announced_or_not() {
    let served = Served::new();
    let large = format!("{{\"task\": \"{}\"}}", "x".repeat(3 * 1024 * 1024));
    let announced = served.announce("/api/task", "application/json", large.len());
    assert!(announced.starts_with("HTTP/1.1 413"), "{announced}");

    let mut socket = served.socket();
    let head = served.head("/api/task", "application/json");
    write!(socket, "{head}Transfer-Encoding: chunked\r\n\r\n").unwrap();
    let mut sent = 0;
    for piece in large.as_bytes().chunks(64 * 1024) {
        let whole = [format!("{:x}\r\n", piece.len()).as_bytes(), piece, b"\r\n"].concat();
        if socket.write_all(&whole).is_err() {
            break;
        }
        sent += piece.len();
    }
    let mut answer = [0; 12];
    // After a reset nothing can be read; an accepted request would have been answered.
    match socket.read_exact(&mut answer) {
        Ok(()) => assert_eq!(&answer, b"HTTP/1.1 413", "after {sent} bytes"),
        Err(_) => assert!(sent > 2 * 1024 * 1024, "cut off after {sent} bytes"),
    }
    assert_eq!(
        served.api("task", &json!({"task": "task-9"})).status(),
        StatusCode::NOT_FOUND
    );
}

#[test]
fn pieces_are_raw_bytes_with_a_cap_of_their_own() {
    // What the screens send.
    const PIECE: usize = 256 * 1024;
    let served = Served::new();
    let send = |offset: usize, bytes: Vec<u8>, content_type: &str| {
        served
            .request(Method::POST, &format!("/pieces/{UPLOAD}/{offset}"))
            .header("content-type", content_type)
            .body(bytes)
            .send()
    };
    let raw = "application/octet-stream";
    let piece = vec![7; PIECE];
    let added = send(0, piece.clone(), raw).unwrap();
    assert_eq!(added.json::<Value>().unwrap(), json!({"bytes": PIECE}));
    let added = send(PIECE, piece, raw).unwrap();
    assert_eq!(added.json::<Value>().unwrap(), json!({"bytes": 2 * PIECE}));
    let path = format!("/pieces/{UPLOAD}/{}", 2 * PIECE);
    let refused = served.announce(&path, raw, PIECE + 1);
    assert!(refused.starts_with("HTTP/1.1 413"), "{refused}");
    let wrong_type = send(2 * PIECE, vec![7], "application/json").unwrap();
    assert_eq!(wrong_type.status(), StatusCode::UNSUPPORTED_MEDIA_TYPE);
    let gap = send(2 * 2 * PIECE, vec![7], raw).unwrap();
    assert_eq!(gap.status(), StatusCode::BAD_REQUEST);
    let path = served
        .request(Method::POST, "/pieces/..%2f..%2fjournal/0")
        .header("content-type", raw)
        .body(vec![7])
        .send()
        .unwrap();
    assert_eq!(path.status(), StatusCode::BAD_REQUEST);
}

#[test]
fn slow_clients_are_let_go() {
    let served = Served::with(Limits {
        first: Duration::from_secs(1),
        header: Duration::from_millis(300),
        body: Duration::from_millis(300),
    });
    let head = served.head("/api/task", "application/json") + "Content-Length: 20\r\n";
    let begun = Instant::now();
    let mut slow_head = served.socket();
    slow_head.write_all(head.as_bytes()).unwrap();
    let mut answer = String::new();
    let _ = slow_head.read_to_string(&mut answer);
    assert!(!answer.contains("200 OK"), "{answer}");

    let mut slow_body = served.socket();
    write!(slow_body, "{head}\r\n{{\"ta").unwrap();
    let mut answer = String::new();
    slow_body.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    assert!(begun.elapsed() < Duration::from_secs(10));

    assert_eq!(
        served.api("task", &json!({"task": "task-9"})).status(),
        StatusCode::NOT_FOUND
    );
}

#[test]
fn pages_come_with_their_policy_and_no_other_file() {
    let served = Served::new();
    // Computed apart from the host: printf of the script | openssl dgst -sha256 -binary | base64
    let hash = "u5QCa4aLO/fNUTR9Vdk6Auq3Ou+sONYM/u62Kgqt7Bo=";
    for path in ["/", "/index.html", "/job/x"] {
        let page = served.client.get(served.url(path)).send().unwrap();
        assert_eq!(page.status(), StatusCode::OK, "{path}");
        let policy = page.headers()["content-security-policy"].to_str().unwrap();
        assert!(
            policy.contains(&format!("script-src 'self' 'sha256-{hash}';")),
            "{policy}"
        );
        assert!(page.text().unwrap().contains("screens"), "{path}");
    }
    let script = served
        .client
        .get(served.url("/_app/immutable/a.js"))
        .send()
        .unwrap();
    assert!(
        script.headers()["cache-control"]
            .to_str()
            .unwrap()
            .contains("immutable")
    );
    for path in [
        "/nothing.js",
        "/..%2fdata%2flock.txt",
        "/%2e%2e/data/x.db",
        "/_app/../../data/x.db",
    ] {
        let answer = served.client.get(served.url(path)).send().unwrap();
        assert_eq!(answer.status(), StatusCode::NOT_FOUND, "{path}");
    }
}

#[test]
fn every_answer_carries_the_fixed_headers() {
    let served = Served::new();
    let answers = [
        served.client.get(served.url("/")).send().unwrap(),
        served.client.get(served.url("/readyz")).send().unwrap(),
        served.client.get(served.url("/api/task")).send().unwrap(),
        served.api("task", &json!({"task": "task-9"})),
        served.api("nothing", &json!({})),
    ];
    for answer in answers {
        let header = |name: &str| answer.headers()[name].to_str().unwrap().to_owned();
        assert_eq!(header("x-content-type-options"), "nosniff");
        assert_eq!(header("referrer-policy"), "no-referrer");
        assert!(header("content-security-policy").contains("frame-ancestors 'none'"));
        assert!(
            answer
                .headers()
                .get("access-control-allow-origin")
                .is_none()
        );
        // Microphone and motion for this origin alone, for no page within it; no camera, no devices.
        let allowed = header("permissions-policy");
        for wanted in [
            "microphone=(self)",
            "accelerometer=(self)",
            "gyroscope=(self)",
            "camera=()",
        ] {
            assert!(allowed.contains(wanted), "{allowed}");
        }
        assert!(!allowed.contains('*'));
        assert!(answer.headers().contains_key("cache-control"));
    }
    let told = served.api("task", &json!({"task": "task-9"}));
    assert_eq!(told.headers()["cache-control"], "no-store");
}

#[test]
fn a_picture_is_named_by_its_hash_only() {
    let served = Served::new();
    let get = |path: &str| served.request(Method::GET, path).send().unwrap().status();
    assert_eq!(
        get(&format!("/photo/{}", "a0".repeat(32))),
        StatusCode::NOT_FOUND
    );
    for name in ["x", "..%2f..%2fdevice.key", &"A0".repeat(32)] {
        assert_eq!(
            get(&format!("/photo/{name}?size=thumb")),
            StatusCode::BAD_REQUEST,
            "{name}"
        );
    }
    let odd = format!("/photo/{}?size=huge", "a0".repeat(32));
    assert_eq!(get(&odd), StatusCode::BAD_REQUEST);
}

#[test]
fn a_written_pdf_is_handed_out_by_its_name_and_nothing_else_is() {
    let served = Served::new();
    let labels = served.data().join("labels");
    fs::create_dir_all(&labels).unwrap();
    fs::write(labels.join("abc-1.pdf"), b"%PDF-1.7 labels").unwrap();
    let get = |path: &str| served.request(Method::GET, path).send().unwrap();
    let answer = get("/written/labels/abc-1.pdf");
    assert_eq!(answer.status(), StatusCode::OK);
    assert_eq!(answer.headers()["content-type"], "application/pdf");
    assert_eq!(answer.headers()["content-disposition"], "attachment");
    assert_eq!(answer.bytes().unwrap().as_ref(), b"%PDF-1.7 labels");

    let gone = get("/written/labels/abc-2.pdf");
    assert_eq!(gone.status(), StatusCode::NOT_FOUND);
    for path in [
        "/written/labels/..%2flocal.db",
        "/written/labels/..%2fdevice.key",
        "/written/photos/abc-1.pdf",
        "/written/labels/ABC.pdf",
    ] {
        assert_eq!(get(path).status(), StatusCode::BAD_REQUEST, "{path}");
    }
    let stranger = served.client.get(served.url("/written/labels/abc-1.pdf"));
    assert_eq!(stranger.send().unwrap().status(), StatusCode::UNAUTHORIZED);
}

#[test]
fn a_document_leaves_as_bytes_to_be_saved_and_only_unchanged() {
    let served = Served::new();
    let crew = json!({"crew": "Ann's", "person": "Ann", "role": "surveyor"});
    assert_eq!(served.api("foundCrew", &crew).status(), StatusCode::OK);
    let begun = json!({"title": "Deck", "place": "an island"});
    let begun: Value = served.api("beginJob", &begun).json().unwrap();
    let job = begun["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:");
    let page = b"<script>alert(1)</script>";
    let file = served.data().join("note.html");
    fs::write(&file, page).unwrap();
    let ask = json!({"job": job, "source": {"kind": "file", "path": file}, "name": "note.html"});
    assert_eq!(served.api("addDocument", &ask).status(), StatusCode::OK);
    let read: Value = served.api("readJob", &json!({"job": job})).json().unwrap();
    let hash = read["documents"][0]["files"][0]["sha256"].as_str().unwrap();
    let get = || {
        let path = format!("/photo/{hash}?size=original");
        served.request(Method::GET, &path).send().unwrap()
    };
    let answer = get();
    assert_eq!(answer.status(), StatusCode::OK);
    assert_eq!(answer.headers()["content-type"], "application/octet-stream");
    assert_eq!(answer.headers()["content-disposition"], "attachment");
    assert_eq!(answer.headers()["x-content-type-options"], "nosniff");
    assert_eq!(answer.bytes().unwrap().as_ref(), page);
    let kept = format!("photos/{}/{hash}.html", hash.get(..2).unwrap());
    fs::write(served.data().join(kept), b"<script>alert(2)</script>").unwrap();
    assert_eq!(get().status(), StatusCode::UNPROCESSABLE_ENTITY);
}

#[test]
fn connections_that_say_nothing_keep_nobody_waiting() {
    let served = Served::new();
    let silent: Vec<_> = (0..80).map(|_| served.socket()).collect();
    let begun = Instant::now();
    let mut speaks = served.socket();
    let head = served.head("/api/task", "application/json");
    write!(
        speaks,
        "{head}Content-Length: 2\r\nConnection: close\r\n\r\n{{}}"
    )
    .unwrap();
    let mut answer = [0; 9];
    speaks.read_exact(&mut answer).unwrap();
    assert_eq!(&answer, b"HTTP/1.1 ");
    assert!(
        begun.elapsed() < Duration::from_secs(5),
        "{:?}",
        begun.elapsed()
    );
    drop(silent);
}
