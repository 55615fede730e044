//! What phones must be told before they let the app do its work.
//!
//! Owns the Android manifest that is merged into the app's (permissions, the camera query, no
//! backup) as a local Tauri plugin; the iOS keys lie in `src-tauri/Info.ios.plist`. A test reads
//! both for the keys they need. Invariant: nothing is declared that the app does not use, and the
//! camera permission is not declared, since taking a picture through the phone's own camera app
//! needs none and declaring it would. There is no native code yet and no phone has run this.

use tauri::{
    Runtime,
    plugin::{Builder, TauriPlugin},
};

/// Makes the plugin; on a desktop it does nothing.
pub fn init<R: Runtime>() -> TauriPlugin<R> {
    Builder::new("phone").build()
}
