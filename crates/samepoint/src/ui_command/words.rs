//! What each command is called and does.

use super::UiCommand;

impl UiCommand {
    /// What a button or list calls it.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Log => "Log reading",
            Self::Left => "Left channel",
            Self::Right => "Right channel",
            Self::Purpose => "As found or log",
            Self::Unit => "Arcminutes or divisions",
            Self::Approach => "Way of approach",
            Self::RingStep => "Ring step",
            Self::Withdraw => "Withdraw…",
            Self::ReadAgain => "Read again",
            Self::LeaveOut => "Withdraw what stands out",
            Self::NextPlace => "Next best reading",
            Self::Paste => "Paste readings…",
            Self::Import => "Import CSV…",
            Self::NewRound => "New round…",
            Self::Reseated => "New round: unit reseated",
            Self::DioptreMoved => "New round: dioptre moved",
            Self::EyepieceOut => "New round: eyepiece taken out",
            Self::StationZeroed => "New round: station zeroed",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::SetUp => "Set up…",
            Self::AsFound => "As found",
            Self::Logging => "Log",
            Self::Meet => "Meet",
            Self::Remedies => "Remedy",
            Self::NextRemedy => "Next remedy",
            Self::LastRemedy => "Remedy before",
            Self::TakeRemedy => "Take this remedy",
            Self::Confirm => "Confirm",
            Self::NextCheck => "Next check",
            Self::ConfirmLock => "Lock tight or open",
            Self::ConfirmReseated => "Confirm: reseated since",
            Self::SwingStop => "Narrow, wide or as set up",
            Self::DioptresZero => "Dioptres back at zero",
            Self::Look => "Looking test…",
            Self::Sign => "Sign…",
            Self::Seal => "Seal…",
            Self::Fit => "Fit the picture",
            Self::Closer => "Closer",
            Self::Farther => "Farther",
            Self::TryOn => "Try a step clockwise",
            Self::TryBack => "Try a step counter-clockwise",
            Self::TryOnTen => "Try ten steps clockwise",
            Self::TryBackTen => "Try ten steps counter-clockwise",
            Self::TurnByStep => "Turn a practice ring by the step",
            Self::Hidden => "What was hidden",
            Self::EndTrial => "End the trial",
            Self::Choose => "Choose this setting",
            Self::ViewField => "Field plot",
            Self::ViewGlass => "Through the glass",
            Self::ViewRingMap => "Ring map",
            Self::ViewSwing => "Over the swing",
            Self::ViewSources => "Where errors come from",
            Self::Measure => "Measure",
            Self::ToPlot => "Keys to the plot",
            Self::CopySvg => "Copy plot as SVG",
            Self::CopyPng => "Copy plot as PNG",
            Self::SavePicture => "Save picture of plot…",
            Self::NextTab => "Log, plot or rings",
            Self::Larger => "Larger text",
            Self::Smaller => "Smaller text",
            Self::UsualSize => "Usual size",
            Self::RoomLight => "Colours for another room",
            Self::New => "New session…",
            Self::Open => "Open…",
            Self::KeepCopy => "Keep a copy…",
            Self::Report => "Report…",
            Self::RecallList => "Recall list…",
            Self::ToBench => "Bench",
            Self::ToPractice => "Practice",
            Self::ToExplore => "Explore",
            Self::ToStudy => "Study",
            Self::ToShop => "Shop",
            Self::ToReview => "Review",
            Self::CheckStation => "Check the station…",
            Self::Due => "What is due",
            Self::Cautions => "Cautions",
            Self::Keys => "Keys",
            Self::Commands => "Commands…",
            Self::Unsaved => "Facts not saved…",
            Self::Back => "Back to the log",
        }
    }

    /// What it does, in one sentence.
    #[must_use]
    pub const fn tip(self) -> &'static str {
        match self {
            Self::Log => "Log what is typed and step the ring angle on.",
            Self::Left => "Type for the left channel (L in a number field does it too).",
            Self::Right => "Type for the right channel (R in a number field does it too).",
            Self::Purpose => "As found: before a ring, lock or dioptre is touched. Log: after.",
            Self::Unit => {
                "Read in arcminutes, divisions, or another unit the graticule is marked in."
            }
            Self::Approach => {
                "Note which way the ring was turned: clockwise, counter-clockwise, not noted."
            }
            Self::RingStep => {
                "How far the ring steps on after a reading: none, 30°, 45°, 60°, 90°, 120°."
            }
            Self::Withdraw => "Withdraw a reading that was real but is not to count; say why.",
            Self::ReadAgain => {
                "Turn to the place of the selected reading, or of the one that stands out, and read it again."
            }
            Self::LeaveOut => {
                "Withdraw the reading that stands out; its likely cause is the reason."
            }
            Self::NextPlace => "Turn the row to the channel and ring angle that would tell most.",
            Self::Paste => "Log rows copied from a spreadsheet: channel, ring angle, x, y.",
            Self::Import => "Log the readings of a CSV file into this round.",
            Self::NewRound => "Anything but a ring was touched: earlier readings are set apart.",
            Self::Reseated => {
                "The unit was taken off and seated again: the next round opens at once."
            }
            Self::DioptreMoved => "A dioptre was moved: the next round opens at once.",
            Self::EyepieceOut => "An eyepiece was taken out: the next round opens at once.",
            Self::StationZeroed => "The station was zeroed anew: the next round opens at once.",
            Self::Undo => "Take back the last entry; it stays in the file.",
            Self::Redo => "Bring back what was taken back.",
            Self::SetUp => "Station, unit, parts, window, job and what is seen to before reading.",
            Self::AsFound => "Read both channels before anything is touched.",
            Self::Logging => "Turn each ring and read where its crosshair lands.",
            Self::Meet => "Turn each ring to its target.",
            Self::Remedies => "What would bring the circles together, ranked, cheapest first.",
            Self::NextRemedy => "Lay the next remedy of the list over the plot.",
            Self::LastRemedy => "Lay the remedy before over the plot.",
            Self::TakeRemedy => "Record it with its prediction and open the next round.",
            Self::Confirm => {
                "Read the unit as it is left: with locks open, then tight, reseated, at the stops."
            }
            Self::NextCheck => "Ask for the next line of the checklist, seen to or not.",
            Self::ConfirmLock => "Whether the lock is tightened for the readings that follow.",
            Self::ConfirmReseated => {
                "The unit was taken off and seated again since the last reading."
            }
            Self::SwingStop => "Where the pods stand in their swing for the readings that follow.",
            Self::DioptresZero => "Both dioptres were turned back to zero.",
            Self::Look => "Note what was seen at a far point, as a user would look.",
            Self::Sign => "Sign the verdict: the record closes.",
            Self::Seal => {
                "Seal what is signed or answered and has no seal, with a key of whoever did it."
            }
            Self::Fit => "Show both circles and all readings.",
            Self::Closer => "Bring the picture closer.",
            Self::Farther => "Take the picture farther away.",
            Self::TryOn => "Try the ring of the channel in the entry row one step clockwise.",
            Self::TryBack => "Try that ring one step counter-clockwise.",
            Self::TryOnTen => "Try that ring ten steps clockwise.",
            Self::TryBackTen => "Try that ring ten steps counter-clockwise.",
            Self::TurnByStep => "Turn the invented unit's ring clockwise by the ring step.",
            Self::Hidden => "The truth of a signed practice unit, and its score part by part.",
            Self::EndTrial => "Show the setting again that was there before the trial.",
            Self::Choose => "Put the setting on screen on record; the targets follow it.",
            Self::ViewField => "Both offset circles, where they cross, the tolerance window.",
            Self::ViewGlass => "What the station's eyepiece should show, true to scale.",
            Self::ViewRingMap => {
                "Window use over both rings: what is inside, and how much may slip."
            }
            Self::ViewSwing => {
                "Window use over the pods' swing, and why the nearer crossing is kept."
            }
            Self::ViewSources => {
                "Pods apart from tubes: what rounds with tubes swapped or turned can tell."
            }
            Self::Measure => "Measure between two places on the plot; again ends it.",
            Self::ToPlot => "Arrows pan the plot, + and − zoom, 0 fits; Esc goes back.",
            Self::CopySvg => "Copy what is in view to the clipboard, drawn in lines.",
            Self::CopyPng => "Copy what is in view to the clipboard, as a picture.",
            Self::SavePicture => "Write what is in view to an SVG or PNG file.",
            Self::NextTab => "On a small screen: show the log, the plot or the rings.",
            Self::Larger => "Everything larger, up to twice its usual size.",
            Self::Smaller => "Everything smaller, down to its usual size.",
            Self::UsualSize => "Everything at its usual size.",
            Self::RoomLight => "Dim, deep red for dark-adapted eyes, or light for the office.",
            Self::New => "Start a session for a unit; it is on disk before its first reading.",
            Self::Open => "Open a session by its path or from this shop.",
            Self::KeepCopy => "Copy this session's file elsewhere; logging goes on here.",
            Self::RecallList => {
                "Put on paper which units were left on a station while its zero was off, and what that means."
            }
            Self::Report => "Put this session on paper: a PDF for the customer and the specialist.",
            Self::ToBench => "Back to the open session: log, plot and rings.",
            Self::ToPractice => "Invented units to solve, and how it went.",
            Self::ToExplore => "Move bores, tubes and lens cells; see what the circles do.",
            Self::ToStudy => "Repeatability and reproducibility of the bench, cell by cell.",
            Self::ToShop => "All sessions of the shop and what they come to.",
            Self::ToReview => "Look a session over and see whether its verdict follows.",
            Self::CheckStation => "Read the check standard and see how the station stands.",
            Self::Due => "Calibrations and checks of all stations, the most urgent first.",
            Self::Cautions => "Show the cautions for this work.",
            Self::Keys => "Show every key.",
            Self::Commands => "Every command by name: type a part of it, Enter runs it.",
            Self::Unsaved => {
                "Facts that wait to be written, or that earlier work left in a rescue file."
            }
            Self::Back => "Close what is open in front and go on logging.",
        }
    }
}
