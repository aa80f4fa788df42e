//! Sentences broken to the width of a terminal.

/// Columns of a terminal nobody has widened.
pub(super) const WIDTH: usize = 80;

/// The text with line breaks between words, but none between a number and its unit, each line ended. The first line begins with `mark`,
/// the others are indented as far. A word longer than a line stands on one of its own.
pub(super) fn broken(mark: &str, text: &str) -> String {
    let indent = " ".repeat(mark.chars().count());
    let mut page = mark.to_owned();
    let mut column = indent.len();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for word in record::figures::unbroken(&text) {
        let length = word.chars().count();
        let space = usize::from(column > indent.len());
        if column + space + length <= WIDTH || space == 0 {
            page.push_str(if space == 1 { " " } else { "" });
            column += space + length;
        } else {
            page.push('\n');
            page.push_str(&indent);
            column = indent.len() + length;
        }
        page.push_str(word);
    }
    page.push('\n');
    page
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn breaks_between_words_and_indents() {
        let word = "abcdefgh ";
        // 78 columns behind the mark: eight words of nine, and eight letters more.
        let text = broken("! ", &word.repeat(10));
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 2);
        assert_eq!(lines.first().map(|line| line.chars().count()), Some(73));
        assert_eq!(lines.last(), Some(&"  abcdefgh abcdefgh"));
    }

    #[test]
    fn keeps_a_number_with_its_unit() {
        let page = broken("", &format!("{} 65 % of the window", "x".repeat(77)));
        assert_eq!(page.lines().nth(1), Some("65 % of the window"));
    }

    #[test]
    fn keeps_a_long_word_whole() {
        let long = "x".repeat(100);
        assert_eq!(broken("  ", &format!("a {long} b")), format!("  a\n  {long}\n  b\n"));
        assert_eq!(broken("", ""), "\n");
    }
}
