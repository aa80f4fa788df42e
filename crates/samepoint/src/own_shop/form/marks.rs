//! Marks of a camera map as a hand types them: a line each, its four numbers apart by tabs.

use record::Typed;
use record::fact::PictureMark;

use super::fields::FormWrong;

/// The field they stand in.
pub(crate) const MARKS: &str = "marks";

/// What a mark's four numbers are called.
const NUMBERS: [&str; 4] = [
    "x in the picture, px",
    "y in the picture, px",
    "x on the graticule, divisions",
    "y on the graticule, divisions",
];

/// One mark as typed: x and y in the picture, x and y on the graticule.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct MarkTyped(pub(crate) [String; 4]);

/// All marks of a field's text.
pub(crate) fn rows(text: &str) -> Vec<MarkTyped> {
    let row = |line: &str| {
        let mut cells = line.split('\t').map(str::to_owned);
        MarkTyped([(); 4].map(|()| cells.next().unwrap_or_default()))
    };
    if text.is_empty() { Vec::new() } else { text.split('\n').map(row).collect() }
}

/// The text that such marks are.
pub(crate) fn text(rows: &[MarkTyped]) -> String {
    let line = |row: &MarkTyped| {
        let plain = |cell: &String| cell.replace(['\t', '\n', '\r'], " ");
        row.0.iter().map(plain).collect::<Vec<_>>().join("\t")
    };
    rows.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// Those of a camera map, all of their digits.
pub(super) fn text_of(marks: &[PictureMark]) -> String {
    let row = |mark: &PictureMark| {
        let [x, y] = mark.px;
        let [u, v] = mark.divisions;
        MarkTyped([x, y, u, v].map(typed))
    };
    text(&marks.iter().map(row).collect::<Vec<_>>())
}

/// A number as a hand would type it.
pub(crate) fn typed(value: f64) -> String {
    super::fields::list(&[value])
}

/// What a number of a mark is called.
pub(crate) fn name(place: usize, number: usize) -> String {
    format!("Mark {}, {}", place + 1, NUMBERS.get(number).copied().unwrap_or_default())
}

impl MarkTyped {
    /// Its numbers.
    ///
    /// # Errors
    /// The first that is none, by name.
    pub(crate) fn mark(&self, place: usize) -> Result<PictureMark, FormWrong> {
        let number = |number: usize, text: &str| {
            Typed::by_hand(text).map(|typed| typed.value()).map_err(|why| FormWrong {
                key: Some(MARKS),
                why: format!("{}: {why}.", name(place, number)),
            })
        };
        let [x, y, u, v] = &self.0;
        Ok(PictureMark {
            px: [number(0, x)?, number(1, y)?],
            divisions: [number(2, u)?, number(3, v)?],
        })
    }

    /// Its place in the picture alone, where it is one.
    pub(crate) fn px(&self) -> Option<[f64; 2]> {
        let number = |text: &str| Typed::by_hand(text).ok().map(|typed| typed.value());
        let [x, y, ..] = &self.0;
        Some([number(x)?, number(y)?])
    }
}

/// What is another in marks than in earlier ones, a sentence each.
pub(super) fn differences(now: &str, then: &str) -> Vec<String> {
    let (now, then) = (rows(now), rows(then));
    let said = |row: &MarkTyped| {
        let [x, y, u, v] = &row.0;
        format!("{x}, {y} px at {u}, {v}")
    };
    let longer = now.len().max(then.len());
    let each = (0..longer).filter_map(|place| {
        let number = place + 1;
        match (now.get(place), then.get(place)) {
            (Some(now), Some(then)) if now == then => None,
            (Some(now), Some(then)) => {
                Some(format!("Mark {number}: was {}, is {}", said(then), said(now)))
            }
            (Some(now), None) => Some(format!("Mark {number}: was not there, is {}", said(now))),
            (None, Some(then)) => Some(format!("Mark {number}: was {}, is gone", said(then))),
            (None, None) => None,
        }
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn marks_come_back_as_they_were_typed() {
        for typed in ["", "1\t2\t−3\t4,5", "1\t\t\t\n2O\tx\t \t7"] {
            assert_eq!(text(&rows(typed)), typed);
        }
        let pasted =
            [MarkTyped(["1\t2".to_owned(), "3\n4".to_owned(), String::new(), "5".to_owned()])];
        assert_eq!(rows(&text(&pasted)).len(), 1);
    }

    #[test]
    fn a_mark_says_which_number_is_none() {
        let row = &rows("1\t2\tl\t4")[0];
        let why = row.mark(2).unwrap_err().why;
        assert!(why.starts_with("Mark 3, x on the graticule") && why.contains("“l”"), "{why}");
        assert_eq!(row.px(), Some([1.0, 2.0]));
        let good = rows("−1,5\t2\t3\t−4")[0].mark(0).unwrap();
        assert_eq!((good.px, good.divisions), ([-1.5, 2.0], [3.0, -4.0]));
        assert_eq!(text_of(&[good]), "−1.5\t2\t3\t−4");
    }

    #[test]
    fn differences_are_told_mark_by_mark() {
        let told = differences("1\t2\t3\t4\n5\t6\t7\t8", "1\t2\t3\t9");
        assert_eq!(
            told,
            [
                "Mark 1: was 1, 2 px at 3, 9, is 1, 2 px at 3, 4",
                "Mark 2: was not there, is 5, 6 px at 7, 8"
            ]
        );
        assert_eq!(differences("", "1\t2\t3\t4"), ["Mark 1: was 1, 2 px at 3, 4, is gone"]);
    }
}
