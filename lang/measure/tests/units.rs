//! Owns the tests of the unit table and of quantities: there and back exactly, equal across units, kinds kept apart.
#![expect(clippy::unwrap_used, reason = "test helpers stop at the first surprise")]

mod random;

use std::cmp::Ordering;
use std::collections::BTreeSet;

use knockon_measure::{Exact, Kind, NumberError, Quantity, QuantityError, Unit, unit};
use random::Random;

fn quantity(value: &str, symbol: &str) -> Quantity {
    Quantity::new(Exact::parse(value).unwrap(), unit(symbol).unwrap()).unwrap()
}

/// A value of the size that occurs in the trade: up to a thousand million, down to a millionth.
fn any_value(random: &mut Random) -> Exact {
    let numerator = random.signed(50);
    Exact::fraction(numerator, 10_i128.pow(random.below(7) as u32)).unwrap()
}

#[test]
fn every_spelling_leads_to_its_own_unit_and_no_other() {
    let mut spellings = BTreeSet::new();
    for each in Unit::ALL.iter().copied() {
        assert_eq!(unit(each.symbol()), Some(each));
        assert!(spellings.insert(each.symbol()), "{} occurs twice", each.symbol());
        for other in each.other_spellings() {
            assert_eq!(unit(other), Some(each));
            assert!(spellings.insert(other), "{other} occurs twice");
        }
    }
    for not_a_unit in ["in", "rad", "month", "year", "MM", "nm", "KPA", "kpa", " mm", "mm "] {
        assert_eq!(unit(not_a_unit), None, "{not_a_unit}");
    }
}

#[test]
fn every_factor_is_above_zero_in_lowest_terms_and_one_for_the_base_unit() {
    for each in Unit::ALL.iter().copied() {
        for written in [each.factor(), each.offset()] {
            let reduced = Exact::fraction(written.numerator(), written.denominator());
            assert_eq!(reduced, Ok(written), "{each:?}");
            assert_eq!(reduced.unwrap().numerator(), written.numerator(), "{each:?}");
        }
        assert!(each.factor() > Exact::ZERO, "{each:?}");
    }
    let mut used = BTreeSet::new();
    for kind in Kind::ALL.iter().copied() {
        let base = kind.base_unit();
        assert_eq!(base.kind(), kind);
        assert_eq!((base.factor(), base.offset()), (Exact::ONE, Exact::ZERO));
        assert!(used.insert(kind));
    }
    assert!(Unit::ALL.iter().all(|each| used.contains(&each.kind())));
}

#[test]
fn every_conversion_there_and_back_gives_the_very_same_number() {
    let mut random = Random::new(20);
    let mut pairs = 0;
    for from in Unit::ALL.iter().copied() {
        for to in Unit::ALL.iter().copied().filter(|to| to.kind() == from.kind()) {
            pairs += 1;
            for _ in 0..40 {
                let given = Quantity::new(any_value(&mut random), from).unwrap();
                let there = given.convert(to).unwrap();
                let back = there.convert(from).unwrap();
                assert_eq!(there.unit(), to);
                assert!(back.written_alike(&given), "{given} became {back} by way of {there}");
                assert_eq!(there, given);
                assert_eq!(there.compare(&given), Some(Ordering::Equal));
                assert_eq!(Quantity::new(there.value(), to).unwrap().in_base(), given.in_base());
            }
        }
    }
    assert!(pairs > 200, "{pairs}");
}

#[test]
fn order_is_kept_by_conversion() {
    let mut random = Random::new(21);
    for from in Unit::ALL.iter().copied() {
        for to in Unit::ALL.iter().copied().filter(|to| to.kind() == from.kind()) {
            let one = any_value(&mut random);
            let other = any_value(&mut random);
            let left = Quantity::new(one, from).unwrap();
            let right = Quantity::new(other, from).unwrap().convert(to).unwrap();
            assert_eq!(left.compare(&right), Some(one.cmp(&other)), "{left} {right}");
        }
    }
}

