//! The plans that were asked for last: a joint that is turned or taken along isn't solved anew.

use std::sync::Arc;

use super::question::Question;
use super::recent::Recent;
use super::typed::Typed;
use crate::plan::Plan;
use crate::problem::Problems;

/// As many are kept.
const KEPT: usize = 8;

/// The plans, by what was typed for each.
#[derive(Default)]
pub(super) struct Kept(Recent<Plan, KEPT>);

impl Kept {
    /// The plan of what was typed, solved where it isn't kept.
    ///
    /// # Errors
    /// What is wrong with what was typed.
    pub(super) fn plan(&self, question: &Question, typed: &Typed) -> Result<Arc<Plan>, Problems> {
        let key = format!("{}?{}", question.name, question.query(typed));
        if let Some(plan) = self.0.get(&key) {
            return Ok(plan);
        }
        let plan = Arc::new((question.plan)(typed)?);
        self.0.keep(key, plan.clone());
        Ok(plan)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::screen::saddle::QUESTION;

    fn asked(kept: &Kept, more: &str) -> Arc<Plan> {
        let typed = Typed::of(Some(&format!("branch=48.3mm+x+2mm&header=300mm&{more}")));
        let plan = kept.plan(&QUESTION, &typed);
        plan.unwrap_or_else(|problems| panic!("{problems}"))
    }

    #[test]
    fn a_joint_is_solved_once_however_it_is_turned_and_another_is_another() {
        let kept = Kept::default();
        let first = asked(&kept, "angle=60");
        assert!(Arc::ptr_eq(&first, &asked(&kept, "angle=60&eye=1,2")));
        for other in [
            "angle=61",
            "angle=60&units=in",
            "angle=60&ruler-reads=149,150",
            "angle=60&stations=8",
        ] {
            assert!(!Arc::ptr_eq(&first, &asked(&kept, other)), "{other}");
        }
        for angle in 20..20 + KEPT {
            asked(&kept, &format!("angle={angle}"));
        }
        assert!(
            !Arc::ptr_eq(&first, &asked(&kept, "angle=60")),
            "only the last few are kept"
        );
        let wrong = Typed::of(Some("branch=1"));
        assert!(kept.plan(&QUESTION, &wrong).is_err() && kept.plan(&QUESTION, &wrong).is_err());
    }
}
