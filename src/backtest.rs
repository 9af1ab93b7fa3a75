//! The chance held against past years: what would have been said on each day, and what came.
//!
//! In: a daily record, a question, forecasts from a file or made up with stated errors. Out: a row for each decision
//! day, scores and tables. Does not use anything that was not known on the day.
