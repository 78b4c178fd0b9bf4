//! Everything that needs more than one crate, as one test program: a module for each folder of cases.

mod command;
mod laws;
mod prompt;
mod shelf;
