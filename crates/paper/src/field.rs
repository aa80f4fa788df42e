//! What is known of a unit → the field plot: both offset circles, readings and what they leave
//! over, crossing points, window, and the way each crosshair should go.

use solver::{
    Channel, CircleFit, Direction, PerChannel, Reading, Setting, SettingKind, Solution, Turn,
    Window,
};

use crate::scene::{Anchor, Extent, ItemId, Role, Scene, Shape};
use crate::words;

/// A reading to draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// The number its maker knows it by.
    pub key: u64,
    /// Whose.
    pub channel: Channel,
    /// What was read.
    pub reading: Reading,
    /// Taken before anything was touched.
    pub as_found: bool,
    /// Selected in the log.
    pub selected: bool,
}

/// Everything the field plot shows.
#[derive(Clone, Copy, Debug, Default)]
pub struct Field<'a> {
    /// What the readings say; `None` before there is anything to solve.
    pub solution: Option<&'a Solution>,
    /// The readings of the round on screen.
    pub marks: &'a [Mark],
    /// The tolerance window.
    pub window: Option<Window>,
    /// The setting as it would be set by hand.
    pub setting: Option<&'a Setting>,
    /// Where each crosshair is now.
    pub now: PerChannel<Option<Direction>>,
    /// The way each crosshair should go.
    pub turns: PerChannel<Option<Turn>>,
}

/// Longest residual on the plot, as a share of the radius.
const RESIDUAL_SHARE: f64 = 0.12;
/// Paths are drawn with a point at least every 2°.
const PATH_STEP_RAD: f64 = 0.035;
/// A turn's path is drawn this share of the radius outside its circle, so that both are seen.
const PATH_OUTSIDE: f64 = 1.05;

/// Draws the field.
#[must_use]
pub fn field_scene(field: &Field<'_>) -> Scene {
    let mut scene = Scene::default();
    let fits = PerChannel::from_fn(|channel| {
        field.solution.and_then(|solution| solution.fits[channel].as_ref().ok())
    });
    limit_and_boresight(&mut scene, field);
    for channel in Channel::BOTH {
        if let Some(fit) = fits[channel] {
            circle(&mut scene, channel, fit);
        }
    }
    residuals(&mut scene, field, fits);
    for mark in field.marks {
        let role = match (mark.selected, mark.as_found) {
            (true, _) => Role::Selected(mark.channel),
            (false, true) => Role::AsFound(mark.channel),
            (false, false) => Role::Reading(mark.channel),
        };
        let id = ItemId::Reading(mark.channel, mark.key);
        scene.push(id, role, Shape::Marker { at: mark.reading.direction });
    }
    window_box(&mut scene, field);
    for channel in Channel::BOTH {
        way(&mut scene, channel, field, fits[channel]);
    }
    crossings(&mut scene, field);
    compromise(&mut scene, field);
    scene.extent = extent(field, fits);
    scene
}

fn limit_and_boresight(scene: &mut Scene, field: &Field<'_>) {
    if let Some(limit) = field.window.and_then(|window| window.boresight_arcmin()) {
        let shape = Shape::Circle { centre: Direction::BORESIGHT, radius_arcmin: limit };
        scene.push(ItemId::BoresightLimit, Role::Limit, shape);
        let at = Direction::polar(limit, -core::f64::consts::FRAC_PI_4);
        let text = format!("boresight limit {}", words::arcmin(limit));
        let shape = Shape::Text { at, text, anchor: Anchor::Right };
        scene.push(ItemId::BoresightLimitLabel, Role::Limit, shape);
    }
    let shape = Shape::Marker { at: Direction::BORESIGHT };
    scene.push(ItemId::Boresight, Role::Boresight, shape);
}

fn circle(scene: &mut Scene, channel: Channel, fit: &CircleFit) {
    let role =
        if fit.arc_too_short() { Role::DoubtfulCircle(channel) } else { Role::Circle(channel) };
    let shape =
        Shape::Circle { centre: fit.circle.centre, radius_arcmin: fit.circle.radius_arcmin };
    scene.push(ItemId::Circle(channel), role, shape);
    let shape = Shape::Marker { at: fit.circle.centre };
    scene.push(ItemId::Centre(channel), Role::Centre(channel), shape);
}

