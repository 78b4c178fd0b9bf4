//! Owns the check of axes, toe and thrust against published rules (data/alignment.json, source in each group).

mod cases;

use cases::{group, group_names};
use knockon_geometry::{
    Attitude, Point, RimForm, ThrustSign, Turn, degrees_and_minutes, degrees_of_minutes, lateral_at, point_in_sae_j670,
    steer_ahead, thrust_angle, toe_at_rim, toe_from_rim, total_toe,
};

const DATA: &str = include_str!("data/alignment.json");

#[test]
fn no_stored_group_is_left_untested() {
    let tested = ["iso8855_to_sae_j670", "thrust_published", "toe_length_published", "thrust", "toe_units"];
    assert_eq!(group_names(DATA), tested);
}

#[test]
fn the_other_set_of_axes_is_half_a_turn_about_x() {
    for case in group(DATA, "iso8855_to_sae_j670", 1) {
        let [x, y, z] = case.input_list("point_m").try_into().unwrap();
        let point = Point::new(x * 1000.0, y * 1000.0, z * 1000.0);
        let turned = point_in_sae_j670(point).unwrap();
        case.agrees_list("point_m", &[turned.x / 1000.0, turned.y / 1000.0, turned.z / 1000.0]);
        assert_eq!(point_in_sae_j670(turned).unwrap(), point);

        let [roll, pitch, yaw] = case.input_list("roll_pitch_yaw_deg").try_into().unwrap();
        let attitude = Attitude::new(roll, pitch, yaw).unwrap();
        let turned = attitude.in_sae_j670();
        case.agrees_list("roll_pitch_yaw_deg", &[turned.roll_degrees, turned.pitch_degrees, turned.yaw_degrees]);
        assert_eq!(turned.in_sae_j670(), attitude);
        // The signs of ISO 8855 by the right-hand rule, in words.
        let words = (attitude.lean().words(), attitude.nose().words(), attitude.turn().words());
        assert_eq!(words, ("left side up", "nose up", "to the left"));
    }
}

#[test]
fn the_worked_examples_of_a_service_manual_come_out() {
    for case in group(DATA, "thrust_published", 2) {
        let left = degrees_of_minutes(case.input("left_rear_toe_min")).unwrap();
        let right = degrees_of_minutes(case.input("right_rear_toe_min")).unwrap();
        let thrust = thrust_angle(left, right).unwrap();
        case.agrees("thrust_magnitude_min", thrust.degrees.abs() * 60.0);
        assert_eq!(thrust.turn, Turn::Right, "{}: the left wheel points further inwards", case.id);
        let shown = degrees_and_minutes(thrust.degrees).unwrap();
        assert_eq!((shown.negative, shown.degrees), (true, 0));
        case.agrees("thrust_magnitude_min", shown.minutes);
    }
}

#[test]
fn the_worked_example_of_a_toe_length_comes_out() {
    const INCH: f64 = 25.4;
    for case in group(DATA, "toe_length_published", 1) {
        let diameter = case.input("diameter_in") * INCH;
        let each = toe_from_rim(case.input("total_toe_in") * INCH / 2.0, diameter, RimForm::Sine).unwrap();
        case.agrees("per_wheel_deg", each);
        assert_eq!(format!("{each:.3} deg per side"), case.output_text("printed"));
    }
}

#[test]
fn thrust_total_toe_and_steer_ahead_keep_both_published_signs() {
    let mut steered = 0;
    for case in group(DATA, "thrust", 3) {
        let thrust = thrust_angle(case.input("lr_toe_in_deg"), case.input("rr_toe_in_deg")).unwrap();
        case.agrees("total_rear_toe_deg", thrust.total_rear_toe.degrees);
        case.agrees("thrust_deg_positive_right", thrust.signed(ThrustSign::PositiveRight));
        case.agrees("thrust_deg_positive_left_iso_yaw", thrust.signed(ThrustSign::PositiveLeft));
        let offset = lateral_at(thrust.degrees, case.input("distance_m") * 1000.0).unwrap();
        case.agrees("lateral_at_distance_mm_positive_right", -offset.left_mm);
        assert_eq!(thrust.turn.words() == "straight ahead", offset.side.words() == "on the line");

        if case.has_input("lf_toe_in_deg") {
            steered += 1;
            let (left, right) = (case.input("lf_toe_in_deg"), case.input("rf_toe_in_deg"));
            let ahead = steer_ahead(left, right, &thrust).unwrap();
            case.agrees("total_front_toe_deg", ahead.total_front_toe.degrees);
            assert_eq!(total_toe(left, right).unwrap(), ahead.total_front_toe);
            case.agrees("steer_ahead_deg_positive_right", ahead.signed(ThrustSign::PositiveRight));
            let from_thrust = ahead.from_thrust_line_signed(ThrustSign::PositiveRight);
            case.agrees("steer_ahead_to_thrust_line_deg_positive_right", from_thrust);
            assert_eq!(ahead.turn.words(), "to the right");
            assert_eq!(ahead.turn_from_thrust_line.words(), "to the left");
        }
    }
    assert_eq!(steered, 1);
}

#[test]
fn toe_in_degrees_minutes_and_millimetres_agrees_both_ways() {
    for case in group(DATA, "toe_units", 3) {
        let (toe, diameter) = (case.input("toe_deg"), case.input("rim_diameter_mm"));
        let shown = degrees_and_minutes(toe).unwrap();
        case.agrees("deg", f64::from(shown.degrees));
        case.agrees("minutes", shown.minutes);
        case.agrees("total_minutes", f64::from(shown.degrees) * 60.0 + shown.minutes);
        case.agrees("rad", degrees_of_minutes(f64::from(shown.degrees) * 60.0 + shown.minutes).unwrap().to_radians());
        for (field, form) in [("mm_sine", RimForm::Sine), ("mm_tangent", RimForm::Tangent)] {
            let length = toe_at_rim(toe, diameter, form).unwrap();
            case.agrees(field, length);
            let back = toe_from_rim(length, diameter, form).unwrap();
            assert!((back - toe).abs() < 1e-13, "{}: {back}", case.id);
        }
    }
}
