//! How far a text may be trusted on a day, and which of two ranks prevails.

use knockon_measure::Date;
use knockon_terms::resolved::{Rank, Source};

/// Why a text may require and advise, but never waive or allow.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weakness {
    /// Its review is overdue on the day.
    Overdue {
        /// Since when.
        since: Date,
    },
    /// Only a part of it was read.
    ReadInPart,
    /// It was written for another car.
    Borrowed {
        /// For which.
        from: String,
    },
    /// Nobody read it a second time.
    NoSecondReading,
}

impl Weakness {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Weakness::Overdue { since } => format!("its review is overdue since {since}"),
            Weakness::ReadInPart => "only a part of it was read".to_string(),
            Weakness::Borrowed { from } => format!("it is borrowed from {from}"),
            Weakness::NoSecondReading => "nobody gave it a second reading".to_string(),
        }
    }
}

/// Why a source may not waive or allow on a day; empty where it may. A review counts from the day a text that
/// carries it over says that it stays good.
pub fn weaknesses<'s>(source: &Source, carried_by: impl IntoIterator<Item = &'s Source>, day: Date) -> Vec<Weakness> {
    let mut weak = Vec::new();
    if let Some((months, checked)) = source.review {
        let looked = |source: &Source, checked: Option<Date>| checked.or(source.revised).unwrap_or(source.issued);
        let carried = carried_by.into_iter().map(|by| looked(by, by.review.and_then(|(_, checked)| checked)));
        let last = carried.fold(looked(source, checked), std::cmp::max);
        if let Some(due) = last.add_months(months)
            && due < day
        {
            weak.push(Weakness::Overdue { since: due });
        }
    }
    if source.read_in_part {
        weak.push(Weakness::ReadInPart);
    }
    if let Some(from) = &source.borrowed_from {
        weak.push(Weakness::Borrowed { from: from.clone() });
    }
    // Common practice and policy are the trade's and the shop's own words: nobody reads them a second time.
    if source.rank.is_makers() && source.second_reading.is_none() {
        weak.push(Weakness::NoSecondReading);
    }
    weak
}

/// Whether what one rank takes away prevails over what another asks.
///
/// A maker's word prevails over common practice. Nothing but the shop itself takes away what its
/// policy adds, and the policy takes away nothing else. Between a maker's own texts rank decides nothing.
pub fn waiver_prevails(waiver: Rank, ask: Rank) -> bool {
    waiver.is_makers() && ask == Rank::CommonPractice
}

/// Whether what one rank asks prevails over what another takes away.
pub fn ask_prevails(ask: Rank, waiver: Rank) -> bool {
    match (ask, waiver) {
        (Rank::ShopPolicy, waiver) => waiver != Rank::ShopPolicy,
        (ask, Rank::ShopPolicy) => ask != Rank::ShopPolicy,
        (ask, Rank::CommonPractice) => ask.is_makers(),
        _ => false,
    }
}
