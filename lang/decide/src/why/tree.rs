//! The tree below one claim: proven steps from the graph, open conditions from the ground program.

use std::collections::BTreeMap;

use knockon_proof::{Node, NodeId, ProofGraph, Step};
use knockon_text::markup::Tag;

use super::{DEEPEST_SHOWN, Teller};
use crate::atoms::{AtomId, Claim, Why};

impl Teller<'_> {
    /// What a proven claim rests on, shortest first.
    pub(super) fn children(&mut self, node: &Node, depth: usize) {
        let mut from = node.from.clone();
        from.sort_by_key(|&child| (self.depth(child), child));
        for child in from {
            self.node(child, depth);
        }
    }

    fn node(&mut self, id: NodeId, depth: usize) {
        let graph = &self.decided.answer.proofs;
        let Some(mut node) = graph.node(id) else { return };
        let mut id = id;
        // A step that only says the same again is none to a reader.
        while let [only] = node.from.as_slice()
            && let Some(below) = graph.node(*only)
            && node.step == Step::Meaning
            && below.claim == node.claim
        {
            (id, node) = (*only, below);
        }
        let by = match (node.step, &node.by) {
            (_, Some(by)) => by.clone(),
            (Step::Absence, None) => "nothing would make it so".to_string(),
            (Step::Assumption, None) => "assumed".to_string(),
            _ => String::new(),
        };
        let tag = match node.step {
            Step::Line | Step::Fact => Tag::Fact,
            _ => Tag::Plain,
        };
        if depth > DEEPEST_SHOWN {
            self.line(depth, Tag::Faint, "... deeper steps: `knockon show proof`", "");
            return;
        }
        if !self.shown.insert(id) && !node.from.is_empty() {
            self.line(depth, tag, &node.claim, "as shown above");
            return;
        }
        self.line(depth, tag, &node.claim, &by);
        if node.step == Step::Rule {
            self.says(node, depth + 1);
        }
        self.children(node, depth + 1);
    }

    /// The words of the rule a step is taken by, where they are recorded.
    fn says(&mut self, node: &Node, depth: usize) {
        let name = node.by.as_deref().and_then(|by| by.strip_prefix('"')?.split('"').next());
        let rule = name.and_then(|name| self.library.rule_named(name)).and_then(|id| self.library.rule(id));
        if let Some(rule) = rule {
            for says in rule.says.clone() {
                self.line(depth, Tag::Quote, &format!("\"{says}\""), "");
            }
        }
    }

    pub(super) fn depth(&self, node: NodeId) -> usize {
        self.depths.get(node.0 as usize).copied().unwrap_or(usize::MAX)
    }

    /// The conditions of something that is not certain, each with what is known of it.
    pub(super) fn open(&mut self, atom: AtomId, depth: usize) {
        if depth > DEEPEST_SHOWN {
            self.line(depth, Tag::Faint, "... deeper conditions: `knockon show program`", "");
            return;
        }
        let program = &self.decided.grounded.program;
        let evaluated = &self.decided.evaluated;
        let clauses: Vec<_> = program
            .by_head
            .get(atom.0 as usize)
            .into_iter()
            .flatten()
            .filter_map(|&index| program.clauses.get(index as usize))
            .collect();
        let many = clauses.len() > 1;
        for (way, clause) in clauses.iter().enumerate() {
            let inner = if many {
                self.line(depth, Tag::Faint, &format!("way {}", way + 1), "");
                depth + 1
            } else {
                depth
            };
            for &(body, sign) in &clause.body {
                let words = self.prover.words(body, sign);
                let (so, not) = (evaluated.is_certain(body), !evaluated.is_possible(body));
                let (tag, known) = match (sign, so, not) {
                    (true, true, _) | (false, _, true) => (Tag::Fact, "so"),
                    (true, _, true) | (false, true, _) => (Tag::Faint, "not so"),
                    _ => (Tag::Open, "not known"),
                };
                let leaf = matches!(program.claim(body), Some(Claim::Leaf(..)));
                let possible = matches!(clause.why, Why::Possible);
                let settled = so || not || leaf || possible || self.says_the_same(body, &words);
                if settled {
                    self.line(inner, tag, &words, known);
                } else if self.shown_open.insert(body) {
                    self.line(inner, tag, &words, known);
                    self.open(body, inner + 1);
                } else {
                    self.line(inner, tag, &words, "not known, as shown above");
                }
            }
        }
    }

    /// Whether all that is below an atom is one fact of the same words.
    fn says_the_same(&self, atom: AtomId, words: &str) -> bool {
        let program = &self.decided.grounded.program;
        let clauses = program.by_head.get(atom.0 as usize).map_or(&[][..], Vec::as_slice);
        let [clause] = clauses else { return false };
        let body = program.clauses.get(*clause as usize).map_or(&[][..], |clause| clause.body.as_slice());
        matches!(body, [(below, true)] if self.prover.words(*below, true) == words)
    }
}

/// For every node, how long the longest way down from it is.
pub(super) fn depths(graph: &ProofGraph) -> Vec<usize> {
    let mut depths: BTreeMap<NodeId, usize> = BTreeMap::new();
    for (id, node) in graph.iter() {
        let below = node.from.iter().filter_map(|from| depths.get(from)).max().copied();
        depths.insert(id, below.map_or(0, |below| below + 1));
    }
    depths.into_values().collect()
}
