//! Owns the layout of trouble codes: two or three bytes, as printed, and who controls their meaning.
//!
//! Sources: SAE J2012 and ISO 15031-6 for the two-byte coding, who controls which codes, and the failure-type
//! byte (parts of it seen in public restatements, parts from memory: 7x, 8x and 9x groups, 78, 87, 97).

use std::error::Error;
use std::fmt;

use crate::failure::failure_type_name;

/// A trouble code: two bytes, or three with a failure type.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TroubleCode {
    number: u16,
    failure_type: Option<u8>,
}

/// The part of the vehicle that the first letter names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CodeGroup {
    /// P.
    Powertrain,
    /// C.
    Chassis,
    /// B.
    Body,
    /// U.
    Network,
}

impl CodeGroup {
    /// The letter that is printed.
    pub const fn letter(self) -> char {
        match self {
            CodeGroup::Powertrain => 'P',
            CodeGroup::Chassis => 'C',
            CodeGroup::Body => 'B',
            CodeGroup::Network => 'U',
        }
    }
}

/// Who says what a code means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CodeControl {
    /// The standard: one meaning for every maker.
    Standard,
    /// The maker: the meaning is in the maker's own text.
    Maker,
    /// Kept back by the standard.
    Reserved,
    /// The standard in later editions, kept back in earlier ones.
    StandardInLaterEditions,
}

/// Why a text or bytes are not a trouble code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum CodeError {
    /// Neither five characters, nor five, a hyphen and two.
    Layout,
    /// The first character is not P, C, B or U.
    Letter {
        /// What stands there.
        found: char,
    },
    /// The second character is not 0, 1, 2 or 3.
    SecondCharacter {
        /// What stands there.
        found: char,
    },
    /// A character that is no hexadecimal digit.
    NotHexadecimal {
        /// Its position, counted from 1.
        position: usize,
        /// What stands there.
        found: char,
    },
    /// Bytes are two or three pairs of hexadecimal digits.
    ByteCount,
}

impl fmt::Display for CodeError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CodeError::Layout => out.write_str("a trouble code is written as in B3A17 or B3A17-54"),
            CodeError::Letter { found } => {
                write!(out, "a trouble code begins with P, C, B or U, not {found}")
            }
            CodeError::SecondCharacter { found } => {
                write!(out, "the second character of a trouble code is 0, 1, 2 or 3, not {found}")
            }
            CodeError::NotHexadecimal { position, found } => {
                write!(out, "position {position} is {found}, which is not a hexadecimal digit (0 to 9, A to F)")
            }
            CodeError::ByteCount => out.write_str("a trouble code is two or three bytes, as in C1 21 00"),
        }
    }
}

impl Error for CodeError {}

impl TroubleCode {
    /// A code of two bytes.
    pub const fn from_two_bytes(bytes: [u8; 2]) -> TroubleCode {
        TroubleCode { number: u16::from_be_bytes(bytes), failure_type: None }
    }

    /// A code of three bytes, the last of which is the failure type.
    pub const fn from_three_bytes(bytes: [u8; 3]) -> TroubleCode {
        let [first, second, failure_type] = bytes;
        TroubleCode { number: u16::from_be_bytes([first, second]), failure_type: Some(failure_type) }
    }

    /// Reads bytes in hexadecimal, with or without spaces between them: `C1 21 00`, `c12100`.
    pub fn from_hexadecimal(text: &str) -> Result<TroubleCode, CodeError> {
        let mut digits = Vec::new();
        for part in text.split_ascii_whitespace() {
            if !part.len().is_multiple_of(2) {
                return Err(CodeError::ByteCount);
            }
            for found in part.chars() {
                let position = digits.len() + 1;
                digits.push(hexadecimal(found, position)?);
            }
        }
        match *digits.as_slice() {
            [a, b, c, d] => Ok(TroubleCode::from_two_bytes([a << 4 | b, c << 4 | d])),
            [a, b, c, d, e, f] => Ok(TroubleCode::from_three_bytes([a << 4 | b, c << 4 | d, e << 4 | f])),
            _ => Err(CodeError::ByteCount),
        }
    }

