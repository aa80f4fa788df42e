//! The signature: the verdict in words with all it rests on, what the hand declares, and afterwards
//! what to keep.

use crate::shell::sealing::ui::SealAsk;
use egui::{Button, Grid, Id, RichText, ScrollArea, Ui, vec2};
use record::fact::Verdict;

use super::{CLOSED, SignSheet};
use crate::app::action::Action;
use crate::bench::confirm::picture::{ConfirmView, FoundBesideLeft};
use crate::sheets::parts::{SheetContext, back_ui, buttons_ui, first_field};
use crate::shell::sealing::running::RunningSeal;
use crate::shell::sealing::ui::{seal_choice_ui, seal_progress_ui};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{
    Label, Tell, TellOnHover, Tone, message_ui, refused_ui, switch_ui, text_ui, tip, verdict_ui,
};

/// What the sheet shows beside its own fields.
#[derive(Clone, Copy, Debug)]
struct SignContext<'a> {
    /// What confirming came to.
    pub confirm: &'a ConfirmView,
    /// The station and its state, in words.
    pub station: &'a str,
    /// The hash of the file's last line, once everything is on disk.
    pub last_hash: Option<&'a str>,
    /// That the last signature came back, and why.
    pub returned: Option<&'a str>,
    /// Whether the unit is an invented one.
    pub practice: bool,
    /// The seal over the signature.
    pub sealing: Option<&'a RunningSeal>,
}

pub(crate) fn sign_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SignSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let Some(session) = context.session else { return };
    let (station, _) = session.station_words(context.now);
    let last_hash = session.last_hash();
    let returned = session.returned_words();
    let context = SignContext {
        returned: returned.as_deref(),
        confirm: session.confirm(),
        station: &station,
        last_hash: last_hash.as_deref(),
        practice: session.is_practice(),
        sealing: context.sealing.filter(|seal| seal.path == session.file().path()),
    };
    if sheet.signed {
        signed_ui(ui, palette, context, actions);
        return;
    }
    if let Some(own) = &mut sheet.own_verdict {
        own_verdict_ui(ui, palette, own);
    }
    // The fields and buttons keep their place below; what they are about scrolls above. How much room
    // they need is known from the frame before.
    let known = Id::unique(("sign", "room below"));
    let below = ui.data(|data| data.get_temp::<f32>(known)).unwrap_or(252.0);
    if ui.available_height() < below + ABOVE {
        ScrollArea::vertical().max_height(ui.available_height()).show(ui, |ui| {
            what_is_signed_ui(ui, palette, context);
            ui.separator();
            declaring_ui(ui, palette, sheet, context, actions);
        });
        return;
    }
    let room = ui.available_height() - below;
    ScrollArea::vertical().max_height(room).auto_shrink([false, true]).show(ui, |ui| {
        what_is_signed_ui(ui, palette, context);
    });
    let shown = ui.scope(|ui| {
        ui.separator();
        declaring_ui(ui, palette, sheet, context, actions);
    });
    let needed = shown.response.rect.height() + 2.0 * ui.spacing().item_spacing.y;
    if (needed - below).abs() > 1.0 {
        ui.data_mut(|data| data.insert_temp(known, needed));
        ui.request_repaint();
    }
}

/// The verdict of an examination, which is the trainee's to give.
fn own_verdict_ui(ui: &mut Ui, palette: &Palette, own: &mut Option<Verdict>) {
    ui.label(RichText::new("Your verdict").font(theme::bold(14.5)));
    ui.horizontal_wrapped(|ui| {
        for verdict in [Verdict::Pass, Verdict::Fail, Verdict::Undecided, Verdict::NotMeasured] {
            let chosen = *own == Some(verdict);
            let telling = format!("your verdict: {}", verdict.word());
            if switch_ui(ui, palette, chosen, verdict.word(), &telling).clicked() {
                *own = Some(verdict);
            }
        }
    });
}

/// The least room for what is signed above the fields, points; where there is less, all of it scrolls.
const ABOVE: f32 = 96.0;

/// What is declared, by whom, sealed with what.
fn declaring_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SignSheet,
    context: SignContext<'_>,
    actions: &mut Vec<Action>,
) {
    let hand = Id::unique(("sign", "hand"));
    let mut enter =
        text_ui(ui, palette, first_field(), "You declare", &mut sheet.statement, "in your words");
    enter |= text_ui(ui, palette, hand, "Hand", &mut sheet.hand, "who answers for it");
    ui.add(Label::new(RichText::new(&sheet.who).small().color(palette.quiet)).wrap());
    let key_file = Id::unique(("sign", "key file"));
    match seal_choice_ui(ui, palette, &mut sheet.seal, &sheet.hand, key_file) {
        Some(SealAsk::Enter) => enter = true,
        Some(SealAsk::KeyFile(key)) => actions.push(Action::AskKey(key)),
        None => {}
    }
    if std::mem::take(&mut sheet.come_back) {
        let empty = match () {
            () if sheet.hand.trim().is_empty() => hand,
            () if sheet.of_key => key_file,
            () => first_field(),
        };
        ui.memory_mut(|memory| memory.request_focus(empty));
    }
    refused_ui(ui, palette, sheet.refused.as_ref());
    let text = match sheet.own_verdict {
        None => format!("Sign “{}”", context.confirm.verdict),
        Some(None) => "Sign".to_owned(),
        Some(Some(own)) => format!("Sign “{}”", own.word()),
    };
    if buttons_ui(ui, &text, actions) || enter {
        actions.push(Action::SignNow);
    }
}

