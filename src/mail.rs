//! The mail module.
