//! The table of commands, in the order the list of commands shows: what each is called, its keys, where
//! it is listed, what it needs, and what it does in one sentence.

use egui::Key;

use super::row::{CommandRow, Need, Scope, alt, alt_shift, ctrl, ctrl_shift, plain, shift};

/// One row makes a command whole: what is not in the table is no command.
macro_rules! commands {
    ($($name:ident: $text:literal, [$($key:expr),*], $scope:ident, [$($need:ident),*], $tip:literal;)*) => {
        /// A command without arguments.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum UiCommand {
            $(#[doc = $tip] $name,)*
        }

        impl UiCommand {
            /// All of them, in the order the list of commands shows.
            pub const ALL: [Self; [$(Self::$name),*].len()] = [$(Self::$name),*];

            /// Its row.
            pub(super) const fn row(self) -> &'static CommandRow {
                match self {
                    $(Self::$name => const {
                        &CommandRow {
                            text: $text,
                            tip: $tip,
                            keys: &[$($key),*],
                            scope: Scope::$scope,
                            needs: &[$(Need::$need),*],
                        }
                    })*
                }
            }
        }
    };
}

commands! {
    Log: "Log reading", [plain(Key::Enter)], EntryRow, [Writing],
        "Log what is typed and step the ring angle on.";
    Left: "Left channel", [plain(Key::F2)], Bench, [],
        "Type for the left channel (L in a number field does it too).";
    Right: "Right channel", [plain(Key::F3)], Bench, [],
        "Type for the right channel (R in a number field does it too).";
    Purpose: "As found or log", [plain(Key::F4)], Bench, [],
        "As found: before a ring, lock or dioptre is touched. Log: after.";
    OtherChannel: "Other channel", [], Bench, [],
        "Type for the other channel (/ in a number field does it too).";
    NextField: "Next field", [], Bench, [],
        "On to the next field of the entry row (+ in a number field does it too).";
    Keypad: "Keypad commands…", [alt(Key::K)], Bench, [],
        "Commands by one more key of the numeric keypad (* in a number field does it too).";
    Unit: "Arcminutes or divisions", [plain(Key::F6)], Bench, [],
        "Read in arcminutes, divisions, or another unit the graticule is marked in.";
    Approach: "Way of approach", [ctrl(Key::D)], Bench, [],
        "Note which way the ring was turned: clockwise, counter-clockwise, not noted.";
    RingStep: "Ring step", [ctrl(Key::J)], Bench, [],
        "How far the ring steps on after a reading: none, 30°, 45°, 60°, 90°, 120°.";
    BenchMode: "Bench mode", [plain(Key::Insert), alt(Key::G)], Bench, [],
        "Large, for two metres: which ring, how far, off by, what next; the same key or Esc leaves it.";
    Withdraw: "Withdraw…", [plain(Key::F8)], Bench, [Writing, Reading],
        "Withdraw a reading that was real but is not to count; say why.";
    ReadAgain: "Read again", [ctrl(Key::R)], Bench, [Reading],
        "Turn to the place of the selected reading, or of the one that stands out, and read it again.";
    LeaveOut: "Withdraw what stands out", [shift(Key::F8)], Bench, [Told, Writing, StandOut],
        "Withdraw the reading that stands out; its likely cause is the reason.";
    NextPlace: "Next best reading", [ctrl(Key::G)], Bench, [Told, NextReading],
        "Turn the row to the channel and ring angle that would tell most.";
    Paste: "Paste readings…", [ctrl_shift(Key::V)], Bench, [Writing],
        "Log rows copied from a spreadsheet: channel, ring angle, x, y.";
    Import: "Import CSV…", [ctrl(Key::I)], Bench, [Writing],
        "Log the readings of a CSV file into this round.";
    ReadPicture: "Read a picture…", [alt(Key::M)], Bench, [Writing],
        "Read the crosshair in a picture of the station into the entry row; one can be dropped there, too.";
    PictureBackground: "Subtract the last picture", [alt(Key::Z)], Bench, [Writing],
        "The picture read or refused last shows what shines with the lamp off: it is subtracted from those that follow. Once more: none is.";
    OtherCrosshair: "The picture’s other crosshair", [alt(Key::X)], Bench, [Writing],
        "Of two crosshairs in the picture read last take the other for this channel.";
    Camera: "Camera on or off", [alt(Key::F)], Bench, [Writing],
        "Start the program that writes the station camera’s frames, or end it; each is read into the entry row. In practice an invented camera shows the unit.";
    CameraCommand: "Camera command…", [alt_shift(Key::F)], Bench, [],
        "Which program writes the camera’s frames on this computer, with its arguments.";
    Freeze: "Freeze the camera’s picture", [ctrl(Key::F)], Bench, [],
        "Hold the frame that is seen, in the glass and in the entry row; once more it goes on.";
    Sweep: "Sweep the ring", [alt(Key::T)], Bench, [Writing],
        "Log places without ring angle as the ring is turned once round before the camera; once more ends it.";
    Meeting: "Turn until they meet", [alt_shift(Key::T)], Bench, [Writing, Told],
        "Large, for two metres: how far the crosshair that the camera sees has to go, without a ring scale.";
    NewRound: "New round…", [plain(Key::F9)], Bench, [Writing],
        "Anything but a ring was touched: earlier readings are set apart.";
    Reseated: "New round: unit reseated", [], Bench, [Writing],
        "The unit was taken off and seated again: the next round opens at once.";
    DioptreMoved: "New round: dioptre moved", [], Bench, [Writing],
        "A dioptre was moved: the next round opens at once.";
    EyepieceOut: "New round: eyepiece taken out", [], Bench, [Writing],
        "An eyepiece was taken out: the next round opens at once.";
    StationZeroed: "New round: station zeroed", [], Bench, [Writing],
        "The station was zeroed anew: the next round opens at once.";
    Undo: "Undo", [ctrl(Key::Z)], BenchAndExplore, [Writing, SomethingToUndo],
        "Take back the last entry; it stays in the file.";
    Redo: "Redo", [ctrl_shift(Key::Z), ctrl(Key::Y)], BenchAndExplore, [Writing, SomethingToRedo],
        "Bring back what was taken back.";
    SetUp: "Set up…", [ctrl(Key::Num1)], Bench, [],
        "Station, unit, parts, window, job and what is seen to before reading.";
    AsFound: "As found", [ctrl(Key::Num2)], Bench, [RingsUntouched],
        "Read both channels before anything is touched.";
    Logging: "Log", [ctrl(Key::Num3)], Bench, [],
        "Turn each ring and read where its crosshair lands.";
    Meet: "Meet", [ctrl(Key::Num4)], Bench, [],
        "Turn each ring to its target.";
    OwnRemedy: "Note a remedy…", [alt(Key::F9)], Bench, [Writing],
        "What was done that is on no list: a shim, a part turned, swapped or replaced. The next round opens.";
    Remedies: "Remedy", [ctrl(Key::Num5)], Bench, [Session],
        "What would bring the circles together, ranked, cheapest first.";
    NextRemedy: "Next remedy", [alt(Key::ArrowDown)], Bench, [Session, Told],
        "Lay the next remedy of the list over the plot.";
    LastRemedy: "Remedy before", [alt(Key::ArrowUp)], Bench, [Session, Told],
        "Lay the remedy before over the plot.";
    TakeRemedy: "Take this remedy", [alt(Key::Enter)], Bench, [Writing],
        "Record it with its prediction and open the next round.";
    TakeRemedyAtRear: "Take this remedy, shims at the rear end", [], Bench, [Writing],
        "Record it with the shims that may go at either end at the rear one, and open the next round.";
    Confirm: "Confirm", [ctrl(Key::Num6)], Bench, [Session],
        "Read the unit as it is left: with locks open, then tight, reseated, at the stops.";
    NextCheck: "Next check", [shift(Key::F6)], Bench, [Session, Told],
        "Ask for the next line of the checklist, seen to or not.";
    ConfirmLock: "Lock tight or open", [ctrl(Key::T)], Bench, [Session],
        "Whether the lock is tightened for the readings that follow.";
    ConfirmReseated: "Confirm: reseated since", [alt(Key::R)], Bench, [Session],
        "The unit was taken off and seated again since the last reading.";
    SwingStop: "Narrow, wide or as set up", [alt(Key::S)], Bench, [Session],
        "Where the pods stand in their swing for the readings that follow.";
    DioptresZero: "Dioptres back at zero", [ctrl(Key::B)], Bench, [Session],
        "Both dioptres were turned back to zero.";
    Look: "Looking test…", [plain(Key::F11)], Bench, [Writing],
        "Note what was seen at a far point, as a user would look.";
    Sign: "Sign…", [plain(Key::F12)], Bench, [Session],
        "Sign the verdict: the record closes.";
    Seal: "Seal…", [shift(Key::F12)], Everywhere, [],
        "Seal what is signed or answered and has no seal, with a key of whoever did it.";
    Fit: "Fit the picture", [plain(Key::F7)], Bench, [],
        "Show both circles and all readings.";
    Closer: "Closer", [plain(Key::PageUp)], Bench, [],
        "Bring the picture closer.";
    Farther: "Farther", [plain(Key::PageDown)], Bench, [],
        "Take the picture farther away.";
    TryOn: "Try a step clockwise", [alt(Key::ArrowRight)], Bench, [],
        "Try the ring of the channel in the entry row one step clockwise.";
    TryBack: "Try a step counter-clockwise", [alt(Key::ArrowLeft)], Bench, [],
        "Try that ring one step counter-clockwise.";
    TryOnTen: "Try ten steps clockwise", [alt_shift(Key::ArrowRight)], Bench, [],
        "Try that ring ten steps clockwise.";
    TryBackTen: "Try ten steps counter-clockwise", [alt_shift(Key::ArrowLeft)], Bench, [],
        "Try that ring ten steps counter-clockwise.";
    TurnByStep: "Turn a practice ring by the step", [alt(Key::N)], Bench, [InventedUnit],
        "Turn the invented unit's ring clockwise by the ring step.";
    EndTrial: "End the trial", [], Bench, [],
        "Show the setting again that was there before the trial.";
    Choose: "Choose this setting", [ctrl(Key::Enter)], Bench, [Writing, Told],
        "Put the setting on screen on record; the targets follow it.";
    ViewField: "Field plot", [alt(Key::Num1)], Bench, [],
        "Both offset circles, where they cross, the tolerance window.";
    ViewGlass: "Through the glass", [alt(Key::Num2)], Bench, [],
        "What the station's eyepiece should show, true to scale.";
    ViewRingMap: "Ring map", [alt(Key::Num3)], Bench, [Told],
        "Window use over both rings: what is inside, and how much may slip.";
    ViewSwing: "Over the swing", [alt(Key::Num4)], Bench, [Told],
        "Window use over the pods' swing, and why the nearer crossing is kept.";
    ViewSources: "Where errors come from", [alt(Key::Num5)], Bench, [Told],
        "Pods apart from tubes: what rounds with tubes swapped or turned can tell.";
    Measure: "Measure", [ctrl(Key::M)], Bench, [],
        "Measure between two places on the plot; again ends it.";
    ToPlot: "Keys to the plot", [plain(Key::F5)], Bench, [],
        "Arrows pan the plot, + and − zoom, 0 fits; Esc goes back.";
    CopySvg: "Copy plot as SVG", [ctrl_shift(Key::E)], Bench, [Session],
        "Copy what is in view to the clipboard, drawn in lines.";
    CopyPng: "Copy plot as PNG", [ctrl_shift(Key::P)], Bench, [Session],
        "Copy what is in view to the clipboard, as a picture.";
    SavePicture: "Save picture of plot…", [ctrl(Key::E)], OfSession, [Session],
        "Write what is in view to an SVG or PNG file.";
    NextTab: "Log, plot or rings", [plain(Key::F10)], Bench, [],
        "On a small screen: show the log, the plot or the rings.";
    Larger: "Larger text", [ctrl(Key::Plus), ctrl(Key::Equals)], Everywhere, [],
        "Everything larger, up to twice its usual size.";
    Smaller: "Smaller text", [ctrl(Key::Minus)], Everywhere, [],
        "Everything smaller, down to its usual size.";
    UsualSize: "Usual size", [ctrl(Key::Num0)], Everywhere, [],
        "Everything at its usual size.";
    RoomLight: "Colours for another room", [ctrl(Key::L)], Everywhere, [],
        "Dim, deep red for dark-adapted eyes, or light for the office.";
    New: "New session…", [ctrl(Key::N)], Everywhere, [],
        "Start a session for a unit; it is on disk before its first reading.";
    Keeps: "What the shop keeps…", [alt(Key::A)], Everywhere, [],
        "Hands, stations, tolerance windows, housings and camera maps of the shop, and what it does not say yet.";
    AddHand: "Add a hand…", [], Everywhere, [],
        "List somebody whose initials stand in facts: what it may do, from when to when, its key.";
    AddStation: "Add a station…", [], Everywhere, [],
        "Where its divisions point, how well it reads, its calibration.";
    ImportList: "Import a list of units, hands or sessions…", [], Everywhere, [],
        "From a spreadsheet’s CSV, shown row by row before anything is kept.";
    FindMap: "Find a station’s map…", [], Everywhere, [],
        "Flips, scale, turn and boresight from known deviations, with their uncertainty; signed and kept.";
    AddWindow: "Add a tolerance window…", [], Everywhere, [],
        "Limits, the rule that decides, and the source they are from.";
    AddHousing: "Add a housing…", [], Everywhere, [],
        "Its optics, how its pods move, where it takes shims.";
    AddCamera: "Add a camera map…", [], Everywhere, [],
        "Mark places of the graticule in a picture of it, and type their divisions.";
    BeginShop: "Begin a shop…", [], Everywhere, [],
        "Make the folder of a shop of your own, with its name, address and first hand.";
    Open: "Open…", [ctrl(Key::O)], Everywhere, [],
        "Open a session by its path or from this shop.";
    KeepCopy: "Keep a copy…", [ctrl_shift(Key::S)], Bench, [Session, Told],
        "Copy this session's file elsewhere; logging goes on here.";
    Report: "Report…", [ctrl(Key::P)], OfSession, [Session, Told],
        "Put this session on paper: a PDF for the customer and the specialist.";
    CaseLabel: "Label for the case…", [alt_shift(Key::P)], Bench, [Session, Told],
        "A label of 62 × 29 mm for the unit’s case: its verdict, when it is due, the last line as a QR code.";
    RecallList: "Recall list…", [alt_shift(Key::H)], Everywhere, [],
        "Put on paper which units were left on a station while its zero was off, and what that means.";
    ShopTable: "Write the table…", [alt_shift(Key::S)], Everywhere, [],
        "The sessions that the shop’s table shows, in the columns chosen, as CSV for a spreadsheet.";
    MonthReport: "Monthly report…", [alt_shift(Key::M)], Everywhere, [],
        "Put a month of the shop on paper: what passed, what failed and why, how long it took, what waits.";
    AuditPack: "Audit pack…", [alt_shift(Key::A)], Everywhere, [],
        "A period’s session files, reports, ledger and keys in one folder, with sums that any computer checks.";
    ToBench: "Bench", [alt(Key::B)], Everywhere, [],
        "Back to the open session: log, plot and rings.";
    ToPractice: "Practice", [alt(Key::P)], Everywhere, [],
        "Invented units to solve, and how it went.";
    ToExplore: "Explore", [alt(Key::E)], Everywhere, [],
        "Move bores, tubes and lens cells; see what the circles do.";
    ToStudy: "Study", [alt(Key::U)], Everywhere, [],
        "Repeatability and reproducibility of the bench, cell by cell.";
    ToShop: "Shop", [alt(Key::H)], Everywhere, [],
        "All sessions of the shop and what they come to.";
    ToReview: "Review", [alt(Key::V)], Everywhere, [],
        "Look a session over and see whether its verdict follows.";
    ToShelf: "Shelf", [alt(Key::L)], Everywhere, [],
        "Which tubes, housings and eyepieces on the shelf go together best, and what came of those chosen.";
    Hidden: "What was hidden", [alt(Key::W)], Bench, [InventedUnit],
        "The truth of a signed practice unit, and its score part by part.";
    CheckStation: "Check the station…", [alt(Key::C)], Everywhere, [],
        "Read the check standard and see how the station stands.";
    Who: "Who are you", [alt(Key::I)], Everywhere, [],
        "Another hand takes over: what is added from then on bears its initials.";
    Handover: "Handover…", [alt(Key::O)], Bench, [Writing],
        "Leave with this session what was done and what is next, for the hand that goes on.";
    Receive: "Receiving…", [alt_shift(Key::G)], Bench, [Writing],
        "Note in which condition the unit came in, what came with it, and pictures of it.";
    UnitsWaiting: "Units waiting…", [alt(Key::Q)], Everywhere, [],
        "The shop's list of units that wait: add one, begin it, say how far it has come.";
    HandoverRead: "Handover read", [alt_shift(Key::O)], Bench, [Writing],
        "Say that you read the handover that stands above.";
    Untouched: "Nothing was touched", [alt(Key::J)], Bench, [Writing],
        "Go on with a round that rested: nothing but its rings was touched meanwhile.";
    Touched: "Something was touched", [alt_shift(Key::J)], Bench, [Writing],
        "End a round that rested: unit, dioptre or lock was touched meanwhile.";
    Due: "What is due", [alt(Key::D)], Everywhere, [],
        "Calibrations and checks of all stations, the most urgent first.";
    Pedals: "Pedals and read-back…", [alt(Key::Y)], Everywhere, [],
        "Give foot pedals and spare keys commands, and have what was logged spoken.";
    Cautions: "Cautions", [ctrl_shift(Key::F1)], Everywhere, [],
        "Show the cautions for this work.";
    Glossary: "Words", [], Everywhere, [],
        "The words of the trade and of this program, each with what it means.";
    About: "About…", [], Everywhere, [],
        "Which version this is, its licence, and what it is built from, with the licences of that.";
    Keys: "Keys", [plain(Key::F1)], Everywhere, [],
        "Show every key.";
    Commands: "Commands…", [ctrl(Key::K)], Everywhere, [],
        "Every command by name: type a part of it, Enter runs it.";
    Unsaved: "Facts not saved…", [], Everywhere, [],
        "Facts that wait to be written, or that earlier work left in a rescue file.";
    Back: "Back to the log", [plain(Key::Escape)], Everywhere, [],
        "Close what is open in front and go on logging.";
}
