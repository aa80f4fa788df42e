//! Review: opens a session, checks its chain, works everything out again, and says whether what
//! was signed follows from what was read.
//!
//! - [`compare`]: stored against worked out, [`version`]: which version signed; [`words`]: the account in plain words;
//! - [`state`]: how a session stands, in a word; [`at_bench`]: how an open one does; [`objection`]: why it is not clear;
//! - [`pictures`]: those it names, looked for in the shop; [`read_again`]: those of readings, read again;
//! - [`answerable`]: authority and seals of who signed and answered;
//! - [`beside`]: the shop that the session lies in, as it stands now; [`otherwise`]: what that has
//!   otherwise; [`blind`]: blind readings in it.

pub mod answerable;
pub mod at_bench;
pub mod beside;
pub mod blind;
mod compare;
pub mod objection;
pub mod otherwise;
pub mod pictures;
pub mod read_again;
pub mod state;
mod version;
mod words;

use std::path::{Path, PathBuf};

use solver::{PerChannel, Problem, Solution};

use crate::conclusion::{Conclusion, NoConclusion, conclude};
use crate::differences::{Differences, differences};
use crate::error::Error;
use crate::fact::{Fact, Header, Purpose, RoundReason, Seq, SessionKind, Verdict};
use crate::figures::sentence;
use crate::file::chain::ChainHash;
use crate::file::{Damage, Disk, End, MissingEnd, line_hashes, scan_each};
use crate::fold::{AnswerKind, Closure, Remark, Round, Session, Signature, SignatureState, fold};
use crate::ledger::{Copied, Copy, LedgerSays, SigningLine, copies_beside, hold_against};
use crate::practice::EarlierMeeting;
use crate::practice::progress::met_before;
use crate::recall::{Recall, recall};
use crate::shop::PictureFound;
use crate::stamp::Stamp;

pub use answerable::{ActAccount, Answerable, NamedList, SealAccount};
pub use at_bench::{Stands, StandsWords};
pub use beside::Beside;
pub use blind::{Blind, BlindWord};
pub use objection::{Objection, SaidAfter};
pub use otherwise::Otherwise;
pub use pictures::NamedPicture;
pub use read_again::{FrameAgain, ReadsPictures};
pub use state::State;
pub use words::{COUNTERSIGNED_LINE_GONE, OUTDATED};

pub use compare::{Difference, Follows, RELATIVE_TOLERANCE, SignedPart, follows};

/// What a review found.
#[derive(Clone, Debug)]
pub struct Account {
    /// The file.
    pub path: PathBuf,
    /// How many facts it holds.
    pub facts: usize,
    /// When the last of them was said.
    pub last_time: Option<Stamp>,
    /// The 64 hex digits of its last good line.
    pub last_hash: String,
    /// Whether its chain holds.
    pub chain: Chain,
    /// The session as its facts make it; what was said, by whom, is all in it.
    pub session: Session,
    /// What each round comes to.
    pub rounds: Vec<RoundAccount>,
    /// The verdict as the facts give it now.
    pub conclusion: Result<Conclusion, NoConclusion>,
    /// Whether what was stored follows from what was read.
    pub follows: Follows,
    /// Whether the countersignature in force was given for a line that is in the file: its hash is that
    /// of a line between the signature and the countersignature. `None` without one, or where it names
    /// no hash. `false`: the file was written anew since, chain and all.
    pub countersigned_line_found: Option<bool>,
    /// What was said after the signature in force that is no answer to it.
    pub said_after: Option<SaidAfter>,
    /// What the shop's hands and keys say of who signed and answered.
    pub answerable: Answerable,
    /// The shop it lies in, as it stands now; `None` where it lies in none.
    pub beside: Option<Beside>,
    /// What that shop has otherwise than the session, and what changed within the session.
    pub otherwise: Vec<Otherwise>,
    /// Blind readings in that shop, or, of a blind session, what it says of the one it checks.
    pub blind: Vec<Blind>,
    /// What that shop's ledger says of it; `None` of practice and where it lies in no shop.
    pub ledger: Option<LedgerSays>,
    /// What it means for it that its station's zero was off, by that shop's checks; `None` where it was
    /// read in no such time, of practice, and where it lies in no shop.
    pub recall: Option<Recall>,
    /// The other files of the same session beside it in its shop.
    pub copies: Vec<Copy>,
    /// The pictures it names, as they lie in that shop; empty where it lies in none.
    pub pictures: Vec<NamedPicture>,
    /// The pictures its readings rest on, read again; empty until
    /// [`read_pictures_again`](Self::read_pictures_again), and where it lies in no shop.
    pub read_again: Vec<FrameAgain>,
    /// Of a signed examination: everybody who met its unit before, by that shop's files; `None` of anything
    /// else, where it lies in no shop, and where the shop's practice cannot be read.
    pub met_before: Option<Vec<EarlierMeeting>>,
}

