//! How often a property is tried, and what is promised.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

use proptest::prelude::ProptestConfig;
use proptest::test_runner::FileFailurePersistence;

/// The promise of the solver, in millimetres.
pub const SOLVER: f64 = 1e-6;
/// The promise for fitted curves, in millimetres.
pub const FITTED: f64 = 0.005;

/// `usual` cases, or as many as PROPTEST_CASES asks for; failing ones are kept in the file `kept` and
/// tried first ever after.
pub fn tried(usual: u32, kept: &'static str) -> ProptestConfig {
    let asked = ProptestConfig::default();
    ProptestConfig {
        cases: std::env::var_os("PROPTEST_CASES").map_or(usual, |_| asked.cases),
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(kept))),
        ..asked
    }
}
