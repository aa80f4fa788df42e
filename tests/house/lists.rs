//! A list of all of a type's variants is kept by hand: a variant that it forgets is never offered, read or tested.

use std::collections::BTreeMap;

use crate::tree::sources;

#[test]
fn every_list_of_all_names_each_variant_once() {
    let mut lists = 0;
    for krate in ["solver", "reader", "record", "tables", "paper", "samepoint"] {
        for source in sources(&format!("crates/{krate}/src")) {
            let variants = variants(&source.text);
            for (of, mut listed) in listed(&source.text) {
                let mut declared = variants.get(of).cloned().unwrap_or_else(|| {
                    panic!("{}: {of} has a list of all and is declared elsewhere", source.path)
                });
                listed.sort_unstable();
                declared.sort_unstable();
                assert_eq!(listed, declared, "{}: the list of all of {of}", source.path);
                lists += 1;
            }
        }
    }
    // One of them would be found by nobody if how they are written changed.
    assert!(lists > 20, "only {lists} lists were found");
}

/// Plain variants of every enum of a file. What one with contents holds differs each time: lists leave it out.
fn variants(text: &str) -> BTreeMap<&str, Vec<&str>> {
    let mut found = BTreeMap::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let rest = ["pub(crate) ", "pub ", ""]
            .iter()
            .find_map(|seen| line.strip_prefix(seen)?.strip_prefix("enum "));
        let Some(name) = rest.and_then(|rest| rest.strip_suffix(" {")) else { continue };
        let body = lines.by_ref().take_while(|line| *line != "}");
        let plain = body.filter_map(|line| {
            let name = line.strip_prefix("    ")?.strip_suffix(',')?;
            let name = name.split_once(" = ").map_or(name, |(name, _)| name);
            name.chars().all(char::is_alphanumeric).then_some(name)
        });
        found.insert(name, plain.collect());
    }
    found
}

/// Every `const ALL` of `Self` in a file, with the type it is of.
fn listed(text: &str) -> Vec<(&str, Vec<&str>)> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices("const ALL: [Self; ") {
        let (before, rest) = text.split_at(at);
        let of = before.rsplit("\nimpl ").next().unwrap_or_default();
        let of = of.split(' ').next().unwrap_or_default();
        // A macro's list is made of the very rows that declare the variants.
        let Some((list, _)) = rest.split_once("];").map(|(_, rest)| rest).and_then(|_| {
            let (_, list) = rest.split_once("= [")?;
            list.split_once(']')
        }) else {
            continue;
        };
        if list.contains('$') {
            continue;
        }
        let names = list.split(',').filter_map(|name| name.trim().strip_prefix("Self::"));
        found.push((of, names.filter(|name| !name.contains('(')).collect()));
    }
    found
}