/// Whether a file's chain holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Chain {
    /// To the last byte.
    Intact,
    /// As far as it goes; the end is missing, and may have been saved. [`Account::facts`] is the last
    /// fact that is there, [`Account::last_hash`] the hash of its line.
    EndMissing(MissingEnd),
    /// To here.
    Damaged(Damage),
}

impl Chain {
    /// It in a word or two: `intact`, `end missing`, `damaged`.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Intact => "intact",
            Self::EndMissing(_) => "end missing",
            Self::Damaged(_) => "damaged",
        }
    }

    /// What is wrong with it, without its full stop; `None` of an intact one.
    #[must_use]
    pub fn trouble(&self) -> Option<String> {
        match self {
            Self::Intact => None,
            Self::EndMissing(end) => Some(end.to_string()),
            Self::Damaged(damage) => Some(damage.to_string()),
        }
    }
}

/// What a round comes to.
#[derive(Clone, Debug)]
pub struct RoundAccount {
    /// Its id.
    pub id: Seq,
    /// 1, 2, … as people count.
    pub number: usize,
    /// What ended the round before.
    pub why: RoundReason,
    /// As-found, log and confirm readings in use.
    pub readings: [usize; 3],
    /// Readings withdrawn.
    pub withdrawn: usize,
    /// The closure error of each channel.
    pub closure: PerChannel<Option<Closure>>,
    /// What was solved; `None` without log readings.
    pub problem: Option<Problem>,
    /// Both circles, where they meet, and the setting; `None` without log readings.
    pub solution: Option<Result<Solution, solver::Error>>,
    /// What readings of the difference and of the box come to; `None` without any.
    pub differences: Option<Differences>,
}

/// Reviews a session without touching it.
///
/// # Errors
/// [`Error::Io`], [`Error::WrongFile`], [`Error::NewerFormat`], and [`Error::Damaged`] when the very
/// first line is: then there is nothing to review. Later damage is in [`Account::chain`].
pub fn review(path: &Path, disk: &dyn Disk) -> Result<Account, Error> {
    review_with_facts(path, disk).map(|(account, _)| account)
}

/// The same, with the facts it rests on, to step through them.
///
/// # Errors
/// As [`review`].
pub fn review_with_facts(path: &Path, disk: &dyn Disk) -> Result<(Account, Vec<Fact>), Error> {
    let bytes = disk.open_read(path).map_err(|why| Error::io("open", path, why))?;
    let mut hashes = Vec::new();
    let scanned = scan_each(path, bytes, |_, hash| hashes.push(*hash))?;
    let session = fold(&scanned.facts);
    let rounds = RoundAccount::all(&session);
    let resolved = disk.resolved(path);
    let beside = Beside::of(&resolved);
    let mut otherwise = otherwise::changed(&session);
    let mut blind = Vec::new();
    if let Some(beside) = &beside {
        otherwise.extend(otherwise::in_shop(&session, beside));
        blind = blind::blind_beside(&scanned.facts, &session, &beside.folder);
    }
    let held = beside.as_ref().map(|beside| {
        let lying = Lying { path: &resolved, facts: &scanned.facts, hashes: &hashes };
        lying.held_against(beside, &session, disk)
    });
    let (ledger, copies) = held.unwrap_or_default();
    let real = session.header.as_ref().is_some_and(|header| header.kind == SessionKind::Real);
    let spells = beside.as_ref().filter(|_| real).map(|beside| beside.zeros.spells.as_slice());
    let recall = recall(&session, spells.unwrap_or_default());
    let pictures = beside
        .as_ref()
        .map(|beside| NamedPicture::all(&session, &beside.folder))
        .unwrap_or_default();
    let met_before = beside
        .as_ref()
        .and_then(|beside| met_before(&resolved, &session, &beside.folder, disk).ok().flatten());
    let account = Account {
        path: path.to_owned(),
        facts: scanned.facts.len(),
        last_time: scanned.facts.last().map(|fact| fact.time),
        last_hash: scanned.last_hash.to_string(),
        chain: match scanned.end {
            End::Clean => Chain::Intact,
            End::Missing(end) => Chain::EndMissing(end),
            End::Damaged(damage) => Chain::Damaged(damage),
        },
        conclusion: conclude(&session),
        follows: follows(&scanned.facts, &session),
        countersigned_line_found: countersigned_line_found(path, disk, &session)?,
        said_after: SaidAfter::of(&scanned.facts, &session),
        answerable: Answerable::of(&session, &scanned.signing_hashes, beside.as_ref()),
        beside,
        otherwise,
        blind,
        ledger,
        copies,
        pictures,
        read_again: Vec::new(),
        met_before,
        recall,
        session,
        rounds,
    };
    Ok((account, scanned.facts))
}

