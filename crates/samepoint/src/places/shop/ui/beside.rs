//! The folders that are looked at as one shop: which, what each holds, adding and removing one, and what more
//! than one of them has.

use std::path::Path;

use egui::{Button, Id, RichText, Ui, vec2};
use paper::words::counted_s;
use record::shop::survey::Unseen;
use record::{Survey, shown};

use super::ShopContext;
use crate::places::shop::{ShopAction, Surveying};
use crate::theme::{self, Palette, TARGET};
use crate::widgets::{
    Label, Tell, TellOnHover, Tone, message_ui, page_ui, refused_ui, shortened_button_ui, text_ui,
};

const ABOUT: &str = "Other shops can be looked at beside this one, as one shop: in the table, the charts, the recall \
                     list. They are opened for reading only: nothing is written into them, and nothing is noted in \
                     their ledgers. Which they are is remembered on this computer, for this shop.";
const REMOVE_TIP: &str =
    "Takes it out of sight. Nothing in it is touched, and adding it again brings it back.";
/// A fork in many sessions is one rewritten folder: the first tell, the page has all.
const FORKS_ABOVE: usize = 2;

/// What must be known of several folders whatever is looked at: that they are several, which of them could not
/// be looked at, and sessions that have two histories. In a `low` place in one line, whole on hover and under
/// Other shops.
pub(super) fn told_ui(ui: &mut Ui, palette: &Palette, survey: &Survey, low: bool) {
    if low {
        low_ui(ui, palette, survey);
        return;
    }
    if let Some(words) = survey.several_words() {
        ui.add(Label::new(RichText::new(words).color(palette.here)).wrap());
    }
    for unseen in &survey.unseen {
        message_ui(ui, palette, Tone::Look, &unseen.words(), false);
    }
    let forked = survey.forked_words();
    for words in forked.iter().take(FORKS_ABOVE) {
        message_ui(ui, palette, Tone::Look, words, false);
    }
    if forked.len() > FORKS_ABOVE {
        let more = forked.len() - FORKS_ABOVE;
        let words =
            format!("{more} more sessions have other lines in another folder: see Other shops.");
        message_ui(ui, palette, Tone::Look, &words, false);
    }
}

fn low_ui(ui: &mut Ui, palette: &Palette, survey: &Survey) {
    let forked = survey.forked_words();
    let mut said = Vec::new();
    if survey.is_of_several() {
        said.push(format!("{} shops looked at as one", survey.folders.len()));
    }
    if !survey.unseen.is_empty() {
        said.push(format!("{} not looked at", survey.unseen.len()));
    }
    if !forked.is_empty() {
        said.push(format!("{} with other lines in another", counted_s(forked.len(), "session")));
    }
    if said.is_empty() {
        return;
    }
    let calm = forked.is_empty() && survey.unseen.is_empty();
    let colour = if calm { palette.here } else { palette.look };
    let unseen = survey.unseen.iter().map(Unseen::words);
    let whole: Vec<String> =
        survey.several_words().into_iter().chain(unseen).chain(forked).collect();
    let words = RichText::new(format!("{}: see Other shops", said.join(" · "))).color(colour);
    ui.add(Label::new(words).truncate()).tell_on_hover(whole.join("\n"));
}

