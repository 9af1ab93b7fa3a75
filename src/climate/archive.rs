//! Reads the daily block of an Open-Meteo archive reply.