#[test]
fn every_unit_stands_in_its_defining_relation_to_another() {
    // SI prefixes and the definitions named at the head of the unit table; where a factor has a published
    // case of its own (tests/published_units.rs), it is repeated here so that no unit is left out.
    let relations = [
        (("1000000", "um"), ("1", "m")),
        (("1000", "mm"), ("1", "m")),
        (("100", "cm"), ("1", "m")),
        (("1", "km"), ("1000", "m")),
        (("1000", "mil"), ("1", "inch")),
        (("1", "inch"), ("25.4", "mm")),
        (("1", "foot"), ("12", "inch")),
        (("1", "yard"), ("3", "foot")),
        (("1", "mile"), ("1760", "yard")),
        (("60", "arcmin"), ("1", "deg")),
        (("60", "arcsec"), ("1", "arcmin")),
        (("1000", "mm/m"), ("1", "m/m")),
        (("12", "inch/foot"), ("1", "m/m")),
        (("1000", "g"), ("1", "kg")),
        (("1", "t"), ("1000", "kg")),
        (("1", "lb"), ("0.45359237", "kg")),
        (("1000", "ms"), ("1", "s")),
        (("1", "min"), ("60", "s")),
        (("1", "h"), ("60", "min")),
        (("1", "day"), ("24", "h")),
        (("1", "week"), ("7", "day")),
        (("3.6", "km/h"), ("1", "m/s")),
        (("1", "mph"), ("1.609344", "km/h")),
        (("60", "rpm"), ("360", "deg/s")),
        (("1", "gn"), ("9.80665", "m/s2")),
        (("1", "kN"), ("1000", "N")),
        (("1", "lbf"), ("0.45359237", "kgf")),
        (("1", "kgf"), ("9.80665", "N")),
        (("12", "lbf.in"), ("1", "lbf.ft")),
        (("1", "lbf.ft"), ("1.3558179483314004", "Nm")),
        (("1", "kgf.m"), ("9.80665", "Nm")),
        (("1", "hPa"), ("100", "Pa")),
        (("1", "mbar"), ("1", "hPa")),
        (("1", "kPa"), ("1000", "Pa")),
        (("1", "MPa"), ("1000", "kPa")),
        (("1", "bar"), ("1000", "mbar")),
        (("1", "atm"), ("101.325", "kPa")),
        (("0", "degC"), ("273.15", "K")),
        (("0", "degF"), ("459.67", "degF.change")),
        (("1", "degC.change"), ("1", "K.change")),
        (("9", "degF.change"), ("5", "K.change")),
        (("1000", "mV"), ("1", "V")),
        (("1000", "mA"), ("1", "A")),
        (("1", "kohm"), ("1000", "ohm")),
        (("1", "kW"), ("1000", "W")),
        (("1", "kHz"), ("1000", "Hz")),
        (("1", "MHz"), ("1000", "kHz")),
        (("1", "GHz"), ("1000", "MHz")),
        (("1000", "ml"), ("1", "L")),
    ];
    let mut related = BTreeSet::new();
    for (one, other) in relations {
        let (one, other) = (quantity(one.0, one.1), quantity(other.0, other.1));
        if one.unit() == Unit::Fahrenheit {
            // Zero on the Fahrenheit scale lies 459.67 of its degrees above absolute zero.
            assert_eq!(one.in_base(), other.in_base());
        } else {
            assert_eq!(one, other);
        }
        related.insert(one.unit());
        related.insert(other.unit());
    }
    // One pound-force on one square inch.
    let inch = Unit::Inch.factor();
    let psi = Unit::PoundForce.factor().divided_by(inch.times(inch).unwrap());
    assert_eq!(psi, Ok(Unit::Psi.factor()));
    related.insert(Unit::Psi);
    for each in Unit::ALL.iter().copied() {
        let is_base = each.kind().base_unit() == each;
        assert!(is_base || related.contains(&each), "{each:?} is not held to anything");
    }
}

