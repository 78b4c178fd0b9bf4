//! Owns the one table of units: symbols, kind, and the exact way to the kind's base unit.
//!
//! Radians are left out on purpose: a radian is 180/pi degrees, no rational factor leads there, and a value
//! written in it could not be compared exactly. [`crate::Quantity::radians`] serves the geometry, in doubles.
//! Months and years are left out as well: they are steps on the calendar ([`crate::Date::add_months`]), not
//! spans of a fixed length.
//!
//! Sources. Inch, foot, yard, mile and pound: NIST SP 811 (2008), appendix B. Standard gravity
//! 9.80665 m/s2: third CGPM, 1901. Bar, atmosphere, minute and second of arc, litre: SI Brochure. Pound-force,
//! psi and the pound-force torques follow from these by multiplication. Celsius and Fahrenheit: NIST SP 811.

use std::fmt;

use crate::exact::{Exact, NumberError};
use crate::kind::Kind;

/// What the table holds about one unit.
struct Row {
    symbol: &'static str,
    others: &'static [&'static str],
    kind: Kind,
    /// Base units in one of this unit.
    factor: Exact,
    /// Added before the factor is applied; only scales with a fixed zero of their own have one.
    offset: Exact,
}

macro_rules! units {
    ($(
        #[$doc:meta]
        $name:ident $symbol:literal [$($other:literal)*] $kind:ident
        $numerator:literal / $denominator:literal $(after $offset:literal / $offset_denominator:literal)? ;
    )*) => {
        /// A unit of measurement.
        ///
        /// A new unit is one new line of the table.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[non_exhaustive]
        pub enum Unit {
            $(#[$doc] $name,)*
        }

        impl Unit {
            /// Every unit, in the order of the table.
            pub const ALL: &'static [Unit] = &[$(Unit::$name,)*];

            const fn row(self) -> Row {
                match self {
                    $(Unit::$name => Row {
                        symbol: $symbol,
                        others: &[$($other,)*],
                        kind: Kind::$kind,
                        factor: Exact::written($numerator, $denominator),
                        offset: units!(@offset $($offset / $offset_denominator)?),
                    },)*
                }
            }
        }

        /// The unit with this symbol or other spelling; letter case counts (`mm` is not `Mm`).
        ///
        /// The empty text is the plain number.
        pub fn unit(symbol: &str) -> Option<Unit> {
            match symbol {
                $($symbol $(| $other)* => Some(Unit::$name),)*
                _ => None,
            }
        }
    };
    (@offset) => { Exact::ZERO };
    (@offset $offset:literal / $denominator:literal) => { Exact::written($offset, $denominator) };
}

units! {
    // Greek letters that exist twice in Unicode are written by number, so that both are seen to be there.

    /// A plain number, written without a unit.
    Plain "" [] Count 1 / 1;
    /// Per cent.
    Percent "%" ["percent"] Percent 1 / 1;

    /// Micrometre.
    Micrometre "um" ["\u{b5}m" "\u{3bc}m" "micron" "microns"] Length 1 / 1_000_000;
    /// Millimetre.
    Millimetre "mm" [] Length 1 / 1_000;
    /// Centimetre.
    Centimetre "cm" [] Length 1 / 100;
    /// Metre.
    Metre "m" [] Length 1 / 1;
    /// Kilometre.
    Kilometre "km" [] Length 1_000 / 1;
    /// A thousandth of an inch.
    Mil "mil" ["mils"] Length 127 / 5_000_000;
    /// Inch; never written `in`, which is a connecting word of the language.
    Inch "inch" ["inches"] Length 127 / 5_000;
    /// Foot: the international foot, not the survey foot.
    Foot "foot" ["feet" "ft"] Length 381 / 1_250;
    /// Yard.
    Yard "yard" ["yards" "yd"] Length 1_143 / 1_250;
    /// Mile.
    Mile "mile" ["miles"] Length 201_168 / 125;

    /// Degree of angle.
    Degree "deg" ["°" "degree" "degrees"] Angle 1 / 1;
    /// Minute of arc.
    ArcMinute "arcmin" ["′"] Angle 1 / 60;
    /// Second of arc.
    ArcSecond "arcsec" ["″"] Angle 1 / 3_600;

    /// Metre of rise in each metre of run.
    MetrePerMetre "m/m" [] Slope 1 / 1;
    /// Millimetre of rise in each metre of run.
    MillimetrePerMetre "mm/m" [] Slope 1 / 1_000;
    /// Inch of rise in each foot of run.
    InchPerFoot "inch/foot" ["inch/ft"] Slope 1 / 12;

    /// Gram.
    Gram "g" [] Mass 1 / 1_000;
    /// Kilogram.
    Kilogram "kg" [] Mass 1 / 1;
    /// Tonne.
    Tonne "t" ["tonne" "tonnes"] Mass 1_000 / 1;
    /// Pound.
    Pound "lb" ["lbs"] Mass 45_359_237 / 100_000_000;

    /// Millisecond.
    Millisecond "ms" [] Time 1 / 1_000;
    /// Second.
    Second "s" ["second" "seconds"] Time 1 / 1;
    /// Minute of time.
    Minute "min" ["minute" "minutes"] Time 60 / 1;
    /// Hour.
    Hour "h" ["hour" "hours"] Time 3_600 / 1;
    /// Day of 24 hours.
    Day "day" ["days"] Time 86_400 / 1;
    /// Week of seven days.
    Week "week" ["weeks"] Time 604_800 / 1;

    /// Metre per second.
    MetrePerSecond "m/s" [] Speed 1 / 1;
    /// Kilometre per hour.
    KilometrePerHour "km/h" [] Speed 5 / 18;
    /// Mile per hour.
    MilePerHour "mph" [] Speed 1_397 / 3_125;

    /// Degree per second.
    DegreePerSecond "deg/s" ["°/s"] TurnRate 1 / 1;
    /// Turn per minute.
    TurnPerMinute "rpm" ["1/min"] TurnRate 6 / 1;

    /// Metre per second squared.
    MetrePerSecondSquared "m/s2" ["m/s²"] Acceleration 1 / 1;
    /// Standard gravity.
    StandardGravity "gn" [] Acceleration 196_133 / 20_000;

    /// Newton.
    Newton "N" [] Force 1 / 1;
    /// Kilonewton.
    Kilonewton "kN" [] Force 1_000 / 1;
    /// Pound-force.
    PoundForce "lbf" [] Force 8_896_443_230_521 / 2_000_000_000_000;
    /// Kilogram-force.
    KilogramForce "kgf" [] Force 196_133 / 20_000;

    /// Newton metre.
    NewtonMetre "Nm" ["N.m" "N·m"] Torque 1 / 1;
    /// Pound-force foot.
    PoundForceFoot "lbf.ft" ["lbf·ft"] Torque 3_389_544_870_828_501 / 2_500_000_000_000_000;
    /// Pound-force inch.
    PoundForceInch "lbf.in" ["lbf·in"] Torque 1_129_848_290_276_167 / 10_000_000_000_000_000;
    /// Kilogram-force metre.
    KilogramForceMetre "kgf.m" ["kgf·m"] Torque 196_133 / 20_000;

    /// Pascal.
    Pascal "Pa" [] Pressure 1 / 1;
    /// Hectopascal.
    Hectopascal "hPa" [] Pressure 100 / 1;
    /// Millibar.
    Millibar "mbar" [] Pressure 100 / 1;
    /// Kilopascal.
    Kilopascal "kPa" [] Pressure 1_000 / 1;
    /// Megapascal.
    Megapascal "MPa" [] Pressure 1_000_000 / 1;
    /// Bar.
    Bar "bar" [] Pressure 100_000 / 1;
    /// Pound-force per square inch.
    Psi "psi" [] Pressure 8_896_443_230_521 / 1_290_320_000;
    /// Standard atmosphere.
    Atmosphere "atm" [] Pressure 101_325 / 1;

    /// Kelvin.
    Kelvin "K" [] Temperature 1 / 1;
    /// Degree Celsius.
    Celsius "degC" ["°C"] Temperature 1 / 1 after 5_463 / 20;
    /// Degree Fahrenheit.
    Fahrenheit "degF" ["°F"] Temperature 5 / 9 after 45_967 / 100;
    /// Difference of one kelvin.
    KelvinChange "K.change" [] TemperatureDifference 1 / 1;
    /// Difference of one degree Celsius, which is one kelvin.
    CelsiusChange "degC.change" ["°C.change"] TemperatureDifference 1 / 1;
    /// Difference of one degree Fahrenheit, which is 5/9 kelvin.
    FahrenheitChange "degF.change" ["°F.change"] TemperatureDifference 5 / 9;

    /// Millivolt.
    Millivolt "mV" [] Voltage 1 / 1_000;
    /// Volt.
    Volt "V" [] Voltage 1 / 1;
    /// Milliampere.
    Milliampere "mA" [] Current 1 / 1_000;
    /// Ampere.
    Ampere "A" [] Current 1 / 1;
    /// Ohm.
    Ohm "ohm" ["\u{3a9}" "\u{2126}"] Resistance 1 / 1;
    /// Kiloohm.
    Kiloohm "kohm" ["k\u{3a9}" "k\u{2126}"] Resistance 1_000 / 1;
    /// Ampere hour.
    AmpereHour "Ah" [] Charge 1 / 1;
    /// Watt.
    Watt "W" [] Power 1 / 1;
    /// Kilowatt.
    Kilowatt "kW" [] Power 1_000 / 1;

    /// Hertz.
    Hertz "Hz" [] Frequency 1 / 1;
    /// Kilohertz.
    Kilohertz "kHz" [] Frequency 1_000 / 1;
    /// Megahertz.
    Megahertz "MHz" [] Frequency 1_000_000 / 1;
    /// Gigahertz.
    Gigahertz "GHz" [] Frequency 1_000_000_000 / 1;
    /// Decibel.
    Decibel "dB" [] Level 1 / 1;
    /// Millilitre.
    Millilitre "ml" ["mL"] Volume 1 / 1_000;
    /// Litre.
    Litre "L" ["l" "litre" "litres"] Volume 1 / 1;
    /// Lux.
    Lux "lx" ["lux"] Illuminance 1 / 1;
}

impl Unit {
    /// The symbol that is printed; the function [`unit()`] reads it back.
    pub const fn symbol(self) -> &'static str {
        self.row().symbol
    }

    /// Other spellings that are read as this unit.
    pub const fn other_spellings(self) -> &'static [&'static str] {
        self.row().others
    }

    /// What the unit measures.
    pub const fn kind(self) -> Kind {
        self.row().kind
    }

    /// Base units of the kind in one of this unit, exactly.
    pub const fn factor(self) -> Exact {
        self.row().factor
    }

    /// What is added to a value before the factor is applied; zero but for Celsius and Fahrenheit.
    pub const fn offset(self) -> Exact {
        self.row().offset
    }

    /// The unit for differences on this scale: `degC.change` for `degC`, any other unit itself.
    pub const fn for_differences(self) -> Unit {
        match self {
            Unit::Kelvin => Unit::KelvinChange,
            Unit::Celsius => Unit::CelsiusChange,
            Unit::Fahrenheit => Unit::FahrenheitChange,
            other => other,
        }
    }

    /// A value in this unit, in the base unit of its kind.
    pub fn to_base(self, value: Exact) -> Result<Exact, NumberError> {
        let row = self.row();
        value.plus(row.offset)?.times(row.factor)
    }

    /// A value in the base unit of this unit's kind, in this unit.
    pub fn from_base(self, value: Exact) -> Result<Exact, NumberError> {
        let row = self.row();
        value.divided_by(row.factor)?.minus(row.offset)
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.symbol())
    }
}

