//! How often a property is tried, and what is promised.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

use proptest::prelude::ProptestConfig;
use proptest::test_runner::{FileFailurePersistence, RngSeed};

/// The promise of the solver, in millimetres.
pub const SOLVER: f64 = 1e-6;
/// The promise for fitted curves, in millimetres.
pub const FITTED: f64 = 0.005;

/// The same cases each time, so that one state of the program has one verdict.
const USUAL_SEED: u64 = 1;

/// `usual` cases, or as many as PROPTEST_CASES asks for, from the seed in PROPTEST_RNG_SEED where there is one; failing ones
/// are kept in the file `kept` and tried first ever after.
pub fn tried(usual: u32, kept: &'static str) -> ProptestConfig {
    ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(kept))),
        ..tried_afresh(usual)
    }
}

/// The same where failing cases are not kept.
pub fn tried_afresh(usual: u32) -> ProptestConfig {
    let asked = ProptestConfig::default();
    ProptestConfig {
        cases: std::env::var_os("PROPTEST_CASES").map_or(usual, |_| asked.cases),
        failure_persistence: None,
        rng_seed: match asked.rng_seed {
            RngSeed::Random => RngSeed::Fixed(USUAL_SEED),
            fixed => fixed,
        },
        ..asked
    }
}
