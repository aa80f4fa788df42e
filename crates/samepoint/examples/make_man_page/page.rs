//! The man page: what `--help` says, of the program and of each of its commands, on one page.

use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use clap_mangen::Man;

/// Where the page is kept.
pub(crate) fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/linux/samepoint.1")
}

/// The page, in the language of man pages.
pub(crate) fn page() -> io::Result<Vec<u8>> {
    let mut program = samepoint::cli::arguments();
    program.build();
    let mut page = Vec::new();
    let man = Man::new(program.clone()).manual("User commands");
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    for command in program.get_subcommands().filter(|command| command.get_name() != "help") {
        let name = command.get_name().to_uppercase();
        let man = Man::new(command.clone());
        writeln!(page, ".SH \"COMMAND {name}\"")?;
        for part in [
            Man::render_synopsis_section,
            Man::render_description_section,
            Man::render_options_section,
            Man::render_extra_section,
        ] {
            let mut section = Vec::new();
            part(&man, &mut section)?;
            page.extend(as_subsection(&section));
        }
    }
    man.render_extra_section(&mut page)?;
    page.write_all(FILES.as_bytes())?;
    let page = String::from_utf8(page).map_err(io::Error::other)?;
    Ok(page
        .replace(".SH EXTRA\n", ".SH NOTES\n")
        .replace(".SS EXTRA\n", ".SS NOTES\n")
        .into_bytes())
}

/// A command's sections are parts of its own section here.
fn as_subsection(section: &[u8]) -> Vec<u8> {
    let text = String::from_utf8_lossy(section);
    let lines = text.lines().map(|line| {
        line.strip_prefix(".SH ").map_or_else(|| line.to_owned(), |name| format!(".SS {name}"))
    });
    lines.map(|line| line + "\n").collect::<String>().into_bytes()
}

const FILES: &str = r#".SH FILES
.TP
\fI*.samepoint\fR
A session: lines that are only ever added to, each with the hash of those before it.
.TP
\fI.NAME.lock\fR
Beside a session that is or was open for writing: who has it open. It is never deleted.
.TP
\fI$XDG_DATA_HOME/samepoint/demo\-shop\fR
The invented shop that the first start unpacks.
.TP
\fI$XDG_CONFIG_HOME/samepoint/preferences.ron\fR
What the program remembers about its user; no part of any record.
"#;
