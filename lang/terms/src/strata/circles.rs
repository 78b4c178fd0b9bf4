//! Circles in what follows what: which things are in one, and the shortest way round.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::{DerivedOf, Step};

/// For each thing, the number of its component: two things have one number exactly if each leads to the other. What
/// is led to from outside a component has a higher number than it.
pub fn components<N: Copy + Ord>(next: &BTreeMap<N, Vec<N>>) -> BTreeMap<N, u32> {
    let mut back: BTreeMap<N, Vec<N>> = BTreeMap::new();
    for (&from, all) in next {
        back.entry(from).or_default();
        for &to in all {
            back.entry(to).or_default().push(from);
        }
    }
    let following = |at: N| next.get(&at).map_or(&[][..], Vec::as_slice).iter();
    let mut seen = BTreeSet::new();
    let mut finished = Vec::with_capacity(back.len());
    for &root in back.keys() {
        if !seen.insert(root) {
            continue;
        }
        // A stack of our own: a chain of rules may be longer than the machine's holds.
        let mut walk = vec![(root, following(root))];
        while let Some((at, rest)) = walk.last_mut() {
            match rest.next() {
                Some(&to) if seen.insert(to) => walk.push((to, following(to))),
                Some(_) => {}
                None => {
                    finished.push(*at);
                    walk.pop();
                }
            }
        }
    }
    // What was finished last leads to what was finished before it; what leads back to it is in its component.
    let mut component: BTreeMap<N, u32> = BTreeMap::new();
    let mut number = 0;
    for &root in finished.iter().rev() {
        if component.contains_key(&root) {
            continue;
        }
        component.insert(root, number);
        let mut open = vec![root];
        while let Some(at) = open.pop() {
            for &before in back.get(&at).into_iter().flatten() {
                if let std::collections::btree_map::Entry::Vacant(place) = component.entry(before) {
                    place.insert(number);
                    open.push(before);
                }
            }
        }
        number += 1;
    }
    component
}

/// The shortest way from one derived thing to another; empty where they are the same.
pub fn path<'r>(steps: &BTreeMap<DerivedOf, Vec<Step<'r>>>, from: DerivedOf, to: DerivedOf) -> Option<Vec<Step<'r>>> {
    let mut came: BTreeMap<DerivedOf, Option<(DerivedOf, Step<'r>)>> = BTreeMap::new();
    came.insert(from, None);
    let mut open = VecDeque::from([from]);
    while let Some(here) = open.pop_front() {
        if here == to {
            let mut path = Vec::new();
            let mut at = here;
            while let Some(Some((before, step))) = came.get(&at) {
                path.push(*step);
                at = *before;
            }
            path.reverse();
            return Some(path);
        }
        for step in steps.get(&here).into_iter().flatten() {
            came.entry(step.to).or_insert_with(|| {
                open.push_back(step.to);
                Some((here, *step))
            });
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::components;
    use std::collections::BTreeMap;

    fn numbers(arrows: &[(u32, u32)]) -> BTreeMap<u32, u32> {
        let mut next: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for &(from, to) in arrows {
            next.entry(from).or_default().push(to);
        }
        components(&next)
    }

    #[test]
    fn things_are_of_one_component_exactly_if_each_leads_to_the_other() {
        // Two circles, an arrow between them, and a tail on each side.
        let arrows = [(0, 1), (1, 2), (2, 0), (2, 3), (3, 4), (4, 3), (4, 5), (6, 0), (7, 7)];
        let number = numbers(&arrows);
        let leads = |from: u32, to: u32| {
            let (mut open, mut seen) = (vec![from], vec![from]);
            while let Some(at) = open.pop() {
                for &(_, next) in arrows.iter().filter(|(before, _)| *before == at) {
                    if !seen.contains(&next) {
                        seen.push(next);
                        open.push(next);
                    }
                }
            }
            seen.contains(&to)
        };
        for one in 0..8 {
            for two in 0..8 {
                assert_eq!(number[&one] == number[&two], leads(one, two) && leads(two, one), "{one} {two}");
            }
        }
    }

    #[test]
    fn what_is_led_to_has_the_higher_number() {
        let arrows = [(3, 1), (1, 2), (3, 0), (0, 2), (4, 3), (2, 5)];
        let number = numbers(&arrows);
        assert!(arrows.iter().all(|(from, to)| number[from] < number[to]), "{number:?}");
    }

    #[test]
    fn a_long_chain_is_walked_without_the_stack_of_the_machine() {
        let arrows: Vec<(u32, u32)> = (0..200_000).map(|at| (at, at + 1)).collect();
        assert_eq!(numbers(&arrows).len(), 200_001);
    }
}
