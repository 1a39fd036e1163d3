//! Bodies moved out square to their skins.

use std::sync::Arc;

use super::Body;

/// A body whose skin can be moved out.
pub trait Grow {
    /// The same body with its skin moved out by `by` millimetres, square to itself; below 0 it is moved in, by less than
    /// [`Grow::deepest_mm`].
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync>;

    /// Moved in by so many millimetres its skin closes up, or folds where it is bent most.
    fn deepest_mm(&self) -> f64;
}
