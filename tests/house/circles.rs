//! No crate has a circle of files: whoever reads one need not have read all others before it.
//!
//! An arrow runs from a file to every file that it names in a `use`, or by a path from `crate` or `super`.
//! What a folder's own file only hands on (`pub use`) is followed to where it is made. Tests inside a
//! file, and where something may be seen from (`pub(in …)`), make no arrows.

use std::collections::{BTreeMap, BTreeSet};

use crate::tree::{Source, sources};

#[test]
fn no_crate_has_a_circle_of_files() {
    for name in ["solver", "reader", "record", "tables", "paper", "samepoint"] {
        let circles = Files::of(name).circles();
        assert!(circles.is_empty(), "{name}: {circles:#?}");
    }
}

/// A circle that is known to be one is found, whichever way its files name each other.
#[test]
fn circles_are_found() {
    let file = |path: &str, text: &str| Source {
        path: format!("crates/x/src/{path}.rs"),
        text: text.to_owned(),
    };
    let circles = |texts: &[(&str, &str)]| {
        let files = texts.iter().map(|(path, text)| file(path, text)).collect();
        Files::from(files, "crates/x/src/").circles()
    };
    let two = [vec!["a".to_owned(), "b".to_owned()]];
    let b = ("b", "use crate::a::A;");
    assert_eq!(circles(&[("lib", "mod a; mod b;"), ("a", "use crate::b::B;"), b]), two);
    assert_eq!(circles(&[("lib", ""), ("a", "fn f() { super::b::g(); }"), b]), two);
    assert_eq!(circles(&[("lib", "pub use b::B;"), ("a", "use crate::{c, B};"), b]), two);
    assert_eq!(circles(&[("lib", ""), ("a", "use crate::{\n    b::{self, B},\n};"), b]), two);
    let nested = [("f/mod", "mod g;\nuse g::G;\nstruct F;"), ("f/g", "use super::F;")];
    assert_eq!(circles(&nested), [vec!["f".to_owned(), "f::g".to_owned()]]);
    // None of these is an arrow.
    for text in
        ["// use crate::b::B;", "\"crate::b::B\"", "#[cfg(test)]\nmod t { use crate::b::B; }"]
    {
        assert!(circles(&[("lib", ""), ("a", text), b]).is_empty(), "{text}");
    }
    assert!(circles(&[("lib", "pub use b::B;"), ("a", "struct A;"), b]).is_empty());
}

type Path = Vec<String>;

/// Which file of a crate names which, by their modules' paths.
pub(crate) fn arrows(name: &str) -> BTreeMap<String, BTreeSet<String>> {
    Files::of(name).arrows
}

/// The files of a crate, each by its module's path.
struct Files {
    arrows: BTreeMap<String, BTreeSet<String>>,
}

/// What a file says of others.
#[derive(Default)]
struct Names {
    /// Paths it names.
    uses: Vec<Path>,
    /// What it hands on: by the name it is handed on under.
    hands_on: BTreeMap<String, Path>,
}

impl Files {
    fn of(name: &str) -> Self {
        let folder = format!("crates/{name}/src");
        Self::from(sources(&folder), &format!("{folder}/"))
    }

    fn from(sources: Vec<Source>, folder: &str) -> Self {
        let codes: BTreeMap<String, String> = sources
            .iter()
            .map(|source| (module(&source.path[folder.len()..]), code(source)))
            .collect();
        let named: BTreeMap<&String, Names> =
            codes.iter().map(|(module, code)| (module, names(module, code, &codes))).collect();
        let arrows = named.iter().map(|(module, names)| {
            let to = names.uses.iter().filter_map(|path| made_in(path, &named, 0));
            ((*module).clone(), to.filter(|to| to != *module).collect())
        });
        Self { arrows: arrows.collect() }
    }

    /// Every file that leads back to itself, with those it shares its circles with.
    fn circles(&self) -> Vec<Vec<String>> {
        let reached: BTreeMap<&String, BTreeSet<&String>> =
            self.arrows.keys().map(|from| (from, self.reached(from))).collect();
        let mut circles = BTreeSet::new();
        for (from, to) in &reached {
            if to.contains(*from) {
                let back = to.iter().filter(|other| reached[**other].contains(*from));
                circles.insert(back.map(|module| (*module).clone()).collect::<Vec<_>>());
            }
        }
        circles.into_iter().collect()
    }

    fn reached<'a>(&'a self, from: &'a String) -> BTreeSet<&'a String> {
        let (mut found, mut next) = (BTreeSet::new(), vec![from]);
        while let Some(at) = next.pop() {
            next.extend(self.arrows[at].iter().filter(|to| found.insert(*to)));
        }
        found
    }
}

/// `field/mod.rs` and `field.rs` are `field`; the crate's own file is nothing.
fn module(path: &str) -> String {
    let path = path.trim_end_matches(".rs");
    let path = path.strip_suffix("/mod").unwrap_or(path);
    if path == "lib" { String::new() } else { path.replace('/', "::") }
}

