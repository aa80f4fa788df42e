//! Bench mode: the ring to be turned, how far and which way, the last reading's *off by* and what to do
//! next, legible from two metres.

use egui::{
    CentralPanel, FontId, Frame, Margin, Rect, RichText, ScrollArea, Sense, Ui, WidgetInfo,
    accesskit::Role, text::LayoutJob, vec2,
};
use paper::words::capital;

use super::{Aim, Glance, Off};
use crate::app::App;
use crate::theme;
use crate::theme::Palette;
use crate::views::off_by::unexplained;
use crate::views::round::TurnWords;
use crate::widgets::chart::{ChartInk, ChartPen, channel_marker, marker};
use crate::widgets::{Label, Tell, Tone, message_of_size_ui};

/// Numbers are this large at most, and the target this much larger, points.
const LARGEST: f32 = 132.0;
const TARGET_TIMES: f32 = 1.3;
/// Smaller ones are no longer seen from two metres; where there is less room all of it scrolls.
const SMALLEST: f32 = 30.0;
/// Numbers that are seen from two metres, pixels of the screen, whatever size of text it is set to. A character is read
/// with ease when it takes 20′ to 22′ of the eye's field (ISO 9241-303, ergonomic requirements for displays; from
/// memory): 22′ at 2 m are 2000 mm × 22 / 3437.7 = 12.8 mm. A digit is 0.71 of its letters' size high, and the
/// pixels of a small bench screen lie 0.19 mm apart (12 to 14 inches; common practice, no source): 12.8 / 0.71 / 0.19.
const SEEN_PIXELS: f32 = 97.0;
/// What stands behind ± is this much smaller than the number before it.
const SPREAD_TIMES: f32 = 0.5;
/// A line of letters is so much higher than they are.
const LINE: f32 = 1.18;

impl App {
    /// What is seen from two metres, in the room of plot and guidance.
    pub(crate) fn glance_ui(&self, ui: &mut Ui, palette: &Palette) -> Rect {
        let frame = Frame::new().fill(palette.field).inner_margin(Margin::symmetric(14, 6));
        let glance = self.glance();
        let shown = CentralPanel::default().frame(frame);
        shown.show(ui, |ui| glance_ui(ui, palette, &glance)).response.rect
    }
}

/// Shows it in all the room there is.
fn glance_ui(ui: &mut Ui, palette: &Palette, glance: &Glance) {
    ui.spacing_mut().item_spacing.y = 4.0;
    // Nothing here is pressed: a line is as high as its words.
    ui.spacing_mut().interact_size.y = 0.0;
    let room = ui.available_size();
    let (sizes, seen) = Sizes::of(ui, room, glance);
    let first = seen.state(glance);
    ScrollArea::vertical().id_salt("bench mode").auto_shrink(false).show(ui, |ui| {
        head_ui(ui, palette, glance, &sizes);
        match &glance.aim {
            Aim::Place { lines, turn, beside } => {
                place_ui(ui, palette, lines, turn.as_ref(), &sizes);
                if seen == BesideNumbers::All {
                    asides_ui(ui, palette, beside, glance, &sizes);
                }
            }
            Aim::None(why) => told(ui, why, theme::bold(1.5 * sizes.words), palette.here),
        }
        if let Some(off) = &glance.off {
            off_ui(ui, palette, off, &sizes);
        }
        for (tone, text) in glance.state.iter().take(first) {
            message_of_size_ui(ui, palette, *tone, text, theme::bold(sizes.aside));
        }
        told(ui, &glance.next, theme::bold(sizes.words), palette.text);
        // What gave way to numbers that can be seen is below them.
        for (tone, text) in glance.state.iter().skip(first) {
            message_of_size_ui(ui, palette, *tone, text, theme::bold(sizes.aside));
        }
        if let (true, Aim::Place { beside, .. }) = (seen != BesideNumbers::All, &glance.aim) {
            asides_ui(ui, palette, beside, glance, &sizes);
        }
    });
}

fn asides_ui(ui: &mut Ui, palette: &Palette, beside: &str, glance: &Glance, sizes: &Sizes) {
    let words = asides(beside, glance.other.as_deref());
    if !words.is_empty() {
        told(ui, &words, FontId::proportional(sizes.aside), palette.quiet);
    }
}

/// How much of it has room beside numbers that can be seen from two metres; the rest stands below.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum BesideNumbers {
    /// All of it.
    All,
    /// Not how well it is known, what will be read, and the other ring.
    State,
    /// Of where it stands only the first.
    First,
    /// Of that only what must be looked at: target, off by, what to do next.
    Least,
}

impl BesideNumbers {
    const EACH: [Self; 4] = [Self::All, Self::State, Self::First, Self::Least];

