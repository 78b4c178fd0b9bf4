//! The prompt.

use crate::Outcome;
use crate::screen::Screen;

/// Runs.
pub fn run(_files: &[String], _screen: &mut Screen) -> Outcome {
    Outcome::CouldNotRun
}
