//! Lets Tauri read its configuration and permissions for the build.

fn main() {
    // The screens lie inside the program, so that newly built ones ask for a new program.
    println!("cargo:rerun-if-changed=../ui/build");
    tauri_build::build();
}
