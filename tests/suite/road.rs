//! Filled by the module that it tests.
