//! Arrows point down only: who of the workspace may know whom, and that the engineering is pure.
//!
//! Invariant: a package names those that stand below it and nobody else, whether for its program, its
//! build or its tests; a package that stands in no layer is a fault. What the engineering calls of the
//! standard library is looked for as it is written, so a name hidden behind another one passes.

use serde::Deserialize;

use crate::{error::XtaskError, run};

/// Every package of the workspace, and those below it.
const BELOW: [(&str, &[&str]); 10] = [
    ("mechanics", &[]),
    ("records", &["mechanics"]),
    ("sync", &["records", "mechanics"]),
    ("handover", &["records", "mechanics"]),
    ("api", &["handover", "sync", "records", "mechanics"]),
    (
        "tautbook-cli",
        &["api", "handover", "sync", "records", "mechanics"],
    ),
    (
        "shell",
        &["api", "phone", "handover", "sync", "records", "mechanics"],
    ),
    ("phone", &[]),
    ("xtask", &[]),
    (
        "tests",
        &[
            "tautbook-cli",
            "api",
            "handover",
            "sync",
            "records",
            "mechanics",
        ],
    ),
];

/// The package that is pure, and where it stands.
const PURE: (&str, &str) = ("mechanics", "src-tauri/mechanics/src/");
/// What others wrote that it may use outside its tests: a transform, derives and errors.
const PURE_USES: [&str; 3] = ["realfft", "serde", "thiserror"];
/// Modules of the standard library by which it would reach outside, or ask what time it is.
const OUTSIDE: [&str; 9] = [
    "fs", "io", "net", "time", "env", "process", "thread", "os", "path",
];
/// The same by the names that such modules give, printing, and reading text of a form.
const OUTSIDE_NAMES: [&str; 8] = [
    "SystemTime",
    "Instant",
    "serde_json",
    "include_str!",
    "include_bytes!",
    "println!",
    "print!",
    "dbg!",
];

#[derive(Debug, Deserialize)]
struct Workspace {
    packages: Vec<Package>,
}

#[derive(Debug, Deserialize)]
struct Package {
    name: String,
    dependencies: Vec<Dependency>,
}

#[derive(Debug, Deserialize)]
struct Dependency {
    name: String,
    /// `dev` or `build`; none where the program itself uses it.
    kind: Option<String>,
}

/// Names every arrow that does not point down, and every line of the engineering that is not pure;
/// `rust` is each tracked Rust file with its text.
pub(super) fn faults(rust: &[(&str, String)]) -> Result<Vec<String>, XtaskError> {
    let asked = [
        "metadata",
        "--format-version",
        "1",
        "--no-deps",
        "--offline",
    ];
    let told = run::output(run::cargo(&asked))?;
    let told: Workspace = serde_json::from_str(&told)
        .map_err(|e| XtaskError::Checks(format!("what cargo says of the workspace: {e}")))?;
    let mut faults = arrows(&told.packages);
    let pure = rust.iter().filter(|(path, _)| path.starts_with(PURE.1));
    let mut looked_at = 0;
    for (path, text) in pure {
        looked_at += 1;
        faults.extend(impure(text).map(|what| format!("{path}: the engineering names {what}")));
    }
    if looked_at == 0 {
        faults.push(format!("{}: holds no file, so none was looked at", PURE.1));
    }
    Ok(faults)
}

fn arrows(packages: &[Package]) -> Vec<String> {
    let mut faults = Vec::new();
    for (name, _) in BELOW {
        if !packages.iter().any(|package| package.name == name) {
            faults.push(format!("{name}: has a layer and is no package any more"));
        }
    }
    for Package { name, dependencies } in packages {
        let Some((_, below)) = BELOW.iter().find(|(of, _)| of == name) else {
            faults.push(format!("{name}: stands in no layer; say who is below it"));
            continue;
        };
        for used in dependencies {
            let known = &used.name;
            let ours = packages.iter().any(|package| package.name == *known);
            if ours && !below.contains(&known.as_str()) {
                faults.push(format!("{name}: knows {known}, which is not below it"));
            }
            let own = name == PURE.0 && used.kind.is_none();
            if own && !PURE_USES.contains(&known.as_str()) {
                faults.push(format!("{name}: uses {known}, and it is to be pure"));
            }
        }
    }
    faults
}

/// What a file names, outside its tests, that reaches out of the program or asks the time.
fn impure(text: &str) -> impl Iterator<Item = String> {
    let own = text.split("#[cfg(test)]\nmod tests {").next();
    let own = own.unwrap_or_default();
    let code: String = own
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .flat_map(|line| [line, "\n"])
        .collect();
    let mut found: Vec<String> = used_of_std(&code)
        .filter(|module| OUTSIDE.contains(module))
        .map(|module| format!("std::{module}"))
        .collect();
    let names = OUTSIDE_NAMES.iter().filter(|name| code.contains(**name));
    found.extend(names.map(|name| (*name).to_owned()));
    found.into_iter()
}

