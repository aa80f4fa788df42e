//! Texts as cells of the tables the program writes: no spreadsheet takes one for a formula.
//!
//! A spreadsheet works out a cell that begins with `=`, `+`, `-` or `@`, also behind a tab or a
//! carriage return, and what such a formula fetches or runs is up to whoever wrote the text. The usual
//! guidance is to put an apostrophe before it, which makes it text (OWASP, *CSV Injection*; from
//! memory). Wide forms of the four signs count too, since some spreadsheets fold them. A text that
//! begins with an apostrophe gets one as well, so that taking one off gives back every text.
//!
//! Figures are no texts: a column of numbers holds −3 as `-3`.

/// A text's cell: on one line, its marks visible, and never a formula.
///
/// ```
/// use record::csv_cell::{read, text};
/// assert_eq!(text("0147"), "0147");
/// assert_eq!(text("=1+1"), "'=1+1");
/// assert_eq!(read(&text("-12")), "-12");
/// ```
#[must_use]
pub fn text(text: &str) -> String {
    let shown = crate::shown::one_line(text);
    let mut cell = String::with_capacity(shown.len() + 1);
    // Asked of what was given too: what hides is shown as its number, and is no reason to trust
    // what it hid.
    if is_taken_for_a_formula(text) || is_taken_for_a_formula(&shown) {
        cell.push('\'');
    }
    cell.push_str(&shown);
    cell
}

/// The text of a cell that [`text`] wrote.
#[must_use]
pub fn read(cell: &str) -> &str {
    cell.strip_prefix('\'').unwrap_or(cell)
}

fn is_taken_for_a_formula(text: &str) -> bool {
    let first = text.chars().next();
    // Blanks before the sign: some readers trim them.
    let first_word = text.trim_start().chars().next();
    first.is_some_and(|c| c == '\'' || c.is_control())
        || first_word
            .is_some_and(|c| matches!(c, '=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_spreadsheet_would_work_out_is_text() {
        for formula in [
            "=HYPERLINK(\"http://x\",\"0147\")",
            "+1",
            "-2+3+cmd|' /C calc'!A0",
            "@SUM(A1)",
            "\t=1",
            "\r=1",
            "  =1",
            "＝1",
            "\u{200b}=1",
            "\n=1",
        ] {
            let cell = text(formula);
            let first = cell.chars().next();
            assert!(first == Some('\'') || first == Some('\\'), "{formula:?} is {cell:?}");
            assert!(!cell.contains(crate::shown::is_hidden), "{cell:?}");
        }
    }

    #[test]
    fn every_text_is_read_back_as_it_was_shown() {
        for given in ["", "'", "''=", "'=1", "-12", "0147", "a\nb", "\t-", "Ä = Ö", "＠"] {
            assert_eq!(read(&text(given)), crate::shown::one_line(given), "{given:?}");
        }
    }
}
