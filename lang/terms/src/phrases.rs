//! Runs of words that mean a term, found by longest match.

use rustc_hash::FxHashMap;

use crate::words::WordId;

/// A declared term.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TermId(pub u32);

/// What a phrase is to the term it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Its name.
    Name,
    /// Another way of writing it.
    Alias,
    /// The -ing form of an operation.
    Doing,
    /// The verb of an access fact.
    OnTheWay,
}

/// A phrase's meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Meaning {
    /// The term.
    pub term: TermId,
    /// How the phrase names it.
    pub role: Role,
}

/// All phrases, as a tree of words.
#[derive(Clone, Debug, Default)]
pub struct Phrases {
    edges: FxHashMap<(u32, WordId), u32>,
    meanings: Vec<Vec<Meaning>>,
}

impl Phrases {
    /// Adds a phrase.
    pub fn add(&mut self, words: impl IntoIterator<Item = WordId>, meaning: Meaning) {
        if self.meanings.is_empty() {
            self.meanings.push(Vec::new());
        }
        let mut node = 0;
        for word in words {
            let next = self.meanings.len() as u32;
            node = *self.edges.entry((node, word)).or_insert(next);
            if node == next {
                self.meanings.push(Vec::new());
            }
        }
        if node != 0
            && let Some(meanings) = self.meanings.get_mut(node as usize)
            && !meanings.contains(&meaning)
        {
            meanings.push(meaning);
        }
    }

    /// Calls `found` with every phrase `words` begins with: how many words, and its meanings; shortest first.
    pub fn each<'a>(&'a self, words: &[WordId], mut found: impl FnMut(usize, &'a [Meaning])) {
        let mut node = 0;
        for (index, &word) in words.iter().enumerate() {
            match self.edges.get(&(node, word)) {
                Some(&next) => node = next,
                None => return,
            }
            if let Some(meanings) = self.meanings.get(node as usize)
                && !meanings.is_empty()
            {
                found(index + 1, meanings);
            }
        }
    }

    /// How many of the words begin some phrase.
    pub fn reach(&self, words: &[WordId]) -> usize {
        let mut node = 0;
        for (index, &word) in words.iter().enumerate() {
            match self.edges.get(&(node, word)) {
                Some(&next) => node = next,
                None => return index,
            }
        }
        words.len()
    }
}
