//! Engineering of tensioned wire barriers: pure functions, no input or output, no clock.
