//! Small units whose answers are worked by hand.

use paper::{Field, MarkKind, ReadingMark, Scene, Shape, field_scene};
use solver::{Channel, Direction, Problem, Reading, Solution, Spread, Window, solve};

/// Readings of a channel at even ring angles: `count` of them on the circle round (x, y).
pub(crate) fn read(
    problem: &mut Problem,
    channel: Channel,
    centre: (f64, f64),
    r: f64,
    count: u32,
) {
    for k in 0..count {
        let ring = f64::from(k) * 360.0 / f64::from(count);
        let at = Direction::new(centre.0, centre.1) + Direction::polar(r, -ring.to_radians());
        problem.readings[channel].push(Reading::at_ring(ring, at));
    }
}

/// Two circles that cross, in a window: centres (10, 4) and (−6, −3), radii 30 and 26.
pub(crate) fn crossing() -> Problem {
    let window = Window::new(45.0, 20.0, 15.0, Some(40.0)).ok();
    let mut problem = Problem { window, ..Problem::default() };
    read(&mut problem, Channel::Left, (10.0, 4.0), 30.0, 4);
    read(&mut problem, Channel::Right, (-6.0, -3.0), 26.0, 4);
    problem
}

/// Two circles that cross at right angles at boresight and at (−30, −30): the left one round
/// (−30, 0), read four times, the right one round (0, −30), read eight times, σ = 0.5′.
pub(crate) fn square() -> Problem {
    let spread = Spread { sigma_arcmin: Some(0.5), ..Spread::default() };
    let mut problem = Problem { spread, ..Problem::default() };
    read(&mut problem, Channel::Left, (-30.0, 0.0), 30.0, 4);
    read(&mut problem, Channel::Right, (0.0, -30.0), 30.0, 8);
    problem
}

pub(crate) fn marks(problem: &Problem) -> Vec<ReadingMark> {
    let mut marks = Vec::new();
    for channel in Channel::BOTH {
        for (index, &reading) in problem.readings[channel].iter().enumerate() {
            marks.push(ReadingMark {
                key: index as u64,
                number: index + 1,
                channel,
                reading,
                kind: MarkKind::Log,
                selected: false,
            });
        }
    }
    marks
}

/// Solves, and draws with the recommended setting and whatever the test adds.
pub(crate) fn drawn(
    problem: &Problem,
    add: impl for<'a> FnOnce(Field<'a>, &'a Solution) -> Field<'a>,
) -> Scene {
    let solution = solve(problem).unwrap();
    let setting = solution.setting.ok();
    let marks = marks(problem);
    let field = Field {
        solution: Some(&solution),
        marks: &marks,
        window: problem.window,
        setting: setting.as_ref(),
        ..Field::default()
    };
    field_scene(&add(field, &solution))
}

/// The points of a line.
pub(crate) fn line(scene: &Scene, id: paper::ItemId) -> Vec<Direction> {
    match &scene.find(id).unwrap_or_else(|| panic!("{id:?} is not drawn")).shape {
        Shape::Line { points, .. } => points.clone(),
        other => panic!("{id:?} is no line but {other:?}"),
    }
}

/// Where a marker is.
pub(crate) fn place(scene: &Scene, id: paper::ItemId) -> Direction {
    let item = scene.find(id).unwrap_or_else(|| panic!("{id:?} is not drawn"));
    item.place().unwrap_or_else(|| panic!("{id:?} is no marker"))
}
