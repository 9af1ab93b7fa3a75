//! The config module.