impl Kind {
    /// The unit in which values of this kind are compared; its factor is one.
    pub const fn base_unit(self) -> Unit {
        match self {
            Kind::Count => Unit::Plain,
            Kind::Percent => Unit::Percent,
            Kind::Length => Unit::Metre,
            Kind::Angle => Unit::Degree,
            Kind::Slope => Unit::MetrePerMetre,
            Kind::Mass => Unit::Kilogram,
            Kind::Time => Unit::Second,
            Kind::Speed => Unit::MetrePerSecond,
            Kind::TurnRate => Unit::DegreePerSecond,
            Kind::Acceleration => Unit::MetrePerSecondSquared,
            Kind::Force => Unit::Newton,
            Kind::Torque => Unit::NewtonMetre,
            Kind::Pressure => Unit::Pascal,
            Kind::Temperature => Unit::Kelvin,
            Kind::TemperatureDifference => Unit::KelvinChange,
            Kind::Voltage => Unit::Volt,
            Kind::Current => Unit::Ampere,
            Kind::Resistance => Unit::Ohm,
            Kind::Charge => Unit::AmpereHour,
            Kind::Power => Unit::Watt,
            Kind::Frequency => Unit::Hertz,
            Kind::Level => Unit::Decibel,
            Kind::Volume => Unit::Litre,
            Kind::Illuminance => Unit::Lux,
        }
    }
}