/// From each reading to where the fit puts it, drawn larger by one round factor for all.
fn residuals(scene: &mut Scene, field: &Field<'_>, fits: PerChannel<Option<&CircleFit>>) {
    let pulls: Vec<(&Mark, Direction, f64)> = field
        .marks
        .iter()
        .filter_map(|mark| {
            let fit = fits[mark.channel]?;
            let expected = mark
                .reading
                .ring_deg
                .and_then(|ring_deg| fit.circle.at_ring(ring_deg))
                .unwrap_or_else(|| fit.circle.nearest_to(mark.reading.direction));
            Some((mark, mark.reading.direction - expected, fit.circle.radius_arcmin))
        })
        .collect();
    let longest = pulls.iter().map(|(_, pull, _)| pull.boresight_arcmin()).fold(0.0, f64::max);
    let room = pulls.iter().map(|(_, _, radius)| *radius).fold(f64::INFINITY, f64::min);
    let Some(times) = round_factor(RESIDUAL_SHARE * room / longest) else { return };
    scene.residuals_times = Some(times);
    for (mark, pull, _) in pulls {
        let from = mark.reading.direction;
        let shape = Shape::Line { points: vec![from, from + pull * times], closed: false };
        let id = ItemId::Residual(mark.channel, mark.key);
        scene.push(id, Role::Residual(mark.channel), shape);
    }
}

/// The largest of 1, 2, 5, 10, 20 … 500 that is not above `most`.
fn round_factor(most: f64) -> Option<f64> {
    [500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0]
        .into_iter()
        .find(|&factor| most.is_finite() && factor <= most)
}

/// The window round the left crosshair at the setting: the right one may lie inside it.
fn window_box(scene: &mut Scene, field: &Field<'_>) {
    let (Some(window), Some(setting)) = (field.window, field.setting) else { return };
    let (low, high) = window_corners(window, setting.points.left);
    let points = vec![
        low,
        Direction::new(high.x_arcmin, low.y_arcmin),
        high,
        Direction::new(low.x_arcmin, high.y_arcmin),
    ];
    scene.push(ItemId::Window, Role::Window, Shape::Line { points, closed: true });
}

fn window_corners(window: Window, left: Direction) -> (Direction, Direction) {
    (
        left - Direction::new(window.convergence_arcmin(), window.dipvergence_arcmin()),
        left + Direction::new(window.divergence_arcmin(), window.dipvergence_arcmin()),
    )
}

fn way(scene: &mut Scene, channel: Channel, field: &Field<'_>, fit: Option<&CircleFit>) {
    if let (Some(turn), Some(fit)) = (field.turns[channel], fit) {
        let mut track = fit.circle;
        track.radius_arcmin *= PATH_OUTSIDE;
        let points = turn.path(&track, PATH_STEP_RAD);
        if let Some(&tip) = points.last()
            && points.len() > 1
            && turn.clockwise_deg.abs() > 0.5
        {
            let end_rad = turn.from_rad + turn.sweep_rad;
            let heading_rad = end_rad + core::f64::consts::FRAC_PI_2.copysign(turn.sweep_rad);
            let line = Shape::Line { points, closed: false };
            scene.push(ItemId::Path(channel), Role::Path(channel), line);
            let head = Shape::Head { tip, heading_rad };
            scene.push(ItemId::PathHead(channel), Role::Path(channel), head);
        }
    }
    if let Some(at) = field.now[channel] {
        scene.push(ItemId::Now(channel), Role::Now(channel), Shape::Marker { at });
    }
}

fn crossings(scene: &mut Scene, field: &Field<'_>) {
    let Some(solution) = field.solution else { return };
    let Some(meeting) = solution.meeting else { return };
    let kind = solution.setting.as_ref().ok().map(|setting| setting.kind);
    let recommended = kind == Some(SettingKind::Crossing);
    let places: Vec<_> = meeting.crossings().collect();
    // Farther first, so that *here* is drawn on top.
    for (rank, crossing) in places.iter().enumerate().rev() {
        let rank_id = u8::try_from(rank).unwrap_or(u8::MAX);
        let here = rank == 0 && recommended;
        let role = if here { Role::Here } else { Role::Elsewhere };
        let at = crossing.point;
        scene.push(ItemId::Crossing(rank_id), role, Shape::Marker { at });
        let distance = words::arcmin(crossing.boresight_arcmin);
        let text =
            if here { format!("meet here, {distance} out") } else { format!("{distance} out") };
        // Words stand away from the other crossing.
        let higher = places
            .iter()
            .enumerate()
            .all(|(other, place)| other == rank || place.point.y_arcmin <= at.y_arcmin);
        let anchor = if higher { Anchor::Above } else { Anchor::Below };
        scene.push(ItemId::CrossingLabel(rank_id), role, Shape::Text { at, text, anchor });
    }
}

