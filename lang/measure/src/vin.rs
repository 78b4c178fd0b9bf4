//! Owns vehicle identification numbers: their structure, the check digit and the model-year code.
//!
//! Sources: ISO 3779 (length, alphabet, sections) and 49 CFR 565 (check digit in position 9, position 7 and
//! the model-year code in position 10). The last two are duties in the United States and Canada only: elsewhere a
//! check digit that differs is no proof of a typing error, and position 10 need not be a year. What is
//! found is therefore handed on as data, and the caller says which rule the vehicle falls under.

use std::error::Error;
use std::fmt;
use std::hash::{Hash, Hasher};

/// A vehicle identification number of 17 characters: digits and capital letters without I, O and Q.
///
/// Two are equal when their characters are, however they were typed.
#[derive(Clone)]
pub struct Vin {
    // INVARIANT: 17 ASCII characters of the alphabet.
    text: String,
    folded: bool,
}

/// Under which rule a number is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum VinRule {
    /// ISO 3779: length and alphabet.
    International,
    /// 49 CFR 565: besides, position 9 holds a digit or X. Whether it is the right one is not asked here.
    NorthAmerican,
}

/// What keeps a text from being a vehicle identification number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum VinProblem {
    /// Not 17 characters.
    Length {
        /// How many there are.
        found: usize,
    },
    /// A character that is never used, such as I, O or Q.
    Character {
        /// Its position, counted from 1.
        position: usize,
        /// The character as written.
        found: char,
    },
    /// Under the North American rule: position 9 holds neither a digit nor X.
    NoCheckDigit {
        /// The character in position 9.
        found: char,
    },
}

impl fmt::Display for VinProblem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            VinProblem::Length { found } => {
                write!(out, "a VIN has 17 characters, this one has {found}")
            }
            VinProblem::Character { position, found } => match found.to_ascii_uppercase() {
                'I' => write!(out, "position {position} is {found}, which is never used; is it a 1?"),
                'O' | 'Q' => write!(out, "position {position} is {found}, which is never used; is it a 0?"),
                _ => write!(out, "position {position} is {found:?}, which is never used in a VIN"),
            },
            VinProblem::NoCheckDigit { found } => {
                write!(out, "position 9 is {found}, but in North America it is a digit or X")
            }
        }
    }
}

impl Error for VinProblem {}

/// What position 9 says, read as a check digit.
///
/// This is data, not a judgement: outside the United States, Canada and China (the last from memory) the
/// position is free and often holds a filler.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CheckDigit {
    /// Position 9 is the check digit of the other sixteen characters.
    Agrees,
    /// Position 9 is a digit or X, but not the one that the other characters give.
    Differs {
        /// What stands there.
        found: char,
        /// What the other characters give.
        expected: char,
    },
    /// Position 9 holds another letter, which is no check digit at all.
    NotACheckDigit {
        /// What stands there.
        found: char,
        /// What the other characters give.
        expected: char,
    },
}

/// The class of vehicle, as far as the model-year rule tells it apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum VehicleClass {
    /// A passenger car, or a multipurpose vehicle or truck of at most 4536 kg (10 000 lb) gross weight.
    Light,
    /// Any other: heavier trucks, trailers, buses, motorcycles; also what was not built to the US rule.
    Other,
    /// Not known.
    Unknown,
}

/// The model years that position 10 can stand for, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ModelYears {
    /// One year: position 7 decides between the two cycles.
    One(i32),
    /// Two years, thirty apart: position 7 decides nothing for this class of vehicle, or the class is unknown.
    Either(i32, i32),
    /// Position 10 holds a character that is no model-year code (U, Z or 0).
    NotAYearCode {
        /// What stands there.
        found: char,
    },
}

impl ModelYears {
    /// The candidates, earliest first.
    pub fn candidates(&self) -> Vec<i32> {
        match *self {
            ModelYears::One(year) => vec![year],
            ModelYears::Either(first, second) => vec![first, second],
            ModelYears::NotAYearCode { .. } => Vec::new(),
        }
    }
}

/// The characters of model-year codes in the order of the years from 1980 (49 CFR 565.15, Table VII).
const YEAR_CODES: &str = "ABCDEFGHJKLMNPRSTVWXY123456789";
const FIRST_CODED_YEAR: i32 = 1980;
const YEARS_IN_CYCLE: i32 = 30;

/// Weights of the positions in the check-digit sum (49 CFR 565, Table IV of the edition read).
const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/// The number that a character of the alphabet stands for in the check-digit sum (49 CFR 565, Table III of
/// the edition read); none outside the alphabet.
pub const fn assigned_value(character: char) -> Option<u32> {
    match character {
        '0'..='9' => Some(character as u32 - '0' as u32),
        'A' | 'J' => Some(1),
        'B' | 'K' | 'S' => Some(2),
        'C' | 'L' | 'T' => Some(3),
        'D' | 'M' | 'U' => Some(4),
        'E' | 'N' | 'V' => Some(5),
        'F' | 'W' => Some(6),
        'G' | 'P' | 'X' => Some(7),
        'H' | 'Y' => Some(8),
        'R' | 'Z' => Some(9),
        _ => None,
    }
}

