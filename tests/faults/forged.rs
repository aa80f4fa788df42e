//! Whoever can write a session's file can write anything into it, chain and all. None of it may turn into
//! a clear pass: each forgery is reviewed, and exit code and state are what they must be.

use record::review::SignedPart;
use record::{
    Account, Body, Channel, Countersigned, Difference, Fact, Follows, LookingResult, LookingTest,
    NamedWindow, Note, NotedPicture, Number, Objection, Precondition, PreconditionItem, RealDisk,
    Remark, Returned, RoundOpened, RoundReason, Rule, Seq, State, Verdict, review,
};

use crate::flips::lines_of;
use crate::support::*;

fn reviewed(facts: &[Fact]) -> Account {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    std::fs::write(&path, lines_of(facts)).unwrap();
    review(&path, &RealDisk).unwrap()
}

/// A pass, signed by one hand; the last fact is the signature.
fn signed() -> Vec<Fact> {
    let mut facts = facts_of(&whole_job());
    facts.pop();
    facts
}

/// The same, countersigned by another.
fn countersigned() -> Vec<Fact> {
    answered(facts_of(&whole_job()))
}

fn say(facts: &mut Vec<Fact>, hand: &str, body: Body) -> Seq {
    let seq = facts.len() as Seq + 1;
    facts.push(Fact { seq, time: stamp(seq as i64), hand: hand.to_owned(), body });
    seq
}

fn agree(facts: &mut Vec<Fact>, hand: &str) -> Seq {
    let signature = signature_of(facts);
    let last_hash = last_hash_of(facts);
    let comment = String::new();
    say(
        facts,
        hand,
        Body::Countersigned(Countersigned { signature, last_hash, comment, hands_sha256: None }),
    )
}

fn send_back(facts: &mut Vec<Fact>, hand: &str) -> Seq {
    let signature = signature_of(facts);
    let comment = "read again".to_owned();
    say(facts, hand, Body::Returned(Returned { signature, comment }))
}

fn signature_of(facts: &[Fact]) -> Seq {
    let last = facts.iter().rev().find(|fact| matches!(fact.body, Body::Signed(_)));
    last.map_or(0, |fact| fact.seq)
}

fn note() -> Body {
    Body::Note(Note { text: "passed by telephone".to_owned(), about: None })
}

fn wide_window() -> NamedWindow {
    let limits = solver::Window::new(900.0, 900.0, 900.0, None).unwrap();
    NamedWindow { limits, ..window() }
}

fn round_opened() -> Body {
    Body::RoundOpened(RoundOpened { why: RoundReason::Other, note: String::new() })
}

fn signed_in(facts: &mut [Fact]) -> &mut record::Signed {
    facts
        .iter_mut()
        .find_map(|fact| match &mut fact.body {
            Body::Signed(signed) => Some(signed),
            _ => None,
        })
        .unwrap()
}

