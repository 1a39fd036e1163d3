//! Whether two things are the same of which only abilities are known.

use std::any::Any;

/// Equality of things that are known to others by what they can do alone.
pub trait Same: Any {
    /// Whether the other is of the same shape, with the same figures.
    fn is_same(&self, other: &dyn Any) -> bool;

    /// Itself, whose shape can be asked for.
    fn as_any(&self) -> &dyn Any;
}

impl<T: Any + PartialEq> Same for T {
    fn is_same(&self, other: &dyn Any) -> bool {
        other.downcast_ref().is_some_and(|other| self == other)
    }

    fn as_any(&self) -> &dyn Any {
        self
    }
}
