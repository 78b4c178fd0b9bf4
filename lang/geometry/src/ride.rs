//! Owns what ride heights at the axles do to the pitch and roll of the body.

use crate::bound::Bound;
use crate::error::{Argument, GeometryError};
use crate::plane::lie_on;
use crate::words::{Lean, Nose};

/// Ride heights at the four wheels, in mm, all taken at like points of the body.
///
/// Where the maker's heights differ from front to rear, the heights less the maker's are what belongs here: see
/// [`RideHeights::less`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RideHeights {
    /// Left front.
    pub left_front: f64,
    /// Right front.
    pub right_front: f64,
    /// Left rear.
    pub left_rear: f64,
    /// Right rear.
    pub right_rear: f64,
}

impl RideHeights {
    /// These heights less those that ought to be.
    ///
    /// Error: a height of either is not finite or outside [`Bound::RIDE_HEIGHT`].
    pub fn less(&self, nominal: &RideHeights) -> Result<RideHeights, GeometryError> {
        self.check("ride height")?;
        nominal.check("nominal ride height")?;
        Ok(RideHeights {
            left_front: self.left_front - nominal.left_front,
            right_front: self.right_front - nominal.right_front,
            left_rear: self.left_rear - nominal.left_rear,
            right_rear: self.right_rear - nominal.right_rear,
        })
    }

    fn check(&self, name: &'static str) -> Result<(), GeometryError> {
        let name = Argument::named(name);
        Bound::RIDE_HEIGHT.check(name.part("left front"), self.left_front)?;
        Bound::RIDE_HEIGHT.check(name.part("right front"), self.right_front)?;
        Bound::RIDE_HEIGHT.check(name.part("left rear"), self.left_rear)?;
        Bound::RIDE_HEIGHT.check(name.part("right rear"), self.right_rear)?;
        Ok(())
    }
}

/// How far apart the points are at which the heights are taken, in mm; there is no default.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxleSizes {
    /// From rear to front.
    pub wheelbase: f64,
    /// From right to left at the front.
    pub front_track: f64,
    /// From right to left at the rear.
    pub rear_track: f64,
}

/// How the body stands over the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct RideAttitude {
    /// In degrees; positive is nose down (ISO 8855).
    pub pitch_degrees: f64,
    /// The pitch in words.
    pub nose: Nose,
    /// In degrees; positive is left side up (ISO 8855).
    pub roll_degrees: f64,
    /// The roll in words.
    pub lean: Lean,
    /// Left less right at the front, less the same at the rear, in mm: what no pitch and roll of a stiff body
    /// explains where the tracks are alike. A wheel on a shim, a tired spring or a reading gone wrong shows here.
    pub twist_mm: f64,
}

/// Pitch from the ride heights at the two axles, in mm, over a wheelbase, in mm; in degrees, positive nose down.
///
/// Errors: `front ride height` or `rear ride height` is outside [`Bound::RIDE_HEIGHT`]; `wheelbase` is outside
/// [`Bound::WHEELBASE`].
pub fn pitch_from_axles(front_mm: f64, rear_mm: f64, wheelbase_mm: f64) -> Result<f64, GeometryError> {
    let front = Bound::RIDE_HEIGHT.check_named("front ride height", front_mm)?;
    let rear = Bound::RIDE_HEIGHT.check_named("rear ride height", rear_mm)?;
    let wheelbase = Bound::WHEELBASE.check_named("wheelbase", wheelbase_mm)?;
    let (pitch, _) = lie_on((front - rear) / wheelbase, 0.0);
    Ok(pitch)
}

/// Pitch and roll from the ride heights at the four wheels.
///
/// They are those of the plane through the four heights by least squares; front and rear count as their tracks do.
/// Errors: a `ride height` is outside [`Bound::RIDE_HEIGHT`]; `wheelbase`, `front track` or `rear track` is outside
/// its bound.
pub fn ride_attitude(heights: &RideHeights, sizes: &AxleSizes) -> Result<RideAttitude, GeometryError> {
    heights.check("ride height")?;
    let wheelbase = Bound::WHEELBASE.check_named("wheelbase", sizes.wheelbase)?;
    let front_track = Bound::TRACK.check_named("front track", sizes.front_track)?;
    let rear_track = Bound::TRACK.check_named("rear track", sizes.rear_track)?;
    let front = (heights.left_front + heights.right_front) / 2.0;
    let rear = (heights.left_rear + heights.right_rear) / 2.0;
    let front_lean = heights.left_front - heights.right_front;
    let rear_lean = heights.left_rear - heights.right_rear;
    // The four places are symmetrical about the centre line, so the slopes along and across come apart.
    let rise_ahead = (front - rear) / wheelbase;
    let rise_left =
        (front_track * front_lean + rear_track * rear_lean) / (front_track * front_track + rear_track * rear_track);
    let (pitch_degrees, roll_degrees) = lie_on(rise_ahead, rise_left);
    Ok(RideAttitude {
        pitch_degrees,
        nose: Nose::of(pitch_degrees),
        roll_degrees,
        lean: Lean::of(roll_degrees),
        twist_mm: front_lean - rear_lean,
    })
}
