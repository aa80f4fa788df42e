//! Small things that several panels draw.
//!
//! - [`chart`]: the one painter of charts; `difference_plane`: one that bench and review share; `use_bar`, `turn_dial`,
//!   `ring_dial`: small drawings;
//! - `label`, `shortened`, `message`, `verdict`, `term`, `tip`: words; `channel_name`, `practice_badge`: marks beside them;
//! - `number_field`, `number_chain` of several that Enter goes through, `text_field`, `select_all`, `switch`, `tick`: what
//!   is typed or turned; `withdrawable`: a reading that can be left out;
//! - `lone_key`: a key with nothing held beside it; `page`: what is longer than the window; `changed`: whether something is another than when last drawn.

mod changed;
mod channel_name;
pub(crate) mod chart;
mod difference_plane;
mod label;
mod lone_key;
mod message;
mod number_chain;
mod number_field;
mod page;
mod practice_badge;
mod ring_dial;
mod select_all;
mod shortened;
mod switch;
mod term;
mod text_field;
mod tick;
mod tip;
mod turn_dial;
mod use_bar;
mod verdict;
mod withdrawable;

pub(crate) use changed::{Changed, changed};
pub(crate) use channel_name::{channel_colour_text, channel_label};
pub(crate) use difference_plane::differences_ui;
pub(crate) use label::TellOnHover;
pub use label::{Label, Tell};
pub(crate) use lone_key::lone_key;
pub(crate) use message::message_of_size_ui;
pub use message::{Tone, message_ui};
pub(crate) use number_chain::NumberChain;
pub(crate) use number_field::{
    LONGEST_NUMBER, NumberField, Y_FIELD_TIP, number_field_ui, take_commands, told_as_number,
};
pub(crate) use page::{follow_keyboard, page_keys, page_ui};
pub(crate) use practice_badge::practice_badge_ui;
pub(crate) use ring_dial::{RingDial, ring_dial_has_keyboard, ring_dial_ui};
pub(crate) use select_all::select_all;
pub(crate) use shortened::{cut, cut_place, shortened_button_ui, shortened_term_ui, shortened_ui};
pub(crate) use switch::{keyboard_ring, switch_ui};
pub(crate) use term::{leads_to_words, term_sentence_as_ui, term_sentence_ui, term_ui};
pub(crate) use text_field::{number_ui, paragraph_ui, refused_ui, text_ui};
pub(crate) use tick::tick_ui;
pub(crate) use tip::tip;
pub(crate) use turn_dial::{Dial, turn_dial};
pub(crate) use use_bar::use_bar_ui;
pub(crate) use verdict::{verdict_line_ui, verdict_ui};
pub(crate) use withdrawable::withdrawable_ui;

/// The longest text that a field of one line takes, letters: the longest path there is on Linux.
pub(crate) const LONGEST_LINE: usize = 4_096;
