//! A supervisor's own confirm readings, taken blind: a session of its own, linked to the one it
//! checks, that begins with the same unit, station, window and housing and none of the readings.
//!
//! # How the link is written
//! Format 1 has no fact for it, and [`Header::continues`] says that the old session's facts follow word
//! for word, which would give the readings away. So the link is a [`Note`], the first fact after the
//! header, in one sentence that [`Link`] writes and reads back:
//!
//! > Blind confirm readings for session 0147…5f6e in the file 2026-11-25 0147.samepoint: its signature
//! > is fact 37, its last line 5d41….
//!
//! The note stands before the first round, so undo never reaches it. A hand that types such a sentence
//! makes a link; it is as good as any other note.

use core::fmt;

use crate::apart::{Apart, ComparedSide, apart};
use crate::conclusion::{Method, NoConclusion, conclude, conclude_by};
use crate::error::Error;
use crate::fact::{
    Body, Fact, Header, LATEST_FORMAT, Note, RoundOpened, RoundReason, Seq, SessionKind, Setup,
};
use crate::file::new_session_name;
use crate::fold::{Session, SignatureState, fold, fold_to};
use crate::station::Station;

const OPENING: &str = "Blind confirm readings for session ";
const IN_FILE: &str = " in the file ";
const SIGNATURE: &str = ": its signature is fact ";
const LAST_LINE: &str = ", its last line ";

/// Which signed session a blind one checks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// That session's own name: 32 hex digits.
    pub session: String,
    /// Its file's name, without folder.
    pub file: String,
    /// Its signature: the `seq` of the fact.
    pub signature: Seq,
    /// The 64 hex digits of its last line when the link was made.
    pub last_hash: String,
}

/// Why a session cannot be checked blind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoLink {
    /// It has no header to name it by.
    NoHeader,
    /// Nobody signed it.
    NotSigned,
    /// Facts were added since it was signed.
    Outdated,
}

impl fmt::Display for NoLink {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoHeader => "the session has no header, so it cannot be named; review its file",
            Self::NotSigned => "nobody signed the session; there is no verdict to check yet",
            Self::Outdated => {
                "facts were added since the session was signed; have it signed anew first"
            }
        })
    }
}

impl fmt::Display for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { session, file, signature, last_hash } = self;
        write!(f, "{OPENING}{session}{IN_FILE}{file}{SIGNATURE}{signature}{LAST_LINE}{last_hash}.")
    }
}

impl Link {
    /// The link to a signed session, by its file's name and the hash of its last line.
    ///
    /// # Errors
    /// [`NoLink`].
    pub fn to(session: &Session, file: &str, last_hash: &str) -> Result<Self, NoLink> {
        let header = session.header.as_ref().ok_or(NoLink::NoHeader)?;
        let SignatureState::Signed(signature) = session.signature() else {
            return Err(NoLink::NotSigned);
        };
        if signature.outdated {
            return Err(NoLink::Outdated);
        }
        Ok(Self {
            session: header.session.clone(),
            file: file.to_owned(),
            signature: signature.seq,
            last_hash: last_hash.to_owned(),
        })
    }

    /// The link that a sentence is; `None` where it is none.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let rest = text.strip_prefix(OPENING)?;
        let (session, rest) = rest.split_once(IN_FILE)?;
        let rest = rest.strip_suffix('.')?;
        // From the end: a file's name may hold anything.
        let (rest, last_hash) = rest.rsplit_once(LAST_LINE)?;
        let (file, signature) = rest.rsplit_once(SIGNATURE)?;
        let hex = |text: &str, digits| {
            text.len() == digits && text.bytes().all(|byte| byte.is_ascii_hexdigit())
        };
        (hex(session, 32) && hex(last_hash, 64) && !file.is_empty()).then_some(Self {
            session: session.to_owned(),
            file: file.to_owned(),
            signature: signature.parse().ok()?,
            last_hash: last_hash.to_owned(),
        })
    }

    /// The link of a blind session: the first of its notes that is one.
    #[must_use]
    pub fn of(session: &Session) -> Option<Self> {
        session.notes.iter().find_map(|note| Self::read(&note.body.text))
    }

    /// The header of the blind session.
    ///
    /// # Errors
    /// [`Error::Io`] when no name can be drawn.
    pub fn header(&self, program: &str) -> Result<Header, Error> {
        Ok(Header {
            format: LATEST_FORMAT,
            program: program.to_owned(),
            session: new_session_name()?,
            kind: SessionKind::Real,
            continues: None,
        })
    }

    /// The facts it begins with after its header, in order: the link, the job as set up, station,
    /// window, housing, unit as built, and its one round. No reading, setting, remedy or note of the
    /// other session; what is seen to before reading is seen to anew.
    ///
    /// `station`: the station as it stands today, with today's check; the other session's is used
    /// where there is none.
    #[must_use]
    pub fn beginning(&self, original: &Session, station: Option<Station>) -> Vec<Body> {
        let mut bodies = vec![Body::Note(Note { text: self.to_string(), about: None })];
        if let Some(said) = &original.setup {
            bodies.push(Body::Setup(Setup { note: String::new(), ..said.body.clone() }));
        }
        bodies.extend(station.or_else(|| original.station().cloned()).map(Body::Station));
        bodies.extend(original.window().cloned().map(Body::Window));
        bodies.extend(original.housing().cloned().map(Body::Housing));
        bodies.extend(original.unit().cloned().map(Body::Unit));
        bodies.push(Body::RoundOpened(RoundOpened {
            why: RoundReason::First,
            note: "rings and locks as left; confirm readings only".to_owned(),
        }));
        bodies
    }
}

