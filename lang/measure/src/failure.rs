//! Owns the meanings of the failure-type byte, the third byte of a trouble code.
//!
//! Source: SAE J2012 digital annex and ISO 15031-6, as seen in a public restatement; the groups 7x to 9x and
//! the bytes 78, 87 and 97 from memory. Only the bytes that matter after a repair are listed.

/// What a failure-type byte means; none where it is not listed here, which says nothing about the code.
pub const fn failure_type_name(byte: u8) -> Option<&'static str> {
    Some(match byte {
        0x00 => "no sub type",
        0x11 => "circuit short to ground",
        0x12 => "circuit short to battery",
        0x13 => "circuit open",
        0x28 => "signal bias out of range or zero adjustment failed",
        0x29 => "signal invalid",
        0x46 => "calibration or parameter memory failure",
        0x49 => "internal electronic failure",
        0x4A => "incorrect component installed",
        0x51 => "not programmed",
        0x52 => "not activated",
        0x53 => "deactivated",
        0x54 => "missing calibration",
        0x55 => "not configured",
        0x64 => "signal plausibility failure",
        0x78 => "alignment or adjustment incorrect",
        0x87 => "missing message",
        0x97 => "operation of a component or system obstructed or blocked",
        _ => return None,
    })
}

/// The group that the first half of a failure-type byte names; none from A0 on.
pub const fn failure_group_name(byte: u8) -> Option<&'static str> {
    Some(match byte >> 4 {
        0x0 => "general",
        0x1 => "circuit",
        0x2 | 0x3 => "signal",
        0x4 => "internal to the control unit",
        0x5 => "programming or configuration",
        0x6 => "algorithm",
        0x7 => "mechanical",
        0x8 => "bus or message",
        0x9 => "component",
        _ => return None,
    })
}
