//! Owns patterns over vehicle and trouble codes: `?` stands for any one character, `*` at the end for any rest.

use std::error::Error;
use std::fmt;

use crate::code::TroubleCode;
use crate::range::Truth;
use crate::vin::{Vin, assigned_value};

/// A pattern over vehicle identification numbers, such as `XYZ??9*`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct VinPattern(Pattern);

/// A pattern over trouble codes, such as `B3A17`, `B3A??`, `B3A17-5?` or `U0*`.
///
/// Without a hyphen the failure type is not looked at.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CodePattern(Pattern);

/// Why a text is not a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum PatternError {
    /// `*` stands elsewhere than at the end.
    StarInside {
        /// Its position, counted from 1.
        position: usize,
    },
    /// A character that nothing matched by the pattern can have there.
    Character {
        /// Its position, counted from 1.
        position: usize,
        /// What stands there.
        found: char,
    },
    /// The pattern is too long, or too short without `*` at its end.
    Length {
        /// How many characters it has, `*` left out.
        found: usize,
    },
}

impl fmt::Display for PatternError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PatternError::StarInside { position } => {
                write!(out, "`*` at position {position} stands for any rest, so it can only come last")
            }
            PatternError::Character { position, found } => {
                write!(out, "{found:?} can never stand at position {position}")
            }
            PatternError::Length { found } => {
                write!(out, "the pattern has {found} characters; leave out none, or end it with `*`")
            }
        }
    }
}

impl Error for PatternError {}

/// The most characters a pattern has: as many as a vehicle identification number.
const MOST_CHARACTERS: usize = 17;

/// Small enough to be handed on by value.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Pattern {
    /// One entry for each character: a capital, a digit or a hyphen, or none where any will do; past the length none.
    all: [Option<char>; MOST_CHARACTERS],
    length: usize,
    open_end: bool,
}

impl Pattern {
    fn of(characters: &[Option<char>], open_end: bool) -> Option<Pattern> {
        let mut all = [None; MOST_CHARACTERS];
        all.get_mut(..characters.len())?.copy_from_slice(characters);
        Some(Pattern { all, length: characters.len(), open_end })
    }

    fn characters(&self) -> &[Option<char>] {
        self.all.get(..self.length).unwrap_or(&[])
    }

    fn parse(
        text: &str,
        may_stand: impl Fn(usize, char) -> bool,
        may_be_open: impl Fn(usize) -> bool,
    ) -> Result<Pattern, PatternError> {
        let (body, open_end) = match text.strip_suffix('*') {
            Some(body) => (body, true),
            None => (text, false),
        };
        let mut characters = Vec::new();
        for (index, found) in body.chars().enumerate() {
            let position = index + 1;
            let capital = found.to_ascii_uppercase();
            characters.push(match found {
                '*' => return Err(PatternError::StarInside { position }),
                '?' if may_be_open(position) => None,
                _ if may_stand(position, capital) => Some(capital),
                _ => return Err(PatternError::Character { position, found }),
            });
        }
        Pattern::of(&characters, open_end).ok_or(PatternError::Length { found: characters.len() })
    }

    fn matches(&self, text: &str) -> bool {
        let mut rest = text.chars();
        for wanted in self.characters() {
            match (wanted, rest.next()) {
                (Some(wanted), Some(found)) if *wanted == found => {}
                (None, Some(_)) => {}
                _ => return false,
            }
        }
        self.open_end || rest.next().is_none()
    }
}

impl fmt::Display for Pattern {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for character in self.characters() {
            write!(out, "{}", character.unwrap_or('?'))?;
        }
        out.write_str(if self.open_end { "*" } else { "" })
    }
}

impl VinPattern {
    /// Reads a pattern; small letters are taken as capitals.
    pub fn parse(text: &str) -> Result<VinPattern, PatternError> {
        let pattern = Pattern::parse(text, |_, found| assigned_value(found).is_some(), |_| true)?;
        let found = pattern.length;
        if found > 17 || (found < 17 && !pattern.open_end) {
            return Err(PatternError::Length { found });
        }
        Ok(VinPattern(pattern))
    }

    /// The pattern that every number fits.
    pub fn any() -> VinPattern {
        VinPattern(Pattern { all: [None; MOST_CHARACTERS], length: 0, open_end: true })
    }

    /// The numbers that fit both patterns; none where none does.
    pub fn and(&self, other: &VinPattern) -> Option<VinPattern> {
        let (mut all, mut length) = ([None; MOST_CHARACTERS], 0);
        for (index, (place, (one, two))) in all.iter_mut().zip(self.0.all.iter().zip(&other.0.all)).enumerate() {
            *place = match (one, two) {
                (Some(one), Some(two)) if one != two => return None,
                (Some(wanted), _) | (_, Some(wanted)) => Some(*wanted),
                (None, None) => None,
            };
            if place.is_some() {
                length = index + 1;
            }
        }
        Some(VinPattern(Pattern { all, length, open_end: true }))
    }

    /// Whether every number that fits this pattern fits the other too.
    pub fn is_within(&self, other: &VinPattern) -> bool {
        self.0.all.iter().zip(&other.0.all).all(|(one, two)| two.is_none() || one == two)
    }

    /// Whether a number fits the pattern.
    pub fn matches(&self, vin: &Vin) -> bool {
        self.0.matches(vin.as_str())
    }
}

impl fmt::Display for VinPattern {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, out)
    }
}

impl fmt::Debug for VinPattern {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, out)
    }
}

/// How many characters the code and the hyphen take before the failure type.
const BEFORE_FAILURE_TYPE: usize = 6;

impl CodePattern {
    /// Reads a pattern; small letters are taken as capitals.
    pub fn parse(text: &str) -> Result<CodePattern, PatternError> {
        let pattern = Pattern::parse(
            text,
            |position, found| match position {
                1 => matches!(found, 'P' | 'C' | 'B' | 'U'),
                2 => matches!(found, '0'..='3'),
                BEFORE_FAILURE_TYPE => found == '-',
                _ => found.is_ascii_hexdigit(),
            },
            |position| position != BEFORE_FAILURE_TYPE,
        )?;
        let found = pattern.length;
        let whole = found == 5 || found == 8;
        if found > 8 || !(whole || pattern.open_end) {
            return Err(PatternError::Length { found });
        }
        Ok(CodePattern(pattern))
    }

    /// Whether a code fits the pattern; it cannot be said where the pattern asks for a failure type and the
    /// code was given without one.
    pub fn matches(&self, code: TroubleCode) -> Truth {
        let main = code.without_failure_type().to_string();
        if self.0.length < BEFORE_FAILURE_TYPE {
            return Truth::from(self.0.matches(&main));
        }
        if code.failure_type().is_some() {
            return Truth::from(self.0.matches(&code.to_string()));
        }
        let start = Pattern::of(self.0.characters().get(..5).unwrap_or(&[]), false);
        if !start.is_some_and(|start| start.matches(&main)) {
            Truth::No
        } else if self.asks_for_failure_type() {
            Truth::CannotSay
        } else {
            Truth::Yes
        }
    }

    /// Whether the pattern says anything about the failure type, beyond that any will do.
    fn asks_for_failure_type(&self) -> bool {
        self.0.characters().iter().skip(BEFORE_FAILURE_TYPE).any(Option::is_some)
    }
}

impl fmt::Display for CodePattern {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, out)
    }
}

impl fmt::Debug for CodePattern {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, out)
    }
}
