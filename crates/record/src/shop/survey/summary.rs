//! One session in a few figures.

use jiff::civil::Date;
use smol_str::SmolStr;
use solver::{Direction, Misalignment, PerChannel, Relation, Sense, WindowUse};

use super::as_measured::AsMeasured;
use super::found::{self, ShimMiss, ShimSeen};
use super::leaves::leaves_used_mm;
use super::signed_as::SignedAs;
use crate::conclusion::{Caveat, Conclusion, conclude};
use crate::fact::{FileMarkKind, Header, Seq, SessionKind, Setup, Verdict};
use crate::figures::sentence;
use crate::file::MissingEnd;
use crate::fold::{Session, SignatureState};
use crate::ledger::{Copy, LedgerFinding, SigningLine};
use crate::linked::Link;
use crate::lock_shift::turned_by_locks_deg;
use crate::recall::Recall;
use crate::review::{BlindWord, Otherwise, State};
use crate::stamp::Stamp;
use crate::station::Shows;

/// What a shop's list says of a session. Names are empty where nobody gave one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SessionSummary {
    /// The file's name in `sessions/`.
    pub file: String,
    /// Which of the survey's [folders](super::Survey::folders) it lies in.
    pub folder: usize,
    /// The session's own name.
    pub session: String,
    /// How many facts it holds.
    pub facts: Seq,
    /// The own name of the session that it goes on from.
    pub continues: Option<String>,
    /// What of it a ledger notes.
    pub signing: Vec<SigningLine>,
    /// What its shop's ledger notes of it that is not in its file.
    pub ledger: Vec<LedgerFinding>,
    /// What it means for it that its station's zero was off.
    pub recall: Option<Box<Recall>>,
    /// The other files of the same session, at most twenty.
    pub copies: Vec<Copy>,
    /// The file of the same session that counts in its stead.
    pub copy_of: Option<String>,
    /// The file in which it was gone on with.
    pub continued_in: Option<String>,
    /// Where the file's end is missing, if it is: then what it comes to may have been said otherwise.
    pub end_missing: Option<MissingEnd>,
    /// What the program noted about the file.
    pub marks: Vec<FileMarkKind>,
    /// Whether it is practice on an invented unit.
    pub practice: bool,
    /// The day of its first fact, as its file says.
    pub begun: Option<Date>,
    /// The day of its last reading.
    pub day: Option<Date>,
    /// Order or job number, as last said.
    pub job: SmolStr,
    /// Whose unit it is.
    pub customer: SmolStr,
    /// What was complained of.
    pub complaint: SmolStr,
    /// The unit.
    pub unit: SmolStr,
    /// Its housing type.
    pub housing: SmolStr,
    /// The tube in each pod, by serial number, as left.
    pub tubes: PerChannel<SmolStr>,
    /// The eyepiece in each pod, by serial number, as left.
    pub eyepieces: PerChannel<SmolStr>,
    /// The station in force.
    pub station: SmolStr,
    /// Whose hand took most of the readings in use; of equals, the first.
    pub hand: SmolStr,
    /// The tolerance window in force.
    pub window: SmolStr,
    /// How many rounds.
    pub rounds: usize,
    /// The verdict as the facts give it; `None` without a window or a round.
    pub verdict: Option<Verdict>,
    /// Whether somebody signed, and nothing was added since.
    pub signed: bool,
    /// How its signature stands by the facts alone.
    pub signature: State,
    /// How it stands, all told.
    pub state: State,
    /// Whether it was countersigned by the hand that signed, or by nobody.
    pub answered_by_no_other: bool,
    /// What was signed last, by whom, and who answered.
    pub signed_as: Option<SignedAs>,
    /// Who sent it back, and with what comment.
    pub sent_back: Option<SentBack>,
    /// Whether what was stored follows from the readings; `None` where nothing was stored, or it
    /// cannot be told.
    pub follows: Option<bool>,
    /// Whether it is a supervisor's blind check of another session, which its file names.
    pub checks: Option<String>,
    /// What blind readings come to: its own, or those of a session that checks it.
    pub blind: Option<BlindWord>,
    /// What its shop has otherwise now, and what changed within it.
    pub otherwise: Vec<Otherwise>,
    /// Pictures that it names and that are gone from the shop or are others, in sentences.
    pub pictures: Vec<String>,
    /// Confirm readings that lie off where the circles of their round have them, in sentences.
    pub off_circle: Vec<String>,
    /// Whether its station shows only the difference of the channels.
    pub only_difference: bool,
    /// Distance of both crosshairs' middle from boresight as left, arcminutes.
    pub boresight_arcmin: Option<f64>,
    /// Misalignment as left.
    pub misalignment: Option<Misalignment>,
    /// Window use as left.
    pub window_use: Option<f64>,
    /// The share of each limit used as left.
    pub limits_used: Option<WindowUse>,
    /// The shim leaves that its remedies took, mm each.
    pub leaves_used_mm: Vec<f64>,
    /// The unit as it was measured, with its uncertainty, and what by.
    pub as_measured: Option<AsMeasured>,
    /// Distance between the centres of both offset circles in the first round, arcminutes: what
    /// the housing and its tubes brought, before any remedy.
    pub centres_apart_arcmin: Option<f64>,
    /// The centre of each offset circle in the first round.
    pub centres: PerChannel<Option<Direction>>,
    /// How those circles lie to each other.
    pub relation: Option<Relation>,
    /// Which way round each crosshair runs in the first round, as the readings tell, whatever is said
    /// of the ring; `None` where they do not tell.
    pub senses: PerChannel<Option<Sense>>,
    /// How far the first round's readings scatter about their circles: root mean square of both
    /// channels, arcminutes.
    pub scatter_arcmin: Option<f64>,
    /// How far the crosshairs were left from where the rings were meant to put them: root mean square
    /// of both channels, arcminutes.
    pub setting_miss_arcmin: Option<f64>,
    /// How far tightening turned each ring, degrees clockwise.
    pub lock_turn_deg: PerChannel<Option<f64>>,
    /// How far shims missed.
    pub shim_misses: Vec<ShimMiss>,
    /// What shims did beside what they were predicted to.
    pub shims: Vec<ShimSeen>,
}

