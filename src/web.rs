//! The web module.
