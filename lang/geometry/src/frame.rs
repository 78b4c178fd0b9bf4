//! Owns points, small vectors, frames on the floor, wrapped angles and the turn into the other set of axes.
//!
//! Structs that carry what is given have public fields and are checked by each function that takes them; what
//! the crate itself computes is finite.

use crate::bound::Bound;
use crate::error::{Argument, GeometryError};
use crate::words::{Lean, Nose, Turn};

/// A point in mm: x ahead, y to the left, z up (ISO 8855).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Ahead, in mm.
    pub x: f64,
    /// To the left, in mm.
    pub y: f64,
    /// Up, in mm.
    pub z: f64,
}

/// A point of the floor as seen from above, in mm: x ahead, y to the left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloorPoint {
    /// Ahead, in mm.
    pub x: f64,
    /// To the left, in mm.
    pub y: f64,
}

/// A direction without length, such as the normal of a plane; its parts square to 1 together.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Vector {
    /// Ahead.
    pub x: f64,
    /// To the left.
    pub y: f64,
    /// Up.
    pub z: f64,
}

/// From one point of the floor to another, in mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FloorVector {
    pub(crate) x: f64,
    pub(crate) y: f64,
}

impl Point {
    /// A point by its coordinates in mm.
    pub const fn new(x: f64, y: f64, z: f64) -> Point {
        Point { x, y, z }
    }

    /// The point of the floor plumb below.
    pub const fn dropped(self) -> FloorPoint {
        FloorPoint { x: self.x, y: self.y }
    }

    pub(crate) fn check(self, argument: Argument) -> Result<Point, GeometryError> {
        Bound::COORDINATE.check(argument.part("x"), self.x)?;
        Bound::COORDINATE.check(argument.part("y"), self.y)?;
        Bound::COORDINATE.check(argument.part("z"), self.z)?;
        Ok(self)
    }
}

impl FloorPoint {
    /// A point of the floor by its coordinates in mm.
    pub const fn new(x: f64, y: f64) -> FloorPoint {
        FloorPoint { x, y }
    }

    pub(crate) fn check(self, argument: Argument) -> Result<FloorPoint, GeometryError> {
        Bound::COORDINATE.check(argument.part("x"), self.x)?;
        Bound::COORDINATE.check(argument.part("y"), self.y)?;
        Ok(self)
    }

    pub(crate) fn to(self, other: FloorPoint) -> FloorVector {
        FloorVector { x: other.x - self.x, y: other.y - self.y }
    }

    pub(crate) fn middle(self, other: FloorPoint) -> FloorPoint {
        FloorPoint { x: (self.x + other.x) / 2.0, y: (self.y + other.y) / 2.0 }
    }
}

impl FloorVector {
    pub(crate) fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// The direction from the x axis, positive to the left, in degrees; 0 where there is no length.
    pub(crate) fn direction(self) -> f64 {
        self.y.atan2(self.x).to_degrees()
    }
}

/// The distance between two points, in mm.
///
/// Error: a coordinate of `from` or `to` is not finite or outside [`Bound::COORDINATE`].
pub fn distance(from: Point, to: Point) -> Result<f64, GeometryError> {
    let from = from.check(Argument::named("from"))?;
    let to = to.check(Argument::named("to"))?;
    Ok(from.dropped().to(to.dropped()).length().hypot(to.z - from.z))
}

/// The level distance between two points of the floor as seen from above, in mm.
///
/// Error: a coordinate of `from` or `to` is not finite or outside [`Bound::COORDINATE`].
pub fn floor_distance(from: FloorPoint, to: FloorPoint) -> Result<f64, GeometryError> {
    let from = from.check(Argument::named("from"))?;
    let to = to.check(Argument::named("to"))?;
    Ok(from.to(to).length())
}

/// An angle in degrees brought above -180 and up to 180.
///
/// Error: `angle` is not finite or outside [`Bound::ANGLE`].
pub fn wrap_degrees(angle: f64) -> Result<f64, GeometryError> {
    Ok(wrapped(Bound::ANGLE.check_named("angle", angle)?))
}

/// The same for an angle that is known to be finite.
pub(crate) fn wrapped(angle: f64) -> f64 {
    // The remainder is exact, and the turn taken off it is exact as well: nothing is rounded here.
    let rest = angle % 360.0;
    if rest > 180.0 {
        rest - 360.0
    } else if rest <= -180.0 {
        rest + 360.0
    } else {
        rest
    }
}

