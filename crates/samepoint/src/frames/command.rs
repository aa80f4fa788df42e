//! The program that writes frames, and its arguments, as a hand types them.

use std::path::PathBuf;

use super::refusal::NoProgram;
use crate::programs::on_path;

/// What is run where nothing else is named: the system's first camera, its brightness alone.
pub(crate) const USUAL: &str = if cfg!(windows) {
    "ffmpeg -nostdin -loglevel error -f dshow -i \"video=USB Video Device\" -an -pix_fmt gray -f yuv4mpegpipe -"
} else if cfg!(target_os = "macos") {
    "ffmpeg -nostdin -loglevel error -f avfoundation -framerate 30 -i 0:none -pix_fmt gray -f yuv4mpegpipe -"
} else {
    "ffmpeg -nostdin -loglevel error -f v4l2 -i /dev/video0 -an -pix_fmt gray -f yuv4mpegpipe -"
};

/// A program that is there, and what it is handed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CameraCommand {
    pub(crate) program: PathBuf,
    pub(crate) arguments: Vec<String>,
}

impl CameraCommand {
    /// What is typed; empty for [`USUAL`]. No shell reads it: words are parted by spaces, and one in straight
    /// double quotes keeps its own.
    ///
    /// # Errors
    /// [`NoProgram`]: a quote without its end, or no such program.
    pub(crate) fn typed(typed: &str) -> Result<Self, NoProgram> {
        let typed = if typed.trim().is_empty() { USUAL } else { typed };
        let mut words = words_of(typed)?.into_iter();
        let name = words.next().unwrap_or_default();
        let whole = PathBuf::from(&name);
        let program = if whole.is_absolute() { Some(whole) } else { on_path(&name) };
        let program = program.ok_or(NoProgram::NotFound { name })?;
        Ok(Self { program, arguments: words.collect() })
    }
}

/// The words of a line.
fn words_of(line: &str) -> Result<Vec<String>, NoProgram> {
    let (mut words, mut word, mut quoted) = (Vec::new(), None::<String>, false);
    for letter in line.chars() {
        match letter {
            '"' => {
                quoted = !quoted;
                word.get_or_insert_default();
            }
            space if space.is_whitespace() && !quoted => words.extend(word.take()),
            other => word.get_or_insert_default().push(other),
        }
    }
    words.extend(word);
    if quoted { Err(NoProgram::OpenQuote) } else { Ok(words) }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn words_are_parted_by_spaces_outside_of_quotes() {
        let words = |line| words_of(line).unwrap();
        assert_eq!(words("  a  -b\tc "), ["a", "-b", "c"]);
        assert_eq!(
            words(r#"a "video=My camera" "" x"y z"w"#),
            ["a", "video=My camera", "", "xy zw"]
        );
        assert!(words("").is_empty());
        assert!(matches!(words_of("a \"b"), Err(NoProgram::OpenQuote)));
        // Nothing else means anything: no shell reads it.
        assert_eq!(words("a $(b) 'c d' ; e"), ["a", "$(b)", "'c", "d'", ";", "e"]);
    }

    #[test]
    fn a_program_that_is_not_there_is_named() {
        let told = CameraCommand::typed("no-such-program-here -x").unwrap_err().to_string();
        assert!(told.contains("no-such-program-here"), "{told}");
        assert!(words_of(USUAL).unwrap().len() > 6);
    }
}
