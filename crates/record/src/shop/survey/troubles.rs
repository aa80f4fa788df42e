//! The sessions a supervisor should look at, and why.

use solver::{Channel, Sense};

use super::summary::SentBack;
use super::{SessionSummary, Survey};
use crate::fact::{FileMarkKind, Seq, Verdict};
use crate::figures::sentence;
use crate::file::MissingEnd;
use crate::ledger::{Copy, LedgerFinding};
use crate::recall::Recall;
use crate::review::{BlindWord, State};
use crate::shown;

/// Why a session should be looked at.
#[derive(Clone, Debug, PartialEq)]
pub enum Trouble {
    /// The file's end is missing, and may have been saved.
    EndMissing(MissingEnd),
    /// The program noted something about the file.
    Marked(FileMarkKind),
    /// The shop's ledger notes a line that is not in its file; with the facts the file has.
    Ledger(LedgerFinding, Seq),
    /// It was read while its station's zero was outside its limits.
    Recalled(Box<Recall>),
    /// Another file is of the same session.
    Double(Copy),
    /// It was gone on with in this file, which counts in its stead.
    ContinuedIn(String),
    /// What was signed or chosen does not follow from the readings; both verdicts where these are two.
    DoesNotFollow(Option<[Option<Verdict>; 2]>),
    /// It was countersigned, and that no longer fits; a sentence.
    CountersignatureGone(String),
    /// Blind readings of it, or its own of another session, disagree.
    BlindDisagrees,
    /// Confirm readings lie off where the circles of their round have them; a sentence.
    OffCircle(String),
    /// Its window or station is not the shop's of that name, or changed within it; a sentence.
    Otherwise(String),
    /// A picture that it names is gone from the shop or is another; a sentence.
    Picture(String),
    /// A crosshair runs against its ring: the ring is numbered backwards, or a flip in the station's
    /// map is wrong.
    RunsAgainst(Channel),
    /// A supervisor sent it back.
    Returned {
        /// Who.
        by: String,
        /// With what comment.
        comment: String,
    },
    /// It was countersigned with a last line that is not in its file.
    WrittenAnew,
    /// Facts were added since it was signed.
    Outdated,
    /// It was countersigned by the hand that signed, or by nobody.
    NotByAnother,
    /// It was signed and waits for a supervisor.
    Waiting,
}

impl Trouble {
    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::EndMissing(end) => format!("In its file {end}."),
            Self::Marked(FileMarkKind::EndSetAside) => {
                "The end of its file was missing and was set \
                aside on a hand’s word; review it."
                    .to_owned()
            }
            Self::Marked(FileMarkKind::ContinuedInPart) => {
                "It goes on from a file that is damaged or \
                lacks its end; review it."
                    .to_owned()
            }
            Self::Marked(FileMarkKind::BegunBeside) => {
                "It was begun beside a file that was not whole; review both.".to_owned()
            }
            Self::Marked(
                FileMarkKind::Salvaged | FileMarkKind::LinesLost | FileMarkKind::LostToo,
            ) => "It was salvaged from a damaged file; review it.".to_owned(),
            Self::Ledger(finding, facts) => finding.words(*facts),
            Self::Recalled(recall) => recall.words(),
            Self::Double(copy) => format!("{} It counts once.", copy.words()),
            Self::ContinuedIn(file) => format!(
                "It was gone on with in {}, which counts in its stead.",
                shown::one_line(file)
            ),
            Self::DoesNotFollow(None) => {
                "What was signed does not follow from the readings; review it.".to_owned()
            }
            Self::DoesNotFollow(Some(signed_and_found)) => {
                let [signed, found] =
                    signed_and_found.map(|verdict| verdict.map_or("no verdict", Verdict::word));
                format!("“{signed}” was signed, “{found}” follows from the readings; review it.")
            }
            Self::RunsAgainst(channel) => format!(
                "The {} crosshair runs against its ring: the ring is numbered backwards, or a flip in \
                 the station’s map is wrong.",
                channel.word()
            ),
            Self::Returned { by, comment } => format!("Returned by {by}: {comment}"),
            Self::BlindDisagrees => {
                "Blind readings and what was signed disagree; review both.".to_owned()
            }
            Self::OffCircle(sentence)
            | Self::Otherwise(sentence)
            | Self::Picture(sentence)
            | Self::CountersignatureGone(sentence) => sentence.clone(),
            Self::WrittenAnew => {
                "Its file was written anew since it was countersigned: the line it was \
                countersigned with is not in it; review it."
                    .to_owned()
            }
            Self::Outdated => {
                "Facts were added since it was signed: it waits to be signed anew.".to_owned()
            }
            Self::NotByAnother => {
                "Countersigned by the hand that signed, or by nobody: no other hand \
                agreed."
                    .to_owned()
            }
            Self::Waiting => "Signed, and not countersigned yet.".to_owned(),
        }
    }
}

impl SessionSummary {
    /// Why it should be looked at, what weighs most first.
    #[must_use]
    pub fn troubles(&self) -> Vec<Trouble> {
        let mut found: Vec<Trouble> =
            self.end_missing.map(Trouble::EndMissing).into_iter().collect();
        found.extend(
            self.ledger.iter().cloned().map(|finding| Trouble::Ledger(finding, self.facts)),
        );
        found.extend(self.recall.iter().cloned().map(Trouble::Recalled));
        found.extend(self.copies.iter().cloned().map(Trouble::Double));
        found.extend(self.continued_in.iter().cloned().map(Trouble::ContinuedIn));
        found
            .extend(self.marks.iter().filter(|kind| !kind.is_lost()).copied().map(Trouble::Marked));
        if self.follows == Some(false) {
            let signed = self.signed_as.as_ref().filter(|_| self.signed_otherwise());
            let both = signed.map(|signed| [Some(signed.verdict), self.verdict]);
            found.push(Trouble::DoesNotFollow(both));
        } else if self.state == State::DoesNotFollow {
            found.push(Trouble::WrittenAnew);
        }
        found.extend(self.countersignature_trouble().map(Trouble::CountersignatureGone));
        if self.blind == Some(BlindWord::Disagree) {
            found.push(Trouble::BlindDisagrees);
        }
        found.extend(self.off_circle.iter().cloned().map(Trouble::OffCircle));
        let otherwise = self.otherwise.iter().map(|found| sentence(&found.to_string()));
        found.extend(otherwise.map(Trouble::Otherwise));
        found.extend(self.pictures.iter().cloned().map(Trouble::Picture));
        for channel in Channel::BOTH {
            if self.senses[channel] == Some(Sense::Against) {
                found.push(Trouble::RunsAgainst(channel));
            }
        }
        if let Some(SentBack { by, comment, .. }) = &self.sent_back {
            found.push(Trouble::Returned { by: by.clone(), comment: comment.clone() });
        }
        match self.signature {
            // Nobody answers for practice.
            _ if self.practice => {}
            State::Outdated => found.push(Trouble::Outdated),
            State::Signed if self.answered_by_no_other => found.push(Trouble::NotByAnother),
            State::Signed => found.push(Trouble::Waiting),
            _ => {}
        }
        found
    }
}

impl Survey {
    /// The sessions to look at, each with its index and why, in the order of the sessions. Damaged
    /// files are in [`Survey::skipped`].
    #[must_use]
    pub fn troubles(&self) -> Vec<(usize, Vec<Trouble>)> {
        let each = self.sessions.iter().enumerate().map(|(index, one)| (index, one.troubles()));
        each.filter(|(_, why)| !why.is_empty()).collect()
    }
}
