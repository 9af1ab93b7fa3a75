//! The weather module.
