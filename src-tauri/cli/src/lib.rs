//! The command line tautbook and the loopback host.
