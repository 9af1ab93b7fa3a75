//! The store module.
