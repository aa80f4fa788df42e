//! Choosing a point: the pointer takes the nearest, the arrow keys step from left to right.

use egui::{EventFilter, Key, Modifiers, Pos2, Response, Ui};

use super::Chart;

/// How near the pointer must be to a point, screen points.
const NEAR: f32 = 14.0;

/// Which point a hand is at, by its index.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct PointAtHand {
    /// Under the pointer, or where the keyboard is.
    pub(crate) at: Option<usize>,
    /// Pressed, or Enter was.
    pub(crate) asked: Option<usize>,
}

impl Chart<'_> {
    /// Which point is chosen; a chart that senses clicks can have the keyboard.
    pub(crate) fn chosen(&self, ui: &Ui, response: &Response, points: &[[f64; 2]]) -> PointAtHand {
        let pointed = response.hover_pos().and_then(|pointer| self.nearest(points, pointer));
        let at = pointed.or_else(|| stepped(ui, response, points));
        PointAtHand { at, asked: at.filter(|_| response.clicked()) }
    }

    fn nearest(&self, points: &[[f64; 2]], pointer: Pos2) -> Option<usize> {
        let distances = points.iter().map(|at| self.map.place(*at).distance(pointer)).enumerate();
        let (index, distance) = distances.min_by(|a, b| a.1.total_cmp(&b.1))?;
        (distance <= NEAR).then_some(index)
    }
}

fn stepped(ui: &Ui, response: &Response, points: &[[f64; 2]]) -> Option<usize> {
    if !response.has_focus() {
        return None;
    }
    let id = response.id;
    let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    let mut order: Vec<(usize, &[f64; 2])> = points.iter().enumerate().collect();
    order.sort_by(|(_, a), (_, b)| a[0].total_cmp(&b[0]));
    let mut step = ui.data_mut(|data| data.get_temp::<usize>(id)).unwrap_or_default();
    for (key, by) in [(Key::ArrowRight, 1), (Key::ArrowLeft, -1)] {
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            step = step.saturating_add_signed(by);
        }
    }
    step = step.min(order.len().saturating_sub(1));
    ui.data_mut(|data| data.insert_temp(id, step));
    order.get(step).map(|(index, _)| *index)
}