/// Where each crosshair goes when they cannot meet.
fn compromise(scene: &mut Scene, field: &Field<'_>) {
    let Some(setting) = field.setting.filter(|setting| setting.kind == SettingKind::Compromise)
    else {
        return;
    };
    for channel in Channel::BOTH {
        let at = setting.points[channel];
        scene.push(ItemId::Setting(channel), Role::Here, Shape::Marker { at });
        let text = format!("{channel} here");
        // Words stand away from the other crosshair.
        let other = setting.points[channel.other()];
        let anchor = if at.y_arcmin >= other.y_arcmin { Anchor::Above } else { Anchor::Below };
        let shape = Shape::Text { at, text, anchor };
        scene.push(ItemId::SettingLabel(channel), Role::Here, shape);
    }
}

fn extent(field: &Field<'_>, fits: PerChannel<Option<&CircleFit>>) -> Extent {
    let marks = field.marks.iter().map(|mark| {
        let at = mark.reading.direction;
        (at, at)
    });
    let circles = fits
        .iter()
        .filter_map(|(_, fit)| {
            let fit = (*fit).filter(|fit| !fit.arc_too_short())?;
            let reach =
                Direction::new(fit.circle.radius_arcmin, fit.circle.radius_arcmin) * PATH_OUTSIDE;
            Some((fit.circle.centre - reach, fit.circle.centre + reach))
        })
        .collect::<Vec<_>>();
    let box_at_setting = field
        .window
        .zip(field.setting)
        .map(|(window, setting)| window_corners(window, setting.points.left));
    let boxes: Vec<_> = marks.chain(circles).chain(box_at_setting).collect();
    if boxes.is_empty() {
        return Extent::default();
    }
    let least = Direction::new(10.0, 10.0);
    Extent::around(boxes.into_iter().chain([(least * -1.0, least)]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::{Problem, solve};

    fn unit() -> Problem {
        let mut problem = Problem {
            window: Window::new(45.0, 20.0, 15.0, Some(40.0)).ok(),
            ..Problem::default()
        };
        for (channel, x, y, r) in
            [(Channel::Left, 10.0, 4.0, 30.0), (Channel::Right, -6.0, -3.0, 26.0)]
        {
            for ring in [0.0, 90.0, 180.0, 270.0_f64] {
                let at = Direction::new(x, y) + Direction::polar(r, -ring.to_radians());
                problem.readings[channel].push(Reading::at_ring(ring, at));
            }
        }
        problem
    }

    fn solved_scene(problem: &Problem) -> Result<Scene, solver::Error> {
        let solution = solve(problem)?;
        let setting = solution.setting.ok();
        Ok(field_scene(&Field {
            solution: Some(&solution),
            window: problem.window,
            setting: setting.as_ref(),
            ..Field::default()
        }))
    }

    /// A unit that meets shows both circles, both crossings, the window and *here* on both circles.
    #[test]
    fn a_unit_that_meets_is_all_there() -> Result<(), solver::Error> {
        let scene = solved_scene(&unit())?;
        for id in [
            ItemId::Circle(Channel::Left),
            ItemId::Circle(Channel::Right),
            ItemId::Crossing(0),
            ItemId::Crossing(1),
            ItemId::Window,
            ItemId::Boresight,
            ItemId::BoresightLimit,
        ] {
            assert!(scene.find(id).is_some(), "{id:?}");
        }
        let here = scene.find(ItemId::Crossing(0));
        assert!(here.is_some_and(|item| item.role == Role::Here));
        Ok(())
    }

    /// Circles apart: each crosshair has its own *here*, and no crossing is drawn.
    #[test]
    fn a_compromise_has_a_here_for_each_channel() -> Result<(), solver::Error> {
        let mut problem = unit();
        for reading in &mut problem.readings.right {
            reading.direction = reading.direction + Direction::new(-80.0, 0.0);
        }
        let scene = solved_scene(&problem)?;
        for channel in Channel::BOTH {
            let item = scene.find(ItemId::Setting(channel));
            assert!(item.is_some_and(|item| item.role == Role::Here), "{channel}");
        }
        assert!(scene.find(ItemId::Crossing(0)).is_none());
        Ok(())
    }

    /// Nothing logged: an empty field of ±40′ with the boresight.
    #[test]
    fn an_empty_field_shows_boresight() {
        let scene = field_scene(&Field::default());
        assert_eq!(scene.items.len(), 1);
        assert_eq!(scene.extent, Extent::default());
    }

    /// The window box reaches farther to the side where the eyes would have to converge when that
    /// limit is the looser: the right crosshair may lie left of the left one by 45′.
    #[test]
    fn window_box_is_drawn_round_the_left_crosshair() -> Result<(), solver::Error> {
        let window = Window::new(45.0, 20.0, 15.0, None)?;
        let (low, high) = window_corners(window, Direction::new(1.0, 2.0));
        assert_eq!((low.x_arcmin, low.y_arcmin), (-44.0, -13.0));
        assert_eq!((high.x_arcmin, high.y_arcmin), (21.0, 17.0));
        Ok(())
    }
}
