//! Owns the small deterministic generator of the property tests: the same numbers on every run.
#![allow(dead_code, reason = "each test file uses its own part")]

use knockon_geometry::{HubPoints, Point};

/// A generator of the splitmix64 form (public domain, S. Vigna); its quality is more than tests need.
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Random {
        Random(seed)
    }

    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from `low` up to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.bits() >> 11) as f64 / (1_u64 << 53) as f64)
    }

    /// A point within `reach` of the origin each way, and within `height` of the floor.
    pub fn point(&mut self, reach: f64, height: f64) -> Point {
        let (x, y) = (self.between(-reach, reach), self.between(-reach, reach));
        Point::new(x, y, self.between(-height, height))
    }

    /// The hubs of an invented vehicle, bent at every corner by up to 40 mm, standing straight in its own frame.
    pub fn hubs(&mut self) -> HubPoints {
        let wheelbase = self.between(1_800.0, 4_500.0);
        let (front, rear) = (self.between(600.0, 900.0), self.between(600.0, 900.0));
        let mut hub = |x: f64, y: f64| {
            let bent = |random: &mut Random| random.between(-40.0, 40.0);
            Point::new(x + bent(self), y + bent(self), 300.0 + bent(self))
        };
        HubPoints {
            left_front: hub(wheelbase, front),
            right_front: hub(wheelbase, -front),
            left_rear: hub(0.0, rear),
            right_rear: hub(0.0, -rear),
        }
    }

    /// Any number at all: usual sizes, edges of doubles, infinities and what is no number.
    pub fn wild(&mut self) -> f64 {
        match self.bits() % 12 {
            0 => f64::from_bits(self.bits()),
            1 => f64::NAN,
            2 => f64::INFINITY,
            3 => f64::MAX,
            4 => f64::MIN_POSITIVE / 2.0,
            5 => 0.0,
            6 => -0.0,
            7 => self.between(-1e7, 1e7),
            8 => self.between(-1.0, 1.0),
            9 => self.between(-12.0, 12.0),
            _ => self.between(0.0, 4_000.0),
        }
    }
}
