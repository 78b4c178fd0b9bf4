//! Owns what must hold whatever the numbers are: moving and mirroring a set-up, and planes known beforehand.
#![expect(clippy::unwrap_used, reason = "test helpers stop at the first surprise")]

mod random;

use knockon_geometry::{
    AxleSizes, FloorFrame, FloorPlane, FloorPoint, HubPoints, Lean, Nose, Point, RideHeights, RimForm, RimPoints, Skew,
    ToeWay, Turn, degrees_and_minutes, degrees_of_minutes, fit_floor, flatness, floor_distance, ride_attitude,
    shims_to_level, steer_ahead, thrust_angle, thrust_from_rims, toe_at_rim, toe_from_rim, vehicle_datum, wrap_degrees,
};
use random::Random;

const ROUNDS: usize = 500;

fn near(computed: f64, expected: f64, allowed: f64) {
    assert!((computed - expected).abs() <= allowed, "{computed} against {expected}");
}

fn frame(random: &mut Random) -> FloorFrame {
    let origin = FloorPoint::new(random.between(-2e4, 2e4), random.between(-2e4, 2e4));
    FloorFrame { origin, heading_degrees: random.between(-360.0, 360.0) }
}

fn moved(frame: &FloorFrame, point: Point) -> Point {
    let place = frame.outward(point.dropped()).unwrap();
    Point::new(place.x, place.y, point.z)
}

fn moved_hubs(frame: &FloorFrame, hubs: &HubPoints) -> HubPoints {
    HubPoints {
        left_front: moved(frame, hubs.left_front),
        right_front: moved(frame, hubs.right_front),
        left_rear: moved(frame, hubs.left_rear),
        right_rear: moved(frame, hubs.right_rear),
    }
}

fn mirrored(point: Point) -> Point {
    Point::new(point.x, -point.y, point.z)
}

fn mirrored_hubs(hubs: &HubPoints) -> HubPoints {
    HubPoints {
        left_front: mirrored(hubs.right_front),
        right_front: mirrored(hubs.left_front),
        left_rear: mirrored(hubs.right_rear),
        right_rear: mirrored(hubs.left_rear),
    }
}

fn rim(random: &mut Random, hub: Point) -> RimPoints {
    let shift = random.between(-30.0, 30.0);
    RimPoints {
        front_edge: Point::new(hub.x + 200.0, hub.y + shift, hub.z),
        rear_edge: Point::new(hub.x - 200.0, hub.y - shift, hub.z),
    }
}

#[test]
fn moving_a_point_into_a_frame_and_out_again_changes_nothing_and_keeps_distances() {
    let mut random = Random::new(1);
    for _ in 0..ROUNDS {
        let frame = frame(&mut random);
        let (one, other) = (random.point(1e4, 0.0).dropped(), random.point(1e4, 0.0).dropped());
        let (one_moved, other_moved) = (frame.outward(one).unwrap(), frame.outward(other).unwrap());
        let before = floor_distance(one, other).unwrap();
        near(floor_distance(one_moved, other_moved).unwrap(), before, 1e-9);
        near(floor_distance(frame.inward(one_moved).unwrap(), one).unwrap(), 0.0, 1e-9);
    }
}

#[test]
fn a_vehicle_parked_elsewhere_has_the_same_wheelbase_tracks_skews_diagonals_and_thrust() {
    let mut random = Random::new(2);
    for _ in 0..ROUNDS {
        let hubs = random.hubs();
        let frame = frame(&mut random);
        let parked = moved_hubs(&frame, &hubs);
        let (one, other) = (vehicle_datum(&hubs).unwrap(), vehicle_datum(&parked).unwrap());
        near(other.wheelbase_mm, one.wheelbase_mm, 1e-9);
        near(other.wheelbase_left_mm, one.wheelbase_left_mm, 1e-9);
        near(other.wheelbase_right_mm, one.wheelbase_right_mm, 1e-9);
        near(other.front.track_mm, one.front.track_mm, 1e-9);
        near(other.rear.track_mm, one.rear.track_mm, 1e-9);
        near(other.front.skew_degrees, one.front.skew_degrees, 1e-9);
        near(other.rear.skew_degrees, one.rear.skew_degrees, 1e-9);
        near(other.diagonal_difference_mm, one.diagonal_difference_mm, 1e-9);
        let turned = wrap_degrees(other.line.heading_degrees - one.line.heading_degrees - frame.heading_degrees);
        near(turned.unwrap(), 0.0, 1e-9);

        let (left, right) = (rim(&mut random, hubs.left_rear), rim(&mut random, hubs.right_rear));
        let before = thrust_from_rims(&one, &left, &right).unwrap();
        let parked_rim = |rim: &RimPoints| RimPoints {
            front_edge: moved(&frame, rim.front_edge),
            rear_edge: moved(&frame, rim.rear_edge),
        };
        let after = thrust_from_rims(&other, &parked_rim(&left), &parked_rim(&right)).unwrap();
        near(after.degrees, before.degrees, 1e-9);
        near(after.total_rear_toe.degrees, before.total_rear_toe.degrees, 1e-9);
    }
}

