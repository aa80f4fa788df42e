//! Choosing a point: the pointer takes the nearest, the arrow keys step from left to right.

use egui::{EventFilter, Key, Modifiers, Pos2, Response, Ui};

/// How near the pointer must be to a point, screen points.
const NEAR: f32 = 14.0;

/// Which point a hand is at, by its index.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Chosen {
    /// Under the pointer, or where the keyboard is.
    pub at: Option<usize>,
    /// Pressed, or Enter was.
    pub asked: Option<usize>,
}

/// Which point is chosen; a chart that senses clicks can have the keyboard.
pub fn chosen(ui: &Ui, response: &Response, places: &[Pos2]) -> Chosen {
    let stepped = stepped(ui, response, places);
    let at = response.hover_pos().and_then(|pointer| nearest(places, pointer)).or(stepped);
    Chosen { at, asked: at.filter(|_| response.clicked()) }
}

fn nearest(places: &[Pos2], pointer: Pos2) -> Option<usize> {
    let distances = places.iter().map(|place| place.distance(pointer)).enumerate();
    let (index, distance) = distances.min_by(|a, b| a.1.total_cmp(&b.1))?;
    (distance <= NEAR).then_some(index)
}

fn stepped(ui: &Ui, response: &Response, places: &[Pos2]) -> Option<usize> {
    if !response.has_focus() {
        return None;
    }
    let id = response.id;
    let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    let mut order: Vec<usize> = (0..places.len()).collect();
    let x = |index: &usize| places.get(*index).map_or(0.0, |place| place.x);
    order.sort_by(|a, b| x(a).total_cmp(&x(b)));
    let mut step = ui.data_mut(|data| data.get_temp::<usize>(id)).unwrap_or_default();
    for (key, by) in [(Key::ArrowRight, 1), (Key::ArrowLeft, -1)] {
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            step = step.saturating_add_signed(by);
        }
    }
    step = step.min(order.len().saturating_sub(1));
    ui.data_mut(|data| data.insert_temp(id, step));
    order.get(step).copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    #[test]
    fn the_nearest_point_is_taken_when_it_is_near() {
        let places = [pos2(0.0, 0.0), pos2(20.0, 0.0)];
        assert_eq!(nearest(&places, pos2(12.0, 3.0)), Some(1));
        assert_eq!(nearest(&places, pos2(0.0, 15.0)), None);
        assert_eq!(nearest(&[], pos2(0.0, 0.0)), None);
    }
}
