//! Owns the words for the sign of a result, because the trade uses both signs.
//!
//! A result that is zero but for rounding is said to be zero: below a millionth of a millimetre or a thousand
//! millionth of a degree, far below anything that can be measured and far above the rounding.

use std::cmp::Ordering;
use std::fmt;

/// Below this a length counts as zero in words, in mm.
const LENGTH_GRAIN: f64 = 1e-6;
/// Below this an angle counts as zero in words, in degrees.
const ANGLE_GRAIN: f64 = 1e-9;

/// The sign of a value, zero within the grain.
fn sign(value: f64, grain: f64) -> Ordering {
    if value > grain {
        Ordering::Greater
    } else if value < -grain {
        Ordering::Less
    } else {
        Ordering::Equal
    }
}

/// Declares a set of words: the one for a positive, a zero and a negative value.
macro_rules! words {
    ($(#[$about:meta])* $name:ident by $grain:ident,
     $plus:ident $plus_words:literal, $zero:ident $zero_words:literal, $minus:ident $minus_words:literal) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum $name {
            #[doc = concat!("In words: ", $plus_words, ".")]
            $plus,
            #[doc = concat!("In words: ", $zero_words, ".")]
            $zero,
            #[doc = concat!("In words: ", $minus_words, ".")]
            $minus,
        }

        impl $name {
            /// The word for a signed value.
            pub(crate) fn of(value: f64) -> $name {
                match sign(value, $grain) {
                    Ordering::Greater => $name::$plus,
                    Ordering::Equal => $name::$zero,
                    Ordering::Less => $name::$minus,
                }
            }

            /// The words themselves.
            pub const fn words(self) -> &'static str {
                match self {
                    $name::$plus => $plus_words,
                    $name::$zero => $zero_words,
                    $name::$minus => $minus_words,
                }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str(self.words())
            }
        }
    };
}

words! {
    /// Where a direction points, seen from above: the sign of a yaw.
    Turn by ANGLE_GRAIN, Left "to the left", Straight "straight ahead", Right "to the right"
}
words! {
    /// Where a point lies beside a line: the sign of a lateral offset.
    Side by LENGTH_GRAIN, Left "to the left", OnTheLine "on the line", Right "to the right"
}
words! {
    /// How the nose stands: the sign of a pitch.
    Nose by ANGLE_GRAIN, Down "nose down", Level "level", Up "nose up"
}
words! {
    /// How the body leans: the sign of a roll.
    Lean by ANGLE_GRAIN, LeftSideUp "left side up", Level "level", RightSideUp "right side up"
}
words! {
    /// How wheels point to each other: the sign of a toe.
    ToeWay by ANGLE_GRAIN, In "toe in", Parallel "parallel", Out "toe out"
}
words! {
    /// How an axle stands across the wheel-centre line: the sign of its yaw.
    Skew by ANGLE_GRAIN, LeftEndBack "left end back", Square "square", RightEndBack "right end back"
}
words! {
    /// How a place stands against another: the sign of a difference in height.
    Rise by LENGTH_GRAIN, Higher "higher", Level "level", Lower "lower"
}
