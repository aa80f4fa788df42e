//! A supervisor's answer: countersign, or return with what is to be done; and reading it blind first.

use crate::shell::sealing::ui::SealAsk;
use egui::{Button, Id, RichText, TextEdit, Ui, vec2};
use record::{AnswerKind, is_nobody, same_hand};

use crate::places::review::{ReviewAction, Reviewed};
use crate::shell::sealing::choice::SealChoice;
use crate::shell::sealing::running::RunningSeal;
use crate::shell::sealing::ui::{seal_choice_ui, seal_progress_ui};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Label, TellOnHover, Tone, message_ui, tip};

/// What is typed and chosen for an answer.
pub(crate) struct TypedAnswer<'a> {
    pub(crate) hand: &'a mut String,
    pub(crate) comment: &'a mut String,
    pub(crate) seal: &'a mut SealChoice,
}

pub(crate) fn answer_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &Reviewed,
    TypedAnswer { hand, comment, seal }: TypedAnswer<'_>,
    sealing: Option<&RunningSeal>,
    actions: &mut Vec<ReviewAction>,
) {
    standing_ui(ui, palette, open, hand);
    let running = sealing.filter(|running| running.path == open.path);
    actions.extend(seal_progress_ui(ui, palette, running).map(ReviewAction::Do));
    seals_ui(ui, palette, open, seal, running.is_none(), actions);
    let name = ui.label("Supervisor");
    let edit = TextEdit::singleline(hand)
        .id(Id::unique("review hand"))
        .hint_text("whose initials answer")
        .char_limit(24)
        .min_size(vec2(0.0, TARGET))
        .align(egui::Align2::LEFT_CENTER)
        .desired_width(f32::INFINITY);
    ui.add(edit).labelled_by(name.id);
    let name = ui.label("Comment");
    let edit = TextEdit::multiline(comment)
        .id(Id::unique("review comment"))
        .hint_text("what is to be done, or what was looked at")
        .desired_rows(3)
        .desired_width(f32::INFINITY);
    ui.add(edit).labelled_by(name.id);
    let asked = seal_choice_ui(ui, palette, seal, hand, Id::unique("review key file"));
    if let Some(SealAsk::KeyFile(key)) = asked {
        actions.push(ReviewAction::AskKey(key));
    }
    for blind in open.account.blind_disagreements() {
        message_ui(ui, palette, Tone::Look, &blind, false);
    }
    let why_not = open.not_to_countersign();
    ui.horizontal_wrapped(|ui| {
        let agree = Button::new(RichText::new("Countersign").font(theme::bold(14.5)))
            .min_size(vec2(110.0, TARGET));
        let shown = ui.add_enabled(why_not.is_none(), agree);
        if shown.on_hover_text("You agree; the file's last line is kept with it.").clicked() {
            actions.push(ReviewAction::Countersign);
        }
        let back = Button::new("Return with comment").min_size(vec2(110.0, TARGET));
        let shown = ui.add_enabled(open.not_to_return().is_ok(), back);
        if shown.on_hover_text("The technician sees it when the shop is opened.").clicked() {
            actions.push(ReviewAction::Return);
        }
    });
    if let Some(why) = why_not {
        ui.add(Label::new(RichText::new(why).color(palette.quiet)).wrap());
    }
}

/// Reading it blind first.
pub(crate) fn blind_ui(ui: &mut Ui, palette: &Palette, actions: &mut Vec<ReviewAction>) {
    ui.add_space(10.0);
    ui.label(RichText::new("Read it yourself").font(theme::bold(14.5)));
    let blind = "Begins a session of confirm readings of your own with the same unit, window and \
                 housing. It shows nothing that was read or signed here; once both channels are read, \
                 the account here says whether both agree.";
    ui.add(Label::new(RichText::new(blind).color(palette.quiet)).wrap());
    if ui.add(Button::new("Confirm it blind…").min_size(vec2(0.0, TARGET))).clicked() {
        actions.push(ReviewAction::ReadBlind);
    }
}

/// By which authority it was signed and answered, and how each is sealed; and the way to seal what is not.
fn seals_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &Reviewed,
    seal: &SealChoice,
    idle: bool,
    actions: &mut Vec<ReviewAction>,
) {
    let answerable = &open.account.answerable;
    if answerable.practice {
        return;
    }
    let quiet = |ui: &mut Ui, text: &str| {
        ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
    };
    for act in &answerable.acts {
        if let Some(said) = act.authority_sentence() {
            quiet(ui, &said);
        }
        for said in act.seal_sentences() {
            // Where nobody lists keys and nobody asks for seals, there is nothing to miss.
            if answerable.listed || answerable.seals_required || !act.seals.is_empty() {
                let lacks = answerable.seals_required && act.word != "returned";
                let is_wrong = !act.is_sealed() && (lacks || !act.seals.is_empty());
                let colour = if is_wrong { palette.look } else { palette.quiet };
                ui.add(Label::new(RichText::new(said).color(colour)).wrap());
            }
        }
    }
    if let Some(said) = answerable.list_sentence() {
        quiet(ui, &said);
    }
    let unsealed =
        |act: &record::review::ActAccount| !act.is_sealed() && !seal.offered(&act.hand).is_empty();
    if idle && answerable.acts.iter().any(unsealed) {
        let button = Button::new(UiCommand::Seal.text()).min_size(vec2(110.0, TARGET));
        let tip = tip(ui, UiCommand::Seal);
        if ui.add(button).tell_on_hover(tip).clicked() {
            actions.push(ReviewAction::Do(UiCommand::Seal));
        }
    }
    ui.add_space(6.0);
}

/// What was signed and answered so far.
fn standing_ui(ui: &mut Ui, palette: &Palette, open: &Reviewed, hand: &str) {
    let Some(signature) = open.account.signature() else {
        message_ui(ui, palette, Tone::Plain, "Nobody signed this session yet.", false);
        return;
    };
    let signed = format!(
        "Signed “{}” by {} on {}.",
        signature.signed.verdict.word(),
        signature.hand,
        signature.time.date()
    );
    ui.add(Label::new(signed).wrap());
    if let Some(answer) = &signature.answer {
        let (word, comment) = match &answer.kind {
            AnswerKind::Countersigned(answer) => ("Countersigned", &answer.comment),
            AnswerKind::Returned(answer) => ("Returned", &answer.comment),
        };
        let mut said = format!("{word} by {} on {}.", answer.hand, answer.time.date());
        if !comment.is_empty() {
            said.push_str(&format!(" “{comment}”"));
        }
        message_ui(ui, palette, Tone::Plain, &said, false);
    }
    if !is_nobody(hand) && same_hand(hand, &signature.hand) {
        let own = "You signed this yourself: somebody else should answer for it.";
        message_ui(ui, palette, Tone::Look, own, false);
    }
}
