//! A unit of the plan that was chosen.

/// Which of the units to be built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PickedUnits {
    /// One of the plan, by its place.
    OfPlan(usize),
    /// The best single one.
    Best,
}
