//! Fields as a hand types them, and what they come to one by one. What a value may be is for the record to say.

use jiff::civil::Date;
use record::Typed;

/// Said while a picture is not open yet.
pub(crate) const OPENING: &str = "The picture is being opened.";
/// Said where no picture is named.
pub(crate) const WHICH_PICTURE: &str = "Say which picture: type its path, or choose it.";

/// What kind of field it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FieldKind {
    /// Words.
    Words,
    /// Words in lines of their own.
    Paragraph,
    /// A number.
    Number,
    /// Several numbers, with spaces between.
    Numbers,
    /// One of these; its text is the word chosen.
    OneOf(&'static [&'static str]),
    /// Yes, where its text is not empty.
    Tick,
    /// Marks of a camera map: a line each, its numbers apart by tabs.
    Marks,
}

/// A field.
#[derive(Clone, Debug, PartialEq)]
pub struct FormField {
    /// Which: the field of the record it stands for, as the record names it.
    pub key: &'static str,
    /// What the form calls it, with its unit.
    pub name: &'static str,
    /// What kind it is.
    pub kind: FieldKind,
    /// Shown while it is empty.
    pub hint: &'static str,
    /// What is said below it; empty: nothing.
    pub why: &'static str,
    /// What stands above it and those that follow; empty: nothing.
    pub heading: &'static str,
    /// As typed.
    pub text: String,
}

/// A tick that is set.
pub(crate) const YES: &str = "yes";

impl FormField {
    /// An empty one.
    #[must_use]
    pub const fn new(key: &'static str, name: &'static str, kind: FieldKind) -> Self {
        Self { key, name, kind, hint: "", why: "", heading: "", text: String::new() }
    }

    /// With what stands in it while it is empty.
    #[must_use]
    pub fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }

    /// With why it is asked.
    #[must_use]
    pub fn why(self, why: &'static str) -> Self {
        Self { why, ..self }
    }

    /// With a heading above it.
    #[must_use]
    pub fn heading(self, heading: &'static str) -> Self {
        Self { heading, ..self }
    }

    /// With a text in it.
    #[must_use]
    pub fn holds(self, text: impl Into<String>) -> Self {
        Self { text: text.into(), ..self }
    }

    /// With a number in it, all of its digits, so that one nobody touches stays what it is.
    #[must_use]
    pub fn number(self, value: Option<f64>) -> Self {
        Self { text: value.map_or_else(String::new, shown), ..self }
    }

    /// Ticked or not.
    #[must_use]
    pub fn ticked(self, on: bool) -> Self {
        Self { text: if on { YES.to_owned() } else { String::new() }, ..self }
    }
}

fn fill_in(name: &str) -> String {
    format!("{name} is empty; fill it in.")
}

fn shown(value: f64) -> String {
    format!("{value}").replace('-', "−")
}

/// Several numbers as they stand in one field.
pub(crate) fn list(values: &[f64]) -> String {
    values.iter().copied().map(shown).collect::<Vec<_>>().join(" ")
}

/// What is wrong, and beside which field it is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormWrong {
    /// The field; none: it is said above the buttons.
    pub key: Option<&'static str>,
    /// Why.
    pub why: String,
}

/// The fields of one form.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fields(pub Vec<FormField>);

impl Fields {
    /// One of them.
    #[must_use]
    pub fn field(&self, key: &str) -> Option<&FormField> {
        self.0.iter().find(|field| field.key == key)
    }

    /// Puts a text in one of them.
    pub(crate) fn fill(&mut self, key: &str, text: &str) {
        if let Some(field) = self.0.iter_mut().find(|field| field.key == key) {
            text.clone_into(&mut field.text);
        }
    }

    /// What is typed, without spaces round it.
    #[must_use]
    pub fn text(&self, key: &str) -> String {
        self.field(key).map(|field| field.text.trim().to_owned()).unwrap_or_default()
    }

    /// What is typed as it stands.
    pub(crate) fn text_as_is(&self, key: &str) -> String {
        self.field(key).map(|field| field.text.clone()).unwrap_or_default()
    }

    /// Whether it is ticked.
    #[must_use]
    pub fn is_ticked(&self, key: &str) -> bool {
        !self.text(key).is_empty()
    }

