//! Owns small set-ups worked by hand: closed form from right triangles, no other source.

use knockon_geometry::{
    AxleSizes, FloorPlane, FloorPoint, HubPoints, Lean, Nose, Point, RideHeights, RimPoints, Rise, Side, Skew, Turn,
    body_line, distance, fit_floor, height_spread, pitch_from_axles, ride_attitude, shims_to_level, thrust_from_rims,
    vehicle_datum, wrap_degrees,
};

fn near(computed: f64, expected: f64) {
    assert!((computed - expected).abs() < 1e-9, "{computed} against {expected}");
}

/// A rectangle of 3000 by 1600 mm, with its rear axle at x = 0 and its centre line at y = 0.
fn rectangle() -> HubPoints {
    HubPoints {
        left_front: Point::new(3_000.0, 800.0, 310.0),
        right_front: Point::new(3_000.0, -800.0, 305.0),
        left_rear: Point::new(0.0, 800.0, 320.0),
        right_rear: Point::new(0.0, -800.0, 315.0),
    }
}

#[test]
fn a_rectangle_of_hubs_has_equal_wheelbases_tracks_and_diagonals_and_square_axles() {
    let datum = vehicle_datum(&rectangle()).unwrap();
    assert_eq!((datum.line.origin, datum.line.heading_degrees), (FloorPoint::new(0.0, 0.0), 0.0));
    assert_eq!(datum.wheelbase_mm, 3_000.0);
    assert_eq!((datum.wheelbase_left_mm, datum.wheelbase_right_mm), (3_000.0, 3_000.0));
    assert_eq!((datum.front.track_mm, datum.rear.track_mm), (1_600.0, 1_600.0));
    near(datum.diagonal_left_front_mm, 3_400.0); // 3000, 1600, 3400: 8-15-17 times 200
    assert_eq!(datum.diagonal_difference_mm, 0.0);
    assert_eq!((datum.front.skew, datum.rear.skew), (Skew::Square, Skew::Square));
}

#[test]
fn a_hub_set_back_on_the_left_shows_in_wheelbase_skew_and_diagonal() {
    let mut hubs = rectangle();
    hubs.left_front.x -= 20.0;
    let datum = vehicle_datum(&hubs).unwrap();
    near(datum.wheelbase_difference_mm, -20.0);
    near(datum.wheelbase_mm, 2_990.0);
    near(datum.line.heading_degrees, 0.0);
    near(datum.front.skew_degrees, (20.0_f64 / 1_600.0).atan().to_degrees());
    near(datum.axles_apart_degrees, datum.front.skew_degrees);
    assert_eq!(datum.front.skew.words(), "left end back");
    near(datum.diagonal_difference_mm, 2_980.0_f64.hypot(1_600.0) - 3_400.0);
}

#[test]
fn an_axle_shifted_sideways_turns_the_wheel_centre_line_and_skews_both_axles_against_it() {
    let mut hubs = rectangle();
    hubs.left_front.y += 30.0;
    hubs.right_front.y += 30.0;
    let datum = vehicle_datum(&hubs).unwrap();
    let turned = (30.0_f64 / 3_000.0).atan().to_degrees();
    near(datum.line.heading_degrees, turned);
    near(datum.front.skew_degrees, -turned);
    near(datum.rear.skew_degrees, -turned);
    near(datum.axles_apart_degrees, 0.0);
    assert_eq!(datum.rear.skew.words(), "right end back");
    assert!(datum.diagonal_left_front_mm > datum.diagonal_right_front_mm);
}

#[test]
fn a_body_line_is_told_from_the_wheel_centre_line_by_angle_and_offset() {
    let datum = vehicle_datum(&rectangle()).unwrap();
    let line = body_line(&datum, Point::new(-1_000.0, -10.0, 700.0), Point::new(4_000.0, 15.0, 600.0)).unwrap();
    near(line.angle_degrees, (25.0_f64 / 5_000.0).atan().to_degrees());
    assert_eq!(line.turn, Turn::Left);
    near(line.offset_at_rear_axle_mm, -5.0);
    near(line.offset_at_front_axle_mm, 10.0);
    assert_eq!((line.side_at_rear_axle, line.side_at_front_axle), (Side::Right, Side::Left));
}

#[test]
fn rim_points_give_the_thrust_that_their_toes_give() {
    let datum = vehicle_datum(&rectangle()).unwrap();
    // Both rear wheels point to the left, the left one less: its front edge is 2 mm, the right one's 4 mm further left.
    let rim = |y: f64, shift: f64| RimPoints {
        front_edge: Point::new(200.0, y + shift / 2.0, 300.0),
        rear_edge: Point::new(-200.0, y - shift / 2.0, 300.0),
    };
    let thrust = thrust_from_rims(&datum, &rim(900.0, 2.0), &rim(-900.0, 4.0)).unwrap();
    let (left, right) = ((2.0_f64 / 400.0).atan().to_degrees(), (4.0_f64 / 400.0).atan().to_degrees());
    near(thrust.degrees, (left + right) / 2.0);
    assert_eq!(thrust.turn.words(), "to the left");
    near(thrust.total_rear_toe.degrees, right - left);
    assert_eq!(thrust.total_rear_toe.way.words(), "toe in");
}

