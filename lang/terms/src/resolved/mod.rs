//! The resolved tree: what was written, with terms in the place of words.

mod carrying_out;
mod cars;
mod codes;
mod conditions;
mod jobs;
mod rules;
mod source_order;
mod sources;
mod subjects;
mod tests;
mod values;

pub use carrying_out::*;
pub use cars::*;
pub use codes::*;
pub use conditions::*;
pub use jobs::*;
pub use rules::*;
pub use source_order::*;
pub use sources::*;
pub use tests::*;
pub use values::*;

use knockon_text::Span;

use crate::vocabulary::Vocabulary;

/// Everything of one load.
#[derive(Clone, Debug, Default)]
pub struct Resolved {
    /// The words.
    pub vocabulary: Vocabulary,
    /// The scopes; scope 0 holds every car.
    pub scopes: Vec<Scope>,
    /// Which files name which others.
    pub uses: Vec<Use>,
    /// The documents.
    pub sources: Vec<Source>,
    /// The facts about cars.
    pub facts: Vec<Fact>,
    /// The rules.
    pub rules: Vec<Rule>,
    /// What carrying out procedures takes.
    pub carrying_out: Vec<CarryingOut>,
    /// The jobs.
    pub jobs: Vec<Job>,
    /// The tests.
    pub tests: Vec<Test>,
    /// A number of all that words, sources, facts and rules say, whatever their order.
    pub digest: u64,
}

/// A line `use "..."`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Use {
    /// The file, as it is named there.
    pub name: String,
    /// Where it was written.
    pub span: Span,
}

/// A scope in [`Resolved::scopes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ScopeId(pub u32);

impl ScopeId {
    /// Every car.
    pub const EVERY_CAR: ScopeId = ScopeId(0);
}

/// A source in [`Resolved::sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// A rule in [`Resolved::rules`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RuleId(pub u32);

/// A variable of one rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct VariableId(pub u32);
