//! Readings of a rule whose text prints two figures that differ: one for each way in which they may be meant.

use std::collections::BTreeMap;

use knockon_syntax::tree::{self, RuleClause};
use knockon_text::{Code, Problem};

use super::readings::conclusions_of;
use super::sentence::Sentences;
use crate::quantity::figures::{apart, pair_at};
use crate::resolved::{Differs, Reading, Rule};
use crate::view::{MOST_FIGURES_APART, Seconds};

impl Sentences<'_> {
    /// Refuses what would be more ways to read a rule than a person can follow.
    pub(super) fn of_few_ways(&self, apart: &[u32], other: Option<&RuleClause>) -> Result<(), Problem> {
        let place = |token: u32| {
            let pair = pair_at(self.view, token);
            let end = pair.map_or(token + 1, |pair| pair.end);
            self.view.span(tree::Range { first: token, end })
        };
        let first = apart.first().copied().unwrap_or_default();
        if other.is_some() {
            return Err(Problem::at(
                Code::FiguresAndReadings,
                place(first),
                "two printed figures that differ, in a rule that could also be read otherwise",
                "these do not agree as they are rounded",
            )
            .help("each makes several readings of the rule, and nobody could follow all of them: write two rules, one for each passage"));
        }
        if let Some(&one_more) = apart.get(MOST_FIGURES_APART) {
            return Err(Problem::at(
                Code::FiguresAndReadings,
                place(one_more),
                format!("more than {MOST_FIGURES_APART} printed figures that differ in one rule"),
                "these do not agree as they are rounded, like others before",
            )
            .context(place(first), "the first of them")
            .help("each doubles the ways in which the rule can be read: write several rules"));
        }
        Ok(())
    }

    /// A reading for each way in which the figures may be meant, after the one by which the first counts everywhere.
    pub(super) fn readings_of_figures(
        &mut self,
        rule: &tree::Rule,
        apart: &[u32],
        mut readings: Vec<Reading>,
        out: &mut Rule,
    ) -> Result<(), Problem> {
        let when = rule.clauses.iter().find(|clause| matches!(clause, RuleClause::When(_)));
        let Some(when) = when else { return Ok(()) };
        let is_second = |way: usize, place: usize| way >> place & 1 == 1;
        let figures = |way: usize| {
            let pairs = apart.iter().enumerate().filter_map(|(place, &token)| {
                let pair = pair_at(self.view, token)?;
                Some(if is_second(way, place) { pair.second() } else { pair.first() })
            });
            Differs::Figures(pairs.collect())
        };
        let ways: Vec<Differs> = (0..1 << apart.len()).map(figures).collect();
        // What a conclusion says by the figures in it alone is the same conclusion, whatever the others are.
        let mut same: BTreeMap<(usize, Vec<u32>), usize> = BTreeMap::new();
        for (way, differs) in ways.into_iter().enumerate() {
            if way == 0 {
                if let Some(first) = readings.first_mut() {
                    first.differs = differs;
                }
                continue;
            }
            let seconds: Vec<u32> =
                apart.iter().enumerate().filter(|(place, _)| is_second(way, *place)).map(|(_, &token)| token).collect();
            self.second = Some(Seconds::at(seconds.iter().copied()));
            let reading = self.reading_of(rule, when, out);
            self.second = Some(Seconds::default());
            let mut reading = reading?;
            reading.differs = differs;
            for (place, (said, conclusion)) in reading.conclusions.iter_mut().zip(conclusions_of(rule)).enumerate() {
                let inside = self.figures_of(conclusion.range, &seconds);
                if !inside.is_empty() {
                    said.same_as = *same.entry((place, inside)).or_insert(said.index);
                }
            }
            readings.push(reading);
        }
        out.readings = readings;
        Ok(())
    }

    /// Which of these figures stand in a range, or are printed there alike.
    fn figures_of(&self, range: tree::Range, figures: &[u32]) -> Vec<u32> {
        let written = |token: u32| pair_at(self.view, token).map(|pair| pair.written());
        let here: Vec<Option<String>> = apart(self.view, range).into_iter().map(written).collect();
        figures.iter().copied().filter(|&figure| here.contains(&written(figure))).collect()
    }
}
