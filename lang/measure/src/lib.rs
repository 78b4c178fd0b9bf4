//! Quantities, exact numbers, units, dates, readings, and the layouts of vehicle and trouble codes.
//!
//! Nothing here knows of rules or of places in a text. Numbers are exact: a literal is a rational number, a
//! conversion multiplies by a rational factor, and a value equal to its limit is on the limit whatever units
//! the two are written in. What cannot be held exactly is an error; what cannot be told is
//! [`Truth::CannotSay`], never a no.

mod clock;
mod code;
mod date;
mod decimal;
mod double;
mod exact;
mod failure;
mod kind;
mod pattern;
mod quantity;
mod range;
mod reading;
mod slope;
mod status;
mod unit;
mod vin;
mod wide;

pub use clock::{Clock, Moment};
pub use code::{CodeControl, CodeError, CodeGroup, TroubleCode};
pub use date::{Date, DateError};
pub use exact::{Exact, NumberError};
pub use failure::{failure_group_name, failure_type_name};
pub use kind::Kind;
pub use pattern::{CodePattern, PatternError, VinPattern};
pub use quantity::{Quantity, QuantityError};
pub use range::{Bound, Interval, Range, Relation, Truth};
pub use reading::{Reading, ReadingError};
pub use slope::{angle_of_slope, rise_over_run};
pub use status::{CodeStatus, StatusBit, StatusReading};
pub use unit::{Unit, unit};
pub use vin::{CheckDigit, ModelYears, VehicleClass, Vin, VinProblem, VinRule, assigned_value};
