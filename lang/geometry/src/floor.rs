//! Owns what height readings say of a floor: the plane through them, what is left over, flatness, and shims.

use nalgebra::{DVector, Dyn, MatrixXx2, MatrixXx3, SVD, U2};

use crate::error::{Argument, GeometryError};
use crate::frame::{Point, Vector, negated};
use crate::plane::FloorPlane;

/// How far height readings must leave a common line, root mean square, for the slope across it to be told, in mm.
const LEAST_SPREAD: f64 = 1.0;
/// Rounds after which a decomposition is given up; two to three columns need a handful.
const MOST_ROUNDS: usize = 10_000;

/// The plane that leaves the least squares of vertical distances, and what it leaves.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct FloorFit {
    /// The plane.
    pub plane: FloorPlane,
    /// Reading less plane, in mm, in the order of the readings.
    pub residuals_mm: Vec<f64>,
    /// Root of the mean square of the residuals, in mm.
    pub residual_rms_mm: f64,
    /// Highest less lowest residual, in mm.
    pub residual_peak_to_valley_mm: f64,
}

/// How flat points are, measured square to the plane that fits them best.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Flatness {
    /// The normal of that plane, upwards.
    pub normal: Vector,
    /// Highest less lowest distance from the plane, in mm.
    pub peak_to_valley_mm: f64,
}

/// The plane through height readings by least squares of the vertical distances.
///
/// Readings: x and y say where, z is the height read; all in mm, in one frame.
/// Errors: fewer than three `height readings`; one not finite or outside [`crate::Bound::COORDINATE`]; all on one line as
/// seen from above.
pub fn fit_floor(readings: &[Point]) -> Result<FloorFit, GeometryError> {
    let argument = Argument::named("height readings");
    let middle = middle(Argument::named("height reading"), argument, readings)?;
    let places = decompose(argument, readings, middle)?;
    let heights = DVector::from_iterator(readings.len(), readings.iter().map(|reading| reading.z - middle.z));
    let rises = places.solve(&heights, 0.0).map_err(|_| GeometryError::NotSettled { argument })?;
    let (rise_ahead, rise_left) = (rises.x, rises.y);
    let height_at_origin_mm = middle.z - rise_ahead * middle.x - rise_left * middle.y;
    let plane = FloorPlane { rise_ahead, rise_left, height_at_origin_mm };
    let residuals_mm: Vec<f64> = readings
        .iter()
        .map(|reading| {
            // Taken from the middle of the readings, not from a far origin, which would lose digits.
            reading.z - middle.z - rise_ahead * (reading.x - middle.x) - rise_left * (reading.y - middle.y)
        })
        .collect();
    let squares: f64 = residuals_mm.iter().map(|residual| residual * residual).sum();
    let residual_rms_mm = (squares / readings.len() as f64).sqrt();
    let residual_peak_to_valley_mm = span(residuals_mm.iter().copied());
    Ok(FloorFit { plane, residuals_mm, residual_rms_mm, residual_peak_to_valley_mm })
}

/// How flat points are: the spread of their distances square to the plane with the least squares of such distances.
///
/// On a floor this differs from the residuals of [`fit_floor`] only in the sixth digit; on a steep plate it is the
/// one to use. Errors: as there, of `points`.
pub fn flatness(points: &[Point]) -> Result<Flatness, GeometryError> {
    let argument = Argument::named("points");
    let middle = middle(Argument::named("point"), argument, points)?;
    decompose(argument, points, middle)?;
    let rows = points.iter().flat_map(|point| [point.x - middle.x, point.y - middle.y, point.z - middle.z]);
    let places = MatrixXx3::from_row_iterator(points.len(), rows);
    // Three rows at least, so there are three directions; the last is the one the points spread least in.
    let turned = SVD::try_new(places, false, true, f64::EPSILON, MOST_ROUNDS)
        .and_then(|decomposed| decomposed.v_t)
        .ok_or(GeometryError::NotSettled { argument })?;
    let least = turned.row(2).transpose();
    let (x, y, z) = (least.x, least.y, least.z);
    let normal = if z < 0.0 { Vector { x: negated(x), y: negated(y), z: -z } } else { Vector { x, y, z } };
    let away = points.iter().map(|point| {
        (point.x - middle.x) * normal.x + (point.y - middle.y) * normal.y + (point.z - middle.z) * normal.z
    });
    Ok(Flatness { normal, peak_to_valley_mm: span(away) })
}

/// Highest less lowest of the heights of points, in mm.
///
/// Errors: fewer than two `points`; one not finite or outside [`crate::Bound::COORDINATE`].
pub fn height_spread(points: &[Point]) -> Result<f64, GeometryError> {
    at_least(2, Argument::named("points"), Argument::named("point"), points)?;
    Ok(span(points.iter().map(|point| point.z)))
}

/// What to lay under each point so that all come to the height of the highest, in mm, in the order of the points.
///
/// Errors: fewer than two `points to level`; one not finite or outside [`crate::Bound::COORDINATE`].
pub fn shims_to_level(points: &[Point]) -> Result<Vec<f64>, GeometryError> {
    at_least(2, Argument::named("points to level"), Argument::named("point to level"), points)?;
    let highest = points.iter().map(|point| point.z).fold(f64::NEG_INFINITY, f64::max);
    Ok(points.iter().map(|point| highest - point.z).collect())
}

/// Checks each point and that there are enough.
fn at_least(least: usize, list: Argument, one: Argument, points: &[Point]) -> Result<(), GeometryError> {
    if points.len() < least {
        return Err(GeometryError::TooFew { argument: list, found: points.len(), least });
    }
    for (index, point) in points.iter().enumerate() {
        point.check(one.item(index + 1))?;
    }
    Ok(())
}

/// The middle of three or more points.
fn middle(one: Argument, list: Argument, points: &[Point]) -> Result<Point, GeometryError> {
    at_least(3, list, one, points)?;
    let count = points.len() as f64;
    let mean = |part: fn(&Point) -> f64| points.iter().map(part).sum::<f64>() / count;
    Ok(Point { x: mean(|point| point.x), y: mean(|point| point.y), z: mean(|point| point.z) })
}

/// The places of the points about their middle, decomposed; refused where they lie on one line.
fn decompose(argument: Argument, points: &[Point], middle: Point) -> Result<SVD<f64, Dyn, U2>, GeometryError> {
    let rows = points.iter().flat_map(|point| [point.x - middle.x, point.y - middle.y]);
    let places = MatrixXx2::from_row_iterator(points.len(), rows);
    let decomposed =
        SVD::try_new(places, true, true, f64::EPSILON, MOST_ROUNDS).ok_or(GeometryError::NotSettled { argument })?;
    let away_mm = decomposed.singular_values.min() / (points.len() as f64).sqrt();
    if away_mm < LEAST_SPREAD {
        return Err(GeometryError::OnOneLine { argument, away_mm, least_mm: LEAST_SPREAD });
    }
    Ok(decomposed)
}

/// Highest less lowest; 0 of nothing.
fn span(values: impl Iterator<Item = f64>) -> f64 {
    let ends = values.fold(None, |ends: Option<(f64, f64)>, value| {
        Some(ends.map_or((value, value), |(low, high)| (low.min(value), high.max(value))))
    });
    ends.map_or(0.0, |(low, high)| high - low)
}
