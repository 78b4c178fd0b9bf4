//! Which text holds on a day, how far it may be trusted, and which of two prevails.

use knockon_measure::Date;
use knockon_terms::resolved::{Rank, Source, SourceId};

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

/// How a text, or a section of it, stands on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// In force.
    Holds,
    /// Not yet in force.
    NotYet {
        /// From when it is.
        from: Date,
    },
    /// Replaced by another text.
    Replaced {
        /// By which.
        by: SourceId,
    },
}

/// How a section of a source stands on a day.
pub fn standing(sources: &[Source], source: SourceId, section: Option<&str>, day: Date) -> Standing {
    let Some(found) = sources.get(source.0 as usize) else {
        return Standing::Holds;
    };
    if day < found.in_force {
        return Standing::NotYet { from: found.in_force };
    }
    for (index, other) in sources.iter().enumerate() {
        if day < other.in_force {
            continue;
        }
        let replaced = other.replaces.iter().any(|(replaced, replaced_section)| {
            *replaced == source
                && match replaced_section {
                    None => true,
                    Some(replaced) => section.is_some_and(|section| is_in_section(section, replaced)),
                }
        });
        if replaced {
            return Standing::Replaced { by: SourceId(index as u32) };
        }
    }
    Standing::Holds
}

/// Whether `4.2` lies in section `4`.
fn is_in_section(section: &str, within: &str) -> bool {
    section == within || section.strip_prefix(within).is_some_and(|rest| rest.starts_with(['.', ' ', '(', '-']))
}

/// Why a source may not waive or allow on a day; empty where it may.
pub fn weaknesses(source: &Source, day: Date) -> Vec<Weakness> {
    let mut weak = Vec::new();
    if let Some((months, checked)) = source.review {
        let last = checked.or(source.revised).unwrap_or(source.issued);
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
