//! What can stand in the middle of the bench beside the field plot, each worked out from the open
//! round when it is first shown after the facts changed; drawn by the file of its name with `_ui`.
//!
//! - [`glass`]: what the station's eyepiece should show; [`practice_glass`]: what it shows of an
//!   invented unit, with [`loupe`] and [`virtual_ring`]; [`ring_map`]: window use over both rings;
//! - [`over_swing`]: window use over the pods' swing; [`sources`]: pods apart from tubes;
//! - [`made`]: what was made of them.
//! - [`missing`]: why there is nothing to see.

pub(crate) mod glass;
pub(crate) mod glass_ui;
pub(crate) mod loupe;
pub(crate) mod made;
pub(crate) mod missing;
pub(crate) mod over_swing;
pub(crate) mod over_swing_ui;
pub(crate) mod practice_glass;
pub(crate) mod practice_glass_ui;
pub(crate) mod ring_map;
pub(crate) mod ring_map_ui;
pub(crate) mod sources;
pub(crate) mod sources_ui;
pub(crate) mod virtual_ring;

use crate::ui_command::UiCommand;

/// Which of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) enum View {
    /// The field plot.
    #[default]
    Field,
    /// Through the glass.
    Glass,
    /// The ring map.
    RingMap,
    /// Over the swing.
    Swing,
    /// Where errors come from.
    Sources,
}

impl View {
    /// All of them, in the order of the menu.
    pub(crate) const ALL: [Self; 5] =
        [Self::Field, Self::Glass, Self::RingMap, Self::Swing, Self::Sources];

    /// Its name.
    #[must_use]
    pub(crate) const fn text(self) -> &'static str {
        match self {
            Self::Field => "Field plot",
            Self::Glass => "Through the glass",
            Self::RingMap => "Ring map",
            Self::Swing => "Over the swing",
            Self::Sources => "Where errors come from",
        }
    }

    /// The command that shows it.
    #[must_use]
    pub(crate) const fn command(self) -> UiCommand {
        match self {
            Self::Field => UiCommand::ViewField,
            Self::Glass => UiCommand::ViewGlass,
            Self::RingMap => UiCommand::ViewRingMap,
            Self::Swing => UiCommand::ViewSwing,
            Self::Sources => UiCommand::ViewSources,
        }
    }
}
