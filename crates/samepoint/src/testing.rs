//! What tests and examples reach of the program. Nothing else may: what is not here can change with its room.

pub use crate::app::App;
pub use crate::bench::confirm::Check;
pub use crate::bench::confirm::picture::ConfirmView;
pub use crate::bench::entry::EntryField;
pub use crate::bench::glance::{Aim, Glance};
pub use crate::bench::log::table::{LogTable, log_table_ui};
pub use crate::bench::practice_unit::OnBench;
pub use crate::bench::session::OpenSession;
pub use crate::bench::set_up::{CheckSaid, Choice, SetUpSheet};
pub use crate::bench::views::glass::GlassView;
pub use crate::bench::views::over_swing::{SwingView, Swings};
pub use crate::bench::views::practice_glass::PracticeGlass;
pub use crate::bench::views::ring_map::RingMapView;
pub use crate::bench::views::sources::{CentreSource, SourcesView};
pub use crate::dialogs::{Ask, DialogAnswer, Dialogs};
pub use crate::first_frame::FirstFrame;
pub use crate::jobs::{NamedThreads, Threads, Work};
pub use crate::launch::native_options;
pub use crate::pedals::{Pedal, Press};
pub use crate::places::Place;
pub use crate::places::explore::parameter::{OffAxisPart, Parameter};
pub use crate::places::explore::{Exploring, Leaf};
pub use crate::places::review::Reviewed;
pub use crate::places::shop::chart::Leads;
pub use crate::preferences::ReadBackWish;
pub use crate::sealing::openssh::OpenSsh;
pub use crate::services::{Clock, Folders, Services};
pub use crate::sheets::Sheet;
pub use crate::shell::held::Held;
pub use crate::shell::kept_file::{SET_END_ASIDE, Saved};
pub use crate::shell::layout_size::Tab;
pub use crate::shell::sealing::running::{RunningSeal, SealProgress};
pub use crate::theme::Lighting;
pub use crate::ui_command::UiCommand;
pub use crate::upkeep::CheckSheet;
pub use crate::views::log::{AtHand, LogView};
pub use crate::views::round::RoundView;
pub use crate::views::targets::Target;
pub use crate::widgets::{Label, Tell};
pub use crate::widgets::{Tone, message_ui};

/// What is kept for the day something goes wrong.
pub mod crash {
    pub use crate::crash::{install, remember_rescue, remember_session};
}

/// Every colour.
pub mod theme {
    pub use crate::theme::install;
}
