//! Slips, later readings, the second stage and temperature.

mod again;
mod bench;
mod cases;
mod harness;
mod oracle;
mod second;
mod counted;
mod temperature;
