//! Owns the bounds that arguments must keep: wide enough for any road vehicle and bay, narrow enough that a value
//! given in the wrong unit is caught and that no computation overflows.
//!
//! The bounds are common sense, no source: none of them is a tolerance, and none says what is usual.

/// The lowest and the highest value allowed, both included.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Bound {
    /// The lowest value.
    pub low: f64,
    /// The highest value.
    pub high: f64,
    /// The unit of both: `mm`, `deg`, `arcmin` or `mm/mm`.
    pub unit: &'static str,
}

impl Bound {
    /// Each coordinate of a point: within a kilometre of the origin.
    pub const COORDINATE: Bound = Bound::new(-1e6, 1e6, "mm");
    /// A distance: up to a kilometre.
    pub const DISTANCE: Bound = Bound::new(0.0, 1e6, "mm");
    /// An angle before it is wrapped: a hundred turns either way.
    pub const ANGLE: Bound = Bound::new(-36_000.0, 36_000.0, "deg");
    /// The toe of one wheel, and a thrust or steering angle.
    pub const TOE: Bound = Bound::new(-10.0, 10.0, "deg");
    /// The same in minutes of arc.
    pub const TOE_MINUTES: Bound = Bound::new(-600.0, 600.0, "arcmin");
    /// The diameter at which toe is taken as a length.
    pub const RIM_DIAMETER: Bound = Bound::new(100.0, 3_000.0, "mm");
    /// The distance between the axles.
    pub const WHEELBASE: Bound = Bound::new(500.0, 20_000.0, "mm");
    /// The distance between the wheels of an axle.
    pub const TRACK: Bound = Bound::new(300.0, 5_000.0, "mm");
    /// How far a wheel stands to its side of the wheel-centre line.
    pub const HALF_TRACK: Bound = Bound::new(150.0, 2_500.0, "mm");
    /// A ride height, or its change.
    pub const RIDE_HEIGHT: Bound = Bound::new(-2_000.0, 2_000.0, "mm");

    pub(crate) const fn new(low: f64, high: f64, unit: &'static str) -> Bound {
        Bound { low, high, unit }
    }
}
