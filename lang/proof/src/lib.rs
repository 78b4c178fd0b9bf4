//! Proofs as data: a graph of shared nodes, each a claim, the step that gives it, and what it rests on.
//!
//! Nothing here derives or checks anything, so that a verifier can share these types and nothing else.

/// A node of a graph.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub u32);

/// How a claim is reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// A line of the job says it.
    Line,
    /// A fact of the library says it.
    Fact,
    /// A rule concludes it.
    Rule,
    /// It follows from other claims by the meaning of the language: touched, related, at least so many.
    Meaning,
    /// It is assumed, and said to be.
    Assumption,
    /// Nothing that would make it so holds, whatever is still unknown.
    Absence,
    /// A named fact has this value in one completion of what is unknown.
    Supposed,
}

impl Step {
    /// The step in one word.
    pub fn word(self) -> &'static str {
        match self {
            Step::Line => "line",
            Step::Fact => "fact",
            Step::Rule => "rule",
            Step::Meaning => "meaning",
            Step::Assumption => "assumption",
            Step::Absence => "absence",
            Step::Supposed => "supposed",
        }
    }
}

/// One claim with its reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Node {
    /// What is claimed, in the language's words.
    pub claim: String,
    /// How it is reached.
    pub step: Step,
    /// The rule, line or source it is reached by, where there is one.
    pub by: Option<String>,
    /// What it rests on. Always earlier nodes.
    pub from: Vec<NodeId>,
}

/// A graph of claims. A node rests only on nodes before it, so there are no circles.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ProofGraph {
    // INVARIANT: every id in `from` of node n is below n.
    nodes: Vec<Node>,
}

impl ProofGraph {
    /// Adds a node; what it rests on must be there already, and what is not is left out.
    pub fn add(&mut self, mut node: Node) -> NodeId {
        let id = NodeId(self.nodes.len() as u32);
        node.from.retain(|&from| from < id);
        self.nodes.push(node);
        id
    }

    /// A node.
    pub fn node(&self, id: NodeId) -> Option<&Node> {
        self.nodes.get(id.0 as usize)
    }

    /// All nodes with their ids, each after all it rests on.
    pub fn iter(&self) -> impl Iterator<Item = (NodeId, &Node)> {
        self.nodes.iter().enumerate().map(|(index, node)| (NodeId(index as u32), node))
    }

    /// How many nodes there are.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// How long the longest way from a node to one that rests on nothing is.
    pub fn depth(&self, id: NodeId) -> u32 {
        let mut depths = vec![0_u32; self.nodes.len()];
        for (index, node) in self.nodes.iter().enumerate() {
            let below = node.from.iter().filter_map(|from| depths.get(from.0 as usize)).max().copied();
            if let Some(place) = depths.get_mut(index) {
                *place = below.map_or(0, |below| below + 1);
            }
        }
        depths.get(id.0 as usize).copied().unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn node(claim: &str, from: Vec<NodeId>) -> Node {
        Node { claim: claim.to_string(), step: Step::Meaning, by: None, from }
    }

    #[test]
    fn a_node_rests_only_on_nodes_before_it() {
        let mut graph = ProofGraph::default();
        let first = graph.add(node("first", vec![NodeId(0), NodeId(7)]));
        let second = graph.add(node("second", vec![first]));
        assert_eq!(graph.node(first).unwrap().from, vec![]);
        assert_eq!(graph.node(second).unwrap().from, vec![first]);
    }

    #[test]
    fn depth_is_the_longest_way_down_through_shared_nodes() {
        let mut graph = ProofGraph::default();
        let mut last = graph.add(node("leaf", vec![]));
        for level in 0..60 {
            // Each level rests on the one below twice over: 2^60 trees, 61 nodes.
            last = graph.add(node(&level.to_string(), vec![last, last]));
        }
        assert_eq!(graph.depth(last), 60);
        assert_eq!(graph.len(), 61);
    }
}
