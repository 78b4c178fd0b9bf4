//! Owns the check of the unit table against published definitions (data/units.json, source in each group).
#![expect(clippy::unwrap_used, reason = "test helpers stop at the first surprise")]

mod cases;

use cases::{fraction, group};
use knockon_measure::{Exact, Quantity, Unit, unit};

const DATA: &str = include_str!("data/units.json");

fn quantity(value: Exact, symbol: &str) -> Quantity {
    Quantity::new(value, unit(symbol).unwrap()).unwrap()
}

#[test]
fn every_factor_is_the_published_one() {
    for case in group(DATA, "factor", 14) {
        // The cases name a unit and the base unit it is given in.
        let (from, to) = match case.input_text("unit") {
            "in_m" => (Unit::Inch, Unit::Metre),
            "ft_m" => (Unit::Foot, Unit::Metre),
            "yd_m" => (Unit::Yard, Unit::Metre),
            "mi_m" => (Unit::Mile, Unit::Metre),
            "lb_kg" => (Unit::Pound, Unit::Kilogram),
            "gn_ms2" => (Unit::StandardGravity, Unit::MetrePerSecondSquared),
            "lbf_N" => (Unit::PoundForce, Unit::Newton),
            "psi_Pa" => (Unit::Psi, Unit::Pascal),
            "bar_Pa" => (Unit::Bar, Unit::Pascal),
            "atm_Pa" => (Unit::Atmosphere, Unit::Pascal),
            "lbfft_Nm" => (Unit::PoundForceFoot, Unit::NewtonMetre),
            "lbfin_Nm" => (Unit::PoundForceInch, Unit::NewtonMetre),
            "mph_ms" => (Unit::MilePerHour, Unit::MetrePerSecond),
            "kgfm_Nm" => (Unit::KilogramForceMetre, Unit::NewtonMetre),
            other => panic!("{}: unit {other} is not tested", case.id),
        };
        let expected = fraction(case.output_text("exact_fraction"));
        let one = Quantity::new(Exact::ONE, from).unwrap();
        let converted = one.convert(to).unwrap();
        assert_eq!(converted.value(), expected, "{} {}", case.id, case.source);
        assert_eq!(from.factor(), expected, "{}", case.id);
        case.agrees("decimal", converted.value().to_f64());
        if let Some(text) = case.output("exact_decimal").as_str() {
            assert_eq!(converted.value().to_string(), text, "{}", case.id);
        }
    }
}

#[test]
fn every_published_conversion_comes_out_exactly() {
    for case in group(DATA, "convert", 6) {
        let to = match case.input_text("to") {
            "in" => Unit::Inch, // `in` is a connecting word of the language, so no symbol of a unit
            symbol => unit(symbol).unwrap(),
        };
        let given = quantity(case.input_number("value"), case.input_text("from"));
        let converted = given.convert(to).unwrap();
        assert_eq!(converted.value(), fraction(case.output_text("exact")), "{} {}", case.id, case.source);
        case.agrees("result", converted.value().to_f64());
        assert_eq!(converted, given, "{}", case.id);
    }
}

#[test]
fn every_published_temperature_comes_out_exactly() {
    for case in group(DATA, "temperature", 4) {
        let given = quantity(case.input_number("degF"), "degF");
        for scale in ["degC", "K"] {
            let converted = given.convert(unit(scale).unwrap()).unwrap();
            assert_eq!(converted.value(), case.output_number(scale), "{} {}", case.id, case.source);
        }
    }
}

#[test]
fn degrees_minutes_and_seconds_add_up_to_the_published_angle() {
    for case in group(DATA, "dms", 2) {
        let angle = quantity(case.input_number("deg"), "deg")
            .plus(&quantity(case.input_number("minute"), "arcmin"))
            .unwrap()
            .plus(&quantity(case.input_number("second"), "arcsec"))
            .unwrap();
        assert_eq!(angle.value(), case.output_number("deg_decimal"), "{}", case.id);
        case.agrees("rad", angle.radians().unwrap());
    }
}

#[test]
fn a_temperature_difference_of_one_fahrenheit_degree_is_five_ninths_of_a_kelvin() {
    // NIST SP 811 (2008), B.8: differences carry no offset.
    let change = quantity(Exact::ONE, "degF.change");
    let kelvin = change.convert(Unit::KelvinChange).unwrap();
    assert_eq!(kelvin.value(), Exact::fraction(5, 9).unwrap());
    let warm = quantity(Exact::whole(212), "degF");
    let cold = quantity(Exact::whole(32), "degF");
    let span = warm.minus(&cold).unwrap();
    assert_eq!(span.to_string(), "180 degF.change");
    assert_eq!(span, quantity(Exact::whole(100), "degC.change"));
    assert_eq!(cold.plus(&span).unwrap(), warm);
}
