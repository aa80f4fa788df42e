//! Where the pods stood when a reading was taken.

use core::fmt;

use solver::error::told;

use crate::fact::SwingStop;
use crate::fold::{Entry, Session};

/// A place of the pods in their swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Position {
    /// Where the unit was set up.
    SetUp,
    /// At the narrow stop.
    Narrow,
    /// At the wide stop.
    Wide,
    /// At another interpupillary distance.
    Ipd {
        /// Which, mm.
        mm: f64,
    },
}

impl Position {
    /// Where a reading was taken. An interpupillary distance that is the set-up's own is the set-up
    /// position.
    #[must_use]
    pub fn of(entry: &Entry, session: &Session) -> Self {
        let set_up_mm = session.setup.as_ref().and_then(|setup| setup.body.ipd_mm.as_ref());
        let set_up_mm = set_up_mm.map(crate::number::Typed::value);
        match (entry.reading.swing_stop, &entry.reading.ipd_mm) {
            (Some(SwingStop::Narrow), _) => Self::Narrow,
            (Some(SwingStop::Wide), _) => Self::Wide,
            (None | Some(SwingStop::Working), Some(ipd)) if set_up_mm != Some(ipd.value()) => {
                Self::Ipd { mm: ipd.value() }
            }
            _ => Self::SetUp,
        }
    }

    /// What goes before the names of stored numbers; nothing where the unit was set up.
    pub(super) fn prefix(self) -> String {
        match self {
            Self::SetUp => String::new(),
            Self::Narrow => "narrow_stop.".to_owned(),
            Self::Wide => "wide_stop.".to_owned(),
            Self::Ipd { mm } => format!("ipd_{mm}_mm."),
        }
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SetUp => f.write_str("where it was set up"),
            Self::Narrow => f.write_str("at the narrow stop"),
            Self::Wide => f.write_str("at the wide stop"),
            Self::Ipd { mm } => write!(f, "at {} mm", told(*mm)),
        }
    }
}
