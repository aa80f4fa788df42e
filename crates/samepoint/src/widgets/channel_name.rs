//! A channel's name with its marker and accent: never by colour alone.

use egui::{Response, RichText, Ui};
use solver::Channel;

use super::Tell;
use crate::theme;
use crate::theme::Palette;

/// `■ Left` or `▲ Right`.
#[must_use]
pub(super) const fn marked(channel: Channel) -> &'static str {
    match channel {
        Channel::Left => "■ Left",
        Channel::Right => "▲ Right",
    }
}

/// The marked name in the channel's accent, with words after it.
#[must_use]
pub(crate) fn channel_colour_text(palette: &Palette, channel: Channel, after: &str) -> RichText {
    let text = if after.is_empty() {
        marked(channel).to_owned()
    } else {
        format!("{} {after}", marked(channel))
    };
    RichText::new(text).font(theme::bold(14.5)).color(palette.channel(channel))
}

/// Shows it.
pub(crate) fn channel_label(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    after: &str,
) -> Response {
    ui.tell(channel_colour_text(palette, channel, after))
}
