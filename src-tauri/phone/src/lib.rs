//! What phones must be told: manifests, permissions, plist keys.
