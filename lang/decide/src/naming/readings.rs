//! Names of what a text can be read as, in the words of the text where they are recorded.

use knockon_terms::resolved::{ConclusionKind, Rule, RuleId};

use super::Naming;

impl Naming<'_> {
    /// The place of a text that a rule cites.
    pub(super) fn place(&self, rule: RuleId) -> String {
        let Some(found) = self.library.rule(rule) else { return String::new() };
        let source = self.library.source(found.cites.source).map_or("", |source| source.name.as_str());
        match &found.cites.section {
            Some(section) => format!("{source} section \"{section}\""),
            None => source.to_string(),
        }
    }

    /// Why a conclusion of a rule leaves a duty open.
    pub(super) fn left_open(&self, rule: RuleId, number: u32) -> Option<String> {
        match &self.library.rule(rule)?.conclusions.get(number as usize)?.kind {
            ConclusionKind::LeaveOpen { because, .. } => Some(because.clone()),
            _ => None,
        }
    }

    /// Whether a conclusion of a rule is a list that leaves others open.
    pub(super) fn lists_others(&self, rule: RuleId, number: u32) -> bool {
        let conclusion = self.library.rule(rule).and_then(|rule| rule.conclusions.get(number as usize));
        matches!(conclusion.map(|conclusion| &conclusion.kind), Some(ConclusionKind::OpenList { .. }))
    }

    /// The place of a text that can be read in several ways; with the rule where several rules read it so.
    pub(super) fn read_place(&self, rule: RuleId) -> String {
        let Some(found) = self.library.rule(rule) else { return String::new() };
        let mut place = self.place(rule);
        let here = |other: &&Rule| {
            other.cites.source == found.cites.source
                && other.cites.section == found.cites.section
                && !other.readings.is_empty()
        };
        if self.library.resolved.rules.iter().filter(here).count() > 1 {
            place.push_str(&format!(", for \"{}\",", found.name));
        }
        place
    }

    /// One reading of a rule in words: as it was recorded, else what it reads otherwise.
    pub fn reading(&self, rule: RuleId, reading: usize) -> String {
        let Some(found) = self.library.rule(rule) else { return String::new() };
        match found.read_as.first() {
            Some((words, _)) if reading == 0 => words.clone(),
            _ => knockon_terms::dump::reading_words(&self.library.resolved, found, reading),
        }
    }
}