/// The pictures that a session's readings rest on, to be read again where there is time for it.
#[derive(Clone, Debug)]
pub struct FramesToRead {
    session: Session,
    shop: PathBuf,
}

impl FramesToRead {
    /// Those of an account; `None` where no reading rests on a picture, or the session lies in no shop.
    #[must_use]
    pub fn of(account: &Account) -> Option<Self> {
        let beside = account.beside.as_ref()?;
        let any = !account.session.frames.is_empty();
        any.then(|| Self { session: account.session.clone(), shop: beside.folder.clone() })
    }

    /// Reads them.
    #[must_use]
    pub fn read(&self, with: &dyn ReadsPictures) -> Vec<FrameAgain> {
        let picture_of = |sha256: &str| PictureFound::bytes(&self.shop, sha256);
        FrameAgain::all(&self.session, with, &picture_of)
    }
}

/// Whether the line that the countersignature in force was given for is in the file.
pub(crate) fn countersigned_line_found(
    path: &Path,
    disk: &dyn Disk,
    session: &Session,
) -> Result<Option<bool>, Error> {
    let SignatureState::Signed(signature) = session.signature() else { return Ok(None) };
    let Some(answer) = &signature.answer else { return Ok(None) };
    let AnswerKind::Countersigned(countersigned) = &answer.kind else { return Ok(None) };
    if countersigned.last_hash.is_empty() {
        return Ok(None);
    }
    let bytes = disk.open_read(path).map_err(|why| Error::io("open", path, why))?;
    let hashes = line_hashes(path, bytes)?;
    let index = |seq: Seq| usize::try_from(seq.saturating_sub(1)).unwrap_or(usize::MAX);
    let lines = hashes.get(index(signature.seq)..index(answer.seq)).unwrap_or_default();
    Ok(Some(lines.iter().any(|hash| hash.as_str() == countersigned.last_hash)))
}

/// A session's lines in the shop they lie in.
struct Lying<'a> {
    path: &'a Path,
    facts: &'a [Fact],
    hashes: &'a [ChainHash],
}

impl Lying<'_> {
    /// What the shop's ledger says, and the session's other files.
    fn held_against(
        &self,
        beside: &Beside,
        session: &Session,
        disk: &dyn Disk,
    ) -> (Option<LedgerSays>, Vec<Copy>) {
        let Some(header) = &session.header else { return Default::default() };
        if header.kind != SessionKind::Real {
            return Default::default();
        }
        let each = self.facts.iter().zip(self.hashes);
        let lines: Vec<SigningLine> =
            each.filter_map(|(fact, hash)| SigningLine::of(fact, hash)).collect();
        let facts = self.facts.len() as Seq;
        let says = hold_against(&beside.ledger, &header.session, &lines, facts);
        let copies = self
            .path
            .parent()
            .map(|folder| copies_beside(folder, self.path, &header.session, self.hashes, disk));
        (Some(says), copies.unwrap_or_default())
    }
}

impl RoundAccount {
    /// What every round of a session comes to.
    #[must_use]
    pub fn all(session: &Session) -> Vec<Self> {
        session.rounds.iter().map(|round| Self::of(session, round)).collect()
    }

    /// What one round of a session comes to.
    #[must_use]
    pub fn of(session: &Session, round: &Round) -> Self {
        let count =
            |purpose| round.in_use().filter(|entry| entry.reading.purpose == purpose).count();
        let problem = session
            .problem(round.id)
            .filter(|problem| problem.readings.iter().any(|(_, readings)| !readings.is_empty()));
        Self {
            id: round.id,
            number: round.number,
            why: round.why,
            readings: [Purpose::AsFound, Purpose::Log, Purpose::Confirm].map(count),
            withdrawn: round.readings.len() - round.in_use().count(),
            closure: PerChannel::from_fn(|channel| {
                round.closure(channel).filter(|_| !session.withholds())
            }),
            solution: problem.as_ref().map(solver::solve),
            problem,
            differences: differences(session, round.id),
        }
    }
}

impl Account {
    /// Reads the pictures again that readings in use rest on. What they contradict does not follow.
    pub fn read_pictures_again(&mut self, with: &dyn ReadsPictures) {
        let frames = FramesToRead::of(self).map(|frames| frames.read(with));
        self.take_read_again(frames.unwrap_or_default());
    }

    /// Takes what came of reading them, elsewhere maybe; what was taken before is kept.
    pub fn take_read_again(&mut self, frames: Vec<FrameAgain>) {
        if !self.read_again.is_empty() {
            return;
        }
        let contradict = frames.iter().filter(|frame| frame.found.contradicts()).cloned();
        self.follows.add(contradict.map(Difference::Frame).collect());
        self.read_again = frames;
    }

