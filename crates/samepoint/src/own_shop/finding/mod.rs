//! Finding a station's map: which way its numbers run, known deviations one after the other, the certificate, and the
//! signature that puts the map into the station. Every step is on disk before the next; it can be gone on with later.
//!
//! - what is typed and what it comes to is here; [`acting`]: what a hand asks of it; [`finding_ui`]: the sheet.

pub(crate) mod acting;
pub(crate) mod finding_ui;

use std::path::PathBuf;

use jiff::ToSpan as _;
use jiff::civil::Date;
use record::calibrations::{
    Calibrating, CalibrationBody, CalibrationGap, CalibrationOutcome, CalibrationTerms,
    DeviationShown,
};
use record::fact::Seq;
use record::{Axis, Station, Typed};
use solver::{Channel, PerChannel};

/// What a hand asks of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindAction {
    /// A number was seen to fall, or to rise.
    Flip(Channel, Axis, bool),
    /// Log the deviation and what was read of it.
    Log,
    /// Leave out what was said last.
    TakeBack,
    /// Ask why a deviation, or a reading of it, is left out; of none any more.
    AskWhy(Option<Seq>),
    /// Leave out a deviation with its readings, or one reading, for the reason typed.
    LeaveOut(Seq),
    /// Begin another calibration.
    Anew,
    /// Sign, and put the map into the station.
    Sign,
    /// Put its sheet on paper.
    Paper,
    /// Write although the folder cannot lock or sync.
    Agree,
}

/// A field of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FindField {
    /// The deviation.
    X,
    Y,
    U,
    Source,
    /// What was read.
    LeftX,
    LeftY,
    RightX,
    RightY,
    /// The terms.
    Certificate,
    Sigma,
    CommonX,
    CommonY,
    Due,
    /// Whose hand.
    Hand,
    /// Why something is left out.
    Reason,
}

impl FindField {
    /// Of what is shown and read; cleared once it is logged, but u and source.
    pub(crate) const DEVIATION: [Self; 8] = [
        Self::X,
        Self::Y,
        Self::U,
        Self::Source,
        Self::LeftX,
        Self::LeftY,
        Self::RightX,
        Self::RightY,
    ];
    /// What is said once.
    pub(crate) const TERMS: [Self; 6] =
        [Self::Certificate, Self::Sigma, Self::CommonX, Self::CommonY, Self::Due, Self::Hand];

    /// What the sheet calls it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::X => "Known x ′",
            Self::Y => "Known y ′",
            Self::U => "Its standard uncertainty ′",
            Self::Source => "What is shown",
            Self::LeftX => "Left x, divisions",
            Self::LeftY => "Left y, divisions",
            Self::RightX => "Right x, divisions",
            Self::RightY => "Right y, divisions",
            Self::Certificate => "Certificate",
            Self::Sigma => "A reading is read to, divisions",
            Self::CommonX => "In common, x ′",
            Self::CommonY => "In common, y ′",
            Self::Due => "Calibration holds to",
            Self::Hand => "Initials",
            Self::Reason => "Reason",
        }
    }

    /// What stands in it while it is empty.
    #[must_use]
    pub const fn hint(self) -> &'static str {
        match self {
            Self::X | Self::Y | Self::CommonX | Self::CommonY => "0",
            Self::U | Self::Sigma => "not said",
            Self::Source => "wedge 12, or no viewer",
            Self::LeftX | Self::LeftY | Self::RightX | Self::RightY => "as read",
            Self::Certificate => "of what is shown, or who did it",
            Self::Due => "2027-11-24",
            Self::Hand => "yours",
            Self::Reason => "the wrong wedge, misread",
        }
    }

    /// Whether a number is typed in it.
    #[must_use]
    pub const fn is_number(self) -> bool {
        !matches!(self, Self::Source | Self::Certificate | Self::Due | Self::Hand | Self::Reason)
    }
}

/// What was refused, and beside which field.
pub(crate) type FindWrong = (Option<FindField>, String);

/// Whose crosshair, and x and y as read.
pub(crate) type ChannelRead = (Channel, Typed, Typed);

/// The sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct FindSheet {
    /// The station as the shop keeps it.
    pub station: Station,
    /// The calibration's file, once something was said.
    pub path: Option<PathBuf>,
    /// What its facts come to.
    pub means: Calibrating,
    /// What follows, channel by channel.
    pub outcomes: PerChannel<Result<CalibrationOutcome, CalibrationGap>>,
    /// Numbers that the station has otherwise than they follow.
    pub differences: Vec<String>,
    /// As typed.
    typed: Vec<(FindField, String)>,
    /// Whether each axis has a scale of its own.
    pub each_axis: bool,
    /// What was refused.
    pub wrong: Option<FindWrong>,
    /// The folder cannot lock or sync: whether to write all the same.
    pub agree: Option<bool>,
    /// Whether the page is to turn to what was refused.
    pub show_wrong: bool,
    /// Where the keyboard is to go.
    pub focus: Option<FindField>,
    /// What was done last.
    pub done: String,
    /// Whether Esc was pressed once with something typed.
    pub asks_drop: bool,
    /// The deviation of which is asked why it is left out.
    pub asks_why: Option<Seq>,
}