/// The modules in `std::name` and at the head of each part of `std::{name, name::{…}}`.
fn used_of_std(code: &str) -> impl Iterator<Item = &str> {
    code.split("std::").skip(1).flat_map(|rest| {
        let Some(group) = rest.strip_prefix('{') else {
            return vec![word(rest)];
        };
        let mut depth = 1;
        let end = group.find(|one| {
            depth += match one {
                '{' => 1,
                '}' => -1,
                _ => 0,
            };
            depth == 0
        });
        let within = end.and_then(|end| group.get(..end)).unwrap_or(group);
        // A name deeper in the group may be read as a module too: it errs towards being told.
        within
            .split([',', '{'])
            .map(|part| word(part.trim()))
            .collect()
    })
}

fn word(text: &str) -> &str {
    let end = text.find(|one: char| !one.is_ascii_alphanumeric() && one != '_');
    end.and_then(|end| text.get(..end)).unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::{BELOW, Dependency, Package, arrows, impure};

    fn package(name: &str, dependencies: &[(&str, Option<&str>)]) -> Package {
        let dependency = |(name, kind): &(&str, Option<&str>)| Dependency {
            name: (*name).to_owned(),
            kind: kind.map(str::to_owned),
        };
        Package {
            name: name.to_owned(),
            dependencies: dependencies.iter().map(dependency).collect(),
        }
    }

    /// The whole workspace, with one package as it is given here.
    fn with(one: Package) -> Vec<String> {
        let others = BELOW.iter().filter(|(name, _)| *name != one.name);
        let mut all: Vec<Package> = others.map(|(name, _)| package(name, &[])).collect();
        all.push(one);
        arrows(&all)
    }

    #[test]
    fn whoever_is_below_may_be_known_and_others_libraries_too() {
        for (name, below) in BELOW {
            let known: Vec<_> = below.iter().map(|below| (*below, None)).collect();
            assert_eq!(with(package(name, &known)), Vec::<String>::new());
        }
        let pure = [("serde", None), ("csv", Some("dev"))];
        assert_eq!(with(package("mechanics", &pure)), Vec::<String>::new());
        assert_eq!(
            with(package("records", &[("csv", None)])),
            Vec::<String>::new()
        );
    }

    #[test]
    fn an_arrow_that_does_not_point_down_is_named_whoever_draws_it() {
        for (name, known) in [
            ("records", "sync"),
            ("sync", "handover"),
            ("handover", "sync"),
            ("handover", "api"),
            ("phone", "api"),
            ("api", "tautbook-cli"),
            ("tautbook-cli", "shell"),
            ("xtask", "records"),
            ("mechanics", "records"),
        ] {
            for kind in [None, Some("dev"), Some("build")] {
                let faults = with(package(name, &[(known, kind)])).concat();
                let told = format!("{name}: knows {known}");
                assert!(faults.contains(&told), "{told}, {kind:?}: {faults}");
            }
        }
        let parser = with(package("mechanics", &[("csv", None)])).concat();
        assert!(parser.contains("mechanics: uses csv"), "{parser}");
    }

    #[test]
    fn nothing_is_passed_over_unseen() {
        let new = with(package("weather", &[])).concat();
        assert!(new.contains("weather: stands in no layer"), "{new}");
        let none = arrows(&[]);
        assert_eq!(none.len(), BELOW.len(), "{none:?}");
    }

    #[test]
    fn what_reaches_out_of_the_engineering_is_named() {
        for (text, told) in [
            ("use std::fs;\n", "std::fs"),
            (
                "use std::{collections::BTreeMap, time::Instant};\n",
                "std::time",
            ),
            (
                "use std::{\n    fmt::{self, Display},\n    io,\n};\n",
                "std::io",
            ),
            (
                "fn a() { std::net::TcpStream::connect(\"\"); }\n",
                "std::net",
            ),
            ("fn a(at: SystemTime) {}\n", "SystemTime"),
            ("fn a() { serde_json::from_str(\"\"); }\n", "serde_json"),
            ("fn a() { std::thread::yield_now(); }\n", "std::thread"),
            ("use std::path::Path;\n", "std::path"),
            ("fn a() { println!(\"at work\"); }\n", "println!"),
            ("#[cfg(test)]\nmod beside;\n\nuse std::fs;\n", "std::fs"),
        ] {
            let found: Vec<String> = impure(text).collect();
            assert!(found.iter().any(|one| one == told), "{told}: {found:?}");
        }
        for text in [
            "//! No std::fs, no SystemTime.\nuse std::{collections::BTreeMap, fmt};\nuse std::f64::consts::PI;\n",
            "fn a() {}\n\n#[cfg(test)]\nmod tests {\n    use std::fs;\n    use serde_json::json;\n}\n",
            "fn time(io: f64) -> f64 { io }\n",
        ] {
            let found: Vec<String> = impure(text).collect();
            assert_eq!(found, Vec::<String>::new(), "{text}");
        }
    }
}