#[test]
fn a_floor_rising_one_in_a_hundred_ahead_puts_the_nose_up_and_the_target_higher() {
    let plane = FloorPlane { rise_ahead: 0.01, rise_left: 0.0, height_at_origin_mm: 5.0 };
    let slope = plane.along().unwrap();
    near(slope.percent, 1.0);
    near(slope.millimetres_per_metre, 10.0);
    near(slope.degrees, 0.01_f64.atan().to_degrees());
    near(plane.height_over(Point::new(1_000.0, 500.0, 20.0)).unwrap(), 5.0);
    let effect = plane.effect(0.0, 2_500.0).unwrap();
    near(effect.pitch_degrees, -0.01_f64.atan().to_degrees());
    near(effect.target_floor_rise_mm, 25.0);
    assert_eq!((effect.nose, effect.lean, effect.target_floor), (Nose::Up, Lean::Level, Rise::Higher));
    // Parked the other way round, and across with the slope rising to the left.
    let backwards = plane.effect(180.0, 2_500.0).unwrap();
    assert_eq!((backwards.nose, backwards.target_floor), (Nose::Down, Rise::Lower));
    let across = plane.effect(-90.0, 2_500.0).unwrap();
    assert_eq!((across.nose, across.lean, across.target_floor), (Nose::Level, Lean::LeftSideUp, Rise::Level));
    near(plane.towards(60.0).unwrap().percent, 0.5);
}

#[test]
fn a_level_floor_has_no_uphill_direction() {
    let readings = [[0.0, 0.0], [4_000.0, 0.0], [0.0, 2_000.0]].map(|[x, y]| Point::new(x, y, -3.0));
    let fit = fit_floor(&readings).unwrap();
    let steepest = fit.plane.steepest().unwrap();
    assert_eq!((steepest.slope.percent, steepest.uphill_degrees), (0.0, None));
    near(fit.plane.height_at_origin_mm, -3.0);
}

#[test]
fn shims_bring_every_wheel_to_the_highest() {
    let wheels = [2.0, -1.5, 0.0, 3.5].map(|height| Point::new(0.0, 0.0, height));
    assert_eq!(shims_to_level(&wheels).unwrap(), [1.5, 5.0, 3.5, 0.0]);
    assert_eq!(height_spread(&wheels).unwrap(), 5.0);
}

#[test]
fn a_body_lower_at_the_rear_has_its_nose_up_and_one_lower_on_the_right_its_left_side_up() {
    near(pitch_from_axles(0.0, -12.0, 2_400.0).unwrap(), -0.005_f64.atan().to_degrees());
    let sizes = AxleSizes { wheelbase: 2_400.0, front_track: 1_500.0, rear_track: 1_500.0 };
    let heights = RideHeights { left_front: 400.0, right_front: 385.0, left_rear: 388.0, right_rear: 373.0 };
    let stands = ride_attitude(&heights, &sizes).unwrap();
    near(stands.pitch_degrees, -0.005_f64.atan().to_degrees());
    near(stands.roll_degrees, (0.01 / 1.0_f64.hypot(0.005)).atan().to_degrees());
    assert_eq!((stands.nose.words(), stands.lean.words()), ("nose up", "left side up"));
    near(stands.twist_mm, 0.0);
    // Against the heights that ought to be nothing is left.
    let change = heights.less(&heights).unwrap();
    let level = ride_attitude(&change, &sizes).unwrap();
    assert_eq!((level.pitch_degrees, level.roll_degrees), (0.0, 0.0));
    assert_eq!((level.nose, level.lean), (Nose::Level, Lean::Level));
}

#[test]
fn one_wheel_on_a_shim_shows_as_twist() {
    let sizes = AxleSizes { wheelbase: 2_600.0, front_track: 1_540.0, rear_track: 1_560.0 };
    let heights = RideHeights { left_front: 8.0, right_front: 0.0, left_rear: 0.0, right_rear: 0.0 };
    let stands = ride_attitude(&heights, &sizes).unwrap();
    assert_eq!(stands.twist_mm, 8.0);
    assert_eq!((stands.nose, stands.lean), (Nose::Up, Lean::LeftSideUp));
}

#[test]
fn angles_wrap_above_minus_180_and_up_to_180_without_rounding() {
    for (angle, expected) in
        [(0.0, 0.0), (180.0, 180.0), (-180.0, 180.0), (190.0, -170.0), (-190.0, 170.0), (720.25, 0.25), (540.0, 180.0)]
    {
        assert_eq!(wrap_degrees(angle).unwrap(), expected, "{angle}");
    }
}

#[test]
fn the_distance_between_two_points_is_that_of_a_box_diagonal() {
    // 2, 3, 6, 7.
    near(distance(Point::new(100.0, 100.0, 100.0), Point::new(300.0, -200.0, 700.0)).unwrap(), 700.0);
}