    /// How many of the sentences about where it stands.
    fn state(self, glance: &Glance) -> usize {
        let look = |(tone, _): &&(Tone, String)| *tone == Tone::Look;
        match self {
            Self::All | Self::State => glance.state.len(),
            Self::First => glance.state.len().min(1),
            Self::Least => glance.state.iter().take(1).filter(look).count(),
        }
    }
}

/// How large each kind of words is, points.
#[derive(Clone, Copy, Debug)]
struct Sizes {
    number: f32,
    target_times: f32,
    words: f32,
    aside: f32,
    off_abreast: bool,
}

impl Sizes {
    /// The largest that fit the room: words give way to numbers until these are seen from two metres, then what
    /// matters less does.
    fn of(ui: &Ui, room: egui::Vec2, glance: &Glance) -> (Self, BesideNumbers) {
        let enough = SEEN_PIXELS / ui.ctx().pixels_per_point();
        let mut best: Option<(Self, BesideNumbers)> = None;
        for seen in BesideNumbers::EACH {
            let sizes = Self::showing(ui, room, glance, seen, enough);
            if best.is_none_or(|(best, _)| sizes.number > best.number) {
                best = Some((sizes, seen));
            }
            if sizes.number >= enough {
                return (sizes, seen);
            }
        }
        best.unwrap_or_else(|| {
            (Self::showing(ui, room, glance, BesideNumbers::All, enough), BesideNumbers::All)
        })
    }

    fn showing(
        ui: &Ui,
        room: egui::Vec2,
        glance: &Glance,
        seen: BesideNumbers,
        enough: f32,
    ) -> Self {
        let share = (room.x / 900.0).min(room.y / 640.0).clamp(0.0, 1.4);
        let mut words = (28.0 * share).clamp(15.0, 36.0);
        let mut target_times = TARGET_TIMES;
        loop {
            let sizes = Self::with_words(ui, room, glance, seen, words, target_times);
            if sizes.number >= enough || (words <= 13.0 && target_times <= 1.0) {
                return sizes;
            }
            if words > 13.0 {
                words = (words - 1.0).max(13.0);
            } else {
                target_times = (target_times - 0.1).max(1.0);
            }
        }
    }

    /// The same with words of this size, and the target so many times as large as other numbers.
    fn with_words(
        ui: &Ui,
        room: egui::Vec2,
        glance: &Glance,
        seen: BesideNumbers,
        words: f32,
        target_times: f32,
    ) -> Self {
        let aside = (0.72 * words).clamp(12.5, 24.0);
        let high = |text: &str, size: f32, margin: f32| {
            let job = LayoutJob::simple(
                text.to_owned(),
                theme::bold(size),
                egui::Color32::PLACEHOLDER,
                (room.x - margin).max(40.0),
            );
            ui.fonts_mut(|fonts| fonts.layout_job(job)).size().y + ui.spacing().item_spacing.y
        };
        let wide = |text: &str| {
            // Measured large, so that rounding does not count.
            let job = LayoutJob::single_section(
                text.to_owned(),
                egui::TextFormat::simple(theme::bold(100.0), egui::Color32::PLACEHOLDER),
            );
            ui.fonts_mut(|fonts| fonts.layout_job(job)).size().x / 100.0
        };
        let mut fixed = high(&glance.next, words, 0.0) + words * LINE + 12.0;
        for (_, text) in glance.state.iter().take(seen.state(glance)) {
            fixed += high(text, aside, 30.0) + 18.0;
        }
        let (mut target_lines, mut amount_lines, mut way_high, mut widest) =
            (0.0, 0.0, 0.0, 0.0_f32);
        match &glance.aim {
            Aim::Place { lines, turn, beside } => {
                let words = asides(beside, glance.other.as_deref());
                if !words.is_empty() && seen == BesideNumbers::All {
                    fixed += high(&words, aside, 0.0);
                }
                target_lines = target_times * lines.len() as f32;
                if let Some(turn) = turn {
                    amount_lines = 1.0;
                    way_high = high(&way(turn), aside, 0.6 * room.x);
                }
                let amount = turn.as_ref().map_or(0.0, |turn| wide(&turn.amount) + 0.3);
                for line in lines {
                    widest = widest.max(target_times * wide(line) + amount);
                }
            }
            Aim::None(why) => fixed += high(why, 1.5 * words, 0.0),
        }
        let off = glance.off.as_ref().map(|off| {
            fixed += high(&off.name, aside, 0.0);
            off.xy.each_ref().map(|text| {
                let (number, spread) = parted(text);
                wide(&named("x", number)) + SPREAD_TIMES * wide(spread)
            })
        });
        let fit = |off_lines: f32, off_wide: f32| {
            // The target's row is as high as the target, or as the turn with its way below it.
            let left = room.y - fixed - 8.0;
            let by_target = left / (LINE * (target_lines + off_lines)).max(0.1);
            let by_turn = (left - way_high) / (LINE * (amount_lines + off_lines)).max(0.1);
            by_target.min(by_turn).min((room.x - 8.0) / widest.max(off_wide).max(0.1)).min(LARGEST)
        };
        let (number, off_abreast) = match off {
            None => (fit(0.0, 0.0), false),
            Some([x, y]) => {
                let (one, two) = (fit(1.0, x + y + 0.5), fit(2.0, x.max(y)));
                if one >= two { (one, true) } else { (two, false) }
            }
        };
        // What scrolls down is seen by a hand that scrolls; what reaches out is not.
        let by_width = (room.x - 8.0) / widest.max(0.1);
        let number = number.max(SMALLEST).min(by_width);
        Self { number, target_times, words, aside, off_abreast }
    }
}

