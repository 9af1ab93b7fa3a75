//! The daemon module.
