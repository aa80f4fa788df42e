//! The room everything else serves: the field plot with its one line of explanation.

use egui::{Align, Button, Layout, RichText, ScrollArea, Ui, WidgetInfo, accesskit::Role, vec2};
use paper::words;
use solver::Channel;
use solver::relative::BORESIGHT_UNKNOWN;

use super::tools::plot_tools_ui;
use crate::app::action::Action;
use crate::bench::camera::live::glass::LiveGlass;
use crate::bench::camera::live::glass_ui::live_glass_ui;
use crate::bench::practice_unit::OnBench;
use crate::bench::session::OpenSession;
use crate::bench::views::View;
use crate::bench::views::glass_ui::glass_ui;
use crate::bench::views::made::Views;
use crate::bench::views::missing::NothingToShow;
use crate::bench::views::over_swing_ui::swing_ui;
use crate::bench::views::practice_glass::PracticeGlass;
use crate::bench::views::practice_glass_ui::practice_glass_ui;
use crate::bench::views::ring_map_ui::ring_map_ui;
use crate::bench::views::sources_ui::sources_ui;
use crate::plot::{FieldPlot, FieldView, PlotAct, field_plot_ui};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::views::round::RoundView;
use crate::widgets::{
    Label, Tell, TellOnHover, Tone, differences_ui, message_ui, practice_badge_ui,
};

/// Shows the field plot.
pub(crate) fn central_ui(
    ui: &mut Ui,
    palette: &Palette,
    view: &mut FieldView,
    picture: &RoundView,
    practises: bool,
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        chooser_ui(ui, View::Field, actions);
        if practises {
            practice_badge_ui(ui, palette);
        }
        let measured = view.measured();
        // What was measured is long: it has the line to itself.
        let times = picture
            .scene
            .marks()
            .residuals_times()
            .filter(|times| *times > 1.0 && measured.is_none());
        let measured_now = measured.is_some();
        let (text, colour) = match measured {
            Some(measured) => (measured, palette.here),
            None => ("from the eye side".to_owned(), palette.quiet),
        };
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            plot_tools_ui(ui, palette, view, actions);
            if let Some(times) = times {
                let text = format!("residuals drawn × {}", words::number(times, 0));
                aside_ui(ui, RichText::new(text).color(palette.quiet));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let told = RichText::new(&text).color(colour);
                if measured_now {
                    ui.add(Label::new(told).truncate()).tell_on_hover(&text);
                } else {
                    aside_ui(ui, told);
                }
            });
        });
    });
    let shown =
        FieldPlot { scene: &picture.scene, telling: &picture.telling, handles: &picture.handles };
    actions.extend(field_plot_ui(ui, palette, view, shown).into_iter().map(|act| match act {
        PlotAct::Pressed(seq) => Action::Select(Some(seq)),
        PlotAct::Tried(channel, towards) => Action::Try(channel, towards),
    }));
}

/// Room for what is said of a picture, points.
const PICTURED: f32 = 60.0;

/// What the glass shows of the station's pictures.
pub(crate) struct Pictured<'a> {
    /// What is said of one from a file.
    pub(crate) told: &'a [String],
    /// What a camera sees.
    pub(crate) live: Option<LiveGlass>,
}

/// Shows a view, the station's pictures at its glass.
pub(crate) fn view_ui(
    ui: &mut Ui,
    palette: &Palette,
    (view, made, pictured): (View, &Views, &Pictured<'_>),
    session: Option<&OpenSession>,
    unit: Option<(&mut OnBench, Channel)>,
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        chooser_ui(ui, view, actions);
        if unit.is_some() {
            practice_badge_ui(ui, palette);
        }
        let tip = match view {
            View::Glass if unit.is_some() => {
                "What the station's eyepiece shows of it, true to scale."
            }
            View::Glass if pictured.live.is_some() => "What the station’s camera sees.",
            View::Field => "What the station shows at each pair of ring angles, right less left.",
            _ => view.command().tip(),
        };
        aside_ui(ui, RichText::new(tip).color(palette.quiet));
    });
    let height = ui.available_height();
    let only = session.and_then(OpenSession::differences);
    ScrollArea::vertical().id_salt(view).auto_shrink(false).show(ui, |ui| match view {
        View::Field => {
            if let Some(differences) = only {
                differences_ui(ui, palette, height, &differences.plane);
            }
        }
        _ if only.is_some() => {
            let why = format!("{BORESIGHT_UNKNOWN} This view needs directions from boresight.");
            message_ui(ui, palette, Tone::Plain, &why, false);
        }
        View::Glass if unit.is_some() => {
            if let Some((unit, channel)) = unit {
                let glass = session
                    .ok_or(NothingToShow::Session)
                    .and_then(|session| PracticeGlass::of(session, unit, channel));
                let shown = (&glass, pictured.live.as_ref());
                practice_glass_ui(ui, palette, height, unit, shown, actions);
            }
        }
        View::Glass => {
            for sentence in pictured.told {
                message_ui(ui, palette, Tone::Plain, sentence, false);
            }
            let height = (height - PICTURED * pictured.told.len() as f32).max(120.0);
            match &pictured.live {
                Some(live) => live_glass_ui(ui, palette, height, live),
                None => glass_ui(ui, palette, height, made.glass(session)),
            }
        }
        View::RingMap => {
            ring_map_ui(ui, palette, height, made.ring_map(session), actions);
        }
        View::Sources => {
            sources_ui(ui, palette, height, made.sources(session));
        }
        View::Swing => swing_ui(ui, palette, height, made.swing(session)),
    });
}

/// Which view stands in the middle, and the others to choose from.
fn chooser_ui(ui: &mut Ui, view: View, actions: &mut Vec<Action>) {
    let name = RichText::new(format!("{} ▾", view.text())).font(theme::bold(15.0));
    let menu = ui.menu_button(name, |ui| {
        for other in View::ALL {
            let command = other.command();
            let button = Button::selectable(other == view, command.text())
                .shortcut_text(command.key_words(ui.ctx()))
                .min_size(vec2(240.0, TARGET));
            if ui.add(button).tell_on_hover(command.tip()).clicked() {
                actions.push(Action::Do(command));
                ui.close();
            }
        }
    });
    let telling = format!("View: {}", view.text());
    menu.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
}

/// Words that are left out where there is no room for all of them.
fn aside_ui(ui: &mut Ui, text: RichText) {
    let galley = egui::WidgetText::from(text).into_galley(
        ui,
        Some(egui::TextWrapMode::Extend),
        f32::INFINITY,
        egui::TextStyle::Body,
    );
    if galley.size().x + ui.spacing().item_spacing.x <= ui.available_width() {
        ui.tell(galley);
    }
}
