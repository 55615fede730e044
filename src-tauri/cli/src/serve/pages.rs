//! The built screens: read once at the start, then answered from memory.
//!
//! Invariant: a path is looked up in a fixed list, so that no spelling of it reaches another file.
//! The inline script of `index.html` is named in the content policy by its hash.

use std::{
    collections::BTreeMap,
    fs, io,
    path::{Path, PathBuf},
};

use axum::{
    body::Bytes,
    http::{HeaderValue, StatusCode, header},
    response::{IntoResponse, Response},
};
use data_encoding::BASE64;
use sha2::{Digest, Sha256};

use super::ServeError;

/// Where the built screens may lie, from the program's own place and the current folder.
const PLACES_BY_PROGRAM: [&str; 2] = ["ui", "../../ui/build"];

/// The style that the router's announcer carries as an attribute; the policy allows this one only.
pub(super) const ANNOUNCER_STYLE: &str = "position: absolute; left: 0; top: 0; clip: rect(0 0 0 0); clip-path: inset(50%); overflow: hidden; white-space: nowrap; width: 1px; height: 1px";

/// The files of the screens and the policy under which they run.
pub struct Pages {
    files: BTreeMap<String, File>,
    policy: HeaderValue,
}

struct File {
    content_type: &'static str,
    bytes: Bytes,
}

impl Pages {
    /// Reads every file under the folder of the built screens.
    pub(super) fn read(ui: &Path) -> Result<Self, ServeError> {
        let mut files = BTreeMap::new();
        read_folder(ui, "", &mut files)?;
        let index = files.get("index.html").ok_or_else(|| ServeError::Pages {
            path: ui.join("index.html"),
            source: io::ErrorKind::NotFound.into(),
        })?;
        let policy = policy(&String::from_utf8_lossy(&index.bytes));
        Ok(Self { files, policy })
    }

    /// No screens: only commands are answered.
    pub(super) fn none() -> Self {
        Self {
            files: BTreeMap::new(),
            policy: policy(""),
        }
    }

    pub(super) fn policy(&self) -> HeaderValue {
        self.policy.clone()
    }

    /// Answers a path: the file, or the first page for a screen's address, or not found.
    pub(super) fn answer(&self, path: &str) -> Response {
        let name = path.trim_start_matches('/');
        let is_screen = name.is_empty() || !name.rsplit('/').next().unwrap_or(name).contains('.');
        let found = self
            .files
            .get(name)
            .or_else(|| is_screen.then(|| self.files.get("index.html")).flatten());
        let Some(file) = found else {
            let message = if self.files.is_empty() {
                "The screens are not built; only commands are answered here.\n"
            } else {
                "There is no such page.\n"
            };
            return (StatusCode::NOT_FOUND, message).into_response();
        };
        let keep = if name.starts_with("_app/immutable/") {
            "private, max-age=31536000, immutable"
        } else {
            "no-cache"
        };
        (
            [
                (header::CONTENT_TYPE, file.content_type),
                (header::CACHE_CONTROL, keep),
            ],
            file.bytes.clone(),
        )
            .into_response()
    }
}

/// Finds the built screens beside the program, in the workspace it was built in, or below the
/// current folder.
pub fn find_ui() -> Option<PathBuf> {
    let program = std::env::current_exe().ok();
    let beside = program.as_deref().and_then(Path::parent);
    PLACES_BY_PROGRAM
        .iter()
        .filter_map(|place| Some(beside?.join(place)))
        .chain([PathBuf::from("ui/build")])
        .find(|folder| folder.join("index.html").is_file())
}

fn read_folder(
    folder: &Path,
    prefix: &str,
    files: &mut BTreeMap<String, File>,
) -> Result<(), ServeError> {
    let fault = |path: &Path| {
        let path = path.to_owned();
        |source| ServeError::Pages { path, source }
    };
    for entry in fs::read_dir(folder).map_err(fault(folder))? {
        let entry = entry.map_err(fault(folder))?;
        let path = entry.path();
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        let kind = entry.file_type().map_err(fault(&path))?;
        if kind.is_dir() {
            read_folder(&path, &format!("{name}/"), files)?;
        } else if kind.is_file() {
            let bytes = fs::read(&path).map_err(fault(&path))?.into();
            let content_type = content_type(&name);
            files.insert(
                name,
                File {
                    content_type,
                    bytes,
                },
            );
        }
    }
    Ok(())
}

fn content_type(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("ico") => "image/x-icon",
        Some("woff2") => "font/woff2",
        Some("txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

fn policy(index: &str) -> HeaderValue {
    let scripts: String = inline_scripts(index)
        .map(|script| format!(" {}", hash_source(script)))
        .collect();
    let policy = format!(
        "default-src 'self'; img-src 'self' blob: data:; media-src 'self' blob:; \
         connect-src 'self'; style-src 'self'; style-src-attr 'unsafe-hashes' {}; \
         script-src 'self'{scripts}; object-src 'none'; base-uri 'none'; form-action 'none'; \
         frame-ancestors 'none'",
        hash_source(ANNOUNCER_STYLE)
    );
    // Only ASCII goes in; were it ever otherwise, nothing at all may run.
    HeaderValue::try_from(policy).unwrap_or(HeaderValue::from_static("default-src 'none'"))
}

/// A source expression that names text by its SHA-256 (Content Security Policy 3, hash-source).
fn hash_source(text: &str) -> String {
    format!(
        "'sha256-{}'",
        BASE64.encode(&Sha256::digest(text.as_bytes()))
    )
}

fn inline_scripts(html: &str) -> impl Iterator<Item = &str> {
    html.split("<script").skip(1).filter_map(|rest| {
        let (attributes, rest) = rest.split_once('>')?;
        let (script, _) = rest.split_once("</script>")?;
        (!attributes.contains("src=")).then_some(script)
    })
}

#[cfg(test)]
mod tests {
    use super::{hash_source, inline_scripts, policy};

    #[test]
    fn the_hash_of_a_script_is_as_in_the_standards_example() {
        // Content Security Policy Level 3, section 8.3 (W3C): alert('Hello, world.'); is named by
        // 'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='.
        assert_eq!(
            hash_source("alert('Hello, world.');"),
            "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"
        );
    }

    #[test]
    fn only_inline_scripts_are_named() {
        let html = "<script src=\"/a.js\"></script><script>\n go() \n</script><p>x</p>";
        let found: Vec<&str> = inline_scripts(html).collect();
        assert_eq!(found, ["\n go() \n"]);
        let text = policy(html);
        let text = text.to_str().unwrap();
        assert!(text.contains(&format!("script-src 'self' {};", hash_source("\n go() \n"))));
        assert!(!text.contains("unsafe-inline") && !text.contains("unsafe-eval"));
    }
}