#[test]
fn in_the_frame_of_the_wheel_centre_line_both_axle_middles_lie_on_it() {
    let mut random = Random::new(3);
    for _ in 0..ROUNDS {
        let hubs = random.hubs();
        let datum = vehicle_datum(&moved_hubs(&frame(&mut random), &hubs)).unwrap();
        let front = datum.line.inward(datum.front.middle).unwrap();
        near(front.x, datum.wheelbase_mm, 1e-9);
        near(front.y, 0.0, 1e-9);
        near(floor_distance(datum.rear.middle, datum.line.origin).unwrap(), 0.0, 0.0);
    }
}

#[test]
fn a_mirrored_vehicle_has_left_and_right_exchanged_and_every_turn_the_other_way() {
    let mut random = Random::new(4);
    for _ in 0..ROUNDS {
        let hubs = random.hubs();
        let (one, other) = (vehicle_datum(&hubs).unwrap(), vehicle_datum(&mirrored_hubs(&hubs)).unwrap());
        near(other.line.heading_degrees, -one.line.heading_degrees, 1e-12);
        near(other.wheelbase_left_mm, one.wheelbase_right_mm, 0.0);
        near(other.wheelbase_difference_mm, -one.wheelbase_difference_mm, 0.0);
        near(other.front.skew_degrees, -one.front.skew_degrees, 1e-9);
        near(other.axles_apart_degrees, -one.axles_apart_degrees, 1e-9);
        near(other.diagonal_difference_mm, -one.diagonal_difference_mm, 0.0);
        let expected = match one.rear.skew {
            Skew::LeftEndBack => Skew::RightEndBack,
            Skew::RightEndBack => Skew::LeftEndBack,
            Skew::Square => Skew::Square,
        };
        assert_eq!(other.rear.skew, expected);

        let (left, right) = (rim(&mut random, hubs.left_rear), rim(&mut random, hubs.right_rear));
        let turned =
            |rim: &RimPoints| RimPoints { front_edge: mirrored(rim.front_edge), rear_edge: mirrored(rim.rear_edge) };
        let before = thrust_from_rims(&one, &left, &right).unwrap();
        let after = thrust_from_rims(&other, &turned(&right), &turned(&left)).unwrap();
        near(after.degrees, -before.degrees, 1e-9);
        near(after.total_rear_toe.degrees, before.total_rear_toe.degrees, 1e-9);
    }
}

#[test]
fn exchanged_toes_turn_thrust_and_steering_the_other_way_and_keep_total_toe() {
    let mut random = Random::new(5);
    for _ in 0..ROUNDS {
        let toes: Vec<f64> = (0..4).map(|_| random.between(-3.0, 3.0)).collect();
        let &[left_rear, right_rear, left_front, right_front] = toes.as_slice() else { panic!("four toes") };
        let (one, other) = (thrust_angle(left_rear, right_rear).unwrap(), thrust_angle(right_rear, left_rear).unwrap());
        assert_eq!(one.degrees, -other.degrees);
        assert_eq!(one.total_rear_toe, other.total_rear_toe);
        assert_eq!(one.turn == Turn::Left, other.turn == Turn::Right);
        assert_eq!(one.total_rear_toe.way == ToeWay::In, left_rear + right_rear > 0.0);
        let ahead = steer_ahead(left_front, right_front, &one).unwrap();
        let back = steer_ahead(right_front, left_front, &other).unwrap();
        assert_eq!(ahead.degrees, -back.degrees);
        assert_eq!(ahead.from_thrust_line_degrees, -back.from_thrust_line_degrees);
    }
}

