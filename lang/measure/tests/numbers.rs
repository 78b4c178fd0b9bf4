//! Owns the tests of exact numbers: reading, printing, arithmetic and order, against whole-number arithmetic done another way.
#![expect(clippy::unwrap_used, reason = "test helpers stop at the first surprise")]

mod random;

use std::cmp::Ordering;

use knockon_measure::{Exact, NumberError};
use random::Random;

fn number(text: &str) -> Exact {
    Exact::parse(text).unwrap()
}

fn fraction(numerator: i128, denominator: i128) -> Exact {
    Exact::fraction(numerator, denominator).unwrap()
}

/// Decimal digits of a product, lowest first, by long multiplication as at school.
fn long_product(left: u128, right: u128) -> Vec<u8> {
    let digits =
        |value: u128| -> Vec<u32> { value.to_string().bytes().rev().map(|byte| u32::from(byte - b'0')).collect() };
    let (left, right) = (digits(left), digits(right));
    let mut sums = vec![0_u32; left.len() + right.len() + 1];
    for (place, one) in left.iter().enumerate() {
        for (sum, other) in sums.iter_mut().skip(place).zip(&right) {
            *sum += one * other;
        }
    }
    let mut carry = 0;
    let mut product: Vec<u8> = sums
        .into_iter()
        .map(|sum| {
            let whole = sum + carry;
            carry = whole / 10;
            (whole % 10) as u8
        })
        .collect();
    while product.last() == Some(&0) {
        product.pop();
    }
    product
}

/// The order of two fractions by long multiplication.
fn order_by_hand(one: Exact, other: Exact) -> Ordering {
    let left = long_product(one.numerator().unsigned_abs(), other.denominator().unsigned_abs());
    let right = long_product(other.numerator().unsigned_abs(), one.denominator().unsigned_abs());
    let sizes = left.len().cmp(&right.len()).then_with(|| left.iter().rev().cmp(right.iter().rev()));
    match (one.is_negative(), other.is_negative()) {
        (false, false) => sizes,
        (true, true) => sizes.reverse(),
        (true, false) => Ordering::Less,
        (false, true) => Ordering::Greater,
    }
}

fn any_exact(random: &mut Random, width: u32) -> Exact {
    let numerator = random.signed(width);
    let denominator = (random.magnitude(width) as i128).max(1);
    fraction(numerator, denominator)
}

fn assert_lowest_terms(value: Exact) {
    let (mut one, mut other) = (value.numerator().unsigned_abs(), value.denominator().unsigned_abs());
    while other != 0 {
        (one, other) = (other, one % other);
    }
    assert_eq!(one, 1, "{value} is not in lowest terms");
    assert!(value.denominator() > 0);
    assert_ne!(value.numerator(), i128::MIN);
}

#[test]
fn the_order_of_any_two_numbers_agrees_with_long_multiplication() {
    let mut random = Random::new(10);
    for round in 0..20_000 {
        let one = any_exact(&mut random, 127);
        let other = if round % 3 == 0 {
            // A near neighbour, so that the last digits decide.
            let step = random.signed(2);
            match one.numerator().checked_add(step) {
                Some(numerator) if numerator != i128::MIN => fraction(numerator, one.denominator()),
                _ => one,
            }
        } else {
            any_exact(&mut random, 127)
        };
        let expected = order_by_hand(one, other);
        assert_eq!(one.cmp(&other), expected, "{one} {other}");
        assert_eq!(other.cmp(&one), expected.reverse());
        assert_eq!(one == other, expected == Ordering::Equal);
    }
}

#[test]
fn the_largest_and_finest_numbers_are_told_apart() {
    let top = i128::MAX;
    assert!(fraction(top, top - 1) > fraction(top - 1, top - 2).min(Exact::ONE));
    assert!(fraction(top - 1, top) < fraction(top, top - 1));
    // 1 + 1/(n - 1) is below 1 + 1/(n - 2).
    assert!(fraction(top, top - 1) < fraction(top - 1, top - 2));
    assert!(fraction(-top, top - 1) > fraction(-(top - 1), top - 2));
    assert!(fraction(1, top) > Exact::ZERO);
    assert!(fraction(-1, top) < Exact::ZERO);
    assert!(fraction(-top, 1) < fraction(top, 1));
}

#[test]
fn every_decimal_that_is_printed_reads_back_as_the_same_number() {
    let mut random = Random::new(11);
    for _ in 0..20_000 {
        let twos = 1_i128 << random.below(40);
        let fives = 5_i128.pow(random.below(20) as u32);
        let value = fraction(random.signed(100), twos * fives);
        let text = value.to_string();
        assert!(!text.contains('/'), "{text}");
        assert_eq!(number(&text), value, "{text}");
        // Shortest: no point without need, no zero at its end.
        if let Some((_, places)) = text.split_once('.') {
            assert!(!places.is_empty() && !places.ends_with('0'), "{text}");
        }
    }
    for power in 0..127 {
        let finest = fraction(1, 1 << power);
        assert_eq!(number(&finest.to_string()), finest);
        let fullest = fraction(i128::MAX, 1 << power);
        assert_eq!(number(&fullest.to_string()), fullest);
        assert_eq!(finest.to_string().len(), if power == 0 { 1 } else { power + 2 });
    }
}

