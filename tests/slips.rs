//! Slips, later readings, the second stage and temperature.

mod again;
mod bench;
mod cases;
mod counted;
mod drawn;
mod effort;
mod fits_only;
mod harness;
mod made;
mod oracle;
mod rates;
mod second;
mod temperature;
mod tight;
