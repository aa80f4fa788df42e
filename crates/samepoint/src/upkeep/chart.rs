//! The chart of one point and axis of a check standard: days, their limits and moving average above,
//! the day's steps below.

use egui::accesskit::Role;
use egui::{
    Align2, Painter, Pos2, Rect, RichText, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use paper::words::number;
use record::checks::ChartedDay;
use solver::Channel;

use super::picture::CheckChart;
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Tell, TellOnHover, channel_colour_text};

/// Height of the days' values and of their steps, points.
const VALUES: f32 = 104.0;
const STEPS: f32 = 34.0;
const BETWEEN: f32 = 6.0;
/// Room for the limits' numbers.
const NUMBERS: f32 = 46.0;

pub(crate) fn check_chart_ui(ui: &mut Ui, palette: &Palette, chart: &CheckChart, width: f32) {
    ui.vertical(|ui| {
        ui.set_width(width);
        let ring = chart.point.ring_deg;
        let ring = ring
            .map_or_else(String::new, |deg| format!("ring {}, ", paper::words::degrees_short(deg)));
        let after = format!("{ring}{}", chart.axis.word());
        ui.tell(channel_colour_text(palette, chart.point.channel, &after));
        let size = vec2(width, VALUES + BETWEEN + STEPS);
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &chart.told));
        response.tell_on_hover(&chart.told);
        if ui.is_rect_visible(rect) {
            let drawn = Drawn { painter: &ui.painter_at(rect), palette, chart };
            drawn.values(Rect::from_min_size(rect.min, vec2(width - NUMBERS, VALUES)));
            let below = rect.min + vec2(0.0, VALUES + BETWEEN);
            drawn.steps(Rect::from_min_size(below, vec2(width - NUMBERS, STEPS)));
        }
        let last = chart.days.last().map_or_else(
            || "no day yet".to_owned(),
            |day| format!("{}: {}′", day.day, number(day.value, 2)),
        );
        ui.tell(RichText::new(last).small().color(palette.quiet));
    });
}

/// A chart being drawn.
struct Drawn<'a> {
    painter: &'a Painter,
    palette: &'a Palette,
    chart: &'a CheckChart,
}

/// Where values and days lie on the screen.
#[derive(Clone, Copy)]
struct Place {
    rect: Rect,
    low: f64,
    high: f64,
    days: usize,
}

impl Place {
    fn around(rect: Rect, values: impl Iterator<Item = f64>, days: usize) -> Self {
        let (low, high) = values
            .filter(|value| value.is_finite())
            .fold((f64::MAX, f64::MIN), |(low, high), value| (low.min(value), high.max(value)));
        let (low, high) = if low < high { (low, high) } else { (low - 0.5, low + 0.5) };
        let edge = (high - low) * 0.08;
        Self { rect: rect.shrink2(vec2(6.0, 3.0)), low: low - edge, high: high + edge, days }
    }

    fn y(&self, value: f64) -> f32 {
        let share = ((value - self.low) / (self.high - self.low)) as f32;
        self.rect.bottom() - share * self.rect.height()
    }

    fn step(&self) -> f32 {
        self.rect.width() / self.days.saturating_sub(1).max(1) as f32
    }

    fn x(&self, day: usize) -> f32 {
        self.rect.left() + day as f32 * self.step()
    }

    fn at(&self, day: usize, value: f64) -> Pos2 {
        pos2(self.x(day), self.y(value))
    }
}

