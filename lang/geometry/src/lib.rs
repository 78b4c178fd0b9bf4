//! Vehicle datum, wheel alignment, floor and ride height as plain computations.
//!
//! Nothing here knows of rules, quantities or texts: numbers go in as millimetres and degrees, and results come
//! out as numbers and as words. Axes are those of ISO 8855 (x ahead, y to the left, z up), so a positive yaw
//! turns to the left, a positive pitch puts the nose down and a positive roll puts the left side up. Since the
//! trade uses both signs for some of these, every signed result also says its way in words.
//!
//! What is given is checked where it is used; what breaks a bound is a [`GeometryError`] that names the argument
//! and the bound. No function gives back a number that is infinite or none at all.

mod bound;
mod datum;
mod error;
mod floor;
mod frame;
mod plane;
mod ride;
mod toe;
mod words;

pub use bound::Bound;
pub use datum::{Axle, BodyLine, HubPoints, VehicleDatum, body_line, vehicle_datum};
pub use error::{Argument, GeometryError};
pub use floor::{Flatness, FloorFit, fit_floor, flatness, height_spread, shims_to_level};
pub use frame::{
    Attitude, FloorFrame, FloorPoint, Point, Vector, distance, floor_distance, point_in_sae_j670, wrap_degrees,
};
pub use plane::{FloorPlane, Slope, SlopeEffect, Steepest};
pub use ride::{AxleSizes, RideAttitude, RideHeights, pitch_from_axles, ride_attitude};
pub use toe::{
    DegreesMinutes, LineOffset, RimForm, RimPoints, SteerAhead, Thrust, ThrustSign, TotalToe, degrees_and_minutes,
    degrees_of_minutes, lateral_at, steer_ahead, thrust_angle, thrust_from_rims, toe_at_rim, toe_from_rim, total_toe,
};
pub use words::{Lean, Nose, Rise, Side, Skew, ToeWay, Turn};