    /// That what must be said is said, in the order in which it is asked, before any number is looked at.
    ///
    /// # Errors
    /// The first that is empty.
    pub fn filled_in(&self, keys: &[&'static str]) -> Result<(), FormWrong> {
        let empty =
            |key: &&&'static str| self.field(key).is_some_and(|of| of.text.trim().is_empty());
        match keys.iter().find(empty) {
            Some(key) => Err(FormWrong { key: Some(key), why: fill_in(self.name(key)) }),
            None => Ok(()),
        }
    }

    /// Which of its words is chosen; the first where none is.
    #[must_use]
    pub fn chosen(&self, key: &str) -> usize {
        let Some(field) = self.field(key) else { return 0 };
        let FieldKind::OneOf(words) = field.kind else { return 0 };
        words.iter().position(|word| *word == field.text).unwrap_or(0)
    }

    /// A number that must be there.
    ///
    /// # Errors
    /// Where it is none.
    pub fn number(&self, key: &'static str) -> Result<f64, FormWrong> {
        self.one(key, &self.text(key))
    }

    /// A number that may be left.
    ///
    /// # Errors
    /// Where it is none.
    pub fn maybe(&self, key: &'static str) -> Result<Option<f64>, FormWrong> {
        let text = self.text(key);
        if text.is_empty() { Ok(None) } else { self.one(key, &text).map(Some) }
    }

    /// A number, or this where it is left.
    ///
    /// # Errors
    /// Where it is none.
    pub fn or(&self, key: &'static str, usual: f64) -> Result<f64, FormWrong> {
        Ok(self.maybe(key)?.unwrap_or(usual))
    }

    /// Several numbers.
    ///
    /// # Errors
    /// The first that is none.
    pub fn numbers(&self, key: &'static str) -> Result<Vec<f64>, FormWrong> {
        let text = self.text(key);
        let parts = text.split([' ', ';']).map(|part| part.trim_end_matches(','));
        parts.filter(|part| !part.is_empty()).map(|part| self.one(key, part)).collect()
    }

    /// A day that may be left.
    ///
    /// # Errors
    /// Where it is none.
    pub fn day(&self, key: &'static str) -> Result<Option<Date>, FormWrong> {
        let text = self.text(key);
        if text.is_empty() {
            return Ok(None);
        }
        let why = || {
            let text = record::shown::one_line(&text);
            format!("{}: “{text}” is no day; write it like 2026-11-25.", self.name(key))
        };
        text.parse().map(Some).map_err(|_| FormWrong { key: Some(key), why: why() })
    }

    /// Whether anything is typed in one of these.
    #[must_use]
    pub fn any(&self, keys: &[&str]) -> bool {
        keys.iter().any(|key| !self.text(key).is_empty())
    }

    fn name(&self, key: &str) -> &'static str {
        self.field(key).map_or("", |field| field.name)
    }

    fn one(&self, key: &'static str, text: &str) -> Result<f64, FormWrong> {
        let typed = Typed::by_hand(text);
        typed
            .map(|typed| typed.value())
            .map_err(|why| FormWrong { key: Some(key), why: format!("{}: {why}", self.name(key)) })
    }

    /// What the record refuses, beside the field it means: the one of that name that holds that number, else the
    /// first of that name.
    #[must_use]
    pub fn refused(&self, error: &record::Error) -> FormWrong {
        let beside = |name: &str, value: Option<f64>| {
            let name = name.split(' ').next().unwrap_or(name);
            let mut of_name = self.0.iter().filter(|field| field.key.starts_with(name));
            let holds = |field: &&FormField| {
                field.text.split([' ', ';']).any(|part| {
                    let typed = Typed::by_hand(part.trim_end_matches(','));
                    typed.ok().map(|typed| typed.value()) == value
                })
            };
            let field = of_name.clone().find(holds).or_else(|| of_name.next());
            field.map(|field| (field.key, field.name))
        };
        match error {
            record::Error::FieldEmpty { field } => match beside(field, None) {
                Some((key, name)) => FormWrong { key: Some(key), why: fill_in(name) },
                None => FormWrong { key: None, why: format!("{error}.") },
            },
            record::Error::FieldValue { field, value, must_be } => {
                match beside(field, Some(*value)) {
                    Some((key, name)) if field.contains('(') => FormWrong {
                        key: Some(key),
                        why: format!("{name}: the second must be more than the first."),
                    },
                    Some((key, name)) => {
                        let value = shown(*value);
                        FormWrong {
                            key: Some(key),
                            why: format!("{name} must be {must_be}, not {value}."),
                        }
                    }
                    None => FormWrong { key: None, why: format!("{error}.") },
                }
            }
            other => FormWrong { key: None, why: paper::words::capital(&format!("{other}.")) },
        }
    }
}
