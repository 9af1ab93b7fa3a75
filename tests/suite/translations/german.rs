//! The demo in German.