    /// Reads a code as printed, `B3A17` or `B3A17-54`; small letters are taken as capitals.
    pub fn parse(text: &str) -> Result<TroubleCode, CodeError> {
        let (main, failure_type) = match text.split_once('-') {
            Some((main, rest)) => (main, Some(rest)),
            None => (text, None),
        };
        let mut number = 0;
        let mut length = 0;
        for (index, found) in main.chars().enumerate() {
            let nibble = match (index, found.to_ascii_uppercase()) {
                (0, 'P') => 0,
                (0, 'C') => 4,
                (0, 'B') => 8,
                (0, 'U') => 12,
                (0, _) => return Err(CodeError::Letter { found }),
                (1, '0'..='3') => 0,
                (1, _) => return Err(CodeError::SecondCharacter { found }),
                (2..=4, _) => u16::from(hexadecimal(found, index + 1)?),
                _ => return Err(CodeError::Layout),
            };
            number = if index == 1 {
                // The second character shares the first four bits with the letter.
                number | (u16::from(hexadecimal(found, 2)?))
            } else {
                number << 4 | nibble
            };
            length += 1;
        }
        if length != 5 {
            return Err(CodeError::Layout);
        }
        let failure_type = match failure_type {
            None => None,
            Some(rest) => {
                let mut byte = 0;
                let mut length = 0;
                for found in rest.chars() {
                    byte = byte << 4 | hexadecimal(found, length + 7)?;
                    length += 1;
                }
                if length != 2 {
                    return Err(CodeError::Layout);
                }
                Some(byte)
            }
        };
        Ok(TroubleCode { number, failure_type })
    }

    /// The first two bytes.
    pub const fn two_bytes(self) -> [u8; 2] {
        self.number.to_be_bytes()
    }

    /// The failure-type byte, where the code has one.
    pub const fn failure_type(self) -> Option<u8> {
        self.failure_type
    }

    /// What the failure-type byte means, where the code has one and its meaning is listed.
    pub const fn failure_type_name(self) -> Option<&'static str> {
        match self.failure_type {
            Some(byte) => failure_type_name(byte),
            None => None,
        }
    }

    /// The same code without its failure type.
    #[must_use]
    pub const fn without_failure_type(self) -> TroubleCode {
        TroubleCode { number: self.number, failure_type: None }
    }

    /// The part of the vehicle that the first letter names (bits 15 and 14).
    pub const fn group(self) -> CodeGroup {
        match self.number >> 14 {
            0 => CodeGroup::Powertrain,
            1 => CodeGroup::Chassis,
            2 => CodeGroup::Body,
            _ => CodeGroup::Network,
        }
    }

    /// Who says what the code means.
    pub const fn control(self) -> CodeControl {
        let second = (self.number >> 12) & 3;
        let third = (self.number >> 8) & 15;
        match (self.group(), second) {
            (_, 0) => CodeControl::Standard,
            (_, 1) => CodeControl::Maker,
            (CodeGroup::Powertrain, 2) => CodeControl::Standard,
            (CodeGroup::Powertrain, _) if third < 4 => CodeControl::Maker,
            (CodeGroup::Powertrain, _) => CodeControl::Standard,
            (_, 2) => CodeControl::Maker,
            (CodeGroup::Network, _) => CodeControl::StandardInLaterEditions,
            (_, _) => CodeControl::Reserved,
        }
    }
}

fn hexadecimal(found: char, position: usize) -> Result<u8, CodeError> {
    found.to_digit(16).and_then(|digit| u8::try_from(digit).ok()).ok_or(CodeError::NotHexadecimal { position, found })
}

impl fmt::Display for TroubleCode {
    /// The code as printed: `B3A17`, or `B3A17-54` with a failure type.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}{}{:03X}", self.group().letter(), (self.number >> 12) & 3, self.number & 0xFFF)?;
        match self.failure_type {
            Some(byte) => write!(out, "-{byte:02X}"),
            None => Ok(()),
        }
    }
}

impl fmt::Debug for TroubleCode {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, out)
    }
}
