//! Licences of the Rust packages that the programs are built from.
//!
//! Invariant: every package of the lock file says under which licence it is, and one of those that
//! it offers asks for no more than its text being passed on; the few others stand here by name with
//! the reason. The packages of the screens are looked at where the screens are built.

use serde::Deserialize;

use crate::{error::XtaskError, run, workspace};

/// Licences that ask for their text to be passed on, or for nothing.
const PERMISSIVE: [&str; 13] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "IJG",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Packages under another licence, and why they may stay. All come with the window's toolkit and
/// are used as they are: this licence covers their own files, which anybody may fetch unchanged.
const NAMED: [(&str, &str); 5] = [
    ("cssparser", "MPL-2.0"),
    ("cssparser-macros", "MPL-2.0"),
    ("dtoa-short", "MPL-2.0"),
    ("option-ext", "MPL-2.0"),
    ("selectors", "MPL-2.0"),
];

#[derive(Debug, Deserialize)]
struct Metadata {
    packages: Vec<Package>,
}

#[derive(Debug, Deserialize)]
struct Package {
    name: String,
    version: String,
    license: Option<String>,
    /// Where it is from; none for the project's own.
    source: Option<String>,
}

/// Names every package that may not be built from as it stands, and every exception that is no
/// longer one.
pub(crate) fn faults() -> Result<Vec<String>, XtaskError> {
    let mut asked = vec!["metadata", "--format-version", "1", "--locked"];
    // The features of the build bring packages of their own; the workspace is whole here anyway.
    asked.extend(workspace::BUILD.iter().filter(|a| **a != "--workspace"));
    let told = run::output(run::cargo(&asked))?;
    let told: Metadata = serde_json::from_str(&told)
        .map_err(|e| XtaskError::Checks(format!("what cargo says of the packages: {e}")))?;
    Ok(faults_of(&told.packages))
}

fn faults_of(packages: &[Package]) -> Vec<String> {
    let others = || packages.iter().filter(|p| p.source.is_some());
    let mut faults: Vec<String> = others().filter_map(fault).collect();
    if others().next().is_none() {
        faults.push("no package of others was listed, so none was looked at".to_owned());
    }
    for (name, licence) in NAMED {
        let needed = |p: &Package| p.name == name && p.license.as_deref() == Some(licence);
        if !others().any(needed) {
            faults.push(format!(
                "{name} is no longer under {licence}: take it out of the list"
            ));
        }
    }
    faults
}

fn fault(package: &Package) -> Option<String> {
    let Package { name, version, .. } = package;
    let Some(licence) = &package.license else {
        return Some(format!(
            "{name} {version} does not say under which licence it is"
        ));
    };
    let named = NAMED.contains(&(name.as_str(), licence.as_str()));
    (!named && !permitted(licence)).then(|| {
        format!(
            "{name} {version} is under {licence}, which is not on the list of permissive licences"
        )
    })
}

/// Whether an expression like `(MIT OR Apache-2.0) AND IJG` leaves a choice that is permissive; an
/// older form has `/` for OR. What can't be read is not.
fn permitted(expression: &str) -> bool {
    let spaced = expression
        .replace('/', " OR ")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let mut words: Vec<&str> = spaced.split_whitespace().rev().collect();
    either(&mut words).is_some_and(|good| good && words.is_empty())
}

/// `a OR b`, from the end of the words that are left.
fn either(words: &mut Vec<&str>) -> Option<bool> {
    let mut good = both(words)?;
    while words.last() == Some(&"OR") {
        words.pop();
        good |= both(words)?;
    }
    Some(good)
}

/// `a AND b`, which binds closer.
fn both(words: &mut Vec<&str>) -> Option<bool> {
    let mut good = one(words)?;
    while words.last() == Some(&"AND") {
        words.pop();
        good &= one(words)?;
    }
    Some(good)
}

fn one(words: &mut Vec<&str>) -> Option<bool> {
    let word = words.pop()?;
    if word == "(" {
        let good = either(words)?;
        return (words.pop() == Some(")")).then_some(good);
    }
    if matches!(word, ")" | "OR" | "AND" | "WITH") {
        return None;
    }
    if words.last() != Some(&"WITH") {
        return Some(PERMISSIVE.contains(&word));
    }
    words.pop();
    let exception = words.pop()?;
    Some(PERMISSIVE.contains(&format!("{word} WITH {exception}").as_str()))
}

#[cfg(test)]
mod tests {
    use super::{NAMED, Package, faults_of, permitted};

    fn package(name: &str, license: Option<&str>, own: bool) -> Package {
        Package {
            name: name.to_owned(),
            version: "1.0.0".to_owned(),
            license: license.map(str::to_owned),
            source: (!own).then(|| "registry".to_owned()),
        }
    }

    #[test]
    fn expressions_are_read_as_they_bind() {
        for (expression, good) in [
            ("MIT", true),
            ("MIT/Apache-2.0", true),
            ("Apache-2.0 / MIT", true),
            ("(MIT OR Apache-2.0) AND IJG", true),
            ("Apache-2.0 WITH LLVM-exception", true),
            ("MIT OR Apache-2.0 OR LGPL-2.1-or-later", true),
            ("MIT OR GPL-3.0 AND GPL-2.0", true),
            ("(MIT OR GPL-3.0) AND GPL-2.0", false),
            ("MIT AND GPL-3.0", false),
            ("GPL-3.0 WITH LLVM-exception", false),
            ("MIT WITH", false),
            ("MIT Apache-2.0", false),
            ("(MIT", false),
            ("", false),
            ("SSPL-1.0", false),
        ] {
            assert_eq!(permitted(expression), good, "{expression}");
        }
    }

    #[test]
    fn others_without_terms_or_under_other_terms_are_named() {
        let mut all: Vec<Package> = NAMED
            .iter()
            .map(|(name, licence)| package(name, Some(licence), false))
            .collect();
        all.push(package("own", Some("none"), true));
        assert_eq!(faults_of(&all), [""; 0]);
        all.push(package("strict", Some("GPL-3.0"), false));
        all.push(package("silent", None, false));
        all.push(package("cssparser", Some("GPL-3.0"), false));
        let told = faults_of(&all);
        assert_eq!(told.len(), 3, "{told:?}");
        for (fault, name) in told.iter().zip(["strict", "silent", "cssparser"]) {
            assert!(fault.starts_with(name), "{fault}");
        }
    }

    #[test]
    fn an_exception_that_is_none_any_more_and_an_empty_list_are_told() {
        let told = faults_of(&[]);
        assert_eq!(told.len(), NAMED.len() + 1, "{told:?}");
    }

    #[test]
    fn the_packages_that_this_is_built_from_may_be_passed_on() {
        assert_eq!(super::faults().unwrap(), [""; 0]);
    }
}