#[test]
fn toe_comes_back_through_minutes_and_through_the_rim() {
    let mut random = Random::new(6);
    for _ in 0..ROUNDS {
        let (toe, diameter) = (random.between(-9.9, 9.9), random.between(300.0, 700.0));
        for form in [RimForm::Sine, RimForm::Tangent] {
            let length = toe_at_rim(toe, diameter, form).unwrap();
            near(toe_from_rim(length, diameter, form).unwrap(), toe, 1e-12);
            assert_eq!(length, -toe_at_rim(-toe, diameter, form).unwrap());
        }
        let shown = degrees_and_minutes(toe).unwrap();
        assert!((0.0..60.0).contains(&shown.minutes));
        let size = degrees_of_minutes(f64::from(shown.degrees) * 60.0 + shown.minutes).unwrap();
        near(if shown.negative { -size } else { size }, toe, 1e-10);
    }
}

#[test]
fn every_whole_minute_comes_back_as_that_minute() {
    for minutes in -600..=600_i32 {
        let shown = degrees_and_minutes(degrees_of_minutes(f64::from(minutes)).unwrap()).unwrap();
        let (degrees, rest) = (minutes.unsigned_abs() / 60, minutes.unsigned_abs() % 60);
        assert_eq!(
            (shown.negative, shown.degrees, shown.minutes),
            (minutes < 0, degrees, f64::from(rest)),
            "{minutes}"
        );
    }
}

fn plane(random: &mut Random) -> FloorPlane {
    FloorPlane {
        rise_ahead: random.between(-0.05, 0.05),
        rise_left: random.between(-0.05, 0.05),
        height_at_origin_mm: random.between(-100.0, 100.0),
    }
}

#[test]
fn readings_taken_on_a_known_plane_give_that_plane_with_nothing_left_over() {
    let mut random = Random::new(7);
    let mut fitted = 0;
    for _ in 0..ROUNDS {
        let known = plane(&mut random);
        let count = 3 + random.bits() as usize % 10;
        let readings: Vec<Point> =
            (0..count).map(|_| known.at(random.point(5_000.0, 0.0).dropped()).unwrap()).collect();
        // Three readings by chance nearly on one line would be a test of rounding only.
        let Ok(fit) = fit_floor(&readings) else { continue };
        let widest = flatness(&readings).unwrap();
        near(fit.residual_peak_to_valley_mm, 0.0, 1e-9);
        near(fit.residual_rms_mm, 0.0, 1e-9);
        near(widest.peak_to_valley_mm, 0.0, 1e-9);
        near(fit.plane.rise_ahead, known.rise_ahead, 1e-12);
        near(fit.plane.rise_left, known.rise_left, 1e-12);
        near(fit.plane.height_at_origin_mm, known.height_at_origin_mm, 1e-8);
        fitted += 1;
    }
    assert!(fitted > ROUNDS * 9 / 10, "{fitted}");
}

#[test]
fn a_plane_fit_cannot_be_bettered_by_tilting_or_lifting_the_plane() {
    let mut random = Random::new(8);
    for _ in 0..ROUNDS / 5 {
        let readings: Vec<Point> = (0..9).map(|_| random.point(4_000.0, 5.0)).collect();
        let fit = fit_floor(&readings).unwrap();
        let left_over = |plane: FloorPlane| -> f64 {
            readings.iter().map(|reading| plane.height_over(*reading).unwrap().powi(2)).sum()
        };
        let least = left_over(fit.plane);
        for (ahead, left, up) in [(1e-4, 0.0, 0.0), (0.0, 1e-4, 0.0), (0.0, 0.0, 0.1)] {
            for sign in [1.0, -1.0] {
                let mut worse = fit.plane;
                worse.rise_ahead += sign * ahead;
                worse.rise_left += sign * left;
                worse.height_at_origin_mm += sign * up;
                assert!(left_over(worse) > least);
            }
        }
    }
}

#[test]
fn a_floor_seen_from_another_frame_is_as_steep_and_slopes_as_much_the_way_the_car_points() {
    let mut random = Random::new(9);
    for _ in 0..ROUNDS {
        let frame = frame(&mut random);
        let readings: Vec<Point> = (0..8).map(|_| random.point(4_000.0, 20.0)).collect();
        let elsewhere: Vec<Point> = readings.iter().map(|reading| moved(&frame, *reading)).collect();
        let (one, other) = (fit_floor(&readings).unwrap(), fit_floor(&elsewhere).unwrap());
        near(other.residual_peak_to_valley_mm, one.residual_peak_to_valley_mm, 1e-8);
        let (steep, steep_too) = (one.plane.steepest().unwrap(), other.plane.steepest().unwrap());
        near(steep_too.slope.percent, steep.slope.percent, 1e-9);
        let along = one.plane.along().unwrap().percent;
        near(other.plane.towards(frame.heading_degrees).unwrap().percent, along, 1e-9);
    }
}

