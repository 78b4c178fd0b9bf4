//! Owns the plane of a floor: its slopes, heights over it, and what it does to a sensor and a target.

use crate::bound::Bound;
use crate::error::{Argument, GeometryError};
use crate::frame::{FloorPoint, Point, negated};
use crate::words::{Lean, Nose, Rise};

/// A slope in the units the trade uses; positive is uphill.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Slope {
    /// Rise over run in per cent.
    pub percent: f64,
    /// Rise over run in mm per metre.
    pub millimetres_per_metre: f64,
    /// The angle to the level, in degrees.
    pub degrees: f64,
}

impl Slope {
    fn of(ratio: f64) -> Slope {
        Slope { percent: ratio * 100.0, millimetres_per_metre: ratio * 1000.0, degrees: ratio.atan().to_degrees() }
    }
}

/// The steepest slope of a plane and where it goes up.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Steepest {
    /// How steep it is; never negative.
    pub slope: Slope,
    /// The direction uphill from the x axis, positive to the left, in degrees; none on a level plane.
    pub uphill_degrees: Option<f64>,
}

/// A plane over the floor: height = `height_at_origin_mm` + `rise_ahead` x + `rise_left` y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloorPlane {
    /// Rise for each mm ahead.
    pub rise_ahead: f64,
    /// Rise for each mm to the left.
    pub rise_left: f64,
    /// The height at x = y = 0, in mm.
    pub height_at_origin_mm: f64,
}

/// What a sloping floor does, seen from a vehicle that stands on it.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct SlopeEffect {
    /// Pitch of the vehicle and its sensors against the level, in degrees; positive is nose down (ISO 8855).
    pub pitch_degrees: f64,
    /// The pitch in words.
    pub nose: Nose,
    /// Roll of the vehicle against the level, in degrees; positive is left side up (ISO 8855).
    pub roll_degrees: f64,
    /// The roll in words.
    pub lean: Lean,
    /// How much higher the floor is under the target than under the sensor, in mm.
    ///
    /// A target whose height is carried over level from the sensor's foot, instead of being taken from the floor
    /// beneath the target, hangs lower by this as the sloping vehicle sees it.
    pub target_floor_rise_mm: f64,
    /// The floor under the target in words.
    pub target_floor: Rise,
}

impl FloorPlane {
    /// The slope along the x axis; positive is uphill ahead.
    ///
    /// Error: the plane is not finite or steeper than can be.
    pub fn along(&self) -> Result<Slope, GeometryError> {
        Ok(Slope::of(self.check()?.rise_ahead))
    }

    /// The slope along the y axis; positive is uphill to the left. Error: as for [`FloorPlane::along`].
    pub fn across(&self) -> Result<Slope, GeometryError> {
        Ok(Slope::of(self.check()?.rise_left))
    }

    /// The slope in a direction from the x axis, positive to the left, in degrees.
    ///
    /// Errors: as for [`FloorPlane::along`]; `heading` is not finite or outside [`Bound::ANGLE`].
    pub fn towards(&self, heading_degrees: f64) -> Result<Slope, GeometryError> {
        let (ahead, _) = self.turned(heading_degrees)?;
        Ok(Slope::of(ahead))
    }

    /// The steepest slope. Error: as for [`FloorPlane::along`].
    pub fn steepest(&self) -> Result<Steepest, GeometryError> {
        self.check()?;
        let ratio = self.rise_ahead.hypot(self.rise_left);
        let uphill_degrees = (ratio > 0.0).then(|| self.rise_left.atan2(self.rise_ahead).to_degrees());
        Ok(Steepest { slope: Slope::of(ratio), uphill_degrees })
    }

    /// The point of the plane over or under a point of the floor as seen from above.
    ///
    /// Errors: as for [`FloorPlane::along`]; `place` is not finite or outside [`Bound::COORDINATE`].
    pub fn at(&self, place: FloorPoint) -> Result<Point, GeometryError> {
        self.check()?;
        let place = place.check(Argument::named("place"))?;
        Ok(Point { x: place.x, y: place.y, z: self.height(place) })
    }

    /// How far a point stands over the plane, plumb, in mm; negative is under it.
    ///
    /// Errors: as for [`FloorPlane::along`]; `point` is not finite or outside [`Bound::COORDINATE`].
    pub fn height_over(&self, point: Point) -> Result<f64, GeometryError> {
        self.check()?;
        let point = point.check(Argument::named("point"))?;
        Ok(point.z - self.height(point.dropped()))
    }

    /// What the slope does to a vehicle that stands on it with a heading from the x axis (degrees, positive to the
    /// left) and to a target that stands on it a level distance ahead (mm).
    ///
    /// Errors: as for [`FloorPlane::along`]; `heading` outside [`Bound::ANGLE`]; `distance` outside
    /// [`Bound::DISTANCE`].
    pub fn effect(&self, heading_degrees: f64, distance_mm: f64) -> Result<SlopeEffect, GeometryError> {
        let (ahead, left) = self.turned(heading_degrees)?;
        let distance = Bound::DISTANCE.check_named("distance", distance_mm)?;
        let (pitch_degrees, roll_degrees) = lie_on(ahead, left);
        let target_floor_rise_mm = ahead * distance;
        Ok(SlopeEffect {
            pitch_degrees,
            nose: Nose::of(pitch_degrees),
            roll_degrees,
            lean: Lean::of(roll_degrees),
            target_floor_rise_mm,
            target_floor: Rise::of(target_floor_rise_mm),
        })
    }

    fn height(&self, place: FloorPoint) -> f64 {
        self.height_at_origin_mm + self.rise_ahead * place.x + self.rise_left * place.y
    }

    /// The rises ahead and to the left of a heading.
    fn turned(&self, heading_degrees: f64) -> Result<(f64, f64), GeometryError> {
        self.check()?;
        let (sine, cosine) = Bound::ANGLE.check_named("heading", heading_degrees)?.to_radians().sin_cos();
        let ahead = self.rise_ahead * cosine + self.rise_left * sine;
        let left = self.rise_left * cosine - self.rise_ahead * sine;
        Ok((ahead, left))
    }

    fn check(&self) -> Result<&FloorPlane, GeometryError> {
        // Readings within their bounds and 1 mm off a common line give planes far inside these bounds, so this
        // only guards against overflow of a plane made by hand.
        const STEEPEST: Bound = Bound::new(-1e9, 1e9, "mm/mm");
        const HIGHEST: Bound = Bound::new(-1e16, 1e16, "mm");
        let plane = Argument::named("floor plane");
        STEEPEST.check(plane.part("rise ahead"), self.rise_ahead)?;
        STEEPEST.check(plane.part("rise to the left"), self.rise_left)?;
        HIGHEST.check(plane.part("height"), self.height_at_origin_mm)?;
        Ok(self)
    }
}

/// Pitch and roll, in degrees, of a body that lies on a plane with these rises ahead and to the left of it.
///
/// With yaw, pitch and roll applied in this order, the x axis rises by minus the sine of the pitch, which gives the
/// first; the normal of the plane then gives the second.
pub(crate) fn lie_on(rise_ahead: f64, rise_left: f64) -> (f64, f64) {
    let pitch = negated(rise_ahead.atan().to_degrees());
    let roll = (rise_left / 1.0_f64.hypot(rise_ahead)).atan().to_degrees();
    (pitch, roll)
}
