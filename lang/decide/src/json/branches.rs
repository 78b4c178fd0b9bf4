//! What follows from how procedures end, for machines.

use serde::Serialize;

use super::Former;
use crate::answer::{Branch, Follows};

/// What follows if a procedure ends so.
#[derive(Clone, Debug, Serialize)]
pub struct BranchForm {
    procedure: String,
    of: Option<String>,
    ends_in: Option<String>,
    follows: Vec<FollowsForm>,
    then: Vec<BranchForm>,
}

#[derive(Clone, Debug, Serialize)]
struct FollowsForm {
    name: String,
    verdict: &'static str,
    on: Vec<String>,
    by: Vec<CitedForm>,
}

#[derive(Clone, Debug, Serialize)]
struct CitedForm {
    rule: String,
    citation: String,
}

impl Former<'_> {
    pub(super) fn branch(&self, branch: &Branch) -> BranchForm {
        let Branch { procedure, of, outcome, name: _, follows, then } = branch;
        let name = |term| self.naming.term(term).to_string();
        BranchForm {
            procedure: name(*procedure),
            of: of.map(name),
            ends_in: outcome.map(name),
            follows: follows.iter().map(follows_form).collect(),
            then: then.iter().map(|branch| self.branch(branch)).collect(),
        }
    }
}

fn follows_form(follows: &Follows) -> FollowsForm {
    let Follows { name, verdict, on, by } = follows;
    FollowsForm {
        name: name.clone(),
        verdict,
        on: on.clone(),
        by: by.iter().map(|(rule, citation)| CitedForm { rule: rule.clone(), citation: citation.clone() }).collect(),
    }
}
