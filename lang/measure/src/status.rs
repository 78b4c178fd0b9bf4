//! Owns the status byte of a trouble code: its named bits, which of them a unit supports, and what they show.
//!
//! Source: ISO 14229-1, statusOfDTC and DTCStatusAvailabilityMask (bit names and meanings seen in a public
//! restatement). The order in which a status is put into words is this project's own.

use std::fmt;

use crate::range::Truth;

/// One bit of the status byte.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StatusBit {
    /// Bit 0: the most recent finished test failed.
    TestFailed,
    /// Bit 1: the test failed at least once in this operation cycle.
    TestFailedThisOperationCycle,
    /// Bit 2: the test failed in this or the last finished operation cycle.
    Pending,
    /// Bit 3: the test failed often enough for the code to be stored.
    Confirmed,
    /// Bit 4: the test has not run to its end since codes were last cleared.
    TestNotCompletedSinceLastClear,
    /// Bit 5: the test failed at least once since codes were last cleared.
    TestFailedSinceLastClear,
    /// Bit 6: the test has not run to its end in this operation cycle.
    TestNotCompletedThisOperationCycle,
    /// Bit 7: the unit asks for a warning lamp.
    WarningIndicatorRequested,
}

impl StatusBit {
    /// Every bit, lowest first.
    pub const ALL: [StatusBit; 8] = [
        StatusBit::TestFailed,
        StatusBit::TestFailedThisOperationCycle,
        StatusBit::Pending,
        StatusBit::Confirmed,
        StatusBit::TestNotCompletedSinceLastClear,
        StatusBit::TestFailedSinceLastClear,
        StatusBit::TestNotCompletedThisOperationCycle,
        StatusBit::WarningIndicatorRequested,
    ];

    /// The byte in which only this bit is set.
    pub const fn mask(self) -> u8 {
        1 << self as u8
    }

    /// What the bit says when it is set.
    pub const fn words(self) -> &'static str {
        match self {
            StatusBit::TestFailed => "the last finished test failed",
            StatusBit::TestFailedThisOperationCycle => "failed in this operation cycle",
            StatusBit::Pending => "pending",
            StatusBit::Confirmed => "confirmed",
            StatusBit::TestNotCompletedSinceLastClear => "not tested to the end since the last clear",
            StatusBit::TestFailedSinceLastClear => "failed since the last clear",
            StatusBit::TestNotCompletedThisOperationCycle => "not tested to the end in this operation cycle",
            StatusBit::WarningIndicatorRequested => "warning lamp asked for",
        }
    }
}

/// The status of a trouble code: the byte and which of its bits the unit supports.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct CodeStatus {
    // INVARIANT: no bit is set outside `available`.
    byte: u8,
    available: u8,
}

/// What a status shows about the fault, most telling first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StatusReading {
    /// The last finished test failed: the fault is there now.
    FaultPresent,
    /// The test has not run to its end since the last clear: that no code shows proves nothing.
    NotTestedSinceClear,
    /// Stored as confirmed; the last test did not fail, or has not run again.
    Confirmed,
    /// Pending; the last finished test did not fail.
    Pending,
    /// Failed at some time since the last clear, but neither pending nor confirmed.
    FailedSinceClear,
    /// Tested to the end since the last clear and not failed since.
    TestedAndNeverFailed,
    /// No bit speaks of a fault, but the unit leaves out a bit that would be needed to show that the test has
    /// run and passed.
    CannotSay,
}

impl StatusReading {
    /// The reading in plain words.
    pub const fn words(self) -> &'static str {
        match self {
            StatusReading::FaultPresent => "the fault is present now",
            StatusReading::NotTestedSinceClear => {
                "not tested since the last clear, so that no code shows proves nothing"
            }
            StatusReading::Confirmed => "a confirmed fault is stored; its last test passed or has not run again",
            StatusReading::Pending => "a fault is pending; its last finished test did not fail",
            StatusReading::FailedSinceClear => {
                "failed at some time since the last clear, neither pending nor confirmed now"
            }
            StatusReading::TestedAndNeverFailed => "tested since the last clear and never failed",
            StatusReading::CannotSay => "no fault shown, but the unit does not say whether its test has run and passed",
        }
    }
}

impl CodeStatus {
    /// The status of a code in a unit that supports every bit.
    pub const fn new(byte: u8) -> CodeStatus {
        CodeStatus::with_mask(byte, 0xFF)
    }

    /// The status of a code in a unit that supports the bits of `available` (its DTCStatusAvailabilityMask).
    ///
    /// A bit outside the mask says nothing, whatever the byte holds there.
    pub const fn with_mask(byte: u8, available: u8) -> CodeStatus {
        CodeStatus { byte: byte & available, available }
    }

    /// The byte, with zeros where the unit supports nothing.
    pub const fn byte(self) -> u8 {
        self.byte
    }

    /// The bits that the unit supports.
    pub const fn available(self) -> u8 {
        self.available
    }

    /// Whether a bit is set; it cannot be said where the unit does not support it.
    pub const fn bit(self, bit: StatusBit) -> Truth {
        if self.available & bit.mask() == 0 {
            Truth::CannotSay
        } else if self.byte & bit.mask() == 0 {
            Truth::No
        } else {
            Truth::Yes
        }
    }

    /// The bits that are set, lowest first.
    pub fn bits_set(self) -> Vec<StatusBit> {
        StatusBit::ALL.into_iter().filter(|bit| self.byte & bit.mask() != 0).collect()
    }

    /// Whether the test has run to its end since the last clear; it cannot be said where bit 4 is outside the mask.
    pub const fn tested_since_clear(self) -> Truth {
        self.bit(StatusBit::TestNotCompletedSinceLastClear).negated()
    }

    /// Whether the test has run to its end in this operation cycle.
    pub const fn tested_this_operation_cycle(self) -> Truth {
        self.bit(StatusBit::TestNotCompletedThisOperationCycle).negated()
    }

    /// What the status shows: the first of bits 0, 4, 3, 2 and 5 that is set decides.
    ///
    /// "Tested and never failed" needs all five to be supported and clear.
    pub fn reading(self) -> StatusReading {
        let deciding = [
            (StatusBit::TestFailed, StatusReading::FaultPresent),
            (StatusBit::TestNotCompletedSinceLastClear, StatusReading::NotTestedSinceClear),
            (StatusBit::Confirmed, StatusReading::Confirmed),
            (StatusBit::Pending, StatusReading::Pending),
            (StatusBit::TestFailedSinceLastClear, StatusReading::FailedSinceClear),
        ];
        let mut clear_reading = StatusReading::TestedAndNeverFailed;
        for (bit, reading) in deciding {
            match self.bit(bit) {
                Truth::Yes => return reading,
                Truth::No => {}
                Truth::CannotSay => clear_reading = StatusReading::CannotSay,
            }
        }
        clear_reading
    }
}

impl fmt::Display for CodeStatus {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "0x{:02X}", self.byte)
    }
}
