//! Names that the program's own faces have no letters for: on paper in a face of the system, else by their numbers.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use record::fact::Body;
use record::file::{scan, write_all_lines};

use crate::run::{command, root};

/// The example job of a unit named so.
fn session(folder: &Path, unit: &str) -> PathBuf {
    let name = root().join("tests/data/format1/whole-job.samepoint");
    let mut facts = scan(&name, &fs::read(&name).unwrap()[..]).unwrap().facts;
    for fact in &mut facts {
        if let Body::Unit(of) = &mut fact.body {
            of.name = unit.to_owned();
        }
    }
    let path = folder.join("session.samepoint");
    write_all_lines(&facts, File::create(&path).unwrap()).unwrap();
    path
}

/// The words of its report where the system has the faces of one folder, and the names of all faces in it.
fn report(folder: &Path, session: &Path, faces: &Path) -> (String, Vec<String>) {
    let (settings, to) = (folder.join("fonts.conf"), folder.join("report.pdf"));
    let (dir, cache) = (faces.display(), folder.join("cache"));
    let told = format!(
        "<fontconfig><dir>{dir}</dir><cachedir>{}</cachedir></fontconfig>",
        cache.display()
    );
    fs::write(&settings, told).unwrap();
    let mut command = command();
    command.env("FONTCONFIG_FILE", &settings).arg("report").arg(session).arg("--to").arg(&to);
    let output = command.output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let document = lopdf::Document::load(&to).unwrap();
    let pages: Vec<u32> = document.get_pages().into_keys().collect();
    let names = document.objects.values().filter_map(|object| {
        let name = object.as_dict().ok()?.get(b"BaseFont").ok()?.as_name().ok()?;
        Some(String::from_utf8_lossy(name).into_owned())
    });
    let text = document.extract_text(&pages).unwrap();
    (text.split_whitespace().collect(), names.collect())
}

/// A sign that our plain face lacks, and the one of a single width has: here it stands for a face of the system, which
/// fontconfig is told of as of any other.
#[test]
fn a_name_is_set_in_a_face_of_the_system() {
    let folder = tempfile::tempdir().unwrap();
    let session = session(folder.path(), "pod \u{2336} 0147");
    let faces = folder.path().join("faces");
    fs::create_dir(&faces).unwrap();

    let (text, _) = report(folder.path(), &session, &faces);
    assert!(text.contains("pod[U+2336]0147") && text.contains("Toldbytheirnumbers"), "{text}");

    fs::copy(root().join("assets/fonts/DejaVuSansMono.ttf"), faces.join("one.ttf")).unwrap();
    let (text, names) = report(folder.path(), &session, &faces);
    assert!(text.contains("pod\u{2336}0147") && !text.contains("Toldbytheirnumbers"), "{text}");
    assert!(names.iter().any(|name| name.ends_with("DejaVuSansMono")), "{names:?}");
}