#[test]
fn every_decimal_text_is_printed_back_without_its_idle_zeros() {
    let mut random = Random::new(12);
    for _ in 0..20_000 {
        let whole = random.magnitude(60);
        let places: String = (0..random.below(12)).map(|_| char::from(b'0' + random.below(10) as u8)).collect();
        let sign = if random.below(2) == 0 { "" } else { "-" };
        let point = if places.is_empty() { "" } else { "." };
        let written = format!("{sign}{whole}{point}{places}");
        let mut expected = written.clone();
        if expected.contains('.') {
            expected = expected.trim_end_matches('0').trim_end_matches('.').to_owned();
        }
        if expected == "-0" {
            expected = "0".to_owned();
        }
        assert_eq!(number(&written).to_string(), expected);
    }
}

#[test]
fn plain_decimals_are_read_and_everything_else_is_refused() {
    for (text, numerator, denominator) in [
        ("0", 0, 1),
        ("-0", 0, 1),
        ("0.15", 3, 20),
        ("-3", -3, 1),
        ("+3", 3, 1),
        ("1210", 1210, 1),
        ("007", 7, 1),
        ("0.50", 1, 2),
        ("2.0000000000000000000000000000000000000000000000000000000000000", 2, 1),
        ("1.001", 1001, 1000),
        ("170141183460469231731687303715884105727", i128::MAX, 1),
    ] {
        assert_eq!(number(text), fraction(numerator, denominator), "{text}");
    }
    for text in ["", "-", "+", ".", ".5", "5.", "-.5", "-5."] {
        assert_eq!(Exact::parse(text), Err(NumberError::NoDigits), "{text}");
    }
    for (text, at, found) in [
        ("1e3", 1, 'e'),
        ("1,000", 1, ','),
        ("1_000", 1, '_'),
        ("1.2.3", 3, '.'),
        ("1 000", 1, ' '),
        ("--1", 1, '-'),
        ("-1é", 2, 'é'),
        ("٣", 0, '٣'),
        ("1/3", 1, '/'),
        ("mm", 0, 'm'),
    ] {
        assert_eq!(Exact::parse(text), Err(NumberError::NotDecimal { at, found }), "{text}");
    }
    for text in [
        "170141183460469231731687303715884105728",
        "999999999999999999999999999999999999999999999",
        "0.0000000000000000000000000000000000000000000001",
    ] {
        assert_eq!(Exact::parse(text), Err(NumberError::TooLarge), "{text}");
    }
}

#[test]
fn numbers_without_an_ending_decimal_are_printed_as_fractions() {
    assert_eq!(fraction(1, 3).as_whole(), None);
    assert_eq!(fraction(-6, 3).as_whole(), Some(-2));
    assert_eq!(fraction(1, 3).to_string(), "1/3");
    assert_eq!(fraction(-20, 60).to_string(), "-1/3");
    assert_eq!(fraction(1, -6).to_string(), "-1/6");
    assert_eq!(fraction(7500, 127).to_string(), "7500/127");
}

#[test]
fn sums_products_and_quotients_agree_with_whole_number_arithmetic() {
    let mut random = Random::new(13);
    for _ in 0..20_000 {
        let one = any_exact(&mut random, 31);
        let other = any_exact(&mut random, 31);
        let (a, b) = (one.numerator(), one.denominator());
        let (c, d) = (other.numerator(), other.denominator());
        for (result, numerator, denominator) in [
            (one.plus(other), a * d + c * b, b * d),
            (one.minus(other), a * d - c * b, b * d),
            (one.times(other), a * c, b * d),
        ] {
            let result = result.unwrap();
            assert_lowest_terms(result);
            // Equal cross products, so the same number whatever was cancelled on the way.
            assert_eq!(result.numerator() * denominator, numerator * result.denominator());
        }
        if other.is_zero() {
            assert_eq!(one.divided_by(other), Err(NumberError::DivisionByZero));
        } else {
            let quotient = one.divided_by(other).unwrap();
            assert_lowest_terms(quotient);
            assert_eq!(quotient.times(other).unwrap(), one);
        }
        assert!(Exact::from(one.floor() as i64) <= one);
        assert!(Exact::from(one.floor() as i64 + 1) > one);
        assert!(Exact::from(one.ceiling() as i64) >= one);
        assert!(Exact::from(one.ceiling() as i64 - 1) < one);
    }
}

