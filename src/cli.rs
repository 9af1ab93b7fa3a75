//! The cli module.