impl FindSheet {
    /// For a station, with the calibration that is gone on with, if there is one.
    #[must_use]
    pub fn of(
        station: Station,
        gone_on: Option<(PathBuf, Calibrating)>,
        hand: &str,
        today: Date,
    ) -> Self {
        let (path, means) =
            gone_on.map_or_else(Default::default, |(path, means)| (Some(path), means));
        let outcomes =
            PerChannel { left: means.outcome(Channel::Left), right: means.outcome(Channel::Right) };
        let mut sheet = Self {
            station,
            path,
            outcomes,
            differences: Vec::new(),
            typed: Vec::new(),
            each_axis: false,
            wrong: None,
            agree: None,
            show_wrong: false,
            focus: None,
            done: String::new(),
            asks_drop: false,
            asks_why: None,
            means: Calibrating::default(),
        };
        sheet.set(FindField::Hand, hand);
        // Yearly is common practice.
        let year = today.checked_add(1.year()).and_then(|day| day.checked_sub(1.day()));
        sheet.set(FindField::Due, &year.map(|day| day.to_string()).unwrap_or_default());
        if let Some(terms) = &means.terms {
            let text = |typed: &Option<Typed>| typed.as_ref().map(Typed::shown).unwrap_or_default();
            sheet.set(FindField::Certificate, &terms.certificate);
            sheet.set(FindField::Sigma, &text(&terms.sigma));
            sheet.set(FindField::CommonX, &text(&terms.common_x));
            sheet.set(FindField::CommonY, &text(&terms.common_y));
            sheet.set(FindField::Due, &terms.due.to_string());
            sheet.each_axis = terms.each_axis;
        }
        sheet.knows(means);
        sheet
    }

    /// Takes what the facts come to now.
    pub fn knows(&mut self, means: Calibrating) {
        self.outcomes =
            PerChannel { left: means.outcome(Channel::Left), right: means.outcome(Channel::Right) };
        let follows = means.numbers("");
        self.differences = follows
            .map(|numbers| numbers.differences_of(&self.station, ["found", "the station has"]))
            .unwrap_or_default();
        self.means = means;
    }

    /// What was done last and how the calibration stands, in a line, and whether that needs a look.
    #[must_use]
    pub fn stands(&self) -> (String, bool) {
        let deviations = paper::words::counted_s(self.means.in_use().count(), "deviation");
        let against = self.outcomes.iter().find_map(|(channel, outcome)| match outcome {
            Ok(outcome) => outcome.found.findings.first().map(|why| format!("{channel}: {why}")),
            Err(gap) => Some(gap.to_string()),
        });
        let look = self.wrong.is_some() || against.is_some();
        let refused = self.wrong.as_ref().map(|(_, why)| why.clone());
        let done = refused.unwrap_or_else(|| self.done.clone());
        let told = against.unwrap_or_else(|| "both maps are found".to_owned());
        (format!("{done} {deviations}; {told}.").trim().to_owned(), look)
    }

    /// What is typed in a field.
    #[must_use]
    pub fn text(&self, field: FindField) -> &str {
        self.typed.iter().find(|(of, _)| *of == field).map_or("", |(_, text)| text)
    }

    /// The text of a field, to be typed in.
    pub fn text_mut(&mut self, field: FindField) -> &mut String {
        let place = self.typed.iter().position(|(of, _)| *of == field).unwrap_or_else(|| {
            self.typed.push((field, String::new()));
            self.typed.len() - 1
        });
        &mut self.typed[place].1
    }

    fn set(&mut self, field: FindField, text: &str) {
        text.clone_into(self.text_mut(field));
    }

    /// Whether something typed would be lost with it; what is logged is on disk.
    #[must_use]
    pub fn holds_work(&self) -> bool {
        use FindField::{LeftX, LeftY, RightX, RightY, X, Y};
        [X, Y, LeftX, LeftY, RightX, RightY]
            .iter()
            .any(|field| !self.text(*field).trim().is_empty())
    }

    /// Whether the flip test is not begun yet: the keyboard waits there.
    #[must_use]
    pub fn begins_with_flips(&self) -> bool {
        self.means.flips.left[0].is_none()
    }

    /// Nothing is asked of what is left out any more.
    pub fn asked_why(&mut self, of: Option<Seq>) {
        self.asks_why = of;
        self.set(FindField::Reason, "");
        self.wrong = None;
        self.focus = of.map(|_| FindField::Reason);
    }

    /// Empties what was logged; what is shown next is often by the same hand and of the same kind.
    pub fn logged(&mut self) {
        use FindField::{LeftX, LeftY, RightX, RightY, X, Y};
        for field in [X, Y, LeftX, LeftY, RightX, RightY] {
            self.set(field, "");
        }
        self.wrong = None;
        self.focus = Some(X);
    }

