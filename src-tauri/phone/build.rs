//! Tells the phone builds where this plugin's manifest lies.

fn main() {
    tauri_plugin::Builder::new(&[])
        .android_path("android")
        .build();
}
