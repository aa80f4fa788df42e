//! Words on screen. Where a line ends, a number stays with its unit and with what may be added to it:
//! every label whose words may wrap is laid out here, and every text that shows on hover.
//!
//! What a screen reader is told, and what tests look for, keeps its ordinary spaces.

use std::borrow::Cow;
use std::sync::Arc;

use egui::text::LayoutJob;
use egui::{
    FontSelection, Response, Sense, TextWrapMode, Ui, Widget, WidgetInfo, WidgetText,
    accesskit::Role,
};
use record::figures::kept_together;

/// Words, as the toolkit's own label shows them.
#[must_use = "it is shown by `ui.add`"]
pub struct Label {
    text: WidgetText,
    wrap_mode: Option<TextWrapMode>,
    sense: Option<Sense>,
}

impl Label {
    /// These words, wrapped where the place they stand in wraps.
    pub fn new(text: impl Into<WidgetText>) -> Self {
        Self { text: text.into(), wrap_mode: None, sense: None }
    }

    /// On as many lines as they need.
    pub const fn wrap(self) -> Self {
        self.in_mode(TextWrapMode::Wrap)
    }

    /// On one line; what there is no room for is left out with `…`, and whole on hover.
    pub const fn truncate(self) -> Self {
        self.in_mode(TextWrapMode::Truncate)
    }

    /// On one line, however long.
    pub const fn extend(self) -> Self {
        self.in_mode(TextWrapMode::Extend)
    }

    /// That answers to this, too.
    pub const fn sense(mut self, sense: Sense) -> Self {
        self.sense = Some(sense);
        self
    }

    const fn in_mode(mut self, mode: TextWrapMode) -> Self {
        self.wrap_mode = Some(mode);
        self
    }
}

impl Widget for Label {
    fn ui(self, ui: &mut Ui) -> Response {
        let mode = self.wrap_mode.unwrap_or_else(|| ui.wrap_mode());
        let words = self.text.text().to_owned();
        let sense = self.sense;
        let sensing = |label: egui::Label| match sense {
            Some(sense) => label.sense(sense),
            None => label,
        };
        let glued = match kept_together(&words) {
            Cow::Owned(glued) if mode == TextWrapMode::Wrap => Some(glued),
            _ => None,
        };
        let text = match glued {
            // A galley is laid out already.
            Some(glued) if !matches!(self.text, WidgetText::Galley(_)) => {
                let valign = ui.text_valign();
                let job = self.text.into_layout_job(ui.style(), FontSelection::Default, valign);
                let job = with_text(Arc::unwrap_or_clone(job), glued);
                let shown = sensing(egui::Label::new(job).wrap_mode(mode)).ui(ui);
                shown.widget_info(|| WidgetInfo::labeled(Role::Label, ui.is_enabled(), &words));
                return shown;
            }
            _ => self.text,
        };
        sensing(egui::Label::new(text).wrap_mode(mode)).ui(ui)
    }
}

/// The same job of a text in which some spaces are longer by one byte.
fn with_text(mut job: LayoutJob, text: String) -> LayoutJob {
    let before = std::mem::replace(&mut job.text, text);
    // Where each byte of the old text lies in the new one.
    let mut offsets = Vec::with_capacity(before.len() + 1);
    let mut new = job.text.chars();
    let mut at = 0;
    for old in before.chars() {
        offsets.extend(std::iter::repeat_n(at, old.len_utf8()));
        at += new.next().map_or(0, char::len_utf8);
    }
    offsets.push(at);
    for section in &mut job.sections {
        let moved = |byte: usize| offsets.get(byte).copied().unwrap_or(at);
        let range = &section.byte_range;
        section.byte_range = (moved(range.start.0).into())..(moved(range.end.0).into());
    }
    job
}

/// Words in a place of their own.
pub trait Tell {
    /// Shows words, wrapped where this place wraps.
    fn tell(&mut self, words: impl Into<WidgetText>) -> Response;
}

impl Tell for Ui {
    fn tell(&mut self, words: impl Into<WidgetText>) -> Response {
        self.add(Label::new(words))
    }
}

/// Words on hover.
pub(crate) trait TellOnHover {
    /// Shows words while the pointer is over it.
    fn tell_on_hover(self, words: impl AsRef<str>) -> Self;
}

impl TellOnHover for Response {
    fn tell_on_hover(self, words: impl AsRef<str>) -> Self {
        self.on_hover_text(kept_together(words.as_ref()))
    }
}
