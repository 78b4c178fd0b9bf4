//! Where the lines of conditions and conclusions begin.

use super::plan::{JOINT, Planner};
use super::{STEP, WIDTH};
use crate::token::lex;
use crate::tree::{Conclusion, ConclusionKind, Condition, Joint, Limb, Range};

impl Planner<'_> {
    /// Every sentence after an `and` on its own line. An `or` often joins no more than two words of one
    /// sentence (`left or right headlamp replaced`), so it stays where it fits and no bracket is beside it.
    pub fn condition(&mut self, condition: &Condition, indent: usize, column: usize) {
        let beside_bracket = |position: usize| {
            let limb = condition.rest.get(position).map(|(_, _, limb)| limb);
            let before = match position {
                0 => Some(&condition.first),
                _ => condition.rest.get(position - 1).map(|(_, _, limb)| limb),
            };
            !matches!((before, limb), (Some(Limb::Sentence(_)), Some(Limb::Sentence(_))))
        };
        let broken: Vec<bool> = condition
            .rest
            .iter()
            .enumerate()
            .map(|(position, &(joint, _, _))| joint == Joint::And || beside_bracket(position))
            .collect();
        // Lines as they come out so; one that is too long is broken at its `or` too.
        let mut line: Vec<usize> = Vec::new();
        let mut first = condition.range.first;
        let mut column = column;
        for (position, &(_, at, _)) in condition.rest.iter().enumerate() {
            if broken.get(position) == Some(&true) {
                self.joints(condition, &line, Range { first, end: at }, indent, column);
                self.line(at, indent);
                line.clear();
                first = at;
                column = indent;
            } else {
                line.push(position);
            }
        }
        self.joints(condition, &line, Range { first, end: condition.range.end }, indent, column);
        for limb in std::iter::once(&condition.first).chain(condition.rest.iter().map(|(_, _, limb)| limb)) {
            self.limb(limb, indent);
        }
    }

    fn joints(&mut self, condition: &Condition, positions: &[usize], line: Range, indent: usize, column: usize) {
        if column + self.width(line) <= WIDTH {
            return;
        }
        for &position in positions {
            if let Some(&(_, at, _)) = condition.rest.get(position) {
                self.line(at, indent);
            }
        }
    }

    /// Whether a row of a value by case may begin a line: its first word begins none of another kind there.
    fn may_begin_row(&self, row: Range) -> bool {
        let word = self.tokens.text(self.text, row.first);
        lex(word).kinds.first().is_some_and(|&kind| !kind.only_first_on_line())
    }

    /// A condition in brackets stays on its line if it fits on one.
    fn limb(&mut self, limb: &Limb, indent: usize) {
        match limb {
            Limb::Sentence(_) | Limb::Apart { .. } => {}
            Limb::Not(_, denied) => self.limb(denied, indent),
            Limb::Group(inner) => {
                // Where on its line the bracket stands is left aside: a word and the bracket before it.
                if indent + 2 * STEP + self.width(inner.range) > WIDTH {
                    let deeper = indent + STEP;
                    for &(_, at, _) in &inner.rest {
                        self.line(at, deeper);
                    }
                    self.limb(&inner.first, deeper);
                    for (_, _, limb) in &inner.rest {
                        self.limb(limb, deeper);
                    }
                }
            }
        }
    }

    pub fn conclusions(&mut self, conclusions: &[Conclusion], indent: usize) {
        for (position, conclusion) in conclusions.iter().enumerate() {
            if position > 0 {
                self.line(conclusion.range.first - 1, indent);
            }
            if let ConclusionKind::Either { ways, .. } = &conclusion.kind
                && indent + 2 * STEP + self.width(conclusion.range) > WIDTH
            {
                for way in ways.iter().skip(1) {
                    self.line(way.first - 1, indent + STEP);
                }
            }
            if let ConclusionKind::LeaveOpen { because, .. } = conclusion.kind
                && indent + 2 * STEP + self.width(conclusion.range) > WIDTH
            {
                self.line(because - 1, indent + STEP);
            }
            if let ConclusionKind::Set { by: Some(_), rows, .. } = &conclusion.kind {
                for &row in rows {
                    if self.may_begin_row(row) {
                        self.line(row.first, indent + STEP);
                    }
                }
            }
            let waits = match &conclusion.kind {
                ConclusionKind::Hold { until, .. } => Some(until),
                ConclusionKind::Allow { limit, .. } => limit.as_ref(),
                _ => None,
            };
            if let Some(until) = waits
                && indent + 2 * STEP + self.width(conclusion.range) > WIDTH
            {
                self.line(until.range.first - 1, indent + STEP);
                for &(_, at, _) in &until.rest {
                    self.line(at, indent + STEP + JOINT);
                }
                self.limb(&until.first, indent + STEP + JOINT);
                for (_, _, limb) in &until.rest {
                    self.limb(limb, indent + STEP + JOINT);
                }
            }
        }
    }
}
