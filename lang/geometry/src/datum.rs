//! Owns the vehicle datum: hub points dropped to the floor, the wheel-centre line through them, and what they say
//! about wheelbase, track, axles and diagonals; and the body line against the wheel-centre line.

use crate::bound::Bound;
use crate::error::{Argument, GeometryError};
use crate::frame::{FloorFrame, FloorPoint, Point, wrapped};
use crate::words::{Side, Skew, Turn};

/// The centres of the four hubs in any one frame, in mm; their heights do not matter, they are dropped plumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HubPoints {
    /// Left front.
    pub left_front: Point,
    /// Right front.
    pub right_front: Point,
    /// Left rear.
    pub left_rear: Point,
    /// Right rear.
    pub right_rear: Point,
}

/// One axle as seen from above.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Axle {
    /// The point between its hubs.
    pub middle: FloorPoint,
    /// From hub to hub, in mm.
    pub track_mm: f64,
    /// How far it is turned from square to the wheel-centre line, in degrees; positive is to the left as seen from
    /// above, which takes the left end back.
    pub skew_degrees: f64,
    /// The skew in words.
    pub skew: Skew,
}

/// What four hub points say.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct VehicleDatum {
    /// The wheel-centre line: from the middle of the rear axle, which is its origin, through that of the front axle.
    pub line: FloorFrame,
    /// The front axle.
    pub front: Axle,
    /// The rear axle.
    pub rear: Axle,
    /// From the middle of the rear axle to that of the front axle, in mm.
    pub wheelbase_mm: f64,
    /// From hub to hub on the left, in mm.
    pub wheelbase_left_mm: f64,
    /// From hub to hub on the right, in mm.
    pub wheelbase_right_mm: f64,
    /// Left less right wheelbase, in mm.
    pub wheelbase_difference_mm: f64,
    /// Front less rear skew, in degrees: how far the axles are from parallel.
    pub axles_apart_degrees: f64,
    /// From the left front to the right rear hub, in mm.
    pub diagonal_left_front_mm: f64,
    /// From the right front to the left rear hub, in mm.
    pub diagonal_right_front_mm: f64,
    /// The first less the second diagonal, in mm.
    pub diagonal_difference_mm: f64,
}

/// The datum of a vehicle from its hub points.
///
/// Errors: a coordinate of a hub is not finite or outside [`Bound::COORDINATE`]; the wheelbase of the hub points is
/// outside [`Bound::WHEELBASE`]; a hub is not on its side of the wheel-centre line by [`Bound::HALF_TRACK`], which
/// also finds hubs whose sides, or whose ends, were exchanged.
pub fn vehicle_datum(hubs: &HubPoints) -> Result<VehicleDatum, GeometryError> {
    let names = ["left front hub", "right front hub", "left rear hub", "right rear hub"].map(Argument::named);
    let [left_front_name, right_front_name, left_rear_name, right_rear_name] = names;
    let left_front = hubs.left_front.check(left_front_name)?.dropped();
    let right_front = hubs.right_front.check(right_front_name)?.dropped();
    let left_rear = hubs.left_rear.check(left_rear_name)?.dropped();
    let right_rear = hubs.right_rear.check(right_rear_name)?.dropped();

    let origin = left_rear.middle(right_rear);
    let along = origin.to(left_front.middle(right_front));
    let wheelbase_mm = Bound::WHEELBASE.check(Argument::named("hub points").part("wheelbase"), along.length())?;
    let line = FloorFrame { origin, heading_degrees: along.direction() };
    for (name, hub, side) in [
        (left_front_name, left_front, 1.0),
        (left_rear_name, left_rear, 1.0),
        (right_front_name, right_front, -1.0),
        (right_rear_name, right_rear, -1.0),
    ] {
        let part = if side > 0.0 {
            "distance to the left of the wheel-centre line"
        } else {
            "distance to the right of the wheel-centre line"
        };
        Bound::HALF_TRACK.check(name.part(part), side * line.seen(hub).y)?;
    }

    let front = axle(&line, left_front, right_front);
    let rear = axle(&line, left_rear, right_rear);
    let wheelbase_left_mm = left_rear.to(left_front).length();
    let wheelbase_right_mm = right_rear.to(right_front).length();
    let diagonal_left_front_mm = left_front.to(right_rear).length();
    let diagonal_right_front_mm = right_front.to(left_rear).length();
    Ok(VehicleDatum {
        line,
        front,
        rear,
        wheelbase_mm,
        wheelbase_left_mm,
        wheelbase_right_mm,
        wheelbase_difference_mm: wheelbase_left_mm - wheelbase_right_mm,
        axles_apart_degrees: front.skew_degrees - rear.skew_degrees,
        diagonal_left_front_mm,
        diagonal_right_front_mm,
        diagonal_difference_mm: diagonal_left_front_mm - diagonal_right_front_mm,
    })
}

fn axle(line: &FloorFrame, left: FloorPoint, right: FloorPoint) -> Axle {
    let across = right.to(left);
    // From right to left is a quarter turn to the left of straight ahead.
    let skew_degrees = wrapped(across.direction() - line.heading_degrees - 90.0);
    Axle { middle: left.middle(right), track_mm: across.length(), skew_degrees, skew: Skew::of(skew_degrees) }
}

/// A line taken from the body, such as through two emblems, against the wheel-centre line.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct BodyLine {
    /// Where it points, from the wheel-centre line, in degrees; positive is to the left.
    pub angle_degrees: f64,
    /// The angle in words.
    pub turn: Turn,
    /// How far it passes to the left of the middle of the front axle, in mm.
    pub offset_at_front_axle_mm: f64,
    /// That offset in words.
    pub side_at_front_axle: Side,
    /// How far it passes to the left of the middle of the rear axle, in mm.
    pub offset_at_rear_axle_mm: f64,
    /// That offset in words.
    pub side_at_rear_axle: Side,
}

/// The line from a rear to a front point of the body against the wheel-centre line; the points are in the frame
/// that the hub points were given in.
///
/// Errors: a coordinate of `rear body point` or `front body point` is not finite or outside [`Bound::COORDINATE`];
/// the front point is less than [`Bound::WHEELBASE`] ahead of the rear one.
pub fn body_line(datum: &VehicleDatum, rear: Point, front: Point) -> Result<BodyLine, GeometryError> {
    let (rear_name, front_name) = (Argument::named("rear body point"), Argument::named("front body point"));
    let rear = datum.line.seen(rear.check(rear_name)?.dropped());
    let front = datum.line.seen(front.check(front_name)?.dropped());
    let along = rear.to(front);
    let ahead = Bound::WHEELBASE.check(front_name.part("distance ahead of the rear body point"), along.x)?;
    let offset_at = |station: f64| rear.y + (station - rear.x) * along.y / ahead;
    let angle_degrees = along.direction();
    let offset_at_front_axle_mm = offset_at(datum.wheelbase_mm);
    let offset_at_rear_axle_mm = offset_at(0.0);
    Ok(BodyLine {
        angle_degrees,
        turn: Turn::of(angle_degrees),
        offset_at_front_axle_mm,
        side_at_front_axle: Side::of(offset_at_front_axle_mm),
        offset_at_rear_axle_mm,
        side_at_rear_axle: Side::of(offset_at_rear_axle_mm),
    })
}
