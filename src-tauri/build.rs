//! Lets Tauri read its configuration and permissions for the build.

fn main() {
    tauri_build::build();
}