pub(super) fn beside_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    context: &ShopContext<'_>,
    low: bool,
    actions: &mut Vec<ShopAction>,
) {
    page_ui(ui, "shops beside", |ui| {
        ui.set_max_width(super::MEASURE.min(ui.available_width()));
        if let Some(survey) = shop.survey.as_ref().filter(|_| low) {
            told_ui(ui, palette, survey, false);
        }
        ui.add(Label::new(RichText::new(ABOUT).color(palette.quiet)).wrap());
        ui.add_space(6.0);
        if shop.beside.folders.is_empty() {
            let none = "No other shop is looked at: what is told here is of this shop alone.";
            ui.add(Label::new(none).wrap());
        }
        folders_ui(ui, palette, shop, context, actions);
        adding_ui(ui, palette, shop, actions);
        if shop.reading.is_going_on() {
            ui.tell(RichText::new("Reading the sessions…").color(palette.quiet));
        }
        let Some(survey) = &shop.survey else { return };
        let (doubled, forked) = (survey.doubled_words(), survey.forked_words());
        if survey.is_of_several() && !(survey.together.is_empty() && doubled.is_empty()) {
            ui.add_space(8.0);
            let title = "What more than one of them has";
            ui.tell(RichText::new(title).font(theme::bold(14.5)));
        }
        for words in forked.iter().skip(FORKS_ABOVE) {
            message_ui(ui, palette, Tone::Look, words, false);
        }
        for words in &survey.together {
            ui.add(Label::new(words).wrap());
        }
        for words in doubled {
            ui.add(Label::new(RichText::new(format!("{words}.")).color(palette.quiet)).wrap());
        }
    });
}

/// The shop's own folder, then each other with what it holds or why it cannot be looked at.
fn folders_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    let survey = shop.survey.as_ref();
    let held = |folder: &Path| {
        let survey = survey?;
        let at = survey.folders.iter().position(|one| one == folder)?;
        Some(survey.folder_words(at))
    };
    let own = &context.offers.folder;
    let words = held(own).unwrap_or_else(|| shown::path(own));
    ui.add(Label::new(format!("{words}. This shop’s own.")).wrap());
    for folder in &shop.beside.folders {
        ui.add_space(4.0);
        let unseen =
            survey.and_then(|survey| survey.unseen.iter().find(|unseen| unseen.folder == *folder));
        match (unseen, held(folder)) {
            (None, Some(words)) => {
                ui.add(Label::new(format!("{words}. For reading only.")).wrap());
            }
            (unseen, _) => {
                let why = unseen.map_or("not read yet.", |_| "it cannot be looked at: see above.");
                let words = format!("{}: {why}", shown::path(folder));
                ui.add(Label::new(RichText::new(words).color(palette.look)).wrap());
            }
        }
        let button = shortened_button_ui(ui, &format!("Remove {}", shown::path(folder)), 0.0);
        if button.tell_on_hover(REMOVE_TIP).clicked() {
            actions.push(ShopAction::RemoveBeside(folder.clone()));
        }
    }
    if !shop.beside.told.is_empty() {
        ui.add_space(4.0);
        ui.add(Label::new(RichText::new(&shop.beside.told).color(palette.here)).wrap());
    }
    if let Some(removed) = &shop.beside.removed {
        let words = format!("Add {} again", shown::path(removed));
        let button = shortened_button_ui(ui, &words, 0.0);
        if button.tell_on_hover("It was removed; this takes that back.").clicked() {
            actions.push(ShopAction::AddAgain);
        }
    }
}

fn adding_ui(ui: &mut Ui, palette: &Palette, shop: &mut Surveying, actions: &mut Vec<ShopAction>) {
    ui.add_space(8.0);
    let adding = &mut shop.beside.adding;
    let id = Id::unique("folder of another shop");
    let before = adding.path.clone();
    let enter =
        text_ui(ui, palette, id, "Folder of another shop", &mut adding.path, "its whole path");
    if adding.path != before {
        adding.refused = None;
    }
    refused_ui(ui, palette, adding.refused.as_ref());
    ui.horizontal_wrapped(|ui| {
        let add = Button::new("Add").min_size(vec2(0.0, TARGET));
        if ui.add(add).clicked() || enter {
            actions.push(ShopAction::AddBeside);
        }
        let choose = Button::new("Choose a folder…").min_size(vec2(0.0, TARGET));
        if ui.add_enabled(!adding.asking, choose).clicked() {
            actions.push(ShopAction::ChooseBeside);
        }
        if adding.asking {
            ui.tell(RichText::new("A file dialog is open.").color(palette.quiet));
        }
    });
}
