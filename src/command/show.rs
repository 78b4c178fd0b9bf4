//! `knockon show`: a file at one stage on its way to an answer.

use crate::Outcome;
use crate::arguments::Stage;
use crate::screen::Screen;

/// Shows a file at a stage.
pub fn run(_stage: Stage, _file: &str, _all: bool, _screen: &mut Screen) -> Outcome {
    Outcome::CouldNotRun
}
