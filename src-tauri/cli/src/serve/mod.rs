//! The loopback host: the built screens and the commands from one origin on this machine.
//!
//! Invariant: it listens on 127.0.0.1 only, and nothing of the record leaves without the token of
//! this run, the exact Host and, from a page, the exact Origin. No switch loosens that. It knows
//! no command; it carries bytes between a browser and `api::dispatch`.

mod gate;
mod pages;
mod routes;

use std::{
    io,
    net::{Ipv4Addr, SocketAddr, TcpListener},
    path::PathBuf,
    sync::Arc,
    time::Duration,
};

use api::App;
use data_encoding::BASE64URL_NOPAD;
use hyper::server::conn::http1;
use hyper_util::{
    rt::{TokioIo, TokioTimer},
    service::TowerToHyperService,
};
use tokio::{runtime::Runtime, sync::Semaphore};

pub use pages::{Pages, find_ui};

/// Connections at one time; a browser opens about six.
const CONNECTIONS: usize = 64;

/// Where to listen and what to show.
pub struct Options {
    /// The port; 0 takes a free one.
    pub port: u16,
    /// The folder of the built screens; without it only commands are answered.
    pub ui: Option<PathBuf>,
    /// How long a client may take.
    pub limits: Limits,
}

/// How long a client may take before its connection is closed.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// For the first byte of a connection.
    pub first: Duration,
    /// For a request's headers.
    pub header: Duration,
    /// For a request's body.
    pub body: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            first: Duration::from_secs(1),
            header: Duration::from_secs(10),
            body: Duration::from_secs(30),
        }
    }
}

/// Why the host did not start.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The port is taken or may not be used.
    #[error(
        "could not listen on 127.0.0.1:{port}: {source}. Choose another --port, or 0 for a free one."
    )]
    Listen {
        /// The port asked for.
        port: u16,
        /// What the system said.
        source: io::Error,
    },
    /// The folder of the screens can't be used.
    #[error("could not read the screens from {}: {source}. Build them with `cargo xtask app` or name their folder with --ui.", path.display())]
    Pages {
        /// The folder or file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// No random token could be had.
    #[error("the system gave no random bytes for the token: {0}")]
    Random(#[from] getrandom::Error),
    /// The threads that serve could not be made.
    #[error("could not start serving: {0}")]
    Runtime(io::Error),
}

/// A running host; it ends when it is dropped.
pub struct Host {
    address: SocketAddr,
    token: String,
    runtime: Option<Runtime>,
}

impl Host {
    /// The origin, such as `http://127.0.0.1:41234`.
    pub fn origin(&self) -> String {
        format!("http://{}", self.address)
    }

    /// The token of this run, for the header `x-tautbook-token`.
    pub fn token(&self) -> &str {
        &self.token
    }

    /// The address to open: the token stands in its fragment, which no browser sends.
    pub fn open_address(&self) -> String {
        format!("{}/#token={}", self.origin(), self.token)
    }
}

impl Drop for Host {
    fn drop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_background();
        }
    }
}

/// Starts serving on threads of its own and comes back at once.
pub fn start(app: Arc<App>, options: Options) -> Result<Host, ServeError> {
    let pages = match &options.ui {
        Some(ui) => Pages::read(ui)?,
        None => Pages::none(),
    };
    let token = new_token()?;
    let listen = |source| ServeError::Listen {
        port: options.port,
        source,
    };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, options.port)).map_err(listen)?;
    listener.set_nonblocking(true).map_err(listen)?;
    let address = listener.local_addr().map_err(listen)?;
    let door = gate::Door::new(address, token.clone(), pages.policy());
    let body = options.limits.body;
    let router = routes::router(routes::Shared { app, pages, body }, door);
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .thread_name("host")
        .enable_all()
        .build()
        .map_err(ServeError::Runtime)?;
    let listener = {
        let _inside = runtime.enter();
        tokio::net::TcpListener::from_std(listener).map_err(listen)?
    };
    runtime.spawn(accept(listener, router, options.limits));
    Ok(Host {
        address,
        token,
        runtime: Some(runtime),
    })
}

async fn accept(listener: tokio::net::TcpListener, router: axum::Router, limits: Limits) {
    let places = Arc::new(Semaphore::new(CONNECTIONS));
    loop {
        let Ok(place) = Arc::clone(&places).acquire_owned().await else {
            return;
        };
        let Ok((stream, _)) = listener.accept().await else {
            // Out of file handles, most likely: give the open connections time to end.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let _place = place;
            // Whoever says nothing, with or without the token, holds a place from nobody.
            let first = tokio::time::timeout(limits.first, stream.peek(&mut [0])).await;
            if !matches!(first, Ok(Ok(1))) {
                return;
            }
            let connection = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(limits.header)
                .serve_connection(TokioIo::new(stream), service);
            // An error here means that the client went away or was too slow: nobody to tell.
            let _ = connection.await;
        });
    }
}

fn new_token() -> Result<String, ServeError> {
    let mut bytes = [0_u8; 32];
    getrandom::fill(&mut bytes)?;
    Ok(BASE64URL_NOPAD.encode(&bytes))
}