fn differences(account: &Account) -> &[Difference] {
    match &account.follows {
        Follows::No(differences) => differences,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_nobody_touched_is_clear() {
    for (facts, state) in [(signed(), State::Signed), (countersigned(), State::Countersigned)] {
        let account = reviewed(&facts);
        assert_eq!((account.exit_code(), account.state()), (0, state), "{}", account.words());
        assert_eq!(account.objections(), []);
    }
}

/// A signed fail on which a window of 900′ was laid afterwards came out as a pass, exit 0.
#[test]
fn a_wider_window_after_a_signed_fail_passes_nothing() {
    let mut facts = signed();
    if let Body::Window(window) = &mut facts[3].body {
        window.limits = solver::Window::new(0.1, 0.1, 0.1, None).unwrap();
    }
    let before = facts.len() - 1;
    let conclusion = record::conclude(&record::fold(&facts[..before])).unwrap();
    assert_eq!(conclusion.verdict, Verdict::Fail);
    let signed = signed_in(&mut facts);
    (signed.verdict, signed.numbers) = (conclusion.verdict, conclusion.numbers());
    // The chosen setting stores the use of the window it was chosen by.
    for fact in &mut facts {
        if let Body::SettingChosen(chosen) = &mut fact.body {
            chosen.window_use = None;
        }
    }
    let account = reviewed(&facts);
    assert_eq!((account.exit_code(), account.state()), (1, State::Signed), "{}", account.words());
    say(&mut facts, HAND, Body::Window(wide_window()));
    let account = reviewed(&facts);
    assert_eq!(account.verdict(), Some(Verdict::Pass));
    assert_eq!((account.exit_code(), account.state()), (1, State::Outdated));
}

/// Whatever is said after a signature, exit code 0 is gone; what changes what the readings give makes it
/// outdated too.
#[test]
fn nothing_said_after_a_signature_goes_unseen() {
    let looked = LookingTest {
        distance_m: None,
        result: LookingResult::Fused,
        observer: String::new(),
        note: String::new(),
    };
    let picture = NotedPicture {
        hash: "0".repeat(64),
        extension: "png".to_owned(),
        caption: String::new(),
        about: None,
    };
    let seen_to = Precondition { item: PreconditionItem::LampLow, done: true, note: String::new() };
    let setup = record::Setup { job: "J-13".to_owned(), ..record::Setup::default() };
    let last_confirm = countersigned().len() as Seq - 2;
    for (body, outdates) in [
        (note(), false),
        (Body::Picture(picture), false),
        (Body::Undo(last_confirm), false),
        (Body::Redo(last_confirm), false),
        (Body::Setup(setup), true),
        (Body::Precondition(seen_to), true),
        (Body::Station(station()), true),
        (Body::Window(window()), true),
        (Body::Housing(housing()), true),
        (Body::Unit(unit()), true),
        (round_opened(), true),
        (Body::Reading(confirm(Channel::Left, "-14.2", "21.5")), true),
        (log(Channel::Left, "0", "38.1", "14.4"), true),
        (withdraw(last_confirm), true),
        (Body::LookingTest(looked), true),
    ] {
        let word = body.word();
        for mut facts in [signed(), countersigned()] {
            let clear = reviewed(&facts).state();
            let seq = say(&mut facts, HAND, body.clone());
            let account = reviewed(&facts);
            let state = if outdates { State::Outdated } else { clear };
            assert_eq!((account.exit_code(), account.state()), (1, state), "{word}");
            assert_eq!(
                account.said_after.as_ref().map(|said| (said.first, said.count)),
                Some((seq, 1))
            );
            assert!(account.words().contains(&format!("Fact {seq} (")), "{}", account.words());
        }
    }
}

/// What was undone again was said all the same: the state is the signature's, the exit code is not 0.
#[test]
fn a_reading_added_and_undone_again_is_told() {
    let mut facts = countersigned();
    let seq = say(&mut facts, HAND, Body::Reading(confirm(Channel::Left, "-14.2", "21.5")));
    say(&mut facts, HAND, Body::Undo(seq));
    let account = reviewed(&facts);
    assert_eq!((account.exit_code(), account.state()), (1, State::Countersigned));
    say(&mut facts, HAND, Body::Redo(seq));
    let account = reviewed(&facts);
    assert_eq!((account.exit_code(), account.state()), (1, State::Outdated));
    // A new signature speaks for all of it.
    say(&mut facts, HAND, Body::Undo(seq));
    let again = facts[signature_of(&facts) as usize - 1].body.clone();
    say(&mut facts, HAND, again);
    let account = reviewed(&facts);
    assert_eq!((account.exit_code(), account.state()), (0, State::Signed), "{}", account.words());
}

/// Undo reaches back no farther than the signature: a confirm reading undone after it stays.
#[test]
fn a_confirm_reading_undone_after_the_signature_stays() {
    let mut facts = signed();
    let reading = facts.len() as Seq - 1;
    let undo = say(&mut facts, HAND, Body::Undo(reading));
    let account = reviewed(&facts);
    assert!(account.session.entry(reading).is_some_and(record::Entry::in_use));
    let ignored = |remark: &Remark| matches!(remark, Remark::Ignored { seq, .. } if *seq == undo);
    assert!(account.remarks().iter().any(ignored));
    assert_eq!((account.exit_code(), account.state()), (1, State::Signed));
}

#[test]
fn a_signature_without_a_hand_does_not_follow() {
    for hand in ["", " ", "\t\n", "\u{200b}", "\u{202e}", "not named", "Not Named ", "—"] {
        let mut facts = signed();
        facts.last_mut().unwrap().hand = hand.to_owned();
        let account = reviewed(&facts);
        assert_eq!((account.exit_code(), account.state()), (3, State::DoesNotFollow), "{hand:?}");
        assert!(matches!(differences(&account), [Difference::NoHand { .. }]));
        let mut file = countersigned();
        let last = file.len();
        file[last - 1].hand = hand.to_owned();
        let account = reviewed(&file);
        assert_eq!((account.exit_code(), account.state()), (1, State::Signed), "{hand:?}");
        assert_eq!(account.objections(), [Objection::CountersignedByNobody]);
        // And the program takes no such signature.
        let session = record::fold(&signed()[..signed().len() - 1]);
        let body = signed().last().unwrap().body.clone();
        assert!(session.admits_from(hand, &body).is_err(), "{hand:?}");
        assert!(session.admits_from(HAND, &body).is_ok());
    }
}

/// Round, rule, window and station that a signature names are those that were open and in force.
#[test]
fn a_signature_names_what_it_was_judged_by() {
    type Forge = fn(&mut record::Signed);
    let forgeries: [(SignedPart, Forge); 8] = [
        (SignedPart::Round, |signed| signed.round = 3),
        (SignedPart::Round, |signed| signed.round = 999),
        (SignedPart::Window, |signed| signed.window = None),
        (SignedPart::Window, |signed| signed.window = Some(3)),
        (SignedPart::Window, |signed| signed.window = Some(999)),
        (SignedPart::Station, |signed| signed.station = None),
        (SignedPart::Station, |signed| signed.station = Some(4)),
        (SignedPart::Rule, |signed| signed.rule = Rule::Guarded),
    ];
    for (part, forge) in forgeries {
        let mut facts = signed();
        forge(signed_in(&mut facts));
        let account = reviewed(&facts);
        assert_eq!((account.exit_code(), account.state()), (3, State::DoesNotFollow), "{part:?}");
        let named = |found: &Difference| matches!(found, Difference::Basis { part: named, .. } if *named == part);
        assert!(differences(&account).iter().any(named), "{part:?}: {:?}", account.follows);
    }
    let mut facts = signed();
    signed_in(&mut facts).program = "  ".to_owned();
    assert!(matches!(differences(&reviewed(&facts)), [Difference::NoProgram { .. }]));
}

/// A window swapped in before the signature, which still names the old one; and a station.
#[test]
fn what_was_swapped_between_readings_and_signature_is_found() {
    let swapped: [(SignedPart, Body); 2] = [
        (SignedPart::Window, Body::Window(window())),
        (SignedPart::Station, Body::Station(station())),
    ];
    for (part, body) in swapped {
        let mut facts = signed();
        let signature = facts.pop().unwrap();
        say(&mut facts, HAND, body);
        say(&mut facts, HAND, signature.body);
        let account = reviewed(&facts);
        let named = |found: &Difference| matches!(found, Difference::Basis { part: named, .. } if *named == part);
        assert!(differences(&account).iter().any(named), "{:?}", account.follows);
    }
}

/// A signature in a round opened after the readings: nothing was measured in it.
#[test]
fn a_signature_over_another_round_does_not_follow() {
    for renamed in [false, true] {
        let mut facts = signed();
        let signature = facts.pop().unwrap();
        let round = say(&mut facts, HAND, round_opened());
        say(&mut facts, HAND, signature.body);
        if renamed {
            signed_in(&mut facts).round = round;
        }
        assert_eq!(reviewed(&facts).exit_code(), 3);
    }
}

/// A verdict signed where none can be given.
#[test]
fn a_verdict_without_a_window_or_a_round_does_not_follow() {
    for left_out in [3_usize, 6] {
        let facts = signed();
        let mut kept: Vec<Fact> = Vec::new();
        for (index, fact) in facts.iter().enumerate() {
            if index != left_out {
                kept.push(Fact { seq: kept.len() as Seq + 1, ..fact.clone() });
            }
        }
        let account = reviewed(&kept);
        assert_eq!(account.exit_code(), 3, "{}", account.words());
        let unfounded = |found: &Difference| matches!(found, Difference::NoVerdict { .. });
        assert!(differences(&account).iter().any(unfounded), "{:?}", account.follows);
    }
}

#[test]
fn numbers_left_out_doubled_renamed_or_made_up_are_named() {
    let count = signed_in(&mut signed()).numbers.len();
    let mut guarded = signed();
    if let Body::Window(window) = &mut guarded[3].body {
        window.rule = Rule::Guarded;
    }
    let before = guarded.len() - 1;
    let conclusion = record::conclude(&record::fold(&guarded[..before])).unwrap();
    let held = signed_in(&mut guarded);
    (held.rule, held.verdict, held.numbers) =
        (Rule::Guarded, conclusion.verdict, conclusion.numbers());
    assert_eq!(reviewed(&guarded).exit_code(), 0);
    for index in 0..count {
        let forge = |forge: &dyn Fn(&mut Vec<Number>)| {
            let mut facts = guarded.clone();
            forge(&mut signed_in(&mut facts).numbers);
            let account = reviewed(&facts);
            assert_eq!(account.exit_code(), 3, "{index}: {}", account.words());
            differences(&account).to_vec()
        };
        let left_out = forge(&|numbers| drop(numbers.remove(index)));
        assert!(matches!(left_out[..], [Difference::NotStored { .. }]), "{left_out:?}");
        let doubled = forge(&|numbers| numbers.push(numbers[index].clone()));
        assert!(matches!(doubled[..], [Difference::StoredTwice { .. }]), "{doubled:?}");
        let renamed = forge(&|numbers| numbers[index].name.push('s'));
        assert!(
            matches!(renamed[..], [Difference::NotStored { .. }, Difference::NeverGiven { .. }]),
            "{renamed:?}"
        );
    }
    // Under the simple rule the eight means decide; what else is left out is named and decides nothing.
    let mut simple = signed();
    signed_in(&mut simple).numbers.truncate(8);
    let account = reviewed(&simple);
    assert_eq!(account.exit_code(), 0);
    assert!(account.words().contains("It does not store probability misalignment"));
    signed_in(&mut simple).numbers.truncate(7);
    assert_eq!(reviewed(&simple).exit_code(), 3);
    // Naming an old program, or a later one, excuses no number that decides.
    for program in ["samepoint 0.0.1", "samepoint 99.0.0", "another"] {
        signed_in(&mut simple).program = program.to_owned();
        assert_eq!(reviewed(&simple).exit_code(), 3, "{program}");
    }
}

/// Readings added, withdrawn or undone before the signature, which does not say so.
#[test]
fn readings_changed_before_the_signature_do_not_follow() {
    let confirm_seq = signed().len() as Seq - 1;
    for body in [
        Body::Reading(confirm(Channel::Left, "-14.2", "21.5")),
        withdraw(confirm_seq),
        Body::Undo(confirm_seq),
    ] {
        let mut facts = signed();
        let signature = facts.pop().unwrap();
        say(&mut facts, HAND, body);
        say(&mut facts, HAND, signature.body);
        let account = reviewed(&facts);
        assert_eq!(account.exit_code(), 3);
        let rests = |found: &Difference| matches!(found, Difference::RestsOn { .. });
        assert!(differences(&account).iter().any(rests), "{:?}", account.follows);
    }
}

/// One hand written otherwise is no second hand.
#[test]
fn nobody_countersigns_for_themselves() {
    for hand in [
        HAND,
        "r. voss",
        "R.VOSS",
        " R. Voss ",
        "R. Voss\u{200b}",
        "\u{202e}R. Voss",
        "R.\u{a0}Voss",
        "Ｒ. Ｖｏｓｓ",
        "R. VОSS",
    ] {
        let mut facts = signed();
        agree(&mut facts, hand);
        let account = reviewed(&facts);
        assert_eq!((account.exit_code(), account.state()), (1, State::Signed), "{hand:?}");
        assert!(account.words().contains("the same hand that had signed"), "{}", account.words());
    }
}

/// A countersignature for a signature that is not there yet, or that another one replaced.
#[test]
fn a_countersignature_for_another_signature_counts_for_nothing() {
    let facts = signed();
    let (signature, before) = facts.split_last().unwrap();
    let mut early = before.to_vec();
    let last_hash = last_hash_of(&early);
    let body = Countersigned {
        signature: signature.seq + 1,
        last_hash,
        comment: String::new(),
        hands_sha256: None,
    };
    say(&mut early, SUPERVISOR, Body::Countersigned(body));
    say(&mut early, HAND, signature.body.clone());
    let account = reviewed(&early);
    assert_eq!(account.state(), State::Signed, "{}", account.words());

    let mut twice = countersigned();
    let first = signature_of(&twice);
    say(&mut twice, HAND, signature.body.clone());
    let account = reviewed(&twice);
    assert_eq!((account.exit_code(), account.state()), (0, State::Signed));
    let last_hash = last_hash_of(&twice);
    let body =
        Countersigned { signature: first, last_hash, comment: String::new(), hands_sha256: None };
    say(&mut twice, SUPERVISOR, Body::Countersigned(body));
    let account = reviewed(&twice);
    assert_eq!((account.exit_code(), account.state()), (1, State::Signed), "{}", account.words());
}

/// Two signatures: both have to follow, the last one is in force.
#[test]
fn an_earlier_signature_that_does_not_follow_is_not_covered_up() {
    let mut facts = signed();
    let body = facts.last().unwrap().body.clone();
    say(&mut facts, "T. Abel", body.clone());
    assert_eq!((reviewed(&facts).exit_code(), reviewed(&facts).state()), (0, State::Signed));
    agree(&mut facts, HAND);
    assert_eq!(reviewed(&facts).state(), State::Countersigned, "another hand signed last");
    signed_in(&mut facts).verdict = Verdict::Fail;
    assert_eq!(reviewed(&facts).state(), State::DoesNotFollow);
}

/// A return stands until it is signed anew: no other hand's countersignature lifts it, nor the signer's.
#[test]
fn what_was_returned_is_signed_anew_before_it_is_countersigned() {
    let mut facts = signed();
    let body = facts.last().unwrap().body.clone();
    send_back(&mut facts, SUPERVISOR);
    let account = reviewed(&facts);
    assert_eq!((account.exit_code(), account.state()), (1, State::Returned));
    for hand in [HAND, "T. Abel"] {
        let mut lifted = facts.clone();
        let answer = agree(&mut lifted, hand);
        let account = reviewed(&lifted);
        assert_eq!((account.exit_code(), account.state()), (1, State::Returned), "{hand}");
        let ignored =
            |remark: &Remark| matches!(remark, Remark::Ignored { seq, .. } if *seq == answer);
        assert!(account.remarks().iter().any(ignored), "{:?}", account.remarks());
        let refused = record::fold(&facts).admits_from(hand, &lifted.last().unwrap().body);
        assert!(matches!(refused, Err(record::Error::SignatureReturned)), "{refused:?}");
    }
    // Who returned it may think better of it.
    let mut lifted = facts.clone();
    agree(&mut lifted, SUPERVISOR);
    assert_eq!(
        (reviewed(&lifted).exit_code(), reviewed(&lifted).state()),
        (0, State::Countersigned)
    );
    say(&mut facts, HAND, body);
    agree(&mut facts, SUPERVISOR);
    let account = reviewed(&facts);
    assert_eq!((account.exit_code(), account.state()), (0, State::Countersigned));
    send_back(&mut facts, SUPERVISOR);
    assert_eq!(reviewed(&facts).state(), State::Returned, "second thoughts are taken back again");
}

/// A countersignature names the line it was given for.
#[test]
fn a_countersignature_for_another_file_is_found() {
    for (last_hash, code, state) in [
        ("f".repeat(64), 3, State::DoesNotFollow),
        ("0".repeat(64), 3, State::DoesNotFollow),
        (String::new(), 1, State::Countersigned),
        (" ".to_owned(), 3, State::DoesNotFollow),
    ] {
        let mut facts = signed();
        let signature = signature_of(&facts);
        let comment = String::new();
        let answer = Countersigned { signature, last_hash, comment, hands_sha256: None };
        say(&mut facts, SUPERVISOR, Body::Countersigned(answer));
        let account = reviewed(&facts);
        assert_eq!((account.exit_code(), account.state()), (code, state), "{}", account.words());
    }
}

/// The station's map changed after its readings: they keep the map they were read by, and the change is
/// told.
#[test]
fn a_station_changed_after_the_readings_is_told() {
    let mut facts = signed();
    let signature = facts.pop().unwrap();
    let mut other = station();
    other.map.left.arcmin_per_division = [4.0, 4.0];
    other.spread.sigma_arcmin = Some(5.0);
    say(&mut facts, HAND, Body::Station(other));
    say(&mut facts, HAND, signature.body);
    assert_eq!(reviewed(&facts).exit_code(), 3, "it names the station before");
}
