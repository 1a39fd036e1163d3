//! What is the same of several copies of a tube is said once.

use std::collections::HashMap;

use crate::job::TubeInSpace;
use crate::phrase::stretches;

/// Copies of a tube of which the same is said, with what is known of the first.
struct Alike<'a, T> {
    tube: &'a TubeInSpace,
    fact: T,
    numbers: Vec<usize>,
}

/// What is said of tubes, once of all copies of which it is the same. `words` says it of one name, or of that of several copies,
/// `riser 1 to 8`.
pub(super) fn of_copies<'a, T>(
    tubes: impl Iterator<Item = (&'a TubeInSpace, T)>,
    words: impl Fn(&str, bool, &T) -> Vec<String>,
) -> Vec<String> {
    let mut all: Vec<Alike<'a, T>> = Vec::new();
    let mut known: HashMap<_, usize> = HashMap::new();
    for (tube, fact) in tubes {
        let same = (&tube.shared_name, words("", false, &fact));
        if let Some(index) = known.get(&same) {
            all[*index].numbers.extend(tube.copy_number());
        } else {
            known.insert(same, all.len());
            let numbers = tube.copy_number().into_iter().collect();
            all.push(Alike { tube, fact, numbers });
        }
    }
    let said = all.into_iter().flat_map(|Alike { tube, fact, numbers }| {
        if numbers.len() < 2 {
            return words(&tube.name, false, &fact);
        }
        let names = format!("{} {}", tube.shared_name, stretches(numbers.into_iter()));
        words(&names, true, &fact)
    });
    said.collect()
}