fn parts(module: &str) -> Path {
    module.split("::").filter(|part| !part.is_empty()).map(str::to_owned).collect()
}

/// A file's code without comments, texts, tests, and where things may be seen from.
fn code(source: &Source) -> String {
    let code: Vec<&str> = source.code().map(|(_, line)| line).collect();
    let code = code.join("\n");
    let code = code.split("#[cfg(test)]").next().unwrap_or_default();
    let code = code.replace("\\\"", "");
    let mut plain: String = code.split('"').step_by(2).collect::<Vec<_>>().join("\"\"");
    while let Some(start) = plain.find("pub(in ") {
        let end = plain[start..].find(')').map_or(plain.len(), |end| start + end + 1);
        plain.replace_range(start..end, "pub");
    }
    plain.replace("pub(crate)", "pub").replace("pub(super)", "pub")
}

fn names(module: &str, code: &str, files: &BTreeMap<String, String>) -> Names {
    let mut names = Names::default();
    let own = parts(module);
    let is_file = |path: &[String]| files.contains_key(&path.join("::"));
    let mut rest = String::new();
    let mut left = code;
    while let Some(start) = word(left, "use ") {
        let (before, used) = left.split_at(start);
        let (used, after) = used["use ".len()..].split_once(';').unwrap_or((used, ""));
        let handed_on = before.trim_end().ends_with("pub");
        for (name, path) in leaves(&used.split_whitespace().collect::<Vec<_>>().join(" ")) {
            let path = absolute(&own, &path).or_else(|| {
                // A path from a module of its own.
                let child: Path = own.iter().chain(&path[..1]).cloned().collect();
                is_file(&child).then(|| own.iter().chain(&path).cloned().collect())
            });
            match path {
                Some(path) if handed_on => drop(names.hands_on.insert(name, path)),
                Some(path) => names.uses.push(path),
                None => {}
            }
        }
        rest.push_str(before);
        left = after;
    }
    rest.push_str(left);
    let letter = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
    for path in rest.split(|c| !letter(c)) {
        let path: Path = path.split("::").map(str::to_owned).collect();
        names.uses.extend(absolute(&own, &path).filter(|_| path.len() > 1));
    }
    names
}

/// Where a word begins that stands for itself.
fn word(text: &str, word: &str) -> Option<usize> {
    let begins = |at: &usize| {
        let before = text[..*at].chars().next_back();
        before.is_none_or(|c| c.is_whitespace() || c == '{')
    };
    text.match_indices(word).map(|(at, _)| at).find(begins)
}

/// A path from the top of the crate; `None` where it does not begin with `crate`, `super` or `self`.
fn absolute(own: &Path, path: &[String]) -> Option<Path> {
    let mut base = own.clone();
    let mut rest = path;
    let first = path.first()?;
    if !["crate", "super", "self"].contains(&first.as_str()) {
        return None;
    }
    while let [head, tail @ ..] = rest {
        match head.as_str() {
            "crate" => base.clear(),
            "super" => drop(base.pop()),
            "self" => {}
            _ => break,
        }
        rest = tail;
    }
    Some(base.into_iter().chain(rest.iter().cloned()).collect())
}

/// Every path of a `use`, with the name it brings in.
fn leaves(used: &str) -> Vec<(String, Path)> {
    let Some(open) = used.find('{') else {
        let (path, name) = used.split_once(" as ").unwrap_or((used, ""));
        let path: Path = path.trim().split("::").map(str::to_owned).collect();
        let name =
            if name.is_empty() { path.last().cloned().unwrap_or_default() } else { name.into() };
        return vec![(name.trim().to_owned(), path)];
    };
    let close = used.rfind('}').unwrap_or(used.len());
    let mut found = Vec::new();
    let (mut depth, mut begin) = (0, open + 1);
    for (at, c) in used.char_indices().skip_while(|(at, _)| *at <= open) {
        match c {
            '{' => depth += 1,
            '}' if at < close => depth -= 1,
            _ => {}
        }
        if depth == 0 && (c == ',' || at == close) {
            let one = used[begin..at].trim();
            if !one.is_empty() {
                found.extend(leaves(&format!("{}{one}", &used[..open])));
            }
            begin = at + 1;
        }
    }
    found
}

/// The file in which what a path leads to is made.
fn made_in(path: &[String], files: &BTreeMap<&String, Names>, followed: usize) -> Option<String> {
    for length in (0..=path.len()).rev() {
        let module = path[..length].join("::");
        let Some(names) = files.get(&module) else { continue };
        if let Some(handed) = path.get(length).and_then(|name| names.hands_on.get(name))
            && followed < 9
        {
            let further: Path = handed.iter().chain(&path[length + 1..]).cloned().collect();
            return made_in(&further, files, followed + 1);
        }
        return Some(module);
    }
    None
}