#[test]
fn a_vehicle_on_a_known_plane_takes_its_slope() {
    // Against the rotation matrix of yaw, pitch and roll, written out: its first column is the vehicle's x axis and
    // its last the normal of what the vehicle stands on.
    let mut random = Random::new(10);
    for _ in 0..ROUNDS {
        let plane = plane(&mut random);
        let effect = plane.effect(0.0, 3_000.0).unwrap();
        let (pitch_sine, pitch_cosine) = effect.pitch_degrees.to_radians().sin_cos();
        let (roll_sine, roll_cosine) = effect.roll_degrees.to_radians().sin_cos();
        near(-pitch_sine / pitch_cosine, plane.rise_ahead, 1e-14);
        // The normal for yaw zero: (sin p cos r, -sin r, cos p cos r).
        near(-(pitch_sine * roll_cosine) / (pitch_cosine * roll_cosine), plane.rise_ahead, 1e-14);
        near(roll_sine / (pitch_cosine * roll_cosine), plane.rise_left, 1e-14);
        near(effect.target_floor_rise_mm, plane.rise_ahead * 3_000.0, 1e-12);

        // Heights of a stiff body over its axles give the same attitude as a floor of that slope.
        let (wheelbase, track) = (random.between(2_000.0, 4_000.0), random.between(1_300.0, 1_800.0));
        let height = |x: f64, y: f64| plane.at(FloorPoint::new(x, y)).unwrap().z;
        let heights = RideHeights {
            left_front: height(wheelbase, track / 2.0),
            right_front: height(wheelbase, -track / 2.0),
            left_rear: height(0.0, track / 2.0),
            right_rear: height(0.0, -track / 2.0),
        };
        let sizes = AxleSizes { wheelbase, front_track: track, rear_track: track };
        let stands = ride_attitude(&heights, &sizes).unwrap();
        near(stands.pitch_degrees, effect.pitch_degrees, 1e-10);
        near(stands.roll_degrees, effect.roll_degrees, 1e-10);
        near(stands.twist_mm, 0.0, 1e-10);
    }
}

#[test]
fn ride_attitude_is_that_of_the_plane_fitted_through_the_four_heights() {
    let mut random = Random::new(11);
    for _ in 0..ROUNDS {
        let mut height = || random.between(-40.0, 40.0);
        let heights =
            RideHeights { left_front: height(), right_front: height(), left_rear: height(), right_rear: height() };
        let sizes = AxleSizes { wheelbase: 2_710.0, front_track: 1_490.0, rear_track: 1_560.0 };
        let stands = ride_attitude(&heights, &sizes).unwrap();
        let at = |x: f64, y: f64, height: f64| Point::new(x, y, height);
        let fit = fit_floor(&[
            at(sizes.wheelbase, sizes.front_track / 2.0, heights.left_front),
            at(sizes.wheelbase, -sizes.front_track / 2.0, heights.right_front),
            at(0.0, sizes.rear_track / 2.0, heights.left_rear),
            at(0.0, -sizes.rear_track / 2.0, heights.right_rear),
        ]);
        let effect = fit.unwrap().plane.effect(0.0, 0.0).unwrap();
        near(stands.pitch_degrees, effect.pitch_degrees, 1e-10);
        near(stands.roll_degrees, effect.roll_degrees, 1e-10);

        let exchanged = RideHeights {
            left_front: heights.right_front,
            right_front: heights.left_front,
            left_rear: heights.right_rear,
            right_rear: heights.left_rear,
        };
        let other = ride_attitude(&exchanged, &sizes).unwrap();
        assert_eq!((other.pitch_degrees, other.roll_degrees), (stands.pitch_degrees, -stands.roll_degrees));
        assert_eq!(other.lean == Lean::LeftSideUp, stands.lean == Lean::RightSideUp);
        assert_eq!(other.nose == Nose::Up, stands.pitch_degrees < 0.0);
    }
}

#[test]
fn shims_are_never_negative_and_one_point_needs_none() {
    let mut random = Random::new(12);
    for _ in 0..ROUNDS {
        let points: Vec<Point> = (0..4).map(|_| random.point(3_000.0, 30.0)).collect();
        let shims = shims_to_level(&points).unwrap();
        let lifted: Vec<f64> = points.iter().zip(&shims).map(|(point, shim)| point.z + shim).collect();
        assert!(shims.iter().all(|shim| *shim >= 0.0) && shims.contains(&0.0));
        for pair in lifted.windows(2) {
            near(pair[0], pair[1], 1e-12);
        }
    }
}