    fn number(&self, field: FindField) -> Result<Option<Typed>, FindWrong> {
        let text = self.text(field).trim();
        if text.is_empty() {
            return Ok(None);
        }
        Typed::by_hand(text)
            .map(Some)
            .map_err(|why| (Some(field), format!("{}: {why}", field.name())))
    }

    fn needed(&self, field: FindField) -> Result<Typed, FindWrong> {
        let missing = || (Some(field), format!("{}: type a number.", field.name()));
        self.number(field)?.ok_or_else(missing)
    }

    /// The deviation typed, and what was read of it: channels whose two fields are empty were not read.
    ///
    /// # Errors
    /// The field, and what is wrong.
    pub fn deviation(&self) -> Result<(DeviationShown, Vec<ChannelRead>), FindWrong> {
        let nothing = || Typed::parse("0").map_err(|why| (None, why.to_string()));
        let [x, y] = [FindField::X, FindField::Y].map(|field| self.number(field));
        let shown = DeviationShown {
            x: x?.map_or_else(nothing, Ok)?,
            y: y?.map_or_else(nothing, Ok)?,
            u: self.number(FindField::U)?,
            source: self.text(FindField::Source).trim().to_owned(),
        };
        if shown.source.is_empty() {
            let why = "Say what is shown: a wedge’s number, a graticule mark, or no viewer for boresight.";
            return Err((Some(FindField::Source), why.to_owned()));
        }
        let mut read = Vec::new();
        let fields = [
            (Channel::Left, FindField::LeftX, FindField::LeftY),
            (Channel::Right, FindField::RightX, FindField::RightY),
        ];
        for (channel, x, y) in fields {
            if self.text(x).trim().is_empty() && self.text(y).trim().is_empty() {
                continue;
            }
            let (x_typed, y_typed) = (self.needed(x)?, self.needed(y)?);
            if let Some(lines) = &self.station.graticule
                && let Some((axis, [low, high])) = lines.beyond([x_typed.value(), y_typed.value()])
            {
                let field = if axis == Axis::X { x } else { y };
                let why = format!(
                    "{}: its graticule goes from {low} to {high}; read it again.",
                    field.name()
                );
                return Err((Some(field), why));
            }
            read.push((channel, x_typed, y_typed));
        }
        if read.is_empty() {
            let why = "Type what was read, of one channel or of both.".to_owned();
            return Err((Some(FindField::LeftX), why));
        }
        Ok((shown, read))
    }

    /// The terms typed.
    ///
    /// # Errors
    /// The field, and what is wrong.
    pub fn terms(&self, today: Date) -> Result<CalibrationTerms, FindWrong> {
        let due = self.text(FindField::Due).trim();
        let day = due.parse().map_err(|_| {
            let due = record::shown::one_line(due).into_owned();
            (Some(FindField::Due), format!("“{due}” is no day; write it like 2027-11-24."))
        })?;
        let certificate = self.text(FindField::Certificate).trim().to_owned();
        if certificate.is_empty() {
            let why = "Say which certificate, or who did it.".to_owned();
            return Err((Some(FindField::Certificate), why));
        }
        let sigma = self.number(FindField::Sigma)?;
        if sigma.as_ref().is_some_and(|sigma| sigma.value() <= 0.0) {
            let why = "How well a reading is read must be more than 0, or left open.".to_owned();
            return Err((Some(FindField::Sigma), why));
        }
        let common_x = self.number(FindField::CommonX)?;
        let common_y = self.number(FindField::CommonY)?;
        for (field, typed) in [(FindField::CommonX, &common_x), (FindField::CommonY, &common_y)] {
            if typed.as_ref().is_some_and(|typed| typed.value() < 0.0) {
                return Err((Some(field), format!("{} must be 0 or more.", field.name())));
            }
        }
        Ok(CalibrationTerms {
            certificate,
            sigma,
            common_x,
            common_y,
            each_axis: self.each_axis,
            // What was done earlier stays done then.
            done: self.means.terms.as_ref().map_or(today, |terms| terms.done),
            due: day,
        })
    }

    /// The deviation in use that is the one typed, read again.
    #[must_use]
    pub fn same_as(&self, shown: &DeviationShown) -> Option<Seq> {
        let same = |held: &DeviationShown| {
            let value = |typed: &Option<Typed>| typed.as_ref().map(Typed::value);
            held.x.value() == shown.x.value()
                && held.y.value() == shown.y.value()
                && held.source == shown.source
                && value(&held.u) == value(&shown.u)
        };
        self.means.in_use().find(|held| same(&held.taken)).map(|held| held.seq)
    }
}

/// A fact that says a thing anew only where it is another than before.
pub(crate) fn terms_fact(means: &Calibrating, terms: CalibrationTerms) -> Option<CalibrationBody> {
    (means.terms.as_ref() != Some(&terms)).then_some(CalibrationBody::Terms(terms))
}