/// How well it is known and what will be read there; the other ring.
fn asides(beside: &str, other: Option<&str>) -> String {
    let words = [beside, other.unwrap_or("")];
    words.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" · ")
}

/// Which way, and from which side to come to rest.
fn way(turn: &TurnWords) -> String {
    let words = [turn.way.as_str(), turn.finish.as_str()];
    words.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ")
}

/// A number and what stands behind it from ± on.
fn parted(text: &str) -> (&str, &str) {
    text.find('±').map_or((text, ""), |at| text.split_at(at))
}

fn named(axis: &str, number: &str) -> String {
    format!("{axis} {number}")
}

fn told(ui: &mut Ui, text: &str, font: FontId, colour: egui::Color32) {
    ui.add(Label::new(RichText::new(text).font(font).color(colour)).wrap());
}

/// Whose ring: by word, by marker and by the line it is drawn with on the plot.
fn head_ui(ui: &mut Ui, palette: &Palette, glance: &Glance, sizes: &Sizes) {
    ui.horizontal(|ui| {
        let colour = palette.drawn(glance.channel);
        let size = sizes.words;
        let (rect, _) = ui.allocate_exact_size(vec2(3.4 * size, size * LINE), Sense::hover());
        let pen = ChartPen::new((0.16 * size).max(2.0), colour).of(glance.channel);
        pen.draw(ui.painter(), &[rect.left_center(), rect.right_center()]);
        let what = channel_marker(glance.channel);
        marker(ui.painter(), rect.center(), what, 0.38 * size, ChartInk::Filled(colour));
        let words = format!("{} {}", capital(glance.channel.word()), glance.head);
        let text =
            RichText::new(words).font(theme::bold(size)).color(palette.channel(glance.channel));
        ui.tell(text);
    });
}

/// What it is turned to, which way and how far.
fn place_ui(
    ui: &mut Ui,
    palette: &Palette,
    lines: &[String],
    turn: Option<&TurnWords>,
    sizes: &Sizes,
) {
    let target = |ui: &mut Ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for line in lines {
            let font = theme::bold(sizes.target_times * sizes.number);
            ui.add(Label::new(RichText::new(line).font(font).color(palette.here)).extend());
        }
    };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.25 * sizes.number;
        ui.vertical(target);
        let Some(turn) = turn else { return };
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let font = theme::bold(sizes.number);
            ui.add(Label::new(RichText::new(&turn.amount).font(font).color(palette.text)).extend());
            let way = way(turn);
            if !way.is_empty() {
                told(ui, &way, theme::bold(sizes.aside), palette.text);
            }
        });
    });
}

/// How far the last reading lies off, x and y.
fn off_ui(ui: &mut Ui, palette: &Palette, off: &Off, sizes: &Sizes) {
    let colour = if off.tone == Tone::Look { palette.look } else { palette.text };
    let name = match off.tone {
        Tone::Look => unexplained(&off.name),
        _ => off.name.clone(),
    };
    told(ui, &name, theme::bold(sizes.aside), palette.quiet);
    let [x, y] = &off.xy;
    let number = |ui: &mut Ui, axis: &str, text: &str| {
        let words = named(axis, text);
        let (number, spread) = parted(text);
        let mut job = LayoutJob::default();
        for (text, size) in
            [(named(axis, number).as_str(), sizes.number), (spread, SPREAD_TIMES * sizes.number)]
        {
            job.append(text, 0.0, egui::TextFormat::simple(theme::bold(size), colour));
        }
        let shown = ui.add(Label::new(job).extend());
        let telling = format!("{name} {words}");
        shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, &telling));
    };
    let both = |ui: &mut Ui| {
        ui.spacing_mut().item_spacing = vec2(0.4 * sizes.number, 0.0);
        number(ui, "x", x);
        number(ui, "y", y);
    };
    if sizes.off_abreast {
        ui.horizontal(both);
    } else {
        ui.vertical(both);
    }
}
