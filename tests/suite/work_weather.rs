//! The weather to work in: what it makes of hours, and what the rules of heat, wet, cold and work say at their edges.

mod cold;
pub(crate) mod every_kind;
mod given;
mod heat;
mod hours;
mod verdicts;
mod wet;
mod working;
