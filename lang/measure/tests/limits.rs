//! Owns the check of comparisons with limits: exact values, readings with uncertainty, guard bands.
#![expect(clippy::unwrap_used, reason = "test helpers stop at the first surprise")]

mod cases;
mod random;

use cases::{exact, group};
use knockon_measure::{Bound, Exact, Interval, Kind, Quantity, Range, Reading, ReadingError, Relation, Truth, unit};
use random::Random;

const GUARD_BANDS: &str = include_str!("data/guard-bands.json");

fn number(text: &str) -> Exact {
    Exact::parse(text).unwrap()
}

fn quantity(value: &str, symbol: &str) -> Quantity {
    Quantity::new(number(value), unit(symbol).unwrap()).unwrap()
}

#[test]
fn a_film_of_280_is_on_a_limit_of_280_in_every_unit_and_281_is_past_it() {
    // The rows D-016, D-017 and D-018 of the hand-written decisions: at most 280 um, read as 280, 281, 278 ± 6.
    let limit = quantity("280", "um");
    let allowed = Range::new(Relation::AtMost, limit.in_base());
    for (value, symbol) in [("280", "um"), ("0.28", "mm"), ("0.00028", "m")] {
        let reading = Reading::exact(quantity(value, symbol));
        assert_eq!(reading.verdict(&allowed), Truth::Yes);
        let over = Range::new(Relation::Over, limit.in_base());
        assert_eq!(reading.verdict(&over), Truth::No);
    }
    let thick = Reading::exact(quantity("281", "um"));
    assert_eq!(thick.verdict(&allowed), Truth::No);
    let doubtful = Reading::with_uncertainty(quantity("278", "um"), quantity("6", "um"), None).unwrap();
    assert_eq!(doubtful.verdict(&allowed), Truth::CannotSay);
    assert_eq!(doubtful.to_string(), "278 um ± 6 um");
    assert_eq!(doubtful.coverage(), Exact::whole(95));
    assert!(!doubtful.coverage_was_stated());
}

#[test]
fn a_reading_that_just_touches_an_included_limit_is_inside() {
    let allowed = Range::new(Relation::AtMost, quantity("280", "um").in_base());
    let touching = Reading::with_uncertainty(quantity("274", "um"), quantity("0.006", "mm"), None);
    assert_eq!(touching.unwrap().verdict(&allowed), Truth::Yes);
    let strict = Range::new(Relation::Under, quantity("280", "um").in_base());
    assert_eq!(touching.unwrap().verdict(&strict), Truth::CannotSay);
    let beyond = Reading::with_uncertainty(quantity("286", "um"), quantity("6", "um"), None);
    assert_eq!(beyond.unwrap().verdict(&allowed), Truth::CannotSay);
    assert_eq!(beyond.unwrap().verdict(&strict), Truth::No);
}

#[test]
fn the_three_zones_of_a_guard_band_with_the_whole_uncertainty_come_out() {
    // JCGM 106:2012 clause 8 with r = 1, and ISO 14253-1 with g = U: the verdict by interval is that rule.
    // The case with g = 1.645 u needs a quantile and belongs to the probability of conformity.
    for case in group(GUARD_BANDS, "guard_band", 3) {
        let guard = case.output_number("guard");
        let range = Range::from_to(case.input_number("lower"), case.input_number("upper"));
        let read = |value: Exact| {
            let value = Quantity::plain(value);
            Reading::with_uncertainty(value, Quantity::plain(guard), None).unwrap()
        };
        let expected = match case.output_text("verdict") {
            "conform" => Truth::Yes,
            "undecided" => Truth::CannotSay,
            other => panic!("{}: verdict {other} is not tested", case.id),
        };
        let given = read(case.input_number("y"));
        assert_eq!(given.verdict(&range), expected, "{} {}", case.id, case.source);

        let hair = number("0.000000001");
        let accept = case.output("accept").as_array().unwrap();
        let lowest = exact(accept.first().unwrap());
        let highest = exact(accept.last().unwrap());
        assert_eq!(read(lowest).verdict(&range), Truth::Yes, "{}", case.id);
        assert_eq!(read(highest).verdict(&range), Truth::Yes, "{}", case.id);
        assert_ne!(read(highest.plus(hair).unwrap()).verdict(&range), Truth::Yes);
        assert_ne!(read(lowest.minus(hair).unwrap()).verdict(&range), Truth::Yes);

        let below = case.output_number("reject_below");
        let above = case.output_number("reject_above");
        assert_ne!(read(below).verdict(&range), Truth::No, "{}", case.id);
        assert_ne!(read(above).verdict(&range), Truth::No, "{}", case.id);
        assert_eq!(read(below.minus(hair).unwrap()).verdict(&range), Truth::No);
        assert_eq!(read(above.plus(hair).unwrap()).verdict(&range), Truth::No);
    }
}

#[test]
fn the_five_relations_include_and_exclude_their_limit_as_their_words_say() {
    let limit = Exact::whole(5);
    let values = [Exact::whole(4), limit, Exact::whole(6)];
    for (relation, expected) in [
        (Relation::Over, [false, false, true]),
        (Relation::Under, [true, false, false]),
        (Relation::AtLeast, [false, true, true]),
        (Relation::AtMost, [true, true, false]),
        (Relation::Equal, [false, true, false]),
    ] {
        let range = Range::new(relation, limit);
        assert_eq!(values.map(|value| range.contains(value)), expected, "{relation}");
    }
}

