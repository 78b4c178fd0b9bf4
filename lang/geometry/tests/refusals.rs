//! Owns what is refused and how it is said, and that nothing infinite or void ever comes out.

mod random;

use std::fmt::Debug;

use knockon_geometry::{
    Argument, Attitude, AxleSizes, Bound, FloorFrame, FloorPlane, FloorPoint, GeometryError, HubPoints, Point,
    RideHeights, RimForm, RimPoints, body_line, degrees_and_minutes, degrees_of_minutes, distance, fit_floor, flatness,
    floor_distance, height_spread, lateral_at, pitch_from_axles, point_in_sae_j670, ride_attitude, shims_to_level,
    steer_ahead, thrust_angle, thrust_from_rims, toe_at_rim, toe_from_rim, total_toe, vehicle_datum, wrap_degrees,
};
use random::Random;

fn readings(places: &[(f64, f64)]) -> Vec<Point> {
    places.iter().map(|(x, y)| Point::new(*x, *y, 1.0)).collect()
}

#[test]
fn a_toe_of_forty_degrees_is_refused_with_its_name_and_its_bound() {
    let error = thrust_angle(40.0, 0.1).unwrap_err();
    let argument = Argument::named("left rear toe");
    assert_eq!(error, GeometryError::OutOfBounds { argument, value: 40.0, bound: Bound::TOE });
    assert_eq!(error.to_string(), "left rear toe is 40 deg; it must lie from -10 to 10 deg");
    // The limit itself is inside.
    assert!(thrust_angle(10.0, -10.0).is_ok());
    assert_eq!(thrust_angle(0.1, 10.0_f64.next_up()).unwrap_err().argument().name, "right rear toe");
}

#[test]
fn what_is_no_number_is_refused_by_name() {
    for wrong in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(thrust_angle(0.1, wrong).unwrap_err().to_string(), "right rear toe is not a finite number");
        assert!(toe_at_rim(wrong, 400.0, RimForm::Sine).is_err());
        assert!(wrap_degrees(wrong).is_err());
        let mut points = readings(&[(0.0, 0.0), (1_000.0, 0.0), (0.0, 1_000.0)]);
        points.last_mut().unwrap().z = wrong;
        let error = fit_floor(&points).unwrap_err();
        assert_eq!(error.to_string(), "z of height reading 3 is not a finite number");
        assert_eq!(shims_to_level(&points).unwrap_err().to_string(), "z of point to level 3 is not a finite number");
    }
}

#[test]
fn fewer_than_three_height_readings_give_no_plane() {
    for count in 0..3 {
        let points = readings(&[(0.0, 0.0), (1_000.0, 500.0)]);
        let error = fit_floor(points.get(..count).unwrap_or(&[])).unwrap_err();
        let argument = Argument::named("height readings");
        assert_eq!(error, GeometryError::TooFew { argument, found: count, least: 3 });
    }
    assert_eq!(fit_floor(&[]).unwrap_err().to_string(), "height readings: 0 given, at least 3 are needed");
    assert!(matches!(height_spread(&readings(&[(0.0, 0.0)])), Err(GeometryError::TooFew { least: 2, .. })));
}

#[test]
fn height_readings_on_one_line_give_no_plane_in_whatever_direction_the_line_runs() {
    for degrees in (0..180).step_by(15) {
        let (sine, cosine) = f64::from(degrees).to_radians().sin_cos();
        let along = |distance: f64| (500.0 + distance * cosine, -700.0 + distance * sine);
        let mut points = readings(&[along(0.0), along(1_000.0), along(2_500.0), along(6_000.0)]);
        let error = fit_floor(&points).unwrap_err();
        assert!(matches!(error, GeometryError::OnOneLine { away_mm, .. } if away_mm < 1e-9), "{degrees}: {error}");
        assert!(matches!(flatness(&points), Err(GeometryError::OnOneLine { .. })));
        // One reading a hand's breadth off the line is enough.
        let aside = points.last_mut().unwrap();
        (aside.x, aside.y) = (aside.x - 100.0 * sine, aside.y + 100.0 * cosine);
        assert!(fit_floor(&points).is_ok(), "{degrees}");
    }
    let error = fit_floor(&readings(&[(0.0, 0.0); 5])).unwrap_err();
    assert_eq!(
        error.to_string(),
        "height readings: all lie on one line; they leave it by 0 mm, at least 1 mm is needed"
    );
}

