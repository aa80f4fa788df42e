//! One unit on several benches: which unit, what each bench read with its uncertainty, the consensus of all
//! others, E_n and what the standard calls that. Its charts stand below.

use egui::{Button, Grid, Id, RichText, Ui, vec2};
use record::shop::survey::round_robin::{BenchResult, COMPARED, RoundRobin, ScoreWord};

use crate::places::shop::robin::half;
use crate::places::shop::{ShopAction, Surveying};
use crate::theme::{self, Palette, TARGET};
use crate::widgets::{Label, Tell, Tone, message_ui, shortened_button_ui, text_ui};
use paper::words;

/// So many units are offered at once; more are found by typing.
const OFFERED: usize = 12;
/// Room for the name of a bench and its day: what the figures leave, points.
const NAMES: [f32; 2] = [120.0, 300.0];
const FIGURES: f32 = 480.0;
const NO_UNIT: &str = "No unit was measured on two stations yet, by sessions that can be compared: confirm one on a \
                       second bench with its rings where they are, or look at another shop’s folder beside this one \
                       (Other shops).";

pub(super) fn robin_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    actions: &mut Vec<ShopAction>,
) {
    let robin = &mut shop.robin;
    if let Some(broken) = &robin.refused {
        message_ui(ui, palette, Tone::Look, &broken.to_string(), false);
    }
    if robin.reading.is_going_on() {
        ui.tell(RichText::new("Reading the unit’s sessions…").color(palette.quiet));
    }
    if robin.known.units.is_empty() {
        if !robin.reading.is_going_on() {
            message_ui(ui, palette, Tone::Plain, NO_UNIT, false);
        }
        return;
    }
    let id = Id::unique("round robin unit");
    text_ui(ui, palette, id, "Unit", &mut robin.typed, "part of its name");
    let typed = robin.typed.trim().to_lowercase();
    let fit = |unit: &&String| unit.to_lowercase().contains(&typed);
    let fitting = robin.known.units.iter().filter(fit).count();
    ui.horizontal_wrapped(|ui| {
        for unit in robin.known.units.iter().filter(fit).take(OFFERED) {
            let chosen = *unit == robin.known.unit;
            let name = record::shown::one_line(unit);
            let button = Button::selectable(chosen, &*name).truncate().min_size(vec2(0.0, TARGET));
            if ui.add(button).clicked() {
                actions.push(ShopAction::RobinUnit(unit.clone()));
            }
        }
    });
    if fitting > OFFERED {
        let more = format!("{} more: type more of the name.", fitting - OFFERED);
        ui.tell(RichText::new(more).color(palette.quiet));
    } else if fitting == 0 {
        ui.tell("No unit of that name was measured on two stations.");
    }
    let Some(found) = &robin.known.found else { return };
    ui.add_space(6.0);
    let unit = record::shown::one_line(&found.unit);
    ui.add(Label::new(RichText::new(format!("Unit {unit}")).font(theme::bold(15.0))).truncate());
    for bench in &found.benches {
        let tone = match bench.agrees() {
            Some(true) => Tone::Good,
            Some(false) => Tone::Look,
            None => Tone::Plain,
        };
        message_ui(ui, palette, tone, &bench.words(), false);
        let day = bench.day.map_or_else(String::new, |day| format!(" of {day}"));
        let station = record::shown::one_line(&bench.station);
        if shortened_button_ui(ui, &format!("Look over {station}{day}"), 0.0).clicked() {
            actions.push(ShopAction::Review(bench.session));
        }
    }
    for note in &found.notes {
        ui.add(Label::new(note).wrap());
    }
    for why in &found.left_out {
        let words = format!("Not compared: {why}");
        ui.add(Label::new(RichText::new(words).color(palette.quiet)).wrap());
    }
    for (at, what) in COMPARED.iter().enumerate() {
        table_ui(ui, palette, found, at, what);
    }
    ui.add_space(6.0);
}

/// What is compared, bench by bench.
fn table_ui(ui: &mut Ui, palette: &Palette, found: &RoundRobin, at: usize, what: &str) {
    let read = |bench: &&BenchResult| bench.value.get(at).copied().flatten().is_some();
    if found.benches.iter().filter(read).count() == 0 {
        return;
    }
    ui.add_space(6.0);
    ui.tell(RichText::new(words::capital(what)).font(theme::bold(14.5)));
    let name_room = (ui.available_width() - FIGURES).clamp(NAMES[0], NAMES[1]);
    Grid::new(("round robin", at)).num_columns(7).spacing(vec2(8.0, 2.0)).show(ui, |ui| {
        ui.tell(RichText::new("bench").color(palette.quiet));
        for head in ["read ′", "± 95 %", "others ′", "± 95 %", "E_n"] {
            let head = RichText::new(format!("{head:>8}")).font(theme::mono(13.0));
            ui.tell(head.color(palette.quiet));
        }
        ui.tell(RichText::new("|E_n| ≤ 1").color(palette.quiet));
        ui.end_row();
        for bench in found.benches.iter().filter(read) {
            row_ui(ui, palette, bench, at, name_room);
            ui.end_row();
        }
    });
}

fn row_ui(ui: &mut Ui, palette: &Palette, bench: &BenchResult, at: usize, name_room: f32) {
    let day = bench.day.map_or_else(String::new, |day| format!(", {day}"));
    let name = format!("{}{day}", record::shown::one_line(&bench.station));
    ui.scope(|ui| {
        ui.set_max_width(name_room);
        ui.add(Label::new(name).truncate());
    });
    let others = bench.others.get(at).copied().flatten();
    let en = bench.en.get(at).copied().flatten();
    for figure in [
        bench.value.get(at).copied().flatten(),
        half(bench.u.get(at).copied().flatten()),
        others.map(|(value, _)| value),
        half(others.map(|(_, u)| u)),
        en,
    ] {
        let text = figure.map_or_else(|| "–".to_owned(), |figure| words::number(figure, 2));
        ui.tell(RichText::new(format!("{text:>8}")).font(theme::mono(13.0)));
    }
    let judged = ScoreWord::of(en);
    let colour = match judged {
        ScoreWord::Satisfactory => palette.inside,
        ScoreWord::Unsatisfactory => palette.look,
        ScoreWord::NotKnown => palette.quiet,
    };
    ui.tell(RichText::new(judged.word()).color(colour));
}
