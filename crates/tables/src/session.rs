//! One session's rows in every table.

use std::path::PathBuf;

use record::file::{End, plain, scan};
use record::review::{State, follows};
use record::{
    Channel, Derived, Error, Exercise, Fact, PerChannel, Remedy, RemedyTaken, Round, SessionKind,
    SessionSummary, ShimOutcome, fold,
};

use crate::buffer::Buffers;
use crate::columns::readings::ReadingRow;
use crate::columns::remedies::RemedyRow;
use crate::columns::rounds::RoundRow;
use crate::columns::sessions::{FileSays, SessionRow};
use crate::columns::troubles::{TroubleOf, TroubleRow};
use crate::columns::verdicts::{VerdictFrom, VerdictRow};
use crate::columns::{OfSession, Table, readings, remedies, rounds, sessions, troubles, verdicts};

/// The year and the month of a day; `None` of no day.
pub type Month = Option<(i16, i8)>;

/// A session's file, and what is known of it before it is read for its rows.
#[derive(Clone, Debug)]
pub struct SessionItem {
    /// `sessions` or `practice`.
    pub folder: &'static str,
    /// The file.
    pub path: PathBuf,
    /// Its name.
    pub file: String,
    /// What it comes to; `None` where it is damaged or cannot be read.
    pub summary: Option<SessionSummary>,
    /// The file in another folder that counts in its stead.
    pub elsewhere: Option<String>,
    /// What its files in other folders are to it, a sentence each.
    pub in_two_folders: Vec<String>,
}

/// What was read of a session's file.
struct ReadNow {
    facts: Vec<Fact>,
    session: record::Session,
    format: u32,
    last_hash: String,
    end: End,
}

impl ReadNow {
    fn of(item: &SessionItem) -> Result<Self, Error> {
        let bytes = plain::open(&item.path).map_err(|why| Error::io("open", &item.path, why))?;
        let scanned = scan(&item.path, bytes)?;
        Ok(Self {
            session: fold(&scanned.facts),
            facts: scanned.facts,
            format: scanned.format,
            last_hash: scanned.last_hash.to_string(),
            end: scanned.end,
        })
    }

    fn exercise(&self) -> Option<&Exercise> {
        match &self.session.header.as_ref()?.kind {
            SessionKind::Practice(exercise) => Some(exercise),
            SessionKind::Real => None,
        }
    }

    fn says(&self) -> FileSays<'_> {
        FileSays {
            format: Some(self.format),
            exercise: self.exercise().map(|exercise| exercise.name.as_str()),
            begun: self.facts.first().map(|fact| fact.time),
            last: self.facts.last().map(|fact| fact.time),
            last_hash: Some(&self.last_hash),
            job: self.session.setup.as_ref().map(|setup| setup.body.job.as_str()),
        }
    }
}

/// What a file of practice comes to; `None` where it is damaged or cannot be read.
#[must_use]
pub fn practised(item: &SessionItem) -> Option<SessionSummary> {
    let read = ReadNow::of(item).ok()?;
    let end_missing = match read.end {
        End::Damaged(_) => return None,
        End::Missing(end) => Some(end),
        End::Clean => None,
    };
    let follows = follows(&read.facts, &read.session);
    let state = State::of(&read.session, &follows, end_missing.is_none(), None);
    Some(SessionSummary {
        facts: read.facts.len() as u64,
        follows: follows.known(),
        end_missing,
        state,
        ..SessionSummary::of(item.file.clone(), &read.session)
    })
}

impl SessionItem {
    /// The month of its last reading.
    #[must_use]
    pub fn month(&self) -> Month {
        let day = self.summary.as_ref()?.day?;
        Some((day.year(), day.month()))
    }

    /// Whether it counts.
    #[must_use]
    pub fn counts(&self) -> bool {
        self.elsewhere.is_none() && self.summary.as_ref().is_some_and(SessionSummary::counts)
    }

    /// Its rows; and why it was passed over, or not told as it is now.
    #[must_use]
    pub fn rows(&self, shop: &str) -> (Buffers, Option<String>) {
        let mut rows = Buffers::default();
        let read = ReadNow::of(self);
        let damage = match &read {
            Err(why) => Some(why.to_string()),
            Ok(ReadNow { end: End::Damaged(damage), .. }) => {
                let damage = damage.clone();
                Some(Error::Damaged { path: self.path.clone(), damage }.to_string())
            }
            Ok(_) => None,
        };
        let summary = self.summary.as_ref().filter(|_| damage.is_none());
        let now = read.as_ref().ok();
        let header = now.and_then(|now| now.session.header.as_ref());
        let exam = |now: &ReadNow| now.exercise().is_some_and(Exercise::is_exam);
        let of = OfSession {
            shop,
            folder: self.folder,
            file: &self.file,
            session: header.map_or("", |header| header.session.as_str()),
            practice: header.map(|header| header.kind != SessionKind::Real),
            examination: now.filter(|_| header.is_some()).map(exam),
            state: summary.map_or(State::Damaged, |summary| summary.state),
            counts: summary.is_some() && self.counts(),
        };
        let says = now.map(ReadNow::says).unwrap_or_default();
        let elsewhere = self.elsewhere.as_deref();
        let row = SessionRow { of: of.clone(), summary, file: says, elsewhere };
        rows.push(Table::Sessions, &sessions::columns(), &row);
        let grown = match (summary, now) {
            (Some(summary), Some(now)) => {
                details(&mut rows, &of, summary, now);
                (summary.facts != now.facts.len() as u64).then(|| self.written_to())
            }
            // It can be read now, and could not be before.
            (None, Some(_)) if damage.is_none() => Some(self.written_to()),
            _ => None,
        };
        self.troubles(&mut rows, &of, summary, damage.as_deref().or(grown.as_deref()));
        (rows, damage.or(grown))
    }

