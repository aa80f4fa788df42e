//! Measuring on the plot, with the pointer or by walking from item to item.

use paper::measure::{MeasuredEnd, measure_scene, sentence};
use paper::scene::{Item, Scene};

/// A measurement being made.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Measuring {
    from: Option<MeasuredEnd>,
    to: Option<MeasuredEnd>,
    /// Whether the first end is set, not merely walked to.
    begun: bool,
    /// Whether the second end is set too.
    done: bool,
    /// The item the keyboard stands at, by its place among those that can be measured from.
    walked: Option<usize>,
}

impl Measuring {
    /// The pointer is here.
    pub(super) fn hover(&mut self, end: MeasuredEnd) {
        if self.begun && !self.done && self.walked.is_none() {
            self.to = Some(end);
        }
    }

    /// The pointer pressed here: the first end, then the second, then a new first one.
    pub(super) fn press(&mut self, end: MeasuredEnd) {
        self.walked = None;
        if self.begun && !self.done {
            self.to = Some(end);
            self.done = true;
        } else {
            *self = Self { from: Some(end), begun: true, ..Self::default() };
        }
    }

    /// On to the next item, or back to the one before.
    pub(super) fn walk(&mut self, scene: &Scene, on: bool) {
        let ends = ends(scene);
        let Some(last) = ends.len().checked_sub(1) else { return };
        if self.done {
            *self = Self { walked: self.walked, ..Self::default() };
        }
        let next = match self.walked {
            None => 0,
            Some(at) if on => {
                if at >= last {
                    0
                } else {
                    at + 1
                }
            }
            Some(at) => at.checked_sub(1).unwrap_or(last),
        };
        self.walked = Some(next);
        let end = ends.into_iter().nth(next);
        if self.begun {
            self.to = end;
        } else {
            self.from = end;
        }
    }

    /// Sets the end that the walk stands at; after the second, begins anew.
    pub(super) fn set(&mut self) {
        if self.done {
            *self = Self::default();
        } else if self.begun {
            self.done = self.to.is_some();
        } else {
            self.begun = self.from.is_some();
        }
    }

    /// The measurement as it stands, to be drawn over the plot.
    pub(super) fn scene(&self) -> Option<Scene> {
        Some(measure_scene(self.from.as_ref()?, self.to.as_ref()))
    }

    /// What to do next, or what was found.
    pub(super) fn words(&self) -> String {
        match (&self.from, &self.to) {
            (Some(from), Some(to)) => sentence(from, to),
            (Some(from), None) if self.begun => {
                let on = from.on.as_deref().unwrap_or("here");
                format!("Measure from {on}: press the other end, or walk there with ← → and Enter")
            }
            (Some(from), None) => {
                format!("Measure from {}? Enter sets it", from.on.as_deref().unwrap_or("here"))
            }
            (None, _) => "Measure: press an end, or walk there with ← → and Enter".to_owned(),
        }
    }
}

/// Everything with a place, in drawing order.
fn ends(scene: &Scene) -> Vec<MeasuredEnd> {
    let end =
        |item: &Item| Some(MeasuredEnd { at: item.place()?, on: Some(item.told.name.clone()) });
    scene.items().filter_map(|item| end(&item)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::Direction;

    fn end(x: f64) -> MeasuredEnd {
        MeasuredEnd { at: Direction::new(x, 0.0), on: None }
    }

    /// Press, move, press; a third press begins anew.
    #[test]
    fn a_measurement_has_two_ends() {
        let mut measuring = Measuring::default();
        measuring.hover(end(9.0));
        assert!(measuring.scene().is_none());
        measuring.press(end(1.0));
        measuring.hover(end(3.0));
        assert!(measuring.words().ends_with("2.0′ apart"), "{}", measuring.words());
        measuring.press(end(5.0));
        measuring.hover(end(7.0));
        assert!(measuring.words().ends_with("4.0′ apart"), "{}", measuring.words());
        measuring.press(end(2.0));
        assert!(measuring.words().contains("press the other end"), "{}", measuring.words());
    }

    /// By keyboard: walk, Enter, walk, Enter.
    #[test]
    fn a_measurement_can_be_walked() {
        let (from, to) = (end(1.0), end(4.0));
        let scene = measure_scene(&from, Some(&to));
        let mut measuring = Measuring::default();
        measuring.walk(&scene, true);
        assert!(measuring.words().ends_with("Enter sets it"), "{}", measuring.words());
        measuring.set();
        measuring.walk(&scene, true);
        measuring.set();
        assert!(measuring.done && measuring.words().ends_with("3.0′ apart"));
        measuring.set();
        assert_eq!(measuring, Measuring::default());
    }
}
