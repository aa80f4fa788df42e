//! Who may sign and countersign, by the shop's list of hands, and lists that would let one hand pass for
//! another.

use std::fs;
use std::path::{Path, PathBuf};

use record::review::review;
use record::{
    Account, Act, Authority, Body, Countersigned, Error, Exercise, HandRole, Header, NoAuthority,
    RealDisk, SealRule, SessionFile, SessionKind, Shop, State,
};

use crate::support::*;

/// A shop with these hands: initials, the rest of their file.
pub(crate) fn shop(hands: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    for (initials, rest) in hands {
        list(folder.path(), initials, rest);
    }
    folder
}

/// Lists a hand, or lists it anew.
pub(crate) fn list(shop: &Path, initials: &str, rest: &str) {
    let text = format!("(format: 1, hand: (initials: \"{initials}\", {rest}))\n");
    fs::write(shop.join("hands").join(format!("{initials}.ron")), text).unwrap();
}

pub(crate) const TECHNICIAN: &str = r#"roles: [technician], from: "2026-01-05""#;
pub(crate) const SUPERVISOR: &str = r#"roles: [technician, supervisor], from: "2026-01-05""#;

/// A whole job of format 2 in the shop, signed by one hand; the open file.
pub(crate) fn signed_by(
    shop: &Path,
    name: &str,
    hand: &str,
    kind: SessionKind,
) -> (PathBuf, SessionFile) {
    let path = shop.join("sessions").join(format!("{name}.samepoint"));
    // A name of its own: two files of one session are a matter of the ledger.
    let own: String = name.bytes().map(|byte| format!("{byte:02x}")).collect();
    let session = format!("{own:0<32}").chars().take(32).collect();
    let header = Header { format: 2, kind, session, ..header() };
    let mut file = SessionFile::create(&path, header, hand, real()).unwrap();
    let mut job = whole_job();
    job.pop();
    for (index, body) in job.into_iter().enumerate().skip(1) {
        file.append(body, stamp(index as i64), hand).unwrap();
    }
    settle(&mut file);
    (path, file)
}

/// Countersigns the last signature, naming the last line and the shop's list of hands.
pub(crate) fn countersign(shop: &Path, file: &mut SessionFile, hand: &str) {
    settle(file);
    let signature = record::fold(file.facts()).signatures.last().unwrap().seq;
    let body = Body::Countersigned(Countersigned {
        signature,
        last_hash: file.last_hash(),
        comment: String::new(),
        hands_sha256: Shop::load(shop).unwrap().hands.sha256(),
    });
    file.append(body, stamp(100), hand).unwrap();
    settle(file);
}

fn account(shop: &Path, signed: &str, countersigned: Option<&str>) -> Account {
    let (path, mut file) = signed_by(shop, "a", signed, SessionKind::Real);
    if let Some(hand) = countersigned {
        countersign(shop, &mut file, hand);
    }
    file.finish().unwrap();
    drop(file);
    let account = review(&path, &RealDisk).unwrap();
    fs::remove_file(&path).unwrap();
    account
}

fn because(account: &Account) -> String {
    let all: Vec<String> = account.objections().iter().map(ToString::to_string).collect();
    all.join("; ")
}

#[test]
fn a_shop_that_lists_no_hands_works_as_ever_and_says_that_nobody_was_checked() {
    let shop = shop(&[]);
    let account = account(shop.path(), "RV", Some("SH"));
    assert_eq!(
        (account.exit_code(), account.state()),
        (0, State::Countersigned),
        "{}",
        because(&account)
    );
    assert!(account.words().contains("Nobody’s authority was checked"), "{}", account.words());
    assert!(account.answerable.acts.iter().all(|act| act.authority == Authority::NotChecked));
}

#[test]
fn a_technician_signs_and_another_supervisor_countersigns() {
    let shop = shop(&[("RV", TECHNICIAN), ("SH", SUPERVISOR)]);
    let good = account(shop.path(), "RV", Some("SH"));
    assert_eq!((good.exit_code(), good.state()), (0, State::Countersigned), "{}", because(&good));
    let words = good.words();
    assert!(words.contains("RV signed it as technician") && !words.contains("Nobody’s"), "{words}");
    let roles: Vec<Authority> =
        good.answerable.acts.iter().map(|act| act.authority.clone()).collect();
    assert_eq!(
        roles,
        [Authority::Held(HandRole::Technician), Authority::Held(HandRole::Supervisor)]
    );
    // Spaces round initials are nobody's difference.
    assert_eq!(account(shop.path(), " RV ", Some(" SH")).exit_code(), 0);
    assert_eq!(account(shop.path(), "RV", None).exit_code(), 0);

    for (signed, countersigned, why) in [
        ("XY", None, "the shop lists no hand “XY”"),
        ("RV", Some("XY"), "the shop lists no hand “XY”"),
        ("SH", Some("RV"), "“RV” may not countersign: that takes a supervisor"),
        ("SH", Some("SH"), "it was countersigned by SH, the same hand that had signed"),
        ("RV", Some("rv"), "it was countersigned by rv, the same hand that had signed"),
        ("rv", Some("SH"), "the shop lists no hand “rv”; it looks like “RV” and is not the same"),
        ("R V", Some("SH"), "it looks like “RV” and is not the same"),
        ("ＲＶ", Some("SH"), "it looks like “RV” and is not the same"),
        ("R\u{202e}V", Some("SH"), "the shop lists no hand"),
        ("RV", Some("ЅН"), "it looks like “SH” and is not the same"),
    ] {
        let account = account(shop.path(), signed, countersigned);
        assert_eq!(account.exit_code(), 1, "{signed} {countersigned:?}");
        assert!(
            because(&account).contains(why),
            "{signed} {countersigned:?}: {}",
            because(&account)
        );
        let words = account.words().to_lowercase();
        assert!(words.contains(why.split('“').next().unwrap().to_lowercase().trim()), "{words}");
    }
    // Initials are told as they were given, also where a sentence would begin with them.
    let words = account(shop.path(), "RV", Some("rv")).words();
    assert!(words.contains("It was countersigned by rv, the same hand"), "{words}");
    assert!(!words.contains("Rv"), "{words}");
}

