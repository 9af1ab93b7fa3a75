//! `budward` tells the people who look after an ornamental garden when a planned cut is safe, when to put it
//! off, and why.
//!
//! The crate is one river; a value flows through the modules in the order in which they stand here. Everything
//! above the edges is pure: the time is an argument, trouble travels as data, and nothing opens a file or a socket.
//!
//! | stage | comes in | goes out |
//! |---|---|---|
//! | [`forecast`] | hours as a service sent them | a [`forecast::Forecast`] with origin, age and gaps |
//! | [`thermometer`] | readings in the garden | which can be believed, and the garden's own offset |
//! | [`outlook`] | forecast, climate | the [`outlook::Outlook`]: every future of this garden |
//! | [`risk`] | outlook, tender period | the [`risk::Risk`]: chance of frost by cutting day, go day, last call |
//! | [`events`] | outlook, climate, kinds, what was seen | the [`events::Events`]: bud break, bloom, freezes ... of each season |
//! | [`foresight`] | what these are made of | outlook, sums and events, once for all gardens under the same sky |
//! | [`work`] | hourly conditions | the [`work::WorkWeather`]: rain and evapotranspiration, wet and cold spells, half-days |
//! | [`rules`] | one cut, its risk, its events, the weather to work in | a [`rules::Finding`] from each rule |
//! | [`verdict`] | findings | the [`verdict::Verdict`]: go, wait, closing, closed, call-a-pro, unknown |
//! | [`watch`] | cuts that were made | the [`watch::Watch`] on each: coming nights, frost seen, when it is firm |
//! | [`look`] | all that is known of a garden | one pass through the stages above: a [`look::Seen`] |
//! | [`notice`] | verdict, last word to the gardener | the [`notice::News`], or none |
//! | [`picture`] | figures and words | four pictures, as SVG and PNG |
//! | [`message`] | news and verdict | the words |

// Beneath: numbers, formulas, what the trade and the place know.
pub mod units;

pub mod science;

pub mod locale;

pub mod almanac;

pub mod garden;

pub mod climate;

pub mod thermometer;

pub mod link;

// The stages.
pub mod forecast;

pub mod outlook;

pub mod risk;

pub mod events;

pub mod work;

pub mod foresight;

pub mod rules;

pub mod verdict;

pub mod watch;

pub mod plan;

pub mod look;

pub mod notice;

pub mod picture;

pub mod message;

// Beside the river: the stages held against past years.
pub mod backtest;

pub mod rehearsal;

// The edges: they do not know each other.
pub mod config;
pub mod mail;
pub mod store;
pub mod weather;
pub mod web;

// On top.
pub mod daemon;

pub mod cli;
