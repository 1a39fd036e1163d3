//! A job as far as it can be solved, and everything that is wrong with it.

use std::sync::Arc;

use crate::job::read::{read_job, read_so_far};
use crate::job::resolve;
use crate::page::recent::Recent;
use crate::page::work::Wanted;
use crate::plan::{self, Plan};
use crate::problem::Problems;

/// What problems are reported to stand in: the person knows the job by its title.
pub(super) const NAME: &str = "the job";
/// After leaving things out as often, nothing is drawn.
const TRIES: usize = 6;
/// The last jobs that are kept solved, so that turning a picture solves nothing.
const KEPT: usize = 4;

/// What is known of a text.
pub(super) struct Solved {
    /// What is left of the job when everything wrong is left out, solved.
    pub(super) plan: Option<Plan>,
    /// What is wrong.
    pub(super) problems: Problems,
}

/// The last texts that were solved.
#[derive(Default)]
pub(super) struct Known(Recent<Solved, KEPT>);

impl Known {
    /// What is known of a text; work that nobody waits for any more is left, and not kept.
    pub(super) fn of(&self, text: &str, wanted: &Wanted) -> Arc<Solved> {
        if let Some(solved) = self.0.get(text) {
            return solved;
        }
        // What is typed differs little from what was typed before.
        let earlier = self.0.last();
        let earlier = earlier.as_ref().and_then(|solved| solved.plan.as_ref());
        let solved = Arc::new(solve(text, earlier, wanted));
        if !wanted.is_over() {
            self.0.keep(text.to_owned(), solved.clone());
        }
        solved
    }
}

/// Solves what isn't known of an earlier plan.
fn solve(text: &str, earlier: Option<&Plan>, wanted: &Wanted) -> Solved {
    let read = read_so_far(NAME, text);
    let mut problems = read.problems.clone();
    if !problems.is_empty()
        && let Some(job) = &read.value
    {
        problems.add_all(&resolve::what_else_is_wrong(&read, &job.sheet));
    }
    // What can't be read is not drawn, not even where it is clear what was meant.
    let mut left = read.value.and_then(|job| job.without(&read.problems));
    for _ in 0..TRIES {
        let Some(job) = left.take().filter(|_| !wanted.is_over()) else {
            break;
        };
        // What is at odds only with what was left out is no problem of its own.
        let is_whole = problems.is_empty();
        let found = match resolve::unfinished_job(&job, &job.sheet) {
            Err(found) => {
                if is_whole {
                    problems.add_all(&found);
                }
                found
            }
            Ok(resolved) => match plan::batch_after(&resolved, earlier) {
                Ok(plan) => {
                    return Solved {
                        plan: Some(plan),
                        problems,
                    };
                }
                Err(found) => {
                    problems.add_all(&found);
                    found
                }
            },
        };
        left = job.without(&found);
    }
    Solved { plan: None, problems }
}

/// The whole job, as the command line takes it.
///
/// # Errors
/// Everything that is wrong with it.
pub(super) fn whole(text: &str) -> Result<Plan, Problems> {
    let job = read_job(NAME, text)?;
    plan::batch(&resolve::job_file(&job, &job.sheet)?, &|_, _| {})
}
