//! The library: rules as clauses, scopes as tests on a vehicle, sources in their order.
//!
//! Nothing here knows a job's work. For one vehicle and date it hands over the [`JobProgram`]: the
//! clauses and facts that may hold for that car, each with what its being in scope still turns on.

pub mod clause;
pub mod dump;
pub mod library;
pub mod order;
pub mod program;
pub mod scope;
pub mod source_order;
pub mod standing;
pub mod years;

pub use clause::{Clause, Literal};
pub use library::Library;
pub use program::{JobProgram, NotInForce, ScopedCarryingOut, ScopedClause, ScopedFact};
pub use scope::{CarKeys, KeyTest, ScopeTruth};
pub use source_order::Weakness;
pub use standing::{Standing, When};
pub use years::year_problems;
