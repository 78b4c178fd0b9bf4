//! Owns the way from a slope to an angle, which is irrational and so comes with a bound of its error.

use crate::decimal::cut_off;
use crate::exact::{Exact, NumberError};
use crate::kind::Kind;
use crate::quantity::{Quantity, QuantityError, needs};
use crate::range::Interval;

/// One, in the fixed-point arithmetic used here: 18 decimal places.
const ONE: u128 = 1_000_000_000_000_000_000;
const PLACES: u32 = 18;
/// 180/pi cut off after 18 places (57.2957795130823208767...).
const DEGREES_IN_RADIAN: u128 = 57_295_779_513_082_320_876;
/// How far the result may be off, in units of the last place: 1e-12 degrees.
///
/// The series takes at most 30 terms, each cut off by less than 3 units of the last place; with the cut of the
/// argument and the factor 180/pi that is below 6000 units, so this is more than a hundredfold margin.
const BOUND: u128 = 1_000_000;

/// A slope as rise over run: per cent and slopes are brought to the plain ratio, exactly.
///
/// Error: the quantity is neither.
pub fn rise_over_run(slope: &Quantity) -> Result<Exact, QuantityError> {
    if slope.kind() == Kind::Percent {
        Ok(slope.in_base().divided_by(Exact::whole(100))?)
    } else {
        needs(Kind::Slope, slope.kind())?;
        Ok(slope.in_base())
    }
}

/// The angle of a slope, as the interval in degrees that is sure to hold it; 2e-12 degrees wide, or a single
/// value where the angle is known exactly (level, and 45 degrees).
///
/// A comparison of a slope in per cent with a limit in degrees is made with this interval, so that it cannot
/// say where the two are closer than the bound.
///
/// Errors: the quantity is neither a percentage nor a slope, or cannot be held.
pub fn angle_of_slope(slope: &Quantity) -> Result<Interval, QuantityError> {
    let ratio = rise_over_run(slope)?;
    let angle = steepness(ratio).ok_or(NumberError::TooLarge)?;
    let interval = match angle {
        Angle::Known(degrees) => Interval::point(Exact::whole(degrees)),
        Angle::Near(units) => {
            let low = Exact::from_parts(false, units.saturating_sub(BOUND), ONE)?;
            let high = Exact::from_parts(false, units.saturating_add(BOUND), ONE)?;
            Interval::between(low, high)
        }
    };
    Ok(if ratio.is_negative() { interval.negated() } else { interval })
}

enum Angle {
    /// Whole degrees, exactly.
    Known(i64),
    /// Fixed-point degrees, within [`BOUND`].
    Near(u128),
}

/// The angle of a slope taken upwards.
fn steepness(ratio: Exact) -> Option<Angle> {
    let rise = ratio.numerator().unsigned_abs();
    let run = ratio.denominator().unsigned_abs();
    if rise == 0 {
        Some(Angle::Known(0))
    } else if rise == run {
        Some(Angle::Known(45))
    } else if rise > run {
        // Steeper than 45 degrees: what is left to the vertical.
        let rest = shallow(run, rise)?;
        Some(Angle::Near((90 * ONE).checked_sub(rest)?))
    } else {
        Some(Angle::Near(shallow(rise, run)?))
    }
}

/// Fixed-point degrees of a slope below 45 degrees.
fn shallow(rise: u128, run: u128) -> Option<u128> {
    if rise > run / 2 {
        // atan(x) = 45 degrees - atan((1 - x) / (1 + x)) keeps the argument of the series at one half or less.
        let rest = series(run - rise, run + rise)?;
        (45 * ONE).checked_sub(rest)
    } else {
        series(rise, run)
    }
}

/// Fixed-point degrees of atan(rise / run) by its power series, for a ratio of about one half at most.
fn series(rise: u128, run: u128) -> Option<u128> {
    let argument = cut_off(rise, run, PLACES)?;
    let square = argument * argument / ONE;
    let mut power = argument;
    let mut added: u128 = 0;
    let mut taken: u128 = 0;
    let mut divisor = 1;
    while power > 0 {
        if divisor % 4 == 1 {
            added += power / divisor;
        } else {
            taken += power / divisor;
        }
        power = power * square / ONE;
        divisor += 2;
    }
    let radians = added.checked_sub(taken)?;
    Some(radians * DEGREES_IN_RADIAN / ONE)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::Unit;

    fn width(interval: Interval) -> f64 {
        interval.high().to_f64() - interval.low().to_f64()
    }

    #[test]
    fn the_interval_holds_the_double_precision_angle_and_is_narrow() {
        // Check against the platform's arc tangent, an implementation outside this crate.
        for hundredths in -30_000_i64..=30_000 {
            let percent = Exact::fraction(i128::from(hundredths), 100).unwrap();
            let slope = Quantity::new(percent, Unit::Percent).unwrap();
            let interval = angle_of_slope(&slope).unwrap();
            let expected = (hundredths as f64 / 10_000.0).atan().to_degrees();
            assert!(interval.low().to_f64() <= expected + 1e-13, "{slope}");
            assert!(interval.high().to_f64() >= expected - 1e-13, "{slope}");
            assert!(width(interval) < 3e-12);
        }
    }

    #[test]
    fn level_ground_and_one_in_one_are_known_exactly() {
        let level = Quantity::new(Exact::ZERO, Unit::Percent).unwrap();
        assert_eq!(angle_of_slope(&level).unwrap(), Interval::point(Exact::ZERO));
        let steep = Quantity::new(Exact::whole(-100), Unit::Percent).unwrap();
        assert_eq!(angle_of_slope(&steep).unwrap(), Interval::point(Exact::whole(-45)));
    }

    #[test]
    fn one_per_cent_is_ten_millimetres_in_a_metre() {
        let percent = Quantity::new(Exact::ONE, Unit::Percent).unwrap();
        let metre = Quantity::new(Exact::whole(10), Unit::MillimetrePerMetre).unwrap();
        assert_eq!(rise_over_run(&percent).unwrap(), rise_over_run(&metre).unwrap());
        assert_eq!(angle_of_slope(&percent).unwrap(), angle_of_slope(&metre).unwrap());
        let length = Quantity::new(Exact::ONE, Unit::Metre).unwrap();
        assert!(rise_over_run(&length).is_err());
    }

    #[test]
    fn extreme_slopes_give_an_angle_or_an_error_and_never_overflow() {
        for numerator in [1, 7, i128::MAX / 2, i128::MAX - 1, i128::MAX] {
            for denominator in [1, 3, i128::MAX / 2, i128::MAX - 2, i128::MAX] {
                let ratio = Exact::fraction(numerator, denominator).unwrap();
                let slope = Quantity::new(ratio, Unit::MetrePerMetre).unwrap();
                if let Ok(interval) = angle_of_slope(&slope) {
                    assert!(interval.high() <= Exact::whole(91));
                    assert!(!interval.low().is_negative());
                }
            }
        }
    }
}
