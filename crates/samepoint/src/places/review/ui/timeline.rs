//! A session's facts in the order said. What no longer counts is struck through, with what became of it.

use egui::accesskit::Role;
use egui::{Button, RichText, ScrollArea, Stroke, Ui, WidgetInfo, vec2};
use jiff::civil::Date;
use record::TimelineEntry;
use record::figures::kept_together;

use crate::places::review::{ReviewAction, Reviewed};
use crate::theme::{Palette, TARGET};
use crate::widgets::{Changed, Label, Tell, changed, keyboard_ring};

pub(crate) fn timeline_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &Reviewed,
    today: Date,
    actions: &mut Vec<ReviewAction>,
) {
    let follow = followed(ui, open);
    ScrollArea::vertical().id_salt("timeline").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let mut round = None;
        let mut before = today;
        for line in &open.lines {
            if line.round != round {
                round = line.round;
                if let Some(number) = round {
                    ui.tell(RichText::new(format!("Round {number}")).color(palette.quiet));
                }
            }
            let day = line.time.date();
            let shown =
                ShownFact { line, another_day: day != before, follow: follow == Some(line.seq) };
            before = day;
            line_ui(ui, palette, open, &shown, actions);
        }
    });
}

/// The fact to scroll to, when it is another one than in the last frame.
fn followed(ui: &Ui, open: &Reviewed) -> Option<u64> {
    let wanted = (open.path.clone(), open.at());
    (changed(ui, "fact in the timeline", wanted) != Changed::No).then(|| open.at())
}

/// A fact as it is shown.
struct ShownFact<'a> {
    line: &'a TimelineEntry,
    /// Whether it was said on another day than the one before it, the first: than today.
    another_day: bool,
    /// Whether it is to be scrolled to.
    follow: bool,
}

fn line_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &Reviewed,
    &ShownFact { line, another_day, follow }: &ShownFact<'_>,
    actions: &mut Vec<ReviewAction>,
) {
    let here = line.seq == open.at();
    let later = line.seq > open.at();
    let what = if line.words.is_empty() { line.kind.to_owned() } else { line.words.clone() };
    let day = line.time.date();
    let with = |time: String| format!("{} · {time} {} · {what}", line.seq, line.hand);
    let clock = line.time.time_of_day();
    let said = with(if another_day { format!("{day} {clock}") } else { clock.clone() });
    let became = line.standing.words();
    let colour = match (here, later || !line.standing.counts()) {
        (true, _) => palette.here,
        (false, true) => palette.quiet,
        (false, false) => palette.text,
    };
    let mut text = RichText::new(kept_together(&said)).small().color(colour);
    if !line.standing.counts() {
        text = text.strikethrough();
    }
    let edge = if here { palette.here } else { palette.ground };
    let button = Button::new(text)
        .wrap()
        .fill(if here { palette.line } else { palette.ground })
        .stroke(Stroke::new(1.0, edge))
        .min_size(vec2(ui.available_width(), TARGET));
    let shown = ui.add(button);
    keyboard_ring(ui, palette, &shown);
    let said = with(format!("{day} {clock}"));
    let telling = if became.is_empty() { said } else { format!("{said}; {became}") };
    shown.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, here, &telling));
    if follow {
        shown.scroll_to_me(Some(egui::Align::Center));
    }
    if shown.clicked() {
        actions.push(ReviewAction::StepTo(line.seq));
    }
    if !became.is_empty() {
        ui.add(Label::new(RichText::new(became).small().color(palette.look)).wrap());
    }
}