/// A supervisor's return that was not answered by a new signature.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SentBack {
    /// Who sent it back.
    pub by: String,
    /// When, by the clock of that hand's machine.
    pub since: Stamp,
    /// With what comment.
    pub comment: String,
}

impl SentBack {
    fn of(session: &Session) -> Option<Self> {
        let SignatureState::Signed(signature) = session.signature() else { return None };
        let (answer, returned) = signature.returned()?;
        let (by, comment) = (answer.hand.clone(), returned.comment.clone());
        Some(Self { by, since: answer.time, comment })
    }
}

fn off_circle(conclusion: &Conclusion) -> Vec<String> {
    let off = conclusion
        .caveats
        .iter()
        .filter(|caveat| matches!(caveat, Caveat::OffCircle(_) | Caveat::OffSetting(_)));
    off.map(|caveat| sentence(&caveat.to_string())).collect()
}

impl SessionSummary {
    /// What a folded session comes to, but for what its file and its shop say: when it was begun, whether
    /// what was stored follows, and its [`state`](Self::state) all told.
    #[must_use]
    pub fn of(file: String, session: &Session) -> Self {
        let conclusion = conclude(session).ok();
        let measured = conclusion.as_ref().and_then(|conclusion| conclusion.measured.as_ref());
        let fits = found::Rounds::of(session);
        let first = fits.first();
        let both = first.and_then(|first| first.left.as_ref().zip(first.right.as_ref()));
        let last = session.rounds.iter().rev().find_map(|round| round.in_use().next_back());
        let unit = session.unit();
        let header = session.header.as_ref();
        let setup = |pick: fn(&Setup) -> &String| {
            session.setup.as_ref().map(|said| pick(&said.body).into()).unwrap_or_default()
        };
        let practice = |header: &Header| matches!(header.kind, SessionKind::Practice(_));
        Self {
            file,
            folder: 0,
            session: header.map(|header| header.session.clone()).unwrap_or_default(),
            facts: 0,
            continues: header
                .and_then(|header| header.continues.as_ref())
                .map(|continued| continued.session.clone()),
            signing: Vec::new(),
            ledger: Vec::new(),
            recall: None,
            copies: Vec::new(),
            copy_of: None,
            continued_in: None,
            end_missing: None,
            marks: session.marks(),
            practice: header.is_some_and(practice),
            begun: None,
            day: last.map(|entry| entry.time.date()),
            job: setup(|setup| &setup.job),
            customer: setup(|setup| &setup.customer),
            complaint: setup(|setup| &setup.complaint),
            unit: unit.map(|unit| SmolStr::from(&unit.name)).unwrap_or_default(),
            housing: unit.map(|unit| SmolStr::from(&unit.housing)).unwrap_or_default(),
            tubes: PerChannel::from_fn(|channel| {
                unit.map(|unit| SmolStr::from(&unit.tubes[channel].serial)).unwrap_or_default()
            }),
            eyepieces: PerChannel::from_fn(|channel| {
                unit.map(|unit| SmolStr::from(&unit.eyepieces[channel].serial)).unwrap_or_default()
            }),
            station: session
                .station()
                .map(|station| SmolStr::from(&station.name))
                .unwrap_or_default(),
            hand: session.main_hand().into(),
            window: session.window().map(|window| SmolStr::from(&window.name)).unwrap_or_default(),
            rounds: session.rounds.len(),
            verdict: conclusion.as_ref().map(|conclusion| conclusion.verdict),
            signed: matches!(session.signature(), SignatureState::Signed(held) if !held.outdated),
            signature: State::of_signature(session),
            state: State::of_signature(session),
            answered_by_no_other: State::of_signature(session) == State::Signed
                && session.signatures.last().is_some_and(|signature| signature.answer.is_some()),
            signed_as: SignedAs::of(session),
            sent_back: SentBack::of(session),
            follows: None,
            checks: Link::of(session).map(|link| link.file),
            blind: None,
            otherwise: Vec::new(),
            pictures: Vec::new(),
            off_circle: conclusion.as_ref().map(off_circle).unwrap_or_default(),
            only_difference: session
                .station()
                .is_some_and(|station| station.shows == Shows::Relative),
            boresight_arcmin: measured.map(|measured| measured.boresight_arcmin),
            misalignment: measured.map(|measured| measured.misalignment),
            window_use: measured.map(|measured| measured.window_use.worst()),
            limits_used: measured.map(|measured| measured.window_use),
            leaves_used_mm: leaves_used_mm(session),
            as_measured: measured.and_then(|measured| AsMeasured::of(session, measured)),
            centres_apart_arcmin: both
                .map(|(left, right)| left.circle.centre.distance_arcmin(right.circle.centre)),
            centres: PerChannel::from_fn(|channel| Some(first?[channel].as_ref()?.circle.centre)),
            relation: both.and_then(|(left, right)| found::relation(left, right)),
            senses: found::senses(session),
            scatter_arcmin: both.map(|(left, right)| found::scatter_arcmin([left, right])),
            setting_miss_arcmin: measured
                .and_then(|measured| found::setting_miss_arcmin(session, measured)),
            lock_turn_deg: turned_by_locks_deg(session),
            shim_misses: fits.shim_misses(session),
            shims: fits.shims(session),
        }
    }

    /// The middle of both circles' centres in the first round: where the station and the housing
    /// put them together.
    #[must_use]
    pub fn middle(&self) -> Option<Direction> {
        Some(self.centres.left?.midpoint(self.centres.right?))
    }

    /// Whether the session came to a verdict: pass, fail or undecided.
    #[must_use]
    pub fn is_decided(&self) -> bool {
        self.verdict.is_some_and(|verdict| verdict != Verdict::NotMeasured)
    }

    /// Whether it passed without a second round.
    #[must_use]
    pub fn passed_first(&self) -> bool {
        self.verdict == Some(Verdict::Pass) && self.rounds == 1
    }
}
