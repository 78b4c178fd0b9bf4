//! Everything that needs more than one crate, as one test program: a module for each folder of cases.

mod command;
mod decisions;
mod errors;
mod examples;
mod hostile;
mod laws;
mod library;
mod limits;
mod oracle;
mod prompt;
mod reading;
mod shelf;
mod stages;
mod tidy;
