//! The committed TypeScript is what the list of commands gives.

use std::path::Path;

#[test]
fn the_committed_typescript_is_up_to_date() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../ui/src/lib/generated/api.ts");
    let committed = std::fs::read_to_string(&path)
        .unwrap_or_else(|error| panic!("read {}: {error}", path.display()));
    let made = api::boundary::typescript(api::commands()).unwrap();
    assert!(
        committed == made,
        "ui/src/lib/generated/api.ts differs from the list of commands: run `cargo xtask gen`"
    );
}