    /// How the session began.
    #[must_use]
    pub const fn header(&self) -> Option<&Header> {
        self.session.header.as_ref()
    }

    /// The signature in force, if any.
    #[must_use]
    pub fn signature(&self) -> Option<&Signature> {
        match self.session.signature() {
            SignatureState::Signed(signature) => Some(signature),
            SignatureState::Unsigned => None,
        }
    }

    /// The verdict as the facts give it now, when they give one.
    #[must_use]
    pub fn verdict(&self) -> Option<Verdict> {
        self.conclusion.as_ref().ok().map(|conclusion| conclusion.verdict)
    }

    /// What the fold noticed.
    #[must_use]
    pub fn remarks(&self) -> &[Remark] {
        &self.session.remarks
    }

    /// How the session stands.
    #[must_use]
    pub fn state(&self) -> State {
        let whole = self.chain == Chain::Intact;
        State::of(&self.session, &self.follows, whole, self.countersigned_line_found)
    }

    /// How the session stands, in words: where the shop requires seals and one is missing or does not hold,
    /// that is said with the word.
    #[must_use]
    pub fn state_words(&self) -> String {
        let state = self.state();
        let weighs = matches!(state, State::Signed | State::Countersigned);
        if weighs && self.answerable.lacks_seal() {
            format!("{state}, not sealed")
        } else {
            state.to_string()
        }
    }

    /// All that keeps it from being clear, what weighs most first; empty with exit code 0.
    #[must_use]
    pub fn objections(&self) -> Vec<Objection> {
        Objection::of(self)
    }

    /// 0: intact, a pass that follows, signed, in force, and nothing said after the signature but
    /// another hand's countersignature. 3: damaged, the end missing, what was signed does not follow, or the
    /// shop's ledger or another file of the session contradicts it. 1: anything else. A shop's window or a
    /// blind reading does not change it.
    #[must_use]
    pub fn exit_code(&self) -> u8 {
        self.objections().iter().map(Objection::exit_code).max().unwrap_or(0)
    }

    /// What is said of how it was signed and answered beside who did and when, a sentence each: a note
    /// after the signature, a countersignature by the hand that signed.
    #[must_use]
    pub fn about_signing(&self) -> Vec<String> {
        let objections = self.objections();
        let about = objections.iter().filter(|objection| objection.is_about_signing());
        let about = about.map(|objection| sentence(&objection.to_string()));
        about.chain(self.answerable.sentences()).collect()
    }

    /// Whether the shop shows that something that was signed is gone or was rewritten: its ledger notes
    /// lines that are not in the file, or another file of the session has other lines and nothing noted
    /// tells which is the one.
    #[must_use]
    pub fn beside_contradicts(&self) -> bool {
        let breaks = self.ledger.as_ref().is_some_and(LedgerSays::breaks);
        let vouched = self.ledger.as_ref().is_some_and(|says| {
            !says.confirmed.is_empty() && says.not_noted.is_empty() && !says.breaks()
        });
        let forked = self.copies.iter().any(|copy| matches!(copy.how, Copied::Forked(_)));
        breaks || (forked && !vouched)
    }

    /// Which blind readings disagree with what was signed, a sentence each.
    #[must_use]
    pub fn blind_disagreements(&self) -> Vec<String> {
        let disagree = self.blind.iter().filter(|blind| blind.disagrees());
        let file = |blind: &Blind| crate::shown::one_line(&blind.file).into_owned();
        disagree
            .map(|blind| {
                format!("Blind readings in {} disagree with what was signed.", file(blind))
            })
            .collect()
    }

    /// Whether another file of the session goes on where this one ends.
    #[must_use]
    pub fn goes_on_elsewhere(&self) -> bool {
        self.copies.iter().any(|copy| matches!(copy.how, Copied::GoesOn(_)))
    }

    /// What the shop says of it, a sentence each: its ledger, other files of the same session, pictures. Empty
    /// where it lies in no shop.
    #[must_use]
    pub fn beside_words(&self) -> Vec<String> {
        let whole = self.chain == Chain::Intact;
        let mut said: Vec<String> = self.ledger.iter().flat_map(|says| says.words(whole)).collect();
        said.extend(self.copies.iter().map(Copy::words));
        said.extend(self.recall.iter().map(Recall::words));
        said.extend(pictures::words(&self.pictures));
        said.extend(read_again::words(&self.read_again));
        said
    }

    /// Whether what was stored follows from what was read, in a sentence or, where it does not, one
    /// line each.
    #[must_use]
    pub fn follows_words(&self) -> String {
        words::follows(&self.follows)
    }

    /// A plain account: what was found, measured, decided, by whom, and whether it follows.
    #[must_use]
    pub fn words(&self) -> String {
        words::words(self)
    }
}
