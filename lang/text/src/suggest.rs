//! "Did you mean": the declared phrases nearest to one that is not declared.

use std::collections::BTreeSet;

/// More suggestions than this are a list to search, not help.
const MOST_SUGGESTIONS: usize = 3;

/// How alike two phrases must be, from 0 to 1: one slip in a word of four letters still counts
/// (0.75), another word of the same length does not.
const ALIKE: f64 = 0.7;

/// How alike two single words must be to count as the same word misspelt.
const SAME_WORD: f64 = 0.75;

/// How far behind the best a suggestion may be. A clear slip in `left front radar` shall not bring
/// up `right front radar` beside it.
const BEHIND_BEST: f64 = 0.1;

/// Longer phrases are not compared letter by letter: nobody declares such terms, and the cost grows
/// with the square of the length.
const LONGEST_COMPARED: usize = 120;

/// Words of a phrase that are looked at; a term has far fewer.
const MOST_WORDS: usize = 12;

/// At most three of the candidates, the nearest first, those of equal nearness in the order of their
/// text. Letter case does not matter; slips in letters, another order of the words and missing or
/// extra words do not matter much. The wanted phrase itself and repeated candidates are left out.
pub fn nearest<'a>(wanted: &str, candidates: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted_phrase = Phrase::new(wanted);
    let distinct: BTreeSet<&'a str> = candidates.filter(|candidate| *candidate != wanted).collect();
    let mut scored: Vec<(f64, &'a str)> = distinct
        .into_iter()
        .filter_map(|candidate| Some((likeness(&wanted_phrase, &Phrase::new(candidate))?, candidate)))
        .collect();
    // Stable, so that equals stay in the order of their text.
    scored.sort_by(|(left, _), (right, _)| right.total_cmp(left));
    let best = scored.first().map_or(0.0, |(score, _)| *score);
    scored
        .into_iter()
        .take(MOST_SUGGESTIONS)
        .take_while(|(score, _)| best - score <= BEHIND_BEST)
        .map(|(_, candidate)| candidate)
        .collect()
}

struct Phrase {
    text: String,
    length: usize,
    words: Vec<String>,
}

impl Phrase {
    fn new(text: &str) -> Phrase {
        let text = text.to_lowercase();
        let length = text.chars().count();
        let words = text
            .split(|character: char| character.is_whitespace() || character == '-')
            .filter(|word| !word.is_empty())
            .take(MOST_WORDS)
            .map(str::to_owned)
            .collect();
        Phrase { text, length, words }
    }
}

/// From 0 to 1, `None` for phrases too different to be suggested.
fn likeness(wanted: &Phrase, candidate: &Phrase) -> Option<f64> {
    if wanted.length > LONGEST_COMPARED || candidate.length > LONGEST_COMPARED {
        return None;
    }
    let letters = letters_likeness(&wanted.text, &candidate.text, ALIKE);
    match (letters, words_likeness(wanted, candidate)) {
        (Some(letters), Some(words)) => Some(letters.max(words)),
        (letters, words) => letters.or(words),
    }
}

fn letters_likeness(left: &str, right: &str, least: f64) -> Option<f64> {
    let likeness = strsim::normalized_damerau_levenshtein(left, right);
    (likeness >= least).then_some(likeness)
}

/// Counts the words both have in any order. A phrase whose words are all in the other is like it,
/// the more so the fewer words are over; otherwise two thirds of the words must be common.
fn words_likeness(wanted: &Phrase, candidate: &Phrase) -> Option<f64> {
    let mut free: Vec<&str> = candidate.words.iter().map(String::as_str).collect();
    let mut common = 0.0;
    let mut matched = 0;
    for word in &wanted.words {
        let best = free
            .iter()
            .enumerate()
            .filter_map(|(index, other)| Some((letters_likeness(word, other, SAME_WORD)?, index)))
            .max_by(|(left, _), (right, _)| left.total_cmp(right));
        if let Some((likeness, index)) = best {
            free.swap_remove(index);
            common += likeness;
            matched += 1;
        }
    }
    let share = 2.0 * common / (wanted.words.len() + candidate.words.len()).max(1) as f64;
    let all_wanted = matched > 0 && matched == wanted.words.len();
    let most_of_it = share >= 0.5 && matched == candidate.words.len();
    // Below 1, so that the same words in their right order come first.
    (all_wanted || most_of_it || share >= 0.65).then_some(0.5 + 0.45 * share)
}

#[cfg(test)]
mod tests;