/// What blind readings say of a signed verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct BlindCheck {
    /// The link.
    pub link: Link,
    /// Every position read in both sessions: signed first, blind second.
    pub positions: Vec<Apart>,
    /// Both verdicts, the signed session's and the blind one's, each as worked out now.
    pub verdicts: [crate::fact::Verdict; 2],
    /// Who signed, and who took most of the blind readings.
    pub hands: [String; 2],
    /// Whether the signature was outdated since.
    pub outdated: bool,
}

/// Why blind readings say nothing.
#[derive(Clone, Debug, PartialEq)]
pub enum NoBlindCheck {
    /// The session has no link.
    NotLinked,
    /// Its link names another session.
    OtherSession {
        /// The file it names.
        file: String,
    },
    /// The fact it names is no signature.
    NoSuchSignature {
        /// The fact.
        seq: Seq,
    },
    /// The signed session gives no verdict.
    Signed(NoConclusion),
    /// The blind one gives none.
    Blind(NoConclusion),
    /// The blind one has no confirm readings of both channels where the signed one has.
    NotReadYet,
}

impl fmt::Display for NoBlindCheck {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotLinked => f.write_str("this session is not linked to another one"),
            Self::OtherSession { file } => {
                write!(f, "this session is linked to another one, in {file}; open that file")
            }
            Self::NoSuchSignature { seq } => {
                write!(f, "fact {seq} of the other session is no signature; check which file it is")
            }
            Self::Signed(why) => write!(f, "the signed session gives no verdict: {why}"),
            Self::Blind(why) => write!(f, "the blind session gives no verdict: {why}"),
            Self::NotReadYet => f.write_str(
                "no confirm readings of both channels yet; read both where the signed session did",
            ),
        }
    }
}

/// Holds blind confirm readings against the signed ones, as they were when they were signed.
///
/// # Errors
/// [`NoBlindCheck`].
pub fn blind_check(original: &[Fact], blind: &Session) -> Result<BlindCheck, NoBlindCheck> {
    let link = Link::of(blind).ok_or(NoBlindCheck::NotLinked)?;
    let whole = fold(original);
    if whole.header.as_ref().is_none_or(|header| header.session != link.session) {
        return Err(NoBlindCheck::OtherSession { file: link.file });
    }
    let found = whole.signatures.iter().find(|signature| signature.seq == link.signature);
    let signature = found.ok_or(NoBlindCheck::NoSuchSignature { seq: link.signature })?;
    let then = fold_to(original, signature.seq.saturating_sub(1));
    let signed = Method::of(&signature.signed).and_then(|method| conclude_by(&then, method));
    let signed = signed.map_err(NoBlindCheck::Signed)?;
    let read = conclude(blind).map_err(NoBlindCheck::Blind)?;
    let positions = apart(
        ComparedSide { conclusion: &signed, station: then.station() },
        ComparedSide { conclusion: &read, station: blind.station() },
    );
    if positions.is_empty() {
        return Err(NoBlindCheck::NotReadYet);
    }
    Ok(BlindCheck {
        positions,
        verdicts: [signed.verdict, read.verdict],
        hands: [signature.hand.clone(), blind.main_hand().to_owned()],
        outdated: signature.outdated,
        link,
    })
}

impl BlindCheck {
    /// Whether blind and signed readings contradict each other: at some position, or one verdict a pass and
    /// the other a fail.
    #[must_use]
    pub fn disagrees(&self) -> bool {
        use crate::fact::Verdict;
        let contradicts = matches!(
            self.verdicts,
            [Verdict::Pass, Verdict::Fail] | [Verdict::Fail, Verdict::Pass]
        );
        contradicts || self.positions.iter().any(|at| at.agrees() == Some(false))
    }

    /// Whether readings agree at every position; `None` where no score is to be had.
    #[must_use]
    pub fn agrees(&self) -> Option<bool> {
        let each: Option<Vec<bool>> = self.positions.iter().map(Apart::agrees).collect();
        each.map(|each| each.into_iter().all(|agrees| agrees))
    }

    /// It in sentences.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let [signed, blind] = &self.hands;
        let mut said = Vec::new();
        for at in &self.positions {
            let whole = at.words();
            said.push(format!("Read {}. {}", at.position, whole.join(" ")));
        }
        let [then, now] = self.verdicts.map(solver::decision::Verdict::word);
        said.push(if then == now {
            format!("Both sets of readings give “{then}”.")
        } else {
            format!("The signed readings give “{then}”, the blind ones “{now}”.")
        });
        if signed == blind {
            said.push(format!("{signed} signed and took the blind readings: they are not blind."));
        }
        if self.outdated {
            said.push("Facts were added to the signed session since it was signed.".to_owned());
        }
        said
    }
}
