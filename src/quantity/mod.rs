//! Exact numbers, fits, units and rounding inward. No binary float anywhere:
//! what is typed, what is worked out and what is printed are the same decimals.

mod count;
pub mod date;
mod exact;
mod fit;
mod normal;
mod readings;
mod temperature;
mod unit;
mod window;

pub use count::count;
pub use exact::{
    Exact, Unread, agree_as_printed, average, ceil_quotient, floor_quotient, nearest_inches,
    quotient, root_sum_square, squared_against, squared_exceeds,
};
pub use fit::{Fit, Unsigned, fit};
pub use normal::chance_inside;
pub use readings::{Quantity, Readings};
pub use temperature::{Warmth, at_twenty};
pub use unit::{Length, Unit};
pub use window::{Window, inward};