impl Vin {
    /// Reads a number under the international rule; [`Vin::parse_under`] takes another.
    pub fn parse(text: &str) -> Result<Vin, Vec<VinProblem>> {
        Vin::parse_under(VinRule::International, text)
    }

    /// Reads a number. Small letters are taken as capitals, and [`Vin::was_folded`] says so.
    ///
    /// Error: everything that is wrong with it, in order of position; never empty.
    pub fn parse_under(rule: VinRule, text: &str) -> Result<Vin, Vec<VinProblem>> {
        let mut problems = Vec::new();
        let length = text.chars().count();
        if length != 17 {
            problems.push(VinProblem::Length { found: length });
        }
        for (index, found) in text.chars().enumerate() {
            let position = index + 1;
            let capital = found.to_ascii_uppercase();
            if assigned_value(capital).is_none() {
                problems.push(VinProblem::Character { position, found });
            } else if rule == VinRule::NorthAmerican && position == 9 && length == 17 && !is_check_digit(capital) {
                problems.push(VinProblem::NoCheckDigit { found });
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(Vin { text: text.to_ascii_uppercase(), folded: text.bytes().any(|byte| byte.is_ascii_lowercase()) })
    }

    /// The 17 characters, in capitals.
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// Whether small letters had to be taken as capitals; the answer must say that this was done.
    pub const fn was_folded(&self) -> bool {
        self.folded
    }

    /// The character at a position counted from 1.
    pub fn character(&self, position: usize) -> Option<char> {
        self.text.chars().nth(position.checked_sub(1)?)
    }

    fn section(&self, from: usize, to: usize) -> &str {
        self.text.get(from - 1..to).unwrap_or_default()
    }

    /// Positions 1 to 3, the world manufacturer identifier.
    pub fn maker_section(&self) -> &str {
        self.section(1, 3)
    }

    /// Positions 4 to 9, the descriptor section of ISO 3779; in North America position 9 of it is the check digit.
    pub fn descriptor_section(&self) -> &str {
        self.section(4, 9)
    }

    /// Positions 10 to 17, the indicator section.
    pub fn indicator_section(&self) -> &str {
        self.section(10, 17)
    }

    /// Positions 12 to 14, which complete the maker's identity where position 3 is a 9 (a small maker).
    pub fn small_maker_section(&self) -> Option<&str> {
        (self.character(3) == Some('9')).then(|| self.section(12, 14))
    }

    /// The weighted sum that the check digit is taken from; position 9 has weight zero.
    pub fn weighted_sum(&self) -> u32 {
        self.text.chars().zip(WEIGHTS).map(|(character, weight)| assigned_value(character).unwrap_or(0) * weight).sum()
    }

    /// The check digit that the other characters give: the sum modulo 11, with X for ten.
    pub fn expected_check_digit(&self) -> char {
        char::from_digit(self.weighted_sum() % 11, 10).unwrap_or('X')
    }

    /// What position 9 says, read as a check digit. See [`CheckDigit`] for what that does not prove.
    pub fn check_digit(&self) -> CheckDigit {
        let expected = self.expected_check_digit();
        let found = self.character(9).unwrap_or(expected);
        if found == expected {
            CheckDigit::Agrees
        } else if is_check_digit(found) {
            CheckDigit::Differs { found, expected }
        } else {
            CheckDigit::NotACheckDigit { found, expected }
        }
    }

    /// The model years that position 10 can stand for, for a vehicle built to the US rule.
    ///
    /// For light vehicles a digit in position 7 means 1980 to 2009, a letter 2010 to 2039. For others, and
    /// where the class is unknown, both cycles stay possible.
    pub fn model_years(&self, class: VehicleClass) -> ModelYears {
        let code = self.character(10).unwrap_or_default();
        let place = YEAR_CODES.chars().zip(FIRST_CODED_YEAR..).find(|(known, _)| *known == code);
        let Some((_, first)) = place else {
            return ModelYears::NotAYearCode { found: code };
        };
        let second = first + YEARS_IN_CYCLE;
        match (class, self.character(7)) {
            (VehicleClass::Light, Some('0'..='9')) => ModelYears::One(first),
            (VehicleClass::Light, Some(_)) => ModelYears::One(second),
            _ => ModelYears::Either(first, second),
        }
    }
}

impl PartialEq for Vin {
    fn eq(&self, other: &Vin) -> bool {
        self.text == other.text
    }
}

impl Eq for Vin {}

impl Hash for Vin {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.text.hash(state);
    }
}

fn is_check_digit(character: char) -> bool {
    character.is_ascii_digit() || character == 'X'
}

impl fmt::Display for Vin {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.text)
    }
}

impl fmt::Debug for Vin {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.text)
    }
}
