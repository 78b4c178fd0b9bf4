//! Owns the check of floor fits against a linear-algebra library (data/floor.json, source in each group).

mod cases;

use cases::{group, group_names};
use knockon_geometry::{Point, fit_floor, flatness};

const DATA: &str = include_str!("data/floor.json");

#[test]
fn no_stored_group_is_left_untested() {
    assert_eq!(group_names(DATA), ["plane_fit"]);
}

#[test]
fn the_plane_through_height_readings_is_the_one_of_the_library() {
    for case in group(DATA, "plane_fit", 2) {
        let rows = case.input_rows("points_mm").into_iter();
        let readings: Vec<Point> = rows.map(|row| <[f64; 3]>::try_from(row).unwrap()).map(point).collect();
        let fit = fit_floor(&readings).unwrap();
        let plane = fit.plane;
        case.agrees_list("z_eq_ax_by_c", &[plane.rise_ahead, plane.rise_left, plane.height_at_origin_mm]);
        case.agrees("slope_x_pct", plane.along().unwrap().percent);
        case.agrees("slope_y_pct", plane.across().unwrap().percent);
        let steepest = plane.steepest().unwrap();
        case.agrees("max_slope_pct", steepest.slope.percent);
        case.agrees("max_slope_deg", steepest.slope.degrees);
        case.agrees("uphill_direction_deg", steepest.uphill_degrees.unwrap());
        case.agrees("residual_rms_mm", fit.residual_rms_mm);
        case.agrees("residual_peak_to_valley_mm", fit.residual_peak_to_valley_mm);
        let flat = flatness(&readings).unwrap();
        case.agrees_list("tls_normal", &[flat.normal.x, flat.normal.y, flat.normal.z]);
        case.agrees("tls_flatness_mm", flat.peak_to_valley_mm);
        // Each residual is the height of its reading over the plane.
        assert_eq!(fit.residuals_mm.len(), readings.len());
        for (residual, reading) in fit.residuals_mm.iter().zip(&readings) {
            assert!((residual - plane.height_over(*reading).unwrap()).abs() < 1e-9, "{}", case.id);
        }
    }
}

fn point([x, y, z]: [f64; 3]) -> Point {
    Point::new(x, y, z)
}
