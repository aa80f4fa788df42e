//! Keeping the bench honest, through the files that keep it.
//!
//! - `support`: facts and files to test with;
//! - `check_file`: the check file under faults; `check_chart`: its chart against the handbook;
//! - `check_state`: how a station stands on a day;
//! - `recall`: a station whose zero left its limits, and what was read on it;
//! - `any_facts`: facts in any order;
//! - `calibrations`: a station's map found, signed, worked out again, and named by the station;
//!   `noted_calibrations`: its signature in the ledger;
//! - `lists`: what a shop brings along in a spreadsheet;
//! - `studies`: repeatability and reproducibility; `due`: the calibration list;
//! - `units_waiting`: the list of units that wait;
//! - `ledger_file`: the ledger's file; `attacks`: what each of these files must stand.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod any_facts;
#[path = "../shared/attacks.rs"]
mod attacks;
mod calibrations;
mod check_chart;
mod check_file;
mod check_state;
mod due;
mod ledger_file;
mod lists;
mod marks;
mod noted_calibrations;
#[path = "../published/aiag.rs"]
mod published_aiag;
mod recall;
mod studies;
mod support;
mod units_waiting;
