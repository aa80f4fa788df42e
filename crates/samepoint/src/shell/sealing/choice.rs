//! With which key, if any, a signature or answer is to be sealed: what is offered, and what is chosen.

use paper::words::capital;
use std::collections::BTreeMap;
use std::path::PathBuf;

use jiff::civil::Date;
use record::review::Beside;
use record::{Hands, SealRule};

use crate::dialogs::DialogAnswer;
use crate::jobs::Broken;
use crate::sealing::{KeyFrom, KeyOffer, NoWords, OpenSsh, has_words_for_seals, keys_of};
use crate::shell::path_sheet::typed_path;
use crate::shell::refusals::NO_DIALOG;
use crate::widgets::Tone;

/// The file that was named for a key is not there. In a sentence that begins with its field.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("Key file: there is no file {}.", record::shown::path(path))]
pub struct NoKeyFile {
    /// What was named.
    pub path: PathBuf,
}

/// Where the private keys of seals made earlier are, by the public key's fingerprint; an empty path is the
/// user's agent.
pub(crate) type KeyFiles = BTreeMap<String, PathBuf>;

/// What may be chosen, and what is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SealChoice {
    keys: Vec<KeyOffer>,
    listed: bool,
    required: bool,
    has_program: bool,
    no_words: Option<NoWords>,
    chosen: Chosen,
    /// Whether nothing but a seal is to be made here.
    only: bool,
    used: Vec<String>,
    files: BTreeMap<String, String>,
    /// The key whose file a dialog is asked for elsewhere.
    asking: Option<String>,
    /// What came of it, where that was no file.
    refused: Option<String>,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
enum Chosen {
    /// Nobody chose: what the shop requires, or what was done before.
    #[default]
    Usual,
    None,
    Key(String),
}

/// What is chosen, ready to be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealWith {
    /// Which key.
    pub key: KeyOffer,
    /// Where its private part is.
    pub from: KeyFrom,
    /// As it was typed; empty: the agent.
    pub file: PathBuf,
}

impl SealChoice {
    /// What a session's shop and this computer allow on a day. Practice is never sealed.
    #[must_use]
    pub fn new(
        (hands, rule): (&Hands, SealRule),
        (format, practice): (u32, bool),
        openssh: &OpenSsh,
        used: &KeyFiles,
        day: Date,
    ) -> Self {
        let keys = if practice { Vec::new() } else { keys_of(hands, day) };
        let typed = |path: &PathBuf| path.display().to_string();
        Self {
            keys,
            listed: hands.lists_anybody() && !practice,
            required: rule == SealRule::Required && !practice,
            has_program: openssh.program.is_some(),
            no_words: has_words_for_seals(format).err(),
            used: used.keys().cloned().collect(),
            files: used.iter().map(|(key, path)| (key.clone(), typed(path))).collect(),
            ..Self::default()
        }
    }

    /// The same for what lies beside a session; nothing is offered where it lies in no shop.
    #[must_use]
    pub fn beside(
        beside: Option<&Beside>,
        session: (u32, bool),
        openssh: &OpenSsh,
        used: &KeyFiles,
        day: Date,
    ) -> Self {
        let nobody = Hands::default();
        let shop = beside.map(|beside| (&beside.hands, beside.rules.seals));
        Self::new(shop.unwrap_or((&nobody, SealRule::Optional)), session, openssh, used, day)
    }

    /// The same where nothing but a seal is to be made: the first key is chosen until a hand chooses.
    #[must_use]
    pub fn only_to_seal(self) -> Self {
        Self { only: true, ..self }
    }

    /// The same, chosen and typed as before.
    #[must_use]
    pub fn chosen_as(mut self, before: &Self) -> Self {
        self.chosen = before.chosen.clone();
        self.files.extend(before.files.iter().map(|(key, file)| (key.clone(), file.clone())));
        self
    }

    /// Whether nothing but a seal is to be made here.
    #[must_use]
    pub const fn is_only_to_seal(&self) -> bool {
        self.only
    }

    /// The keys that a hand may seal with here.
    #[must_use]
    pub fn offered(&self, hand: &str) -> Vec<&KeyOffer> {
        if !self.has_program || self.no_words.is_some() {
            return Vec::new();
        }
        self.keys_of(hand).filter(|key| key.is_checked).collect()
    }

