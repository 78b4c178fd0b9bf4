//! Owns the kinds of quantity: what may be compared with what.

use std::fmt;

/// What a quantity is a quantity of. Only quantities of one kind can be compared, added or converted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Kind {
    /// A plain number, such as a count.
    Count,
    /// Parts in a hundred, such as a state of charge.
    Percent,
    /// A length.
    Length,
    /// A plane angle.
    Angle,
    /// A rise over a run.
    Slope,
    /// A mass.
    Mass,
    /// A span of time.
    Time,
    /// A speed.
    Speed,
    /// A rate of turning, such as yaw rate or shaft speed.
    TurnRate,
    /// An acceleration.
    Acceleration,
    /// A force.
    Force,
    /// A torque; never an energy, though the unit names look alike.
    Torque,
    /// A pressure. Gauge and absolute are not told apart: what is written is compared.
    Pressure,
    /// A temperature on a scale with a fixed zero.
    Temperature,
    /// A difference of two temperatures, which has no zero point of its own.
    TemperatureDifference,
    /// A voltage.
    Voltage,
    /// An electric current.
    Current,
    /// An electric resistance.
    Resistance,
    /// An electric charge, such as a battery's capacity.
    Charge,
    /// A power.
    Power,
    /// A frequency.
    Frequency,
    /// A ratio of powers in decibel, such as what a cover takes from a radar's signal.
    Level,
    /// A volume.
    Volume,
    /// Light falling on a surface.
    Illuminance,
}

impl Kind {
    /// Every kind, in order.
    pub const ALL: &'static [Kind] = &[
        Kind::Count,
        Kind::Percent,
        Kind::Length,
        Kind::Angle,
        Kind::Slope,
        Kind::Mass,
        Kind::Time,
        Kind::Speed,
        Kind::TurnRate,
        Kind::Acceleration,
        Kind::Force,
        Kind::Torque,
        Kind::Pressure,
        Kind::Temperature,
        Kind::TemperatureDifference,
        Kind::Voltage,
        Kind::Current,
        Kind::Resistance,
        Kind::Charge,
        Kind::Power,
        Kind::Frequency,
        Kind::Level,
        Kind::Volume,
        Kind::Illuminance,
    ];

    /// The kind in plain words, as used inside a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Kind::Count => "plain number",
            Kind::Percent => "percentage",
            Kind::Length => "length",
            Kind::Angle => "angle",
            Kind::Slope => "slope",
            Kind::Mass => "mass",
            Kind::Time => "span of time",
            Kind::Speed => "speed",
            Kind::TurnRate => "rate of turning",
            Kind::Acceleration => "acceleration",
            Kind::Force => "force",
            Kind::Torque => "torque",
            Kind::Pressure => "pressure",
            Kind::Temperature => "temperature",
            Kind::TemperatureDifference => "temperature difference",
            Kind::Voltage => "voltage",
            Kind::Current => "current",
            Kind::Resistance => "resistance",
            Kind::Charge => "electric charge",
            Kind::Power => "power",
            Kind::Frequency => "frequency",
            Kind::Level => "level in decibel",
            Kind::Volume => "volume",
            Kind::Illuminance => "illuminance",
        }
    }

    /// The kind with its article, for the start of a phrase: `a length`, `an angle`.
    pub fn with_article(self) -> String {
        let article = if self.name().starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" };
        format!("{article} {}", self.name())
    }

    /// The kind of the difference of two values of this kind, and of the uncertainty of one: itself, except
    /// that temperatures differ by a temperature difference.
    pub const fn difference(self) -> Kind {
        match self {
            Kind::Temperature => Kind::TemperatureDifference,
            other => other,
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.name())
    }
}