impl Drawn<'_> {
    fn values(&self, rect: Rect) {
        let days = &self.chart.days;
        self.painter.rect_filled(rect, 3.0, self.palette.field);
        let limits = days.iter().filter_map(|day| day.limits.as_ref());
        let every = days
            .iter()
            .flat_map(|day| [Some(day.value), day.average])
            .flatten()
            .chain(limits.flat_map(|held| [held.next.low, held.next.high]));
        let place = Place::around(rect, every, days.len());
        for (from, to, limits) in runs(days) {
            let across = [place.x(from) - 4.0, place.x(to) + 4.0];
            let line = |value: f64| across.map(|x| pos2(x, place.y(value)));
            let edge = Stroke::new(1.5, self.palette.quiet);
            self.painter
                .line_segment(line(limits.value.centre), Stroke::new(1.0, self.palette.line));
            for value in [limits.value.low, limits.value.high] {
                self.painter.extend(Shape::dashed_line(&line(value), edge, 5.0, 4.0));
            }
            for value in [limits.next.low, limits.next.high] {
                let dots = Shape::dotted_line(&line(value), self.palette.quiet, 5.0, 0.8);
                self.painter.extend(dots);
            }
        }
        self.months(rect, place);
        let average: Vec<Pos2> = days
            .iter()
            .enumerate()
            .filter_map(|(day, held)| Some(place.at(day, held.average?)))
            .collect();
        self.painter.add(Shape::line(average, Stroke::new(1.5, self.palette.text)));
        for (day, held) in days.iter().enumerate() {
            self.day(place.at(day, held.value), !held.findings.is_empty());
        }
        self.numbers(rect, place);
    }

    /// A mark and its number where a month begins, the year with the first and each January.
    fn months(&self, rect: Rect, place: Place) {
        let days = &self.chart.days;
        let mut free_from = rect.left();
        for (day, held) in days.iter().enumerate() {
            let before = day.checked_sub(1).and_then(|before| days.get(before));
            let same = |before: &ChartedDay| {
                (before.day.year(), before.day.month()) == (held.day.year(), held.day.month())
            };
            if before.is_some_and(same) {
                continue;
            }
            let x = place.x(day);
            let ends = [pos2(x, rect.bottom() - 4.0), pos2(x, rect.bottom())];
            self.painter.line_segment(ends, Stroke::new(1.0, self.palette.quiet));
            let month = held.day.month();
            let text = if before.is_none() || month == 1 {
                format!("{}-{month:02}", held.day.year())
            } else {
                format!("{month:02}")
            };
            if x < free_from {
                continue;
            }
            let drawn = self.painter.text(
                pos2(x, rect.bottom() - 3.0),
                Align2::LEFT_BOTTOM,
                text,
                theme::mono(10.0),
                self.palette.quiet,
            );
            free_from = drawn.right() + 4.0;
        }
    }

    /// The channel's marker; a ring round it where a limit is broken.
    fn day(&self, at: Pos2, outside: bool) {
        let channel = self.chart.point.channel;
        let colour = self.palette.channel(channel);
        match channel {
            Channel::Left => {
                self.painter.rect_filled(Rect::from_center_size(at, vec2(5.0, 5.0)), 0.0, colour);
            }
            Channel::Right => {
                let corners = vec![at + vec2(0.0, -3.5), at + vec2(3.5, 2.5), at + vec2(-3.5, 2.5)];
                self.painter.add(Shape::convex_polygon(corners, colour, Stroke::NONE));
            }
        }
        if outside {
            self.painter.circle_stroke(at, 6.5, Stroke::new(2.0, self.palette.look));
        }
    }

    /// The limits of the last day, as numbers beside them.
    fn numbers(&self, rect: Rect, place: Place) {
        let Some(limits) = self.chart.days.last().and_then(|day| day.limits) else { return };
        let mut taken: Vec<f32> = Vec::new();
        for value in [limits.value.high, limits.value.low, limits.value.centre] {
            let y = place.y(value).clamp(rect.top() + 6.0, rect.bottom() - 6.0);
            // Where limits lie close together their edges are told, not their centre.
            if taken.iter().any(|other| (other - y).abs() < 12.0) {
                continue;
            }
            taken.push(y);
            let text = format!("{}′", number(value, 2));
            let at = pos2(rect.right() + NUMBERS, y);
            self.painter.text(
                at,
                Align2::RIGHT_CENTER,
                text,
                theme::mono(11.0),
                self.palette.quiet,
            );
        }
    }

    fn steps(&self, rect: Rect) {
        let days = &self.chart.days;
        self.painter.rect_filled(rect, 3.0, self.palette.field);
        let limits = days.iter().filter_map(|day| day.limits.map(|held| held.step.high));
        let sizes = days.iter().filter_map(|day| day.step.map(f64::abs));
        let place = Place::around(rect, sizes.chain(limits).chain([0.0]), days.len());
        for (from, to, limits) in runs(days) {
            let line = [place.x(from) - 4.0, place.x(to) + 4.0]
                .map(|x| pos2(x, place.y(limits.step.high)));
            let edge = Stroke::new(1.0, self.palette.quiet);
            self.painter.extend(Shape::dashed_line(&line, edge, 5.0, 4.0));
        }
        for (day, held) in days.iter().enumerate() {
            let Some(step) = held.step else { continue };
            let outside = held.limits.is_some_and(|limits| step.abs() > limits.step.high);
            let (width, colour) =
                if outside { (4.0, self.palette.look) } else { (2.0, self.palette.edge) };
            let ends = [place.at(day, 0.0), place.at(day, step.abs())];
            self.painter.line_segment(ends, Stroke::new(width, colour));
        }
        let at = pos2(rect.right() + NUMBERS, rect.center().y);
        self.painter.text(at, Align2::RIGHT_CENTER, "steps", theme::mono(11.0), self.palette.quiet);
    }
}

/// Runs of days that are held against the same limits: first, last, limits.
fn runs(days: &[ChartedDay]) -> Vec<(usize, usize, record::checks::PointLimits)> {
    let mut runs: Vec<(usize, usize, record::checks::PointLimits)> = Vec::new();
    for (day, held) in days.iter().enumerate() {
        let Some(limits) = held.limits else { continue };
        match runs.last_mut() {
            Some((_, to, same)) if *same == limits && *to + 1 == day => *to = day,
            _ => runs.push((day, day, limits)),
        }
    }
    runs
}