    fn keys_of<'a>(&'a self, hand: &str) -> impl Iterator<Item = &'a KeyOffer> + use<'a> {
        let hand = hand.trim().to_owned();
        self.keys.iter().filter(move |key| key.hand == hand)
    }

    /// The key chosen for a hand; `None`: what it signs is not sealed.
    #[must_use]
    pub fn key(&self, hand: &str) -> Option<&KeyOffer> {
        let offered = self.offered(hand);
        let named = |name: &String| offered.iter().find(|key| key.fingerprint == *name).copied();
        let first = || offered.first().copied().filter(|_| self.required || self.only);
        match &self.chosen {
            Chosen::Key(name) => named(name).or_else(first),
            Chosen::None if !self.only => None,
            Chosen::None | Chosen::Usual => self.used.iter().find_map(named).or_else(first),
        }
    }

    /// Chooses a key by its fingerprint, or none.
    pub fn choose(&mut self, fingerprint: Option<String>) {
        self.chosen = fingerprint.map_or(Chosen::None, Chosen::Key);
    }

    /// Where the private part of a key is, as typed; empty: in the agent.
    pub fn file_mut(&mut self, fingerprint: &str) -> &mut String {
        self.files.entry(fingerprint.to_owned()).or_default()
    }

    /// A file dialog is asked for where the private part of a key is.
    pub fn ask_for(&mut self, fingerprint: &str) {
        (self.asking, self.refused) = (Some(fingerprint.to_owned()), None);
    }

    /// Whether such a dialog is open.
    #[must_use]
    pub const fn is_asking(&self) -> bool {
        self.asking.is_some()
    }

    /// What a dialog could not do, in a sentence.
    #[must_use]
    pub const fn refused(&self) -> Option<&String> {
        self.refused.as_ref()
    }

    /// Hears what came of it; says whether it was asked for here.
    pub fn hear(&mut self, answer: &Result<DialogAnswer, Broken>) -> bool {
        let Some(fingerprint) = self.asking.take() else { return false };
        match answer {
            Ok(DialogAnswer::Chosen(path)) => {
                *self.file_mut(&fingerprint) = path.display().to_string();
            }
            Ok(DialogAnswer::Cancelled) => {}
            Ok(DialogAnswer::NoService) => self.refused = Some(NO_DIALOG.to_owned()),
            Err(broken) => self.refused = Some(broken.to_string()),
        }
        true
    }

    /// What is chosen, ready to be used.
    ///
    /// # Errors
    /// [`NoKeyFile`].
    pub fn with(&self, hand: &str) -> Result<Option<SealWith>, NoKeyFile> {
        let Some(key) = self.key(hand) else { return Ok(None) };
        let typed = self.files.get(&key.fingerprint).map_or("", |typed| typed.trim());
        let (from, file) = match typed_path(typed) {
            None => (KeyFrom::Agent(key.line.clone()), PathBuf::new()),
            Some(path) if path.is_file() => (KeyFrom::File(path), PathBuf::from(typed)),
            Some(path) => return Err(NoKeyFile { path }),
        };
        Ok(Some(SealWith { key: key.clone(), from, file }))
    }

    /// What there is to know before a hand signs or answers, a sentence each.
    #[must_use]
    pub fn sentences(&self, hand: &str) -> Vec<(Tone, String)> {
        let mut said = Vec::new();
        let hand = hand.trim();
        if self.required {
            let (tone, what) = match self.key(hand) {
                Some(_) => (Tone::Plain, "The shop requires seals."),
                None => {
                    (Tone::Look, "The shop requires seals: without one it stands as “not sealed”.")
                }
            };
            said.push((tone, what.to_owned()));
        }
        said.extend(self.why_none(hand).map(|why| (Tone::Plain, why)));
        said
    }

    /// Why no key is offered.
    fn why_none(&self, hand: &str) -> Option<String> {
        if hand.is_empty() || !self.offered(hand).is_empty() || !(self.listed || self.required) {
            return None;
        }
        Some(if !self.listed {
            "The shop lists no keys; `samepoint seal` takes any.".to_owned()
        } else if self.keys_of(hand).next().is_none() {
            format!("The shop lists no key of {hand} that is good today, to seal with.")
        } else if let Some(why) = &self.no_words {
            format!("{}.", capital(&why.to_string()))
        } else if !self.has_program {
            "Nothing can be sealed on this computer: ssh-keygen is not found. Install OpenSSH’s client."
                .to_owned()
        } else {
            format!("Seals by the keys of {hand} are of a kind that is not checked here.")
        })
    }
}
