//! The declarations hold the keys that each phone system asks for, and none that would hurt.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

use roxmltree::{Document, Node, ParsingOptions};

const ANDROID: &str = "http://schemas.android.com/apk/res/android";

fn read(path: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn names<'a>(document: &'a Document<'_>, tag: &str) -> Vec<&'a str> {
    document
        .descendants()
        .filter(|node| node.has_tag_name(tag))
        .map(|node| node.attribute((ANDROID, "name")).unwrap())
        .collect()
}

#[test]
fn android_declares_what_the_app_uses() {
    let text = read("android/src/main/AndroidManifest.xml");
    let manifest = Document::parse(&text).unwrap();
    let permissions = names(&manifest, "uses-permission");
    for needed in [
        "RECORD_AUDIO",
        "MODIFY_AUDIO_SETTINGS",
        "ACCESS_COARSE_LOCATION",
        "ACCESS_FINE_LOCATION",
        "ACCESS_LOCAL_NETWORK",
        "INTERNET",
    ] {
        let full = format!("android.permission.{needed}");
        assert!(permissions.contains(&full.as_str()), "{needed}");
    }
    assert_eq!(
        permissions.len(),
        6,
        "declared but not needed: {permissions:?}"
    );
}

#[test]
fn android_can_take_pictures_without_the_camera_permission() {
    let text = read("android/src/main/AndroidManifest.xml");
    let manifest = Document::parse(&text).unwrap();
    let queries: Vec<Node<'_, '_>> = manifest
        .descendants()
        .filter(|node| node.has_tag_name("queries"))
        .collect();
    assert_eq!(queries.len(), 1);
    let actions = names(&manifest, "action");
    assert_eq!(actions, ["android.media.action.IMAGE_CAPTURE"]);
    // Once declared it would have to be granted before any picture is taken.
    assert!(!text.contains("android.permission.CAMERA"));
}

#[test]
fn android_features_are_optional_and_backup_is_off() {
    let text = read("android/src/main/AndroidManifest.xml");
    let manifest = Document::parse(&text).unwrap();
    let features: Vec<Node<'_, '_>> = manifest
        .descendants()
        .filter(|node| node.has_tag_name("uses-feature"))
        .collect();
    assert!(!features.is_empty());
    for feature in features {
        assert_eq!(feature.attribute((ANDROID, "required")), Some("false"));
    }
    let application = manifest
        .descendants()
        .find(|node| node.has_tag_name("application"))
        .unwrap();
    assert_eq!(
        application.attribute((ANDROID, "allowBackup")),
        Some("false")
    );
}

#[test]
fn ios_gives_a_reason_for_every_sensor() {
    let text = read("../Info.ios.plist");
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    let plist = Document::parse_with_options(&text, options).unwrap();
    let dict = plist
        .descendants()
        .find(|node| node.has_tag_name("dict"))
        .unwrap();
    let parts: Vec<Node<'_, '_>> = dict.children().filter(Node::is_element).collect();
    let keys: Vec<(&str, &str)> = parts
        .chunks(2)
        .map(|pair| {
            assert!(pair[0].has_tag_name("key") && pair[1].has_tag_name("string"));
            (pair[0].text().unwrap(), pair[1].text().unwrap())
        })
        .collect();
    for needed in [
        "NSCameraUsageDescription",
        "NSPhotoLibraryUsageDescription",
        "NSMicrophoneUsageDescription",
        "NSLocationWhenInUseUsageDescription",
        "NSLocalNetworkUsageDescription",
    ] {
        let (_, reason) = keys
            .iter()
            .find(|(key, _)| *key == needed)
            .unwrap_or_else(|| panic!("{needed} is missing: iOS ends the app without it"));
        assert!(reason.trim().ends_with('.'), "{needed}: {reason}");
    }
}
