//! What would be: readings out or counted, another window, another rule. Nothing of it is stored.

use egui::accesskit::Role;
use egui::{Button, Checkbox, ComboBox, RichText, Ui, WidgetInfo, vec2};
use paper::words::capital;
use record::Rule;
use record::figures::kept_together;

use super::ReviewContext;
use crate::places::review::{ReviewAction, Reviewed};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tone, message_ui};

pub(crate) fn suppose_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &Reviewed,
    context: &ReviewContext<'_>,
    actions: &mut Vec<ReviewAction>,
) {
    let quiet = "Worked out in place and never stored: a reading is left out for good by whoever \
                 withdraws it at the bench, with a reason.";
    ui.add(Label::new(RichText::new(quiet).small().color(palette.quiet)).wrap());
    if open.supposed.is_empty() {
        message_ui(ui, palette, Tone::Plain, "Nothing is supposed.", false);
    } else {
        message_ui(ui, palette, Tone::Look, &open.supposed, false);
        if !open.risk.is_empty() {
            ui.add(Label::new(&open.risk).wrap());
        }
        if ui.add(Button::new("As it is").min_size(vec2(0.0, TARGET))).clicked() {
            actions.push(ReviewAction::AsItIs);
        }
    }
    window_ui(ui, open, context, actions);
    rule_ui(ui, open, actions);
    ui.label(RichText::new("Readings that count").font(theme::bold(14.5)));
    for line in &open.lines {
        let Some(entry) = open.account.session.entry(line.seq) else { continue };
        let supposing = &open.supposing;
        let counts = if entry.in_use() {
            !supposing.out.contains(&line.seq)
        } else {
            supposing.back.contains(&line.seq)
        };
        let mut ticked = counts;
        let text = format!("{} · {}", line.seq, line.words);
        let shown = ui.scope(|ui| {
            ui.spacing_mut().interact_size.y = TARGET;
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Wrap);
            ui.add(Checkbox::new(&mut ticked, RichText::new(kept_together(&text)).small()))
        });
        shown.inner.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, ticked, &text));
        if shown.inner.clicked() {
            actions.push(ReviewAction::Toggle(line.seq));
        }
    }
}

fn window_ui(
    ui: &mut Ui,
    open: &Reviewed,
    context: &ReviewContext<'_>,
    actions: &mut Vec<ReviewAction>,
) {
    let stored = open.account.session.window().map_or("none", |window| window.name.as_str());
    let name = open.supposing.window.as_ref().map_or(stored, |window| window.name.as_str());
    let shown = ComboBox::from_id_salt("supposed window")
        .width(ui.available_width() - 12.0)
        .selected_text(name)
        .truncate();
    let shown = shown.show_ui(ui, |ui| {
        let own =
            Button::selectable(open.supposing.window.is_none(), format!("{stored}, as stored"))
                .min_size(vec2(200.0, TARGET));
        if ui.add(own).clicked() {
            actions.push(ReviewAction::SupposeWindow(None));
        }
        for window in &context.offers.windows {
            let chosen = open.supposing.window.as_ref().is_some_and(|it| it.name == window.name);
            let button = Button::selectable(chosen, &window.name).min_size(vec2(200.0, TARGET));
            if ui.add(button).clicked() {
                let window = Some(Box::new(window.clone()));
                actions.push(ReviewAction::SupposeWindow(window));
            }
        }
    });
    shown.response.widget_info(|| WidgetInfo {
        label: Some("Supposed window".to_owned()),
        current_text_value: Some(name.to_owned()),
        ..WidgetInfo::new(Role::ComboBox)
    });
}

fn rule_ui(ui: &mut Ui, open: &Reviewed, actions: &mut Vec<ReviewAction>) {
    ui.horizontal_wrapped(|ui| {
        let as_stored = std::iter::once(("Rule as stored".to_owned(), None));
        let each = Rule::ALL.map(|rule| (capital(&format!("{} rule", rule.word())), Some(rule)));
        for (text, rule) in as_stored.chain(each) {
            let chosen = open.supposing.rule == rule;
            if ui.add(Button::selectable(chosen, text).min_size(vec2(0.0, TARGET))).clicked() {
                actions.push(ReviewAction::SupposeRule(rule));
            }
        }
    });
}
