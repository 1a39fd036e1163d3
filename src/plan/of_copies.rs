//! Problems that are found in the geometry of tubes: one cause has one message, which says of which copies it is one.

use std::collections::HashMap;

use crate::job::{Assembly, TubeInSpace};
use crate::phrase::stretches;
use crate::problem::{Place, Problem, Problems};

/// Problems of the tubes of an assembly, while they are found.
pub(super) struct OfCopies<'a> {
    assembly: &'a Assembly,
    found: Vec<Alike<'a>>,
    /// Where each is in `found`, by what is wrong and where it is on any copy.
    known: HashMap<(String, String), usize>,
}

/// What is wrong with one copy of a tube, or with several.
struct Alike<'a> {
    worst: Problem,
    /// The first of the copies.
    tube: &'a TubeInSpace,
    /// Where it is, of a tube of that name.
    at: Box<dyn Fn(&str) -> String + 'a>,
    /// The numbers of the copies; none of a tube without copies.
    numbers: Vec<usize>,
}

impl<'a> OfCopies<'a> {
    pub(super) fn new(assembly: &'a Assembly) -> Self {
        Self {
            assembly,
            found: Vec::new(),
            known: HashMap::new(),
        }
    }

    /// The value; or `None`, and the problem is kept. `at` says where it is, of a tube of that name.
    pub(super) fn take<T>(
        &mut self,
        tube: &'a TubeInSpace,
        at: impl Fn(&str) -> String + 'a,
        result: Result<T, Problem>,
    ) -> Option<T> {
        result.map_err(|problem| self.add(tube, at, problem)).ok()
    }

    fn add(&mut self, tube: &'a TubeInSpace, at: impl Fn(&str) -> String + 'a, problem: Problem) {
        let kind = (problem.what.clone(), at(&tube.shared_name));
        let index = *self.known.entry(kind).or_insert(self.found.len());
        match self.found.get_mut(index) {
            Some(alike) => {
                alike.numbers.extend(tube.copy_number());
                if problem.is_worse_than(&alike.worst) {
                    alike.worst = problem;
                }
            }
            None => self.found.push(Alike {
                worst: problem,
                tube,
                at: Box::new(at),
                numbers: tube.copy_number().into_iter().collect(),
            }),
        }
    }

    /// `value` where it is there and nothing is wrong, else the problems.
    ///
    /// # Errors
    /// The problems found so far, one for all copies that share a cause.
    pub(super) fn unless_any<T>(self, value: Option<T>) -> Result<T, Problems> {
        let mut problems = Problems::none();
        for alike in self.found {
            let Alike {
                worst,
                tube,
                at,
                numbers,
            } = alike;
            let is_one = numbers.len() < 2;
            let name = if is_one {
                tube.name.clone()
            } else {
                format!("{} {}", tube.shared_name, stretches(numbers.into_iter()))
            };
            let problem = if is_one { worst } else { worst.at_worst() };
            problems.add(problem.at(Place::found(at(&name), self.assembly.word_of(tube))));
        }
        problems.unless_any(value)
    }
}

/// Where a problem with a hole in that body is, of a tube of a name.
pub(super) fn hole_in(assembly: &Assembly, body: usize) -> impl Fn(&str) -> String + Clone + '_ {
    let body = &assembly.bodies[body].name;
    move |name| format!("tube \"{name}\", its hole in \"{body}\"")
}
