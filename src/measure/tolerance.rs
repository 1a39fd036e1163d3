//! How far a result may be off.

/// Lengths that differ by no more than this, in millimetres, are equal, wherever that is asked: a line that passes a skin by
/// so little grazes it, and a tube that is wider than its body by so little is as wide. It is as close as cuts are solved;
/// what rounding adds on the way from inches, or through turns and copies over 100 m, is a hundred times less.
pub const SAME_MM: f64 = 1e-6;

/// A length in millimetres, finite and above 0; built once at the edge, so that nobody tests it again.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Tolerance(f64);

impl Tolerance {
    /// The promise for every curve in a file: 0.005 mm.
    pub const FILE: Self = Self(0.005);

    /// `None` unless `mm` is finite and above 0.
    pub fn new(mm: f64) -> Option<Self> {
        (mm.is_finite() && mm > 0.0).then_some(Self(mm))
    }

    /// In millimetres.
    pub fn mm(self) -> f64 {
        self.0
    }
}