    fn written_to(&self) -> String {
        let path = record::shown::path(&self.path);
        format!("{path}: it was written to while its rows were made; make the tables again")
    }

    fn troubles(
        &self,
        rows: &mut Buffers,
        of: &OfSession<'_>,
        summary: Option<&SessionSummary>,
        passed_over: Option<&str>,
    ) {
        let mut say = |kind: TroubleOf, words: &str| {
            let row = TroubleRow {
                shop: of.shop,
                of: kind,
                folder: self.folder,
                file: &self.file,
                session: of.session,
                words,
            };
            rows.push(Table::Troubles, &troubles::columns(), &row);
        };
        if let Some(why) = passed_over {
            say(TroubleOf::PassedOver, why);
        }
        for words in &self.in_two_folders {
            say(TroubleOf::TwoFolders, words);
        }
        for trouble in summary.into_iter().flat_map(SessionSummary::troubles) {
            say(TroubleOf::Session, &trouble.words());
        }
    }
}

/// What a session holds besides its own row.
fn details(rows: &mut Buffers, of: &OfSession<'_>, summary: &SessionSummary, now: &ReadNow) {
    let session = &now.session;
    let account = Derived::of(session);
    let told = !session.withholds();
    let (of_rounds, of_readings) = (rounds::columns(), readings::columns());
    for round in &session.rounds {
        let circles = account.circles(round.id);
        let row = RoundRow { of, round, circles, told };
        rows.push(Table::Rounds, &of_rounds, &row);
        for entry in &round.readings {
            let row = ReadingRow { of, number: round.number, round: round.id, entry };
            rows.push(Table::Readings, &of_readings, &row);
        }
    }
    let of_verdicts = verdicts::columns();
    let from = VerdictFrom::Readings(account.conclusion());
    let row = VerdictRow { of, from, window: session.window() };
    rows.push(Table::Verdicts, &of_verdicts, &row);
    for signature in &session.signatures {
        let said = session.windows.iter().find(|said| Some(said.seq) == signature.signed.window);
        let from = VerdictFrom::Signature(signature);
        let row = VerdictRow { of, from, window: said.map(|said| &said.body) };
        rows.push(Table::Verdicts, &of_verdicts, &row);
    }
    taken(rows, of, summary, now);
}

fn taken(rows: &mut Buffers, of: &OfSession<'_>, summary: &SessionSummary, now: &ReadNow) {
    let columns = remedies::columns();
    let each = |round: &'_ Round| {
        round.remedies.iter().cloned().map(|one| (round.number, one)).collect::<Vec<_>>()
    };
    let all: Vec<(usize, (u64, RemedyTaken))> = now.session.rounds.iter().flat_map(each).collect();
    if all.is_empty() {
        return;
    }
    let effects = ShimOutcome::all(&now.session);
    for (number, (seq, taken)) in &all {
        let at = usize::try_from(seq.saturating_sub(1)).unwrap_or(usize::MAX);
        for channel in about(&taken.remedy) {
            let effect = effects
                .iter()
                .find(|effect| effect.remedy == *seq && Some(effect.channel) == channel);
            let row = RemedyRow {
                of,
                unit: &summary.unit,
                housing: &summary.housing,
                day: summary.day,
                seq: *seq,
                time: now.facts.get(at).map(|fact| fact.time),
                number: *number,
                taken: Some(taken),
                channel,
                effect: effect.copied(),
            };
            rows.push(Table::Remedies, &columns, &row);
        }
    }
}

/// The channels that a remedy is about, a row each; one row without a channel where it is about none.
fn about(remedy: &Remedy) -> Vec<Option<Channel>> {
    match remedy {
        Remedy::Shim(shims) => {
            let under =
                PerChannel::from_fn(|channel| shims.iter().any(|under| under.channel == channel));
            Channel::BOTH.into_iter().filter(|channel| under[*channel]).map(Some).collect()
        }
        Remedy::TurnTube(turned) => vec![Some(turned.channel)],
        Remedy::ReplaceTube(channel) | Remedy::ReplaceEyepiece(channel) => vec![Some(*channel)],
        Remedy::SwapEyepieces | Remedy::SwapTubes | Remedy::Other => vec![None],
    }
}
