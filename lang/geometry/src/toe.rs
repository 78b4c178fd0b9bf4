//! Owns toe and what follows from it: toe as degrees, minutes and a length at the rim, total toe, the thrust angle
//! and steer-ahead.
//!
//! Toe of one wheel is positive when the wheel points inwards (toe in). Angles of the whole vehicle are positive to
//! the left (the yaw of ISO 8855) unless [`ThrustSign::PositiveRight`] is asked for.

use crate::bound::Bound;
use crate::datum::VehicleDatum;
use crate::error::{Argument, GeometryError};
use crate::frame::{Point, negated, wrapped};
use crate::words::{Side, ToeWay, Turn};

/// Which way a thrust or steering angle counts as positive; car-makers use both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ThrustSign {
    /// Positive to the left, as the yaw of ISO 8855: (right rear toe - left rear toe) / 2.
    PositiveLeft,
    /// Positive to the right: (left rear toe - right rear toe) / 2.
    PositiveRight,
}

impl ThrustSign {
    fn apply(self, positive_left: f64) -> f64 {
        match self {
            ThrustSign::PositiveLeft => positive_left,
            ThrustSign::PositiveRight => negated(positive_left),
        }
    }
}

/// How toe is turned into a length between the rim edges.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RimForm {
    /// Diameter times sine: the offset between the two edges of the rim themselves. The usual one.
    Sine,
    /// Diameter times tangent: the offset over one diameter of level distance.
    Tangent,
}

/// An angle as whole degrees and minutes of arc of the same sign.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct DegreesMinutes {
    /// Whether the angle is below zero.
    pub negative: bool,
    /// Whole degrees, without sign.
    pub degrees: u32,
    /// Minutes from 0 up to, but not including, 60, without sign.
    pub minutes: f64,
}

/// The toe of both wheels of an axle together.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct TotalToe {
    /// The sum of both, in degrees; positive is toe in.
    pub degrees: f64,
    /// The sum in words.
    pub way: ToeWay,
}

/// Where the rear wheels push the vehicle.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Thrust {
    /// From the wheel-centre line, in degrees; positive is to the left.
    pub degrees: f64,
    /// The angle in words.
    pub turn: Turn,
    /// The total toe of the rear axle.
    pub total_rear_toe: TotalToe,
}

/// Where the front wheels steer when the toes are shared as given.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct SteerAhead {
    /// From the wheel-centre line, in degrees; positive is to the left.
    pub degrees: f64,
    /// That angle in words.
    pub turn: Turn,
    /// From the thrust line, in degrees; positive is to the left. Zero when the vehicle runs straight with the
    /// steering wheel centred.
    pub from_thrust_line_degrees: f64,
    /// That angle in words.
    pub turn_from_thrust_line: Turn,
    /// The total toe of the front axle.
    pub total_front_toe: TotalToe,
}

/// How far a line has left another one at some distance.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct LineOffset {
    /// To the left, in mm.
    pub left_mm: f64,
    /// The offset in words.
    pub side: Side,
}

/// Two points of a wheel's rim at the height of its hub.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RimPoints {
    /// The edge towards the front of the vehicle.
    pub front_edge: Point,
    /// The edge towards the rear.
    pub rear_edge: Point,
}

impl Thrust {
    /// The angle with the sign that a source uses, in degrees.
    pub fn signed(&self, sign: ThrustSign) -> f64 {
        sign.apply(self.degrees)
    }
}

impl SteerAhead {
    /// The angle from the wheel-centre line with the sign that a source uses, in degrees.
    pub fn signed(&self, sign: ThrustSign) -> f64 {
        sign.apply(self.degrees)
    }

    /// The angle from the thrust line with the sign that a source uses, in degrees.
    pub fn from_thrust_line_signed(&self, sign: ThrustSign) -> f64 {
        sign.apply(self.from_thrust_line_degrees)
    }
}

/// The thrust angle and the total toe from the toe of each rear wheel, in degrees, toe in positive.
///
/// Error: `left rear toe` or `right rear toe` is not finite or outside [`Bound::TOE`].
pub fn thrust_angle(left_rear_toe: f64, right_rear_toe: f64) -> Result<Thrust, GeometryError> {
    let left = Bound::TOE.check_named("left rear toe", left_rear_toe)?;
    let right = Bound::TOE.check_named("right rear toe", right_rear_toe)?;
    let degrees = (right - left) / 2.0;
    Ok(Thrust { degrees, turn: Turn::of(degrees), total_rear_toe: sum_of(left, right) })
}

/// The thrust angle from two points of each rear rim, in the frame that the hub points were given in.
///
/// The rims must run true, or the points be means over turns of the wheel.
/// Errors: a coordinate is not finite or outside [`Bound::COORDINATE`]; the edges of a rim are not
/// [`Bound::RIM_DIAMETER`] apart; the toe that they give is outside [`Bound::TOE`].
pub fn thrust_from_rims(
    datum: &VehicleDatum,
    left_rear: &RimPoints,
    right_rear: &RimPoints,
) -> Result<Thrust, GeometryError> {
    let left = heading(datum, Argument::named("left rear rim"), left_rear)?;
    let right = heading(datum, Argument::named("right rear rim"), right_rear)?;
    // A left wheel turned to the right points inwards, a right wheel turned to the left does.
    let left_toe = Bound::TOE.check(Argument::named("left rear rim").part("toe"), negated(left))?;
    let right_toe = Bound::TOE.check(Argument::named("right rear rim").part("toe"), right)?;
    thrust_angle(left_toe, right_toe)
}