/// A frame laid on the floor: an origin and the direction of its x axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloorFrame {
    /// The origin, in the frame outside.
    pub origin: FloorPoint,
    /// The direction of the x axis from the x axis outside, positive to the left, in degrees.
    pub heading_degrees: f64,
}

impl FloorFrame {
    /// A point given outside, as this frame has it.
    ///
    /// Error: the frame or `point` is not finite or outside its bound.
    pub fn inward(&self, point: FloorPoint) -> Result<FloorPoint, GeometryError> {
        self.check()?;
        Ok(self.seen(point.check(Argument::named("point"))?))
    }

    /// A point given in this frame, as the frame outside has it.
    ///
    /// Error: the frame or `point` is not finite or outside its bound.
    pub fn outward(&self, point: FloorPoint) -> Result<FloorPoint, GeometryError> {
        self.check()?;
        let point = point.check(Argument::named("point"))?;
        let (sine, cosine) = self.heading_degrees.to_radians().sin_cos();
        Ok(FloorPoint {
            x: self.origin.x + cosine * point.x - sine * point.y,
            y: self.origin.y + sine * point.x + cosine * point.y,
        })
    }

    /// A checked point, as this frame has it; the frame must be checked as well.
    pub(crate) fn seen(&self, point: FloorPoint) -> FloorPoint {
        let (sine, cosine) = self.heading_degrees.to_radians().sin_cos();
        let from_origin = self.origin.to(point);
        FloorPoint {
            x: cosine * from_origin.x + sine * from_origin.y,
            y: cosine * from_origin.y - sine * from_origin.x,
        }
    }

    pub(crate) fn check(&self) -> Result<(), GeometryError> {
        self.origin.check(Argument::named("origin of the frame"))?;
        Bound::ANGLE.check_named("heading of the frame", self.heading_degrees)?;
        Ok(())
    }
}

/// How a body stands: roll, pitch and yaw in degrees, applied in the order yaw, pitch, roll about the turned axes.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Attitude {
    /// About the x axis: positive is left side up (ISO 8855).
    pub roll_degrees: f64,
    /// About the y axis: positive is nose down (ISO 8855).
    pub pitch_degrees: f64,
    /// About the z axis: positive is to the left (ISO 8855).
    pub yaw_degrees: f64,
}

impl Attitude {
    /// An attitude by its angles in degrees.
    ///
    /// Error: `roll`, `pitch` or `yaw` is not finite or outside [`Bound::ANGLE`].
    pub fn new(roll_degrees: f64, pitch_degrees: f64, yaw_degrees: f64) -> Result<Attitude, GeometryError> {
        Bound::ANGLE.check_named("roll", roll_degrees)?;
        Bound::ANGLE.check_named("pitch", pitch_degrees)?;
        Bound::ANGLE.check_named("yaw", yaw_degrees)?;
        Ok(Attitude { roll_degrees, pitch_degrees, yaw_degrees })
    }

    /// The same attitude with the signs of SAE J670 (x ahead, y to the right, z down): positive pitch is nose up
    /// and positive yaw is to the right; roll keeps its sign.
    pub fn in_sae_j670(self) -> Attitude {
        Attitude {
            roll_degrees: self.roll_degrees,
            pitch_degrees: negated(self.pitch_degrees),
            yaw_degrees: negated(self.yaw_degrees),
        }
    }

    /// The pitch in words, for the signs of ISO 8855.
    pub fn nose(self) -> Nose {
        Nose::of(self.pitch_degrees)
    }

    /// The roll in words, for the signs of ISO 8855.
    pub fn lean(self) -> Lean {
        Lean::of(self.roll_degrees)
    }

    /// The yaw in words, for the signs of ISO 8855.
    pub fn turn(self) -> Turn {
        Turn::of(self.yaw_degrees)
    }
}

/// The same point in the axes of SAE J670 (x ahead, y to the right, z down), with the same origin.
///
/// The two sets are half a turn about x apart, so doing it twice gives the first point back.
/// Error: a coordinate of `point` is not finite or outside [`Bound::COORDINATE`].
pub fn point_in_sae_j670(point: Point) -> Result<Point, GeometryError> {
    let point = point.check(Argument::named("point"))?;
    Ok(Point { x: point.x, y: negated(point.y), z: negated(point.z) })
}

/// The value with its sign turned; zero stays without a sign, so that no "-0" is ever shown.
pub(crate) fn negated(value: f64) -> f64 {
    0.0 - value
}
