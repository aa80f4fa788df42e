//! Bringing the sheets, noting the looking test, signing.

use super::{CLOSED, LookingSheet, SignSheet, USUAL_STATEMENT, why_closed};
use crate::app::App;
use crate::bench::entry::EntryField;
use crate::bench::practice_unit::OnBench;
use crate::sheets::Sheet;
use crate::shell::authority::{hands_for, may, who};
use crate::shell::open_shop::program;
use crate::shell::refusals::Refusal;
use crate::shell::sealing::SealRefused;
use crate::shell::sealing::SealWanted;
use record::fact::{Body, LookingResult, LookingTest, Signed};
use record::{Act, Typed};

/// Why a session is not signed.
#[derive(Debug, thiserror::Error)]
enum NotSigned {
    /// A signature declares something.
    #[error("Say what you declare.")]
    NothingDeclared,
    /// There is no verdict yet, and why.
    #[error("There is nothing to sign: {0}. Choose what is missing.")]
    NothingToSign(String),
    /// An examination withholds the verdict.
    #[error("Choose your verdict: in an examination nothing else says it.")]
    NoVerdict,
    /// It cannot be sealed as chosen.
    #[error(transparent)]
    Seal(#[from] SealRefused),
    /// As everywhere.
    #[error(transparent)]
    Refused(#[from] Refusal),
}

impl App {
    /// Why nothing can be logged to the open session, if that is because it is signed.
    pub(crate) fn closed(&self) -> Option<String> {
        why_closed(self.session.as_ref()?.state()).map(String::from)
    }

    pub(crate) fn show_looking_sheet(&mut self) {
        if self.session.is_none() {
            return;
        }
        if let Some(why) = self.closed() {
            self.say(why);
            return;
        }
        // An invented unit is looked through on the sheet: what it shows is what can be noted.
        let shows = self.practice_unit().map(OnBench::looks_like);
        self.bring(Sheet::Looking(LookingSheet { shows, ..LookingSheet::default() }));
    }

    pub(crate) fn looked_now(&mut self) {
        let Sheet::Looking(sheet) = self.front.clone() else { return };
        let test = looking_test(&sheet);
        match test.and_then(|test| self.append(Body::LookingTest(test))) {
            Ok(_) => {
                self.uncover();
                self.entry.focus = Some(EntryField::X);
                self.refresh_checklist();
                self.say(match sheet.result {
                    Some(LookingResult::Fused) => {
                        "Noted: fused. Eyes fuse far more than is comfortable: it passes nothing."
                    }
                    Some(LookingResult::Double) => "Noted: double. A pass becomes undecided.",
                    _ => "Noted: broken off. A pass becomes undecided.",
                });
            }
            Err(why) => self.refuse(why.to_string()),
        }
    }

    pub(crate) fn show_sign_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let signed = why_closed(session.state()).is_some();
        let path = session.file().path();
        let hands = hands_for(session.state(), path);
        let seal = self.seal_choice(path, session.file().format(), session.is_practice());
        self.bring(Sheet::Sign(SignSheet {
            statement: USUAL_STATEMENT.to_owned(),
            hand: self.shell.known_hand().to_owned(),
            who: who(&hands, Act::Sign, self.shell.services.clock.now()),
            seal,
            own_verdict: session.state().withholds().then_some(None),
            refused: None,
            come_back: false,
            of_key: false,
            signed,
        }));
    }

    pub(crate) fn sign_now(&mut self) {
        let Sheet::Sign(sheet) = self.front.clone() else { return };
        let signed = self.signed_fact(&sheet);
        // What is wrong with a key is said before anything is signed.
        let with = self.shell.seal_with(&sheet.seal, &sheet.hand);
        let of_key = signed.is_ok() && sheet.seal.with(&sheet.hand).is_err();
        match signed.and_then(|signed| {
            let with = with?;
            self.named_on_sheet(&sheet.hand);
            sheet.hand.trim().clone_into(&mut self.shell.preferences.hand);
            Ok((self.append(Body::Signed(signed))?, with))
        }) {
            Ok((seq, with)) => {
                if let Sheet::Sign(sheet) = &mut self.front {
                    sheet.signed = true;
                    sheet.refused = None;
                }
                self.say(CLOSED);
                let path = self.session.as_ref().map(|open| open.file().path().to_owned());
                let hand = sheet.hand.trim().to_owned();
                self.shell.sealing = None;
                if let Some((path, with)) = path.zip(with) {
                    let word = "signed";
                    self.seal_soon(SealWanted { path, seq, word, hand, line_hash: None, with });
                }
            }
            Err(why) => {
                self.refuse(why.to_string());
                if let Sheet::Sign(sheet) = &mut self.front {
                    sheet.of_key = of_key;
                }
            }
        }
    }

    fn refuse(&mut self, why: String) {
        if let Sheet::Looking(LookingSheet { refused, come_back, .. })
        | Sheet::Sign(SignSheet { refused, come_back, .. }) = &mut self.front
        {
            *refused = Some(why);
            *come_back = true;
        }
    }

    /// The verdict as the facts give it at this moment, ready to be signed.
    fn signed_fact(&self, sheet: &SignSheet) -> Result<Signed, NotSigned> {
        if sheet.hand.trim().is_empty() {
            return Err(NotSigned::Refused(Refusal::NoHand));
        }
        if sheet.statement.trim().is_empty() {
            return Err(NotSigned::NothingDeclared);
        }
        let open = self.session.as_ref().ok_or(Refusal::NoSession)?;
        let session = open.state();
        let hands = hands_for(session, open.file().path());
        may(&hands, &sheet.hand, Act::Sign, self.shell.services.clock.now())?;
        let conclusion = open.to_sign().map_err(|why| NotSigned::NothingToSign(why.to_string()))?;
        let own = sheet.own_verdict.map(|chosen| chosen.ok_or(NotSigned::NoVerdict)).transpose()?;
        Ok(Signed {
            round: conclusion.round,
            verdict: own.unwrap_or(conclusion.verdict),
            rule: conclusion.rule,
            program: program(),
            window: session.windows.last().map(|said| said.seq),
            station: session.stations.last().map(|said| said.seq),
            rests_on: conclusion.rests_on.clone(),
            numbers: conclusion.numbers(),
            statement: sheet.statement.trim().to_owned(),
        })
    }
}

fn looking_test(sheet: &LookingSheet) -> Result<LookingTest, Refusal> {
    let result = sheet.result.ok_or(Refusal::NothingSeen)?;
    let distance_m = match sheet.metres() {
        "" => None,
        text => {
            Some(Typed::by_hand(text).map_err(|why| Refusal::Field { field: "Distance", why })?)
        }
    };
    if distance_m.as_ref().is_some_and(|distance| distance.value() <= 0.0) {
        return Err(Refusal::NotMoreThanZero { field: "Distance", unit: "m" });
    }
    let [observer, note] = [&sheet.observer, &sheet.note].map(|text| text.trim().to_owned());
    Ok(LookingTest { distance_m, result, observer, note })
}
