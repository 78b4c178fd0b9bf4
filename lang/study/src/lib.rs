//! Studying a library: its own tests run against it.

pub mod suite;

pub use suite::{DEFAULT_DAY, TestResult, run};