fn rectangle() -> HubPoints {
    HubPoints {
        left_front: Point::new(2_800.0, 760.0, 0.0),
        right_front: Point::new(2_800.0, -760.0, 0.0),
        left_rear: Point::new(0.0, 760.0, 0.0),
        right_rear: Point::new(0.0, -760.0, 0.0),
    }
}

#[test]
fn hubs_with_sides_or_ends_exchanged_are_refused() {
    let hubs = rectangle();
    let sides = HubPoints {
        left_front: hubs.right_front,
        right_front: hubs.left_front,
        left_rear: hubs.right_rear,
        right_rear: hubs.left_rear,
    };
    let ends = HubPoints {
        left_front: hubs.left_rear,
        left_rear: hubs.left_front,
        right_front: hubs.right_rear,
        right_rear: hubs.right_front,
    };
    for wrong in [sides, ends] {
        assert_eq!(
            vehicle_datum(&wrong).unwrap_err().to_string(),
            "distance to the left of the wheel-centre line of left front hub is -760 mm; \
             it must lie from 150 to 2500 mm"
        );
    }
    let diagonal = HubPoints { left_rear: hubs.right_rear, right_rear: hubs.left_rear, ..hubs };
    assert_eq!(vehicle_datum(&diagonal).unwrap_err().argument().name, "left rear hub");
}

#[test]
fn hub_points_in_metres_or_all_in_one_place_are_refused() {
    let hubs = rectangle();
    let small = |point: Point| Point::new(point.x / 1000.0, point.y / 1000.0, point.z);
    let metres = HubPoints {
        left_front: small(hubs.left_front),
        right_front: small(hubs.right_front),
        left_rear: small(hubs.left_rear),
        right_rear: small(hubs.right_rear),
    };
    let error = vehicle_datum(&metres).unwrap_err().to_string();
    assert_eq!(error, "wheelbase of hub points is 2.8 mm; it must lie from 500 to 20000 mm");
    let hub = hubs.left_front;
    let heap = HubPoints { left_front: hub, right_front: hub, left_rear: hub, right_rear: hub };
    assert!(vehicle_datum(&heap).is_err());
}

#[test]
fn a_rim_diameter_in_inches_and_a_toe_longer_than_the_rim_allows_are_refused() {
    let error = toe_at_rim(0.1, 16.0, RimForm::Sine).unwrap_err();
    assert_eq!(error.to_string(), "rim diameter is 16 mm; it must lie from 100 to 3000 mm");
    let error = toe_from_rim(90.0, 400.0, RimForm::Sine).unwrap_err();
    assert_eq!(error.argument().name, "toe at the rim");
    let GeometryError::OutOfBounds { bound, .. } = error else { panic!("{error}") };
    assert!((bound.high - 400.0 * 10.0_f64.to_radians().sin()).abs() < 1e-12);
}

#[test]
fn body_points_given_back_to_front_are_refused() {
    let datum = vehicle_datum(&rectangle()).unwrap();
    let error = body_line(&datum, Point::new(3_600.0, 0.0, 0.0), Point::new(-800.0, 0.0, 0.0)).unwrap_err();
    assert_eq!(error.argument().part, Some("distance ahead of the rear body point"));
}

#[test]
fn a_ride_height_or_size_outside_its_bound_is_refused_by_name() {
    let heights = RideHeights { left_front: 10.0, right_front: 10.0, left_rear: 10.0, right_rear: 2_500.0 };
    let sizes = AxleSizes { wheelbase: 2_700.0, front_track: 1_500.0, rear_track: 1_500.0 };
    let error = ride_attitude(&heights, &sizes).unwrap_err();
    assert_eq!(error.to_string(), "right rear of ride height is 2500 mm; it must lie from -2000 to 2000 mm");
    assert!(heights.less(&heights).is_err());
    let error = pitch_from_axles(0.0, 10.0, 2.7).unwrap_err();
    assert_eq!(error.to_string(), "wheelbase is 2.7 mm; it must lie from 500 to 20000 mm");
    let heights = RideHeights { right_rear: 10.0, ..heights };
    let error = ride_attitude(&heights, &AxleSizes { rear_track: 0.0, ..sizes }).unwrap_err();
    assert_eq!(error.argument(), Argument::named("rear track"));
}

