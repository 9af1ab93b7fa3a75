//! Reads GHCN-Daily `.dly` station files.
