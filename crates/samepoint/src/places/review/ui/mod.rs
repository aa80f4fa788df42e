//! Review: a session's facts, how things stood after each, and what to make of it.
//!
//! - [`timeline`]: the facts; [`account`]: in words, and rounds side by side;
//! - [`suppose`]: what would be; [`compare`]: another session beside it; [`answer`]: countersign or
//!   return, `several`: those marked, together.

pub(crate) mod account;
pub(crate) mod answer;
pub(crate) mod compare;
pub(crate) mod several;
pub(crate) mod suppose;
pub(crate) mod timeline;

use egui::{Button, Frame, Key, Margin, Modifiers, Panel, RichText, ScrollArea, Slider, Ui, vec2};

use jiff::civil::Date;

use super::{ReviewAction, ReviewPart, Reviewed, Reviewing, Sight};
use crate::plot::{FieldPlot, FieldView, field_plot_ui};
use crate::shell::layout_size::LayoutSize;
use crate::shell::offers::Offers;
use crate::shell::sealing::running::RunningSeal;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{
    Changed, Label, Tell, TellOnHover, Tone, changed, differences_ui, message_ui, shortened_ui, tip,
};

/// What the place looks at and never changes.
pub(crate) struct ReviewContext<'a> {
    /// What the shop offers.
    pub offers: &'a Offers,
    /// The seal that is being made.
    pub sealing: Option<&'a RunningSeal>,
    /// How much room there is.
    pub room: LayoutSize,
    /// What day it is.
    pub today: Date,
}

/// Width of the facts, and of what stands beside the plot, points.
const FACTS: f32 = 310.0;
const BESIDE: f32 = 360.0;

/// Shows it.
pub(crate) fn review_ui(
    ui: &mut Ui,
    palette: &Palette,
    reviewing: &mut Reviewing,
    context: &ReviewContext<'_>,
    actions: &mut Vec<ReviewAction>,
) {
    keys(ui, actions);
    let Some(open) = &reviewing.open else {
        empty_ui(ui, palette, reviewing, actions);
        return;
    };
    head_ui(ui, palette, open, context.room, actions);
    if context.room == LayoutSize::Small {
        small_ui(ui, palette, reviewing, context, actions);
        return;
    }
    let none = Frame::new().inner_margin(Margin { right: 10, top: 4, ..Margin::ZERO });
    Panel::left("review facts").exact_size(FACTS).resizable(false).frame(none).show(ui, |ui| {
        timeline::timeline_ui(ui, palette, open, context.today, actions);
    });
    let none = Frame::new().inner_margin(Margin { left: 10, top: 4, ..Margin::ZERO });
    let width = (ui.ctx().content_rect().width() * 0.28).clamp(BESIDE, 1.4 * BESIDE);
    Panel::right("review part").exact_size(width).resizable(false).frame(none).show(ui, |ui| {
        part_ui(ui, palette, reviewing, context, actions);
    });
    if let Reviewing { open: Some(open), view, .. } = reviewing {
        stage_ui(ui, palette, open, view);
    }
}

/// One of facts, plot and the rest at a time.
fn small_ui(
    ui: &mut Ui,
    palette: &Palette,
    reviewing: &mut Reviewing,
    context: &ReviewContext<'_>,
    actions: &mut Vec<ReviewAction>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (sight, text) in
            [(Sight::Timeline, "Facts"), (Sight::Plot, "Plot"), (Sight::Part, "Told")]
        {
            let chosen = reviewing.sight == sight;
            if ui.add(Button::selectable(chosen, text).min_size(vec2(52.0, TARGET))).clicked() {
                actions.push(ReviewAction::Bring(sight));
            }
        }
    });
    match (reviewing.sight, &reviewing.open) {
        (Sight::Timeline, Some(open)) => {
            timeline::timeline_ui(ui, palette, open, context.today, actions);
        }
        (Sight::Plot, Some(_)) => {
            if let Reviewing { open: Some(open), view, .. } = reviewing {
                stage_ui(ui, palette, open, view);
            }
        }
        _ => part_ui(ui, palette, reviewing, context, actions),
    }
}

/// Arrows step through the facts, both ways, unless somebody types. What has the keyboard lets go of it: the
/// toolkit would take it along.
fn keys(ui: &Ui, actions: &mut Vec<ReviewAction>) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    let steps = [
        (Key::ArrowDown, 1),
        (Key::ArrowUp, -1),
        (Key::ArrowRight, 1),
        (Key::ArrowLeft, -1),
        (Key::PageDown, 10),
        (Key::PageUp, -10),
        (Key::End, i64::MAX / 2),
        (Key::Home, i64::MIN / 2),
    ];
    for (key, by) in steps {
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            if let Some(focused) = ui.memory(egui::Memory::focused) {
                ui.memory_mut(|memory| memory.surrender_focus(focused));
            }
            actions.push(ReviewAction::StepBy(by));
        }
    }
}

fn empty_ui(
    ui: &mut Ui,
    palette: &Palette,
    reviewing: &Reviewing,
    actions: &mut Vec<ReviewAction>,
) {
    if let Some(why) = &reviewing.refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    ui.add(Label::new("No session is looked over. Choose one in the shop.").wrap());
    shop_button(ui, actions);
}

fn shop_button(ui: &mut Ui, actions: &mut Vec<ReviewAction>) {
    let button = Button::new("Choose in the shop…").min_size(vec2(0.0, TARGET));
    let tip = tip(ui, UiCommand::ToShop);
    if ui.add(button).tell_on_hover(tip).clicked() {
        actions.push(ReviewAction::Do(UiCommand::ToShop));
    }
}

