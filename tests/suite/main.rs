//! The tests that cross modules, in one binary so that the large libraries are linked once.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stderr,
    clippy::disallowed_methods,
    clippy::as_conversions,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a test may stop at once and say so"
)]

mod almanac_command;
mod almanac_data;
mod answers;
mod backtest;
mod behind;
mod check_scores;
mod check_sun;
mod check_values;
mod check_weather;
mod climate_records;
mod columns;
mod commands;
mod config_files;
mod database;
mod events;
mod frost_sum;
mod fuzz;
mod house_rules;
mod learning;
mod letter_times;
mod local_days;
mod mail_route;
mod odd_inputs;
mod postgres;
mod properties;
mod rehearsal;
mod road;
mod running;
mod scenarios;
mod schedule;
mod simulated;
mod sky_services;
mod store_file;
mod support;
mod telling;
mod thermometer;
mod trade_rules;
mod translations;
mod watch;
mod web_pages;
mod work_weather;
