//! The app shell: the window, the phone's entry, the way to the commands and the photo scheme.
//!
//! Invariant: the webview shows bundled files only and goes nowhere else; every file, secret and
//! network access is behind a command. The shell decides nothing about the record.

mod ipc;
mod photo;

use std::{
    ffi::OsString,
    path::PathBuf,
    sync::{Arc, OnceLock},
};

use api::{ApiError, App, ErrorCode};
use tauri::{
    Manager, Runtime, Url, WebviewUrl, WebviewWindowBuilder,
    webview::{NewWindowResponse, PermissionKind, PermissionResponse},
};

/// The variable that names the data folder.
const DATA_VARIABLE: &str = "TAUTBOOK_DATA";

/// The record that the window works on, or why it could not be opened.
///
/// A window that says why is of more use than none, so every command then answers with the reason.
#[derive(Default)]
pub(crate) struct Opened(OnceLock<Result<Arc<App>, ApiError>>);

impl Opened {
    pub(crate) fn app(&self) -> Result<Arc<App>, ApiError> {
        self.0.get().cloned().unwrap_or_else(|| {
            Err(ApiError::retryable(
                ErrorCode::Internal,
                "The record is still being opened. Try again in a moment.",
            ))
        })
    }
}

/// Reads the data folder from the arguments (`--data DIR`) or the variable `TAUTBOOK_DATA`.
pub fn data_folder(arguments: impl Iterator<Item = OsString>) -> Option<PathBuf> {
    let mut arguments = arguments
        .skip_while(|argument| argument != "--data")
        .skip(1);
    arguments
        .next()
        .or_else(|| std::env::var_os(DATA_VARIABLE))
        .map(PathBuf::from)
}

/// Opens the window on a data folder, or on the app's own where none is named; returns when the
/// window is closed.
pub fn open(data: Option<PathBuf>) -> tauri::Result<()> {
    tauri::Builder::default()
        .plugin(phone::init())
        .manage(Opened::default())
        .invoke_handler(tauri::generate_handler![
            ipc::call,
            ipc::piece,
            ipc::original,
            ipc::written
        ])
        .register_asynchronous_uri_scheme_protocol("photo", photo::answer)
        .on_permission_request(|_, kind| permission(kind, cfg!(mobile)))
        .setup(move |app| {
            let data = match data {
                Some(data) => data,
                None => app.path().app_data_dir()?,
            };
            let opened = App::open(&data).map(Arc::new);
            if let Err(error) = &opened {
                eprintln!("tautbook: {error}");
            }
            if let (Ok(opened), Some(folder)) = (&opened, downloads(app)) {
                opened.saves_into(folder);
            }
            // Set once, here, before there is a page that could ask.
            let _ = app.state::<Opened>().0.set(opened);
            // With the slash: without it the address has no path, and the pages' router, which
            // keeps its routes in the fragment, takes it for another site and loads it for ever.
            let first_page = WebviewUrl::App("/".into());
            let window = WebviewWindowBuilder::new(app, "main", first_page)
                .on_navigation(is_bundled)
                .on_new_window(|_, _| NewWindowResponse::Deny);
            #[cfg(desktop)]
            let window = window
                .title("Tautbook")
                .inner_size(1180.0, 820.0)
                .min_inner_size(320.0, 480.0);
            window.build()?;
            Ok(())
        })
        .run(tauri::generate_context!())
}

/// The phone's entry: no arguments there, the app's own folder.
#[cfg(mobile)]
#[tauri::mobile_entry_point]
fn open_on_phone() {
    if let Err(error) = open(None) {
        eprintln!("tautbook: the app could not be opened: {error}");
    }
}

/// What the page may ask the device for. The microphone, on a phone the position too; there the
/// system still asks the person. A desktop tells no position that belongs to a picture.
fn permission(kind: PermissionKind, on_phone: bool) -> PermissionResponse {
    match kind {
        PermissionKind::Microphone => PermissionResponse::Allow,
        PermissionKind::Geolocation if on_phone => PermissionResponse::Allow,
        _ => PermissionResponse::Deny,
    }
}

/// Where the person looks for files that programs save, as far as the device tells it.
fn downloads<R: Runtime>(app: &impl Manager<R>) -> Option<PathBuf> {
    let paths = app.path();
    [paths.download_dir(), paths.document_dir(), paths.home_dir()]
        .into_iter()
        .flatten()
        .find(|folder| folder.is_dir())
}

/// Whether an address is one of the bundled pages.
fn is_bundled(address: &Url) -> bool {
    match address.scheme() {
        "tauri" => address.host_str() == Some("localhost"),
        // Where webviews know no schemes of an app's own (Windows, Android).
        "http" => address.host_str() == Some("tauri.localhost") && address.port().is_none(),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::{data_folder, is_bundled, permission};
    use std::{ffi::OsString, path::PathBuf};
    use tauri::webview::{PermissionKind, PermissionResponse};

    #[test]
    fn the_page_may_listen_and_on_a_phone_know_where_it_is() {
        use PermissionKind::{
            Camera, ClipboardRead, DisplayCapture, Geolocation, Microphone, Notifications, Other,
            Sensors,
        };
        let asked = [
            Camera,
            ClipboardRead,
            DisplayCapture,
            Geolocation,
            Microphone,
            Notifications,
            Other,
            Sensors,
        ];
        let allowed = |on_phone| -> Vec<PermissionKind> {
            let allows =
                |kind: &PermissionKind| permission(*kind, on_phone) == PermissionResponse::Allow;
            asked.into_iter().filter(allows).collect()
        };
        assert_eq!(allowed(false), [Microphone]);
        assert_eq!(allowed(true), [Geolocation, Microphone]);
        // What is not allowed is denied and not left to the device's own question.
        assert_eq!(permission(Camera, true), PermissionResponse::Deny);
    }

    #[test]
    fn only_bundled_pages_are_shown() {
        for (address, shown) in [
            ("tauri://localhost/", true),
            ("tauri://localhost/#/job/x", true),
            ("http://tauri.localhost/", true),
            ("http://tauri.localhost:8080/", false),
            ("http://tauri.localhost.evil.example/", false),
            ("https://example.org/", false),
            ("http://127.0.0.1:1234/", false),
            ("file:///etc/passwd", false),
            ("data:text/html,x", false),
            ("photo://localhost/ab", false),
        ] {
            assert_eq!(is_bundled(&address.parse().unwrap()), shown, "{address}");
        }
    }

    #[test]
    fn the_data_folder_is_taken_from_the_arguments() {
        let given = ["--data", "somewhere"].map(OsString::from);
        assert_eq!(
            data_folder(given.into_iter()),
            Some(PathBuf::from("somewhere"))
        );
    }
}
