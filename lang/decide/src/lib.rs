//! Deciding a job: its events and facts, what rules conclude from them, what prevails, what is open.
//!
//! ```text
//! job lines -> JobFacts -> ground clauses over atoms -> certain and possible sets
//!           -> settling of what is open -> Answer with verdicts, questions and proofs
//! ```

pub mod answer;
pub mod atoms;
pub mod combine;
pub mod decide;
pub mod dump;
pub mod evaluate;
pub mod event;
pub mod fact;
pub mod ground;
pub mod job;
pub mod json;
pub mod limits;
pub mod naming;
pub mod precedence;
pub mod proving;
pub mod settle;
pub mod why;
pub mod words;

pub use job::JobFacts;
pub use limits::limit_problems;

pub use answer::Answer;
pub use decide::{Decided, decide, decide_if};