/// The yaw of a wheel from the wheel-centre line, in degrees.
fn heading(datum: &VehicleDatum, name: Argument, rim: &RimPoints) -> Result<f64, GeometryError> {
    let front = rim.front_edge.check(name)?.dropped();
    let rear = rim.rear_edge.check(name)?.dropped();
    let along = rear.to(front);
    Bound::RIM_DIAMETER.check(name.part("distance between the edges"), along.length())?;
    Ok(wrapped(along.direction() - datum.line.heading_degrees))
}

/// Where the front wheels steer, from the toe of each front wheel, in degrees, toe in positive, and the thrust.
///
/// Error: `left front toe` or `right front toe` is not finite or outside [`Bound::TOE`].
pub fn steer_ahead(left_front_toe: f64, right_front_toe: f64, thrust: &Thrust) -> Result<SteerAhead, GeometryError> {
    let left = Bound::TOE.check_named("left front toe", left_front_toe)?;
    let right = Bound::TOE.check_named("right front toe", right_front_toe)?;
    let thrust = Bound::TOE.check_named("thrust angle", thrust.degrees)?;
    let degrees = (right - left) / 2.0;
    let from_thrust_line_degrees = degrees - thrust;
    Ok(SteerAhead {
        degrees,
        turn: Turn::of(degrees),
        from_thrust_line_degrees,
        turn_from_thrust_line: Turn::of(from_thrust_line_degrees),
        total_front_toe: sum_of(left, right),
    })
}

/// The total toe of an axle: the sum of both wheels, in degrees, toe in positive.
///
/// Some manuals call the difference by this name; here it never is.
/// Error: `left toe` or `right toe` is not finite or outside [`Bound::TOE`].
pub fn total_toe(left_toe: f64, right_toe: f64) -> Result<TotalToe, GeometryError> {
    let left = Bound::TOE.check_named("left toe", left_toe)?;
    let right = Bound::TOE.check_named("right toe", right_toe)?;
    Ok(sum_of(left, right))
}

fn sum_of(left: f64, right: f64) -> TotalToe {
    let degrees = left + right;
    TotalToe { degrees, way: ToeWay::of(degrees) }
}

/// How far a line at an angle (degrees, positive to the left) has left the wheel-centre line at a distance ahead of
/// where the two meet (mm); for a thrust line they meet at the middle of the rear axle.
///
/// Errors: `angle` is outside [`Bound::TOE`]; `distance` is outside [`Bound::DISTANCE`].
pub fn lateral_at(angle_degrees: f64, distance_mm: f64) -> Result<LineOffset, GeometryError> {
    let angle = Bound::TOE.check_named("angle", angle_degrees)?;
    let distance = Bound::DISTANCE.check_named("distance", distance_mm)?;
    let left_mm = angle.to_radians().tan() * distance;
    Ok(LineOffset { left_mm, side: Side::of(left_mm) })
}

/// The toe of one wheel as a length between its rim edges, in mm, with the sign of the toe.
///
/// Errors: `toe` (degrees) is outside [`Bound::TOE`]; `rim diameter` (mm) is outside [`Bound::RIM_DIAMETER`].
pub fn toe_at_rim(toe_degrees: f64, rim_diameter_mm: f64, form: RimForm) -> Result<f64, GeometryError> {
    let toe = Bound::TOE.check_named("toe", toe_degrees)?.to_radians();
    let diameter = Bound::RIM_DIAMETER.check_named("rim diameter", rim_diameter_mm)?;
    Ok(match form {
        RimForm::Sine => diameter * toe.sin(),
        RimForm::Tangent => diameter * toe.tan(),
    })
}

/// The toe of one wheel, in degrees, from its length between the rim edges, in mm.
///
/// Errors: `rim diameter` (mm) is outside [`Bound::RIM_DIAMETER`]; `toe at the rim` is longer than the largest toe
/// gives on this rim.
pub fn toe_from_rim(toe_mm: f64, rim_diameter_mm: f64, form: RimForm) -> Result<f64, GeometryError> {
    let largest = toe_at_rim(Bound::TOE.high, rim_diameter_mm, form)?;
    let toe = Bound::new(-largest, largest, "mm").check_named("toe at the rim", toe_mm)?;
    let ratio = toe / rim_diameter_mm;
    let radians = match form {
        RimForm::Sine => ratio.asin(),
        RimForm::Tangent => ratio.atan(),
    };
    Ok(radians.to_degrees())
}

/// A toe in minutes of arc as degrees.
///
/// Error: `toe` is not finite or outside [`Bound::TOE_MINUTES`].
pub fn degrees_of_minutes(toe_minutes: f64) -> Result<f64, GeometryError> {
    Ok(Bound::TOE_MINUTES.check_named("toe", toe_minutes)? / 60.0)
}

/// A toe in degrees as whole degrees and minutes.
///
/// Minutes within a thousand millionth of a whole minute are that minute, so that a toe given in whole minutes comes
/// back as it was given. Error: `toe` is not finite or outside [`Bound::TOE`].
pub fn degrees_and_minutes(toe_degrees: f64) -> Result<DegreesMinutes, GeometryError> {
    let toe = Bound::TOE.check_named("toe", toe_degrees)?;
    let all = toe.abs() * 60.0;
    let whole = all.round();
    let all = if (all - whole).abs() < 1e-9 { whole } else { all };
    let degrees = (all / 60.0).floor();
    // INVARIANT: minutes lie from 0 to below 60. `all` is a whole number or at least 1e-9 from one, so neither the
    // division nor the product below can carry it over.
    Ok(DegreesMinutes { negative: toe < 0.0 && all > 0.0, degrees: degrees as u32, minutes: all - degrees * 60.0 })
}
