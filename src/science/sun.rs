//! Day length, sunrise and sunset.
