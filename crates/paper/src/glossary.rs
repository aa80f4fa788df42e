//! The words a trainee meets, each with what it means: on hover where a word stands, all of them in one sheet of the
//! window (Words), and those of a report at its end. Terms of the trade and of the standards as these have them; this program's own as it uses
//! them.

/// A word and what it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Term {
    /// The word.
    pub word: &'static str,
    /// What it means, in a sentence or two.
    pub meaning: &'static str,
    /// The same in a few plain words, for whoever has no trade: they stand beside it where it is first met. Empty
    /// where no paper for customers has the word.
    pub plain: &'static str,
}

const fn term(word: &'static str, meaning: &'static str) -> Term {
    Term { word, meaning, plain: "" }
}

const fn plain(word: &'static str, plain: &'static str, meaning: &'static str) -> Term {
    Term { word, meaning, plain }
}

/// As found, with what that is in plain words.
pub const AS_FOUND: &str = "as found (before the work)";

/// As left, with what that is in plain words.
pub const AS_LEFT: &str = "as left (after it)";

/// All of them, in the order of the alphabet.
pub const TERMS: [Term; 32] = [
    term(
        "approach",
        "The side from which a ring is turned to its angle. Rings have play: every turn ends from the side that was used when logging.",
    ),
    term(
        "as found, as left",
        "How the channels pointed before anything was touched, and how they point when the work is done.",
    ),
    plain(
        "boresight",
        "straight ahead, where the station’s target is",
        "The direction of the station's target seen without a viewer: the origin of all directions.",
    ),
    term(
        "closure error",
        "A round's first position read again at its end, last less first. More than scatter: something moved.",
    ),
    plain(
        "compromise",
        "exact nowhere, and nearest to it here",
        "The setting that uses least of the window where no crossing is inside it.",
    ),
    plain(
        "crossing point",
        "set there, both eyes look the same way",
        "Where both offset circles meet: set there, the channels point alike. The nearer to boresight is right at every interpupillary distance.",
    ),
    term(
        "dioptre",
        "The eyepiece's focus. Off zero it shifts what an eye off the axis sees, by 3.4′ for each dioptre and millimetre (Prentice's rule).",
    ),
    term(
        "dipvergence",
        "One image higher than the other: more than 0 when the right one is high. Eyes bear least of it.",
    ),
    term(
        "divergence, convergence",
        "Which way the eyes must turn to make one image: apart, or together.",
    ),
    term(
        "ellipse",
        "Where a crossing or a mean truly lies with 95 % probability, as far as the readings tell. Long and thin: it is known well one way and badly the other.",
    ),
    term(
        "finding",
        "In practice: saying what is wrong with unit, bench or log, where something is.",
    ),
    term(
        "guard band",
        "A strip inside the window's limits, 1.645 standard uncertainties wide: a mean in it may well be outside. It is drawn for the eye; the verdict goes by the probability.",
    ),
    term(
        "hand",
        "Whoever does and answers for the work, by initials: each reading, verdict and signature names its hand.",
    ),
    plain(
        "narrow stop",
        "with the eyepieces closest together",
        "The end of the pods’ swing at the least interpupillary distance: what both channels share is carried furthest one way.",
    ),
    plain(
        "offset circle",
        "the path of a crosshair as its ring is turned",
        "The circle that a crosshair runs on as its ring is turned: its radius tells the lens's decentre, its centre all other errors.",
    ),
    term(
        "play",
        "How far a ring turns before its cell follows: half of it to either side of where the ring says.",
    ),
    term(
        "procedure",
        "The steps a job takes, each once: as found, dioptres, closing the round, before and after the locks, reseating, the looking test.",
    ),
    term(
        "reading",
        "Where a channel's crosshair lands on the graticule, as a hand typed it; in practice, how far that lies from where it truly stood.",
    ),
    term(
        "remedy",
        "What is done to a unit that rings alone do not bring inside: parts swapped or turned, a seat shimmed. A prediction until it is measured.",
    ),
    term("ring map", "Window use at every pair of ring angles, with what is inside outlined."),
    term(
        "round",
        "Readings between which nothing but a ring was touched. Rounds are never fitted together.",
    ),
    plain("setting", "how both rings are turned", "A pair of ring angles."),
    term(
        "shim",
        "Foil under a tube's seat: it pushes the tube away from it. Full length, it moves the line of sight by twice its thickness over the eyepiece's focal length.",
    ),
    term("slack", "How far a ring may slip, each way, before the unit is outside the window."),
    term(
        "standard uncertainty",
        "How far a number may be off, as a standard deviation. On screen and paper ± is twice that or so: 95 %.",
    ),
    term(
        "swing",
        "The pods roll as they are set to the user's eyes and carry what both channels share round in opposite ways: a far crossing is right at one interpupillary distance only.",
    ),
    term(
        "swing-safe radius",
        "How far from boresight both channels may point together and still be inside at every interpupillary distance the pods can swing to. Dotted on the plot.",
    ),
    term("thrift", "In practice: no more readings and rounds than a careful hand needs."),
    plain(
        "tolerance window",
        "the error that is allowed",
        "The limits a unit is judged by: how far the eyes may have to turn apart, together or one above the other, and how far from boresight both may point.",
    ),
    term(
        "undecided",
        "The readings say neither pass nor fail with 95 % probability: read on, or say so.",
    ),
    plain(
        "wide stop",
        "with the eyepieces furthest apart",
        "The end of the pods’ swing at the greatest interpupillary distance.",
    ),
    plain(
        "window use",
        "how much of the allowed error is there",
        "The share of the tolerance window that a setting takes: the largest of side to side, up and down and from boresight, each over its limit. Up to 100 % is inside.",
    ),
];