#[test]
fn a_value_equal_to_its_limit_is_equal_in_whatever_unit_it_is_written() {
    for (one, other) in [
        (("9", "arcmin"), ("0.15", "deg")),
        (("300", "um"), ("0.3", "mm")),
        (("10", "mil"), ("254", "um")),
        (("1", "inch"), ("25.4", "mm")),
        (("1", "mile"), ("5280", "foot")),
        (("1", "yard"), ("3", "ft")),
        (("2.4", "bar"), ("240", "kPa")),
        (("1013.25", "mbar"), ("1", "atm")),
        (("12", "lbf.in"), ("1", "lbf.ft")),
        (("90", "km/h"), ("25", "m/s")),
        (("4", "min"), ("240", "s")),
        (("1", "week"), ("168", "h")),
        (("-40", "degC"), ("-40", "degF")),
        (("12", "inch/ft"), ("1000", "mm/m")),
        (("1", "rpm"), ("6", "deg/s")),
        (("1", "kgf.m"), ("9.80665", "Nm")),
        (("1", "t"), ("1000", "kg")),
        (("0.76", "GHz"), ("760", "MHz")),
    ] {
        let (one, other) = (quantity(one.0, one.1), quantity(other.0, other.1));
        assert_eq!(one, other);
        assert!(!one.written_alike(&other));
    }
    assert!(quantity("12", "mil") > quantity("300", "um"));
    assert!(quantity("0.1500000000000000000001", "deg") > quantity("9", "arcmin"));
}

#[test]
fn quantities_of_different_kinds_are_never_equal_ordered_added_or_converted() {
    let angle = quantity("1", "deg");
    let length = quantity("1", "m");
    assert_ne!(angle, length);
    assert_eq!(angle.partial_cmp(&length), None);
    let differ = QuantityError::KindsDiffer { wanted: Kind::Angle, found: Kind::Length };
    assert_eq!(differ.to_string(), "a length stands where an angle is needed");
    assert_eq!(angle.plus(&length), Err(differ));
    assert_eq!(angle.minus(&length), Err(differ));
    assert_eq!(angle.convert(Unit::Metre), Err(differ));
    // Torque and energy look alike, but only torque is here; a temperature is no temperature difference.
    assert_ne!(quantity("0", "K"), quantity("0", "K.change"));
    let warm = quantity("20", "degC");
    assert!(warm.plus(&warm).is_err());
    assert_eq!(quantity("5", "%").partial_cmp(&quantity("5", "")), None);
    assert_eq!(length.radians(), None);
}

#[test]
fn sums_and_differences_keep_the_unit_of_the_first() {
    let height = quantity("1.5", "m");
    assert_eq!(height.plus(&quantity("3", "mm")).unwrap().to_string(), "1.503 m");
    assert_eq!(height.minus(&quantity("1", "inch")).unwrap().to_string(), "1.4746 m");
    assert_eq!(quantity("-0.6", "deg").negated().unwrap().to_string(), "0.6 deg");
    assert_eq!(quantity("10", "degC").minus(&quantity("50", "degF")).unwrap().to_string(), "0 degC.change");
    assert_eq!(quantity("5", "degC").as_difference().unwrap(), quantity("5", "K.change"));
}

#[test]
fn quantities_are_printed_as_written_and_rounded_only_when_asked() {
    assert_eq!(quantity("0.150", "deg").to_string(), "0.15 deg");
    assert_eq!(quantity("3", "").to_string(), "3");
    let pressure = quantity("2.4", "bar").convert(Unit::Psi).unwrap();
    assert_eq!(pressure.to_string(), "309676800000000/8896443230521 psi");
    assert_eq!(pressure.rounded(3), "about 34.809 psi");
    assert_eq!(quantity("0.25", "mm").rounded(3), "0.25 mm");
    assert_eq!(quantity("2.5", "").rounded(0), "about 3");
}

#[test]
fn equal_quantities_hash_alike() {
    use std::hash::{DefaultHasher, Hash, Hasher};
    let hash = |value: Quantity| {
        let mut hasher = DefaultHasher::new();
        value.hash(&mut hasher);
        hasher.finish()
    };
    assert_eq!(hash(quantity("9", "arcmin")), hash(quantity("0.15", "deg")));
}

#[test]
fn a_value_that_its_base_unit_cannot_hold_is_refused_when_it_is_made() {
    let huge = Exact::fraction(i128::MAX, 1).unwrap();
    assert_eq!(Quantity::new(huge, Unit::Kilometre), Err(NumberError::TooLarge));
    assert!(Quantity::new(huge, Unit::Metre).is_ok());
}