#[test]
fn days_roles_and_own_signatures_are_asked_of_the_day_they_were_given() {
    let until = format!("{TECHNICIAN}, until: \"2026-11-25\"");
    let trainee = r#"roles: [trainee], from: "2026-01-05""#;
    let shop = shop(&[("RV", &until), ("SH", SUPERVISOR), ("TT", trainee)]);
    let hands = Shop::load(shop.path()).unwrap().hands;
    let day = |text: &str| text.parse().unwrap();
    let refused = |hand: &str, act, at: &str| match hands.authority(hand, act, day(at)) {
        Authority::Without(why) => why,
        other => panic!("{hand} {at}: {other:?}"),
    };
    let held = |hand: &str, act, at: &str| {
        matches!(hands.authority(hand, act, day(at)), Authority::Held(_))
    };
    assert!(held("RV", Act::Sign, "2026-01-05") && held("RV", Act::Sign, "2026-11-25"));
    for at in ["2026-01-04", "2026-11-26"] {
        assert!(matches!(refused("RV", Act::Sign, at), NoAuthority::NotInForce { .. }), "{at}");
    }
    assert!(matches!(refused("TT", Act::Sign, "2026-02-01"), NoAuthority::LacksRole { .. }));
    assert!(matches!(refused("RV", Act::Return, "2026-02-01"), NoAuthority::LacksRole { .. }));
    let own = Act::Countersign { signed_by: "s.h." };
    assert!(matches!(refused("SH", own, "2026-02-01"), NoAuthority::OwnSignature { .. }));
    assert!(held("SH", Act::Countersign { signed_by: "RV" }, "2026-02-01"));
    assert_eq!(refused("\u{200b} ", Act::Sign, "2026-02-01"), NoAuthority::Nobody);
    assert_eq!(hands.who_may(Act::Sign, day("2026-11-26")), ["SH"]);
}

#[test]
fn a_list_that_cannot_be_used_gives_nobody_authority() {
    for (name, text) in [
        ("RV.ron", "(format: 1, hand: (".to_owned()),
        ("RV.ron", "(format: 2, hand: (initials: \"RV\"))".to_owned()),
        ("RV.ron", format!("(format: 1, hand: (initials: \"RV\", {TECHNICIAN}, boss: true))")),
        (
            "RV.ron",
            "(format: 1, hand: (initials: \"RV\", roles: [], from: \"2026-01-05\"))".to_owned(),
        ),
        ("RV.ron", format!("(format: 1, hand: (initials: \" RV\", {TECHNICIAN}))")),
        ("RV.ron", format!("(format: 1, hand: (initials: \"R*\", {TECHNICIAN}))")),
        (
            "RV.ron",
            format!("(format: 1, hand: (initials: \"RV\", {TECHNICIAN}, until: \"2025-01-01\"))"),
        ),
        (
            "RV.ron",
            format!(
                "(format: 1, hand: (initials: \"RV\", {TECHNICIAN}, keys: [(line: \"ssh-ed25519 AAAA\")]))"
            ),
        ),
        ("zz.ron", format!("(format: 1, hand: (initials: \"RV\", {TECHNICIAN}))")),
    ] {
        let shop = shop(&[]);
        fs::write(shop.path().join("hands").join(name), &text).unwrap();
        let loaded = Shop::load(shop.path()).unwrap();
        assert_eq!(loaded.skipped.len(), 1, "{text}");
        assert!(loaded.skipped[0].to_string().contains(name), "{}", loaded.skipped[0]);
        assert!(loaded.hands.lists_anybody(), "{text}");
        let account = account(shop.path(), "RV", None);
        assert_eq!(account.exit_code(), 1, "{text}");
        assert!(because(&account).contains("the shop lists no hand “RV”"), "{}", because(&account));
    }
}

