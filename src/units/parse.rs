//! Quantities from text with their unit.