/// Which session, and the place in it.
fn head_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &Reviewed,
    room: LayoutSize,
    actions: &mut Vec<ReviewAction>,
) {
    ui.horizontal(|ui| {
        let name = crate::shell::open_shop::words_of(&open.path);
        // The buttons beside it stay where they are, whatever the file is called.
        let most = 0.35 * ui.available_width();
        shortened_ui(ui, RichText::new(name).font(crate::theme::bold(16.0)), most);
        shop_button(ui, actions);
        let bench = Button::new("Open at the bench").min_size(vec2(0.0, TARGET));
        if ui.add(bench).clicked() {
            actions.push(ReviewAction::AtBench);
        }
        if room == LayoutSize::Wide {
            ui.add_space(8.0);
            steps_ui(ui, palette, open, actions);
        }
    });
    if room == LayoutSize::Small {
        ui.horizontal(|ui| steps_ui(ui, palette, open, actions));
    }
}

/// From fact to fact.
fn steps_ui(ui: &mut Ui, palette: &Palette, open: &Reviewed, actions: &mut Vec<ReviewAction>) {
    let mut step = |ui: &mut Ui, text: &str, name: &str, by: i64| {
        let shown = ui.add(Button::new(text).min_size(vec2(TARGET, TARGET)));
        let role = egui::accesskit::Role::Button;
        shown.widget_info(|| egui::WidgetInfo::labeled(role, true, name));
        if shown.clicked() {
            actions.push(ReviewAction::StepBy(by));
        }
    };
    step(ui, "◂", "One fact back", -1);
    step(ui, "▸", "One fact on", 1);
    let told = format!("fact {} of {}", open.at(), open.last());
    ui.tell(RichText::new(told).color(palette.quiet));
    let mut at = open.at();
    ui.spacing_mut().slider_width = (ui.available_width() - 16.0).clamp(60.0, 420.0);
    let shown = ui.add(Slider::new(&mut at, 1..=open.last().max(1)).show_value(false));
    shown.widget_info(|| egui::WidgetInfo::slider(true, open.at() as f64, "Fact looked at"));
    if shown.changed() && at != open.at() {
        actions.push(ReviewAction::StepTo(at));
    }
}

/// How things stood after the fact looked at.
fn stage_ui(ui: &mut Ui, palette: &Palette, open: &Reviewed, view: &mut FieldView) {
    ui.add_space(4.0);
    let stage = &open.stage;
    let round =
        stage.state.round().map_or_else(String::new, |round| format!("Round {} · ", round.number));
    let (text, colour) = if stage.supposed {
        (format!("Supposed, not on record. {}", stage.verdict), palette.look)
    } else {
        (format!("{round}{} {}", stage.picture.verdict.text, stage.verdict), palette.text)
    };
    ui.add(Label::new(RichText::new(text).color(colour)).wrap());
    if let Some(differences) = &stage.differences {
        let height = ui.available_height();
        ScrollArea::vertical().id_salt("review plane").show(ui, |ui| {
            differences_ui(ui, palette, height, &differences.plane);
        });
        return;
    }
    let picture = &stage.picture;
    let shown = FieldPlot { scene: &picture.scene, telling: &picture.telling, handles: &[] };
    // Nothing is tried or selected here: what a hand does on the plot only moves it.
    let _ = field_plot_ui(ui, palette, view, shown);
}

/// What stands beside the plot.
fn part_ui(
    ui: &mut Ui,
    palette: &Palette,
    reviewing: &mut Reviewing,
    context: &ReviewContext<'_>,
    actions: &mut Vec<ReviewAction>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(2.0, 2.0);
        for part in ReviewPart::ALL {
            let chosen = reviewing.part == part;
            let button = Button::selectable(chosen, part.text()).min_size(vec2(0.0, TARGET));
            if ui.add(button).clicked() {
                actions.push(ReviewAction::Show(part));
            }
        }
    });
    let Reviewing {
        open: Some(open),
        part,
        hand,
        comment,
        refused,
        notice,
        filter,
        seal,
        marked,
        ..
    } = reviewing
    else {
        return;
    };
    ScrollArea::vertical().id_salt(("review", *part)).auto_shrink(false).show(ui, |ui| {
        // What came of a press further down is brought into sight.
        let said = (refused.clone(), notice.clone());
        if changed(ui, "said in review", said) == Changed::Yes {
            ui.scroll_to_cursor(Some(egui::Align::TOP));
        }
        if let Some(why) = refused {
            message_ui(ui, palette, Tone::Look, why, false);
        }
        if !notice.is_empty() {
            message_ui(ui, palette, Tone::Plain, notice, false);
        }
        match part {
            ReviewPart::Account => account::account_ui(ui, palette, open),
            ReviewPart::Rounds => account::rounds_ui(ui, palette, open),
            ReviewPart::WhatIf => suppose::suppose_ui(ui, palette, open, context, actions),
            ReviewPart::Compare => compare::compare_ui(ui, palette, open, context, filter, actions),
            ReviewPart::Answer => {
                let typed = answer::TypedAnswer { hand, comment, seal };
                answer::answer_ui(ui, palette, open, typed, context.sealing, actions);
                several::several_ui(ui, palette, open, marked, actions);
                answer::blind_ui(ui, palette, actions);
            }
        }
    });
}