#[test]
fn a_result_that_does_not_fit_is_an_error_and_one_that_fits_is_right() {
    let mut random = Random::new(14);
    let (mut held, mut refused) = (0, 0);
    for _ in 0..20_000 {
        let one = any_exact(&mut random, 127);
        let other = any_exact(&mut random, 127);
        match one.plus(other) {
            Ok(sum) => {
                held += 1;
                assert_lowest_terms(sum);
                assert_eq!(sum.cmp(&one), other.cmp(&Exact::ZERO));
                if let Ok(back) = sum.minus(other) {
                    assert_eq!(back, one);
                }
            }
            Err(error) => {
                refused += 1;
                assert_eq!(error, NumberError::TooLarge);
            }
        }
        if let Ok(product) = one.times(other) {
            assert_lowest_terms(product);
            if !other.is_zero() {
                assert_eq!(product.divided_by(other), Ok(one));
            }
        }
    }
    assert!(held > 1_000 && refused > 1_000, "{held} held, {refused} refused");
    let top = fraction(i128::MAX, 1);
    assert_eq!(top.plus(Exact::ONE), Err(NumberError::TooLarge));
    assert_eq!(top.negated().minus(Exact::ONE), Err(NumberError::TooLarge));
    assert_eq!(top.times(Exact::whole(2)), Err(NumberError::TooLarge));
    // Twice 2^126 with a minus would be the one value that has no opposite.
    let half = fraction(-(1 << 126), 1);
    assert_eq!(half.times(Exact::whole(2)), Err(NumberError::TooLarge));
    assert_eq!(half.plus(half), Err(NumberError::TooLarge));
    assert_eq!(Exact::fraction(i128::MIN, 1), Err(NumberError::TooLarge));
    assert_eq!(Exact::fraction(i128::MIN, i128::MIN), Ok(Exact::ONE));
    assert_eq!(Exact::fraction(1, 0), Err(NumberError::DivisionByZero));
    assert_eq!(top.times(fraction(1, i128::MAX)), Ok(Exact::ONE));
}

#[test]
fn rounding_is_half_away_from_zero_and_says_whether_it_is_exact() {
    for (value, places, text, exact) in [
        (fraction(1, 3), 3, "0.333", false),
        (fraction(2, 3), 3, "0.667", false),
        (fraction(-2, 3), 0, "-1", false),
        (fraction(1, 2), 0, "1", false),
        (fraction(-1, 2), 0, "-1", false),
        (fraction(1, 4), 1, "0.3", false),
        (fraction(999, 1000), 2, "1", false),
        (fraction(-1, 1000), 2, "0", false),
        (fraction(1, 4), 2, "0.25", true),
        (fraction(1, 4), 5, "0.25", true),
        (Exact::whole(-12), 3, "-12", true),
        (Exact::ZERO, 3, "0", true),
    ] {
        assert_eq!(value.rounded(places), (text.to_owned(), exact), "{value}");
    }
    let mut random = Random::new(15);
    for _ in 0..20_000 {
        let value = any_exact(&mut random, 60);
        let places = random.below(6) as u32;
        let (text, exact) = value.rounded(places);
        let error = number(&text).minus(value).unwrap().magnitude();
        assert_eq!(exact, error.is_zero());
        let half_step = fraction(1, 2 * 10_i128.pow(places));
        assert!(error <= half_step, "{value} to {places} places is not {text}");
    }
}

#[test]
fn doubles_are_taken_exactly_and_given_nearly() {
    let mut random = Random::new(16);
    let (mut held, mut refused) = (0, 0);
    for _ in 0..20_000 {
        let double = f64::from_bits(random.bits());
        match Exact::from_f64(double) {
            Some(value) => {
                held += 1;
                assert_eq!(value.to_f64(), double);
                assert_lowest_terms(value);
            }
            None => refused += 1,
        }
        let value = any_exact(&mut random, 60);
        let nearly = Exact::from_f64(value.to_f64());
        if let Some(Ok(error)) = nearly.map(|nearly| nearly.minus(value)) {
            assert!(error.magnitude().to_f64() <= value.to_f64().abs() * 3.0 * f64::EPSILON);
        }
    }
    assert!(held > 500 && refused > 500, "{held} held, {refused} refused");
    assert_eq!(Exact::from_f64(0.5), Some(fraction(1, 2)));
    assert_eq!(Exact::from_f64(-0.0), Some(Exact::ZERO));
    // The double written 0.1 is not one tenth.
    assert_ne!(Exact::from_f64(0.1), Some(fraction(1, 10)));
    for double in [f64::NAN, f64::INFINITY, f64::MAX, f64::MIN_POSITIVE] {
        assert_eq!(Exact::from_f64(double), None);
    }
}

#[test]
fn equal_numbers_hash_alike_however_they_came_about() {
    use std::hash::{DefaultHasher, Hash, Hasher};
    let hash = |value: Exact| {
        let mut hasher = DefaultHasher::new();
        value.hash(&mut hasher);
        hasher.finish()
    };
    assert_eq!(hash(number("0.50")), hash(fraction(-4, -8)));
    assert_eq!(hash(number("-0")), hash(Exact::ZERO));
}