#[test]
fn hands_that_look_alike_are_left_out_of_the_list_both() {
    let shop = shop(&[("SH", SUPERVISOR), ("RV", TECHNICIAN)]);
    list(shop.path(), "sh", SUPERVISOR);
    list(shop.path(), "ЅН", SUPERVISOR);
    let loaded = Shop::load(shop.path()).unwrap();
    let known: Vec<&str> =
        loaded.hands.known.iter().map(|kept| kept.value.initials.as_str()).collect();
    assert_eq!(known, ["RV"]);
    // Where large and small letters are one name, the second of two such files took the place of the first.
    assert_eq!(loaded.skipped.len(), if cfg!(windows) { 2 } else { 3 });
    assert!(
        loaded.skipped.iter().all(|why| why.to_string().contains("looks like")),
        "{:?}",
        loaded.skipped
    );
    let account = account(shop.path(), "RV", Some("SH"));
    assert_eq!(account.exit_code(), 1);
}

#[test]
fn a_shop_of_one_says_so_and_practice_needs_nobody() {
    let shop = shop(&[("SH", SUPERVISOR)]);
    let alone = account(shop.path(), "SH", None);
    assert!(
        alone.about_signing().iter().any(|said| said.starts_with("Not countersigned by another"))
    );
    let kind = SessionKind::Practice(Exercise { name: "a".to_owned(), seed: 1 });
    let (path, mut file) = signed_by(shop.path(), "practice", "nobody known", kind);
    file.finish().unwrap();
    drop(file);
    assert!(!because(&review(&path, &RealDisk).unwrap()).contains("authority"));
}

#[test]
fn the_lists_hash_is_over_what_counts_and_nothing_else() {
    let shop = shop(&[("RV", TECHNICIAN), ("SH", SUPERVISOR)]);
    let hash = || Shop::load(shop.path()).unwrap().hands.sha256().unwrap();
    let first = hash();
    list(shop.path(), "RV", &format!("{TECHNICIAN},\n  name: \"R. Voss\", note: \"as ever\""));
    assert_eq!(hash(), first, "names, remarks and spaces do not count");
    for change in [SUPERVISOR, r#"roles: [technician], from: "2026-01-06""#] {
        list(shop.path(), "RV", change);
        assert_ne!(hash(), first);
    }
    list(shop.path(), "RV", &format!("{TECHNICIAN}, until: \"2027-01-01\""));
    assert_ne!(hash(), first);
    list(shop.path(), "RV", TECHNICIAN);
    assert_eq!(hash(), first);
    list(shop.path(), "XX", "roles: [boss]");
    assert_ne!(hash(), first, "a file that cannot be used is part of the list");
    // GNU coreutils: printf of the canonical text | sha256sum.
    let text = "samepoint hands 1\nhand RV\nroles technician\ndays 2026-01-05 -\n";
    fs::remove_file(shop.path().join("hands/SH.ron")).unwrap();
    fs::remove_file(shop.path().join("hands/XX.ron")).unwrap();
    assert_eq!(Shop::load(shop.path()).unwrap().hands.canonical(), text);
    assert_eq!(hash(), "3ad790d0102b576f29aa4f819a1177558677356e2ef1ddf64e9cf0df2a33112c");
}

#[test]
fn a_list_that_was_changed_or_taken_away_since_is_said() {
    let shop = shop(&[("RV", TECHNICIAN), ("SH", SUPERVISOR)]);
    let (path, mut file) = signed_by(shop.path(), "a", "RV", SessionKind::Real);
    countersign(shop.path(), &mut file, "SH");
    file.finish().unwrap();
    drop(file);
    let words = || review(&path, &RealDisk).unwrap().words();
    assert!(words().contains("Countersigned under the shop’s list of hands of now"), "{}", words());
    // A key, a role or a hand more: another list.
    list(shop.path(), "ZZ", SUPERVISOR);
    assert!(words().contains("Countersigned under another list of hands"), "{}", words());
    // All of them gone: a shop that lists nobody would ask nobody.
    fs::remove_dir_all(shop.path().join("hands")).unwrap();
    let account = review(&path, &RealDisk).unwrap();
    assert_eq!(account.exit_code(), 1);
    assert!(because(&account).contains("there is none beside it now"), "{}", because(&account));
}

#[test]
fn what_a_shop_demands_is_required_when_it_cannot_be_read() {
    let shop = shop(&[("RV", TECHNICIAN)]);
    let rules = || Shop::load(shop.path()).unwrap();
    assert_eq!(rules().rules.seals, SealRule::Optional);
    let file = shop.path().join("shop.ron");
    fs::write(&file, "(format: 1, shop: (seals: required))").unwrap();
    assert_eq!((rules().rules.seals, rules().skipped.len()), (SealRule::Required, 0));
    fs::write(&file, "(format: 1, shop: (seals: optional))").unwrap();
    assert_eq!(rules().rules.seals, SealRule::Optional);
    for text in ["", "(format: 1, shop: (seals: optionl))", "(format: 2, shop: (seals: optional))"]
    {
        fs::write(&file, text).unwrap();
        assert_eq!((rules().rules.seals, rules().skipped.len()), (SealRule::Required, 1), "{text}");
    }
    let refused = Error::NoAuthority { why: NoAuthority::Nobody };
    assert!(refused.to_string().contains("hands/"));
}