fn what_is_signed_ui(ui: &mut Ui, palette: &Palette, context: SignContext<'_>) {
    let confirm = context.confirm;
    if let Some(returned) = context.returned {
        message_ui(ui, palette, Tone::Look, returned, false);
    }
    verdict_ui(ui, palette, confirm.tone, confirm.verdict);
    for mark in &confirm.marks {
        message_ui(ui, palette, Tone::Look, mark, false);
    }
    let quiet = |ui: &mut Ui, text: &str| {
        ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
    };
    // Before all numbers: whoever signs has it in sight.
    if !confirm.caveats.is_empty() {
        ui.label(RichText::new("What limits it").font(theme::bold(14.5)));
        for caveat in &confirm.caveats {
            quiet(ui, caveat);
        }
    }
    for sentence in &confirm.measured {
        ui.add(Label::new(sentence).wrap());
    }
    for (name, chance) in &confirm.chances {
        quiet(ui, &format!("{name}: {chance}"));
    }
    for (_, sentence) in &confirm.elsewhere {
        ui.add(Label::new(sentence).wrap());
    }
    if let Some(outlook) = &confirm.outlook {
        quiet(ui, outlook);
    }
    ui.add_space(4.0);
    for (name, words) in
        [("Rule", &*confirm.rule), ("Window", &confirm.window), ("Station", context.station)]
    {
        quiet(ui, &format!("{name}: {words}"));
    }
    if !confirm.rests_on.is_empty() {
        quiet(ui, &format!("Rests on {}.", confirm.rests_on));
    }
    beside_ui(ui, palette, &confirm.beside);
    quiet(
        ui,
        "A pass here is not release for flight, driving or duty; a local code, a maintenance manual \
         or licensed practice governs wherever it says otherwise.",
    );
}

/// As found beside as left.
pub(crate) fn beside_ui(ui: &mut Ui, palette: &Palette, beside: &[FoundBesideLeft]) {
    if beside.is_empty() {
        return;
    }
    ui.add_space(6.0);
    let head = |text: &str| RichText::new(text).small().color(palette.quiet);
    Grid::new("as found beside as left").num_columns(3).spacing([10.0, 2.0]).show(ui, |ui| {
        ui.tell(head(""));
        ui.tell(head("as found"));
        ui.tell(head("as left"));
        ui.end_row();
        for row in beside {
            let name = ui.tell(RichText::new(row.name).small().color(palette.quiet));
            if let Some(about) = paper::glossary::meaning(row.name) {
                name.on_hover_text(about);
            }
            ui.tell(RichText::new(&row.found).font(theme::mono(12.0)));
            ui.tell(RichText::new(&row.left).font(theme::mono(12.0)));
            ui.end_row();
        }
    });
}

/// After the signature: the last hash, and a copy to keep.
fn signed_ui(ui: &mut Ui, palette: &Palette, context: SignContext<'_>, actions: &mut Vec<Action>) {
    verdict_ui(ui, palette, context.confirm.tone, context.confirm.verdict);
    message_ui(ui, palette, Tone::Good, CLOSED, true);
    actions.extend(seal_progress_ui(ui, palette, context.sealing).map(Action::Do));
    ui.add_space(4.0);
    match context.last_hash {
        Some(hash) => {
            ui.label(RichText::new("The file's last line").color(palette.quiet));
            for half in [hash.get(..32), hash.get(32..)].into_iter().flatten() {
                ui.tell(RichText::new(half).font(theme::mono(14.0)).color(palette.here));
            }
            ui.add(
                Label::new(
                    RichText::new(
                        "Whoever holds these 64 digits can tell whether lines were cut off the end \
                         or changed. Note them with the unit's papers, and keep a copy elsewhere.",
                    )
                    .color(palette.quiet),
                )
                .wrap(),
            );
        }
        None => {
            ui.label(RichText::new("saving…").color(palette.quiet));
        }
    }
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        if context.practice {
            let text = RichText::new(UiCommand::Hidden.text()).font(theme::bold(14.5));
            let hidden = Button::new(text).min_size(vec2(150.0, TARGET));
            if ui.add(hidden).tell_on_hover(tip(ui, UiCommand::Hidden)).clicked() {
                actions.push(Action::Do(UiCommand::Hidden));
            }
        }
        let copy = Button::new(UiCommand::KeepCopy.text()).min_size(vec2(130.0, TARGET));
        if ui.add(copy).tell_on_hover(UiCommand::KeepCopy.tip()).clicked() {
            actions.push(Action::Do(UiCommand::KeepCopy));
        }
        back_ui(ui, actions);
    });
}