/// A small range with any mix of open, included and excluded ends.
fn any_range(random: &mut Random) -> Range {
    let mut end = || match random.below(3) {
        0 => None,
        1 => Some(Bound::included(Exact::from(random.below(9) as i64))),
        _ => Some(Bound::excluded(Exact::from(random.below(9) as i64))),
    };
    Range { low: end(), high: end() }
}

/// Every value from -1 to 10 in steps of a quarter: enough to tell any two ranges of `any_range` apart.
fn grid() -> impl Iterator<Item = Exact> {
    (-4..=40).map(|quarters| Exact::fraction(quarters, 4).unwrap())
}

#[test]
fn the_verdict_over_an_interval_agrees_with_asking_value_by_value() {
    let mut random = Random::new(1);
    let mut seen = [0; 3];
    for _ in 0..5_000 {
        let range = any_range(&mut random);
        let one = Exact::fraction(i128::from(random.below(20)), 2).unwrap();
        let other = Exact::fraction(i128::from(random.below(20)), 2).unwrap();
        let interval = Interval::between(one, other);
        let inside: Vec<bool> = grid()
            .filter(|value| *value >= interval.low() && *value <= interval.high())
            .map(|value| range.contains(value))
            .collect();
        let expected = if inside.iter().all(|inside| *inside) {
            Truth::Yes
        } else if inside.iter().any(|inside| *inside) {
            Truth::CannotSay
        } else {
            Truth::No
        };
        assert_eq!(range.verdict(&interval), expected, "{range:?} {interval:?}");
        seen[expected as usize] += 1;
    }
    assert!(seen.iter().all(|count| *count > 300), "{seen:?}");
}

#[test]
fn intersection_emptiness_and_covering_agree_with_asking_value_by_value() {
    let mut random = Random::new(2);
    for _ in 0..5_000 {
        let one = any_range(&mut random);
        let other = any_range(&mut random);
        let both = one.intersection(&other);
        for value in grid() {
            assert_eq!(both.contains(value), one.contains(value) && other.contains(value));
        }
        assert_eq!(one.is_empty(), !grid().any(|value| one.contains(value)), "{one:?}");
        let covers = grid().all(|value| one.contains(value) || !other.contains(value));
        assert_eq!(one.covers(&other), covers, "{one:?} {other:?}");
    }
}

#[test]
fn either_way_is_asked_of_the_magnitude() {
    let interval = |low, high| Interval::between(Exact::whole(low), Exact::whole(high));
    assert_eq!(interval(-7, -5).magnitude(), interval(5, 7));
    assert_eq!(interval(5, 7).magnitude(), interval(5, 7));
    assert_eq!(interval(-7, 5).magnitude(), interval(0, 7));
    assert_eq!(interval(-5, 7).magnitude(), interval(0, 7));
    assert_eq!(interval(-5, 0).magnitude(), interval(0, 5));
    assert_eq!(interval(-7, 5).negated(), interval(-5, 7));
    assert!(interval(5, 5).is_point());
    assert!(!interval(5, 7).is_point());
    assert_eq!(interval(7, 5), interval(5, 7));
    let over = Range::new(Relation::Over, Exact::whole(6));
    assert_eq!(over.verdict(&interval(-9, -7).magnitude()), Truth::Yes);
    assert_eq!(over.verdict(&interval(-7, 5).magnitude()), Truth::CannotSay);
}

#[test]
fn a_temperature_takes_its_uncertainty_as_a_difference() {
    let warm = quantity("20", "degC");
    let by_scale = Reading::with_uncertainty(warm, quantity("2", "degC"), None).unwrap();
    let by_change = Reading::with_uncertainty(warm, quantity("2", "degC.change"), None).unwrap();
    assert_eq!(by_scale, by_change);
    assert_eq!(by_scale.interval().low(), number("291.15"));
    assert_eq!(by_scale.interval().high(), number("295.15"));
    let fahrenheit = Reading::with_uncertainty(warm, quantity("3.6", "degF"), None).unwrap();
    assert_eq!(fahrenheit.interval(), by_scale.interval());
}

#[test]
fn a_reading_refuses_an_uncertainty_that_makes_no_sense() {
    let film = quantity("278", "um");
    assert_eq!(
        Reading::with_uncertainty(film, quantity("6", "deg"), None),
        Err(ReadingError::KindsDiffer { wanted: Kind::Length, found: Kind::Angle })
    );
    assert_eq!(
        Reading::with_uncertainty(film, quantity("6", "deg"), None).unwrap_err().to_string(),
        "the uncertainty is an angle, but must be a length"
    );
    assert_eq!(Reading::with_uncertainty(film, quantity("-6", "um"), None), Err(ReadingError::NegativeUncertainty));
    for percent in ["0", "100", "-5", "101"] {
        assert_eq!(
            Reading::with_uncertainty(film, quantity("6", "um"), Some(number(percent))),
            Err(ReadingError::Coverage)
        );
    }
    let stated = Reading::with_uncertainty(film, quantity("6", "um"), Some(number("99.7")));
    assert_eq!(stated.unwrap().coverage(), number("99.7"));
    assert_eq!(stated.unwrap().to_string(), "278 um ± 6 um at 99.7 %");
}