/// Counts answers and fails on one that shows a number that is none; all results are shown digit for digit.
fn sound<Answer: Debug>(answers: &mut usize, result: Result<Answer, GeometryError>) {
    let shown = match result {
        Ok(answer) => {
            *answers += 1;
            format!("{answer:?}")
        }
        Err(error) => {
            let said = error.to_string();
            assert!(!said.is_empty() && said.len() < 300, "{said}");
            return;
        }
    };
    assert!(!shown.contains("NaN") && !shown.contains("inf"), "{shown}");
}

#[test]
fn whatever_is_given_an_answer_is_finite_or_refused() {
    let mut random = Random::new(13);
    let mut answers = 0;
    for _ in 0..20_000 {
        let mut wild = || random.wild();
        let count = &mut answers;
        let (one, other) = (Point::new(wild(), wild(), wild()), Point::new(wild(), wild(), wild()));
        sound(count, wrap_degrees(wild()));
        sound(count, distance(one, other));
        sound(count, floor_distance(one.dropped(), other.dropped()));
        sound(count, point_in_sae_j670(one));
        let frame = FloorFrame { origin: other.dropped(), heading_degrees: wild() };
        sound(count, frame.inward(one.dropped()));
        sound(count, frame.outward(one.dropped()));
        sound(count, Attitude::new(wild(), wild(), wild()).map(Attitude::in_sae_j670));
        sound(count, total_toe(wild(), wild()));
        sound(count, lateral_at(wild(), wild()));
        sound(count, degrees_of_minutes(wild()));
        sound(count, degrees_and_minutes(wild()));
        for form in [RimForm::Sine, RimForm::Tangent] {
            sound(count, toe_at_rim(wild(), wild(), form));
            sound(count, toe_from_rim(wild(), wild(), form));
        }
        let thrust = thrust_angle(wild(), wild());
        sound(count, thrust);
        if let Ok(thrust) = thrust {
            sound(count, steer_ahead(wild(), wild(), &thrust));
        }
        sound(count, pitch_from_axles(wild(), wild(), wild()));
        let heights = RideHeights { left_front: wild(), right_front: 1.0, left_rear: wild(), right_rear: wild() };
        sound(
            count,
            ride_attitude(&heights, &AxleSizes { wheelbase: wild(), front_track: wild(), rear_track: wild() }),
        );
        let plane = FloorPlane { rise_ahead: wild(), rise_left: wild(), height_at_origin_mm: wild() };
        sound(count, plane.along());
        sound(count, plane.steepest());
        sound(count, plane.towards(wild()));
        sound(count, plane.at(FloorPoint::new(wild(), wild())));
        sound(count, plane.height_over(one));
        sound(count, plane.effect(wild(), wild()));
    }
    assert!(answers > 50_000, "{answers}");
}

#[test]
fn whatever_points_are_given_a_fit_or_a_datum_is_finite_or_refused() {
    let mut random = Random::new(14);
    let (mut fits, mut datums) = (0, 0);
    for round in 0..4_000 {
        // Most points are of usual size with now and then a wild coordinate, else nearly all would be refused.
        let reach = [2.0, 5_000.0, 1e6][round % 3];
        let mut points: Vec<Point> = (0..3 + round % 4).map(|_| random.point(reach, reach)).collect();
        if round % 5 == 0 {
            points.first_mut().unwrap().x = random.wild();
        }
        if round % 7 == 0 {
            points.last_mut().unwrap().z = random.wild();
        }
        let fit = fit_floor(&points);
        if let Ok(fit) = &fit {
            sound(&mut fits, fit.plane.effect(30.0, 4_000.0));
        }
        sound(&mut fits, fit);
        sound(&mut fits, flatness(&points));
        sound(&mut fits, shims_to_level(&points));

        let mut hubs = random.hubs();
        if round % 3 == 0 {
            hubs.left_rear.y = random.wild();
        }
        let datum = vehicle_datum(&hubs);
        sound(&mut datums, datum);
        if let Ok(datum) = &datum {
            let rim = |random: &mut Random, hub: Point| RimPoints {
                front_edge: Point::new(hub.x + 200.0, hub.y + random.wild(), hub.z),
                rear_edge: Point::new(hub.x - 200.0, hub.y, random.wild()),
            };
            let (left, right) = (rim(&mut random, hubs.left_rear), rim(&mut random, hubs.right_rear));
            sound(&mut datums, thrust_from_rims(datum, &left, &right));
            sound(&mut datums, body_line(datum, random.point(3_000.0, 900.0), random.point(6_000.0, 900.0)));
        }
    }
    assert!(fits > 5_000 && datums > 3_000, "{fits} {datums}");
}