/// Plain words put beside terms, once each on a page.
#[derive(Debug, Default)]
pub struct Plainly {
    said: Vec<&'static str>,
}

impl Plainly {
    /// A sentence of the program's own, with plain words behind each term that was not met before.
    ///
    /// ```
    /// let mut plainly = paper::glossary::Plainly::default();
    /// let told = plainly.told("Window use 24 %, at the narrow stop.");
    /// assert_eq!(
    ///     told,
    ///     "Window use (how much of the allowed error is there) 24 %, at the narrow stop \
    ///      (with the eyepieces closest together)."
    /// );
    /// assert_eq!(plainly.told("window use 3 %"), "window use 3 %");
    /// ```
    #[must_use]
    pub fn told(&mut self, sentence: &str) -> String {
        let mut told = sentence.to_owned();
        for term in TERMS.iter().filter(|term| !term.plain.is_empty()) {
            if self.said.contains(&term.word) {
                continue;
            }
            if let Some(end) = met(&told, term.word) {
                told.insert_str(end, &format!(" ({})", term.plain));
                self.said.push(term.word);
            }
        }
        told
    }
}

/// Where a word that stands in a text ends, one or many of it.
fn met(text: &str, word: &str) -> Option<usize> {
    let lower = text.to_ascii_lowercase();
    let apart = |c: Option<char>| !c.is_some_and(char::is_alphanumeric);
    lower.match_indices(word).find_map(|(start, _)| {
        let (before, rest) = text.split_at_checked(start)?;
        let rest = rest.get(word.len()..)?;
        let rest = rest.strip_prefix('s').unwrap_or(rest);
        (apart(before.chars().next_back()) && apart(rest.chars().next()))
            .then_some(text.len() - rest.len())
    })
}

/// What a word means, by its name in [`TERMS`].
#[must_use]
pub fn meaning(word: &str) -> Option<&'static str> {
    TERMS.iter().find(|term| term.word == word).map(|term| term.meaning)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_in_order_and_each_is_said_in_sentences() {
        assert!(TERMS.windows(2).all(|pair| matches!(pair, [a, b] if a.word < b.word)));
        assert!(TERMS.iter().all(|term| term.meaning.ends_with('.') && !term.word.ends_with('.')));
        for word in [
            "window use",
            "slack",
            "closure error",
            "swing",
            "swing-safe radius",
            "guard band",
            "ellipse",
            "hand",
        ] {
            assert!(meaning(word).is_some(), "{word}");
        }
    }
}
