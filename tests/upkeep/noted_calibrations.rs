//! A calibration's signature in the shop's ledger.

use std::fs;

use record::calibrations::noted::{
    calibrations_against, note_calibration, note_calibrations, review_in_shop,
};
use record::calibrations::{CalibrationBody, review_calibration};
use record::ledger::{Ledger, Noting};
use record::review::State;
use record::{JournalBody, MapStanding, RealDisk, Seq};

use crate::calibrations::{Log, shop_with, whole};
use crate::support::{HAND, real};

/// A signed calibration is noted in the ledger as a session is; one that was cut off, written anew or taken away since
/// is told, and no station takes its numbers.
#[test]
fn the_ledger_knows_what_was_signed_of_a_calibration() {
    let mut log = whole();
    log.signs();
    let (folder, shop, path) = shop_with(&log);
    let shop_folder = folder.path();
    let signed_seq = log.0.len() as Seq;
    assert!(review_in_shop(&path, &RealDisk).unwrap().is_good(), "not noted is no contradiction");
    let noting = Noting {
        program: "samepoint 0.1.0".into(),
        hand: HAND.into(),
        agreed: false,
        options: real(),
    };
    assert_eq!(note_calibration(shop_folder, &path, &[signed_seq], &noting).unwrap(), 1);
    assert_eq!(note_calibration(shop_folder, &path, &[signed_seq], &noting).unwrap(), 0, "once");
    assert_eq!(note_calibrations(shop_folder, &noting).unwrap(), 0);
    let review = review_in_shop(&path, &RealDisk).unwrap();
    assert!(review.is_good(), "{:?}", review.objections);
    let words = review.words().join("\n");
    assert!(words.contains("All that the ledger notes of it is there, 1 line."), "{words}");
    let ledger = Ledger::load(shop_folder, &RealDisk);
    let against = || calibrations_against(&ledger, shop_folder, &RealDisk);
    assert!(against().is_empty(), "{:?}", against());
    // It is no session, and none is missed.
    let survey = record::survey(shop_folder, std::num::NonZeroUsize::MIN).unwrap();
    assert!(survey.ledger.missing.is_empty() && !survey.ledger.of_no_session_here);

    let station = shop.stations[0].value.clone();
    let contradicted = |about: &str| {
        let review = review_in_shop(&path, &RealDisk).unwrap();
        assert_eq!((review.state, review.exit_code()), (State::Damaged, 3), "{about}");
        assert!(review.objections.iter().any(|why| why.contains(about)), "{:?}", review.objections);
        assert!(against().iter().any(|said| said.contains(about)), "{about}: {:?}", against());
        assert!(matches!(shop.map_standing(&station, &RealDisk), MapStanding::NotAsSaid(..)));
        let survey = record::survey(shop_folder, std::num::NonZeroUsize::MIN).unwrap();
        assert!(survey.ledger.to_look_at().iter().any(|said| said.contains(about)), "{about}");
    };
    // The signature cut off: by itself the file is whole and unsigned.
    let whole = fs::read_to_string(&path).unwrap();
    let end = whole.trim_end().rfind('\n').unwrap() + 1;
    fs::write(&path, &whole[..end]).unwrap();
    assert_eq!(review_calibration(&path, &RealDisk).unwrap().state, State::Unsigned);
    contradicted("is missing: the file ends with fact");
    // Written anew with another reading and signed again at the same place.
    let mut anew = Log(log.0.clone());
    if let JournalBody::Said(CalibrationBody::Terms(terms)) = &mut anew.0[log.0.len() - 2].body {
        terms.certificate = "W-8".into();
    }
    anew.write(&path);
    assert_eq!(review_calibration(&path, &RealDisk).unwrap().state, State::Signed);
    contradicted("the file was rewritten since");
    // Gone.
    fs::remove_file(&path).unwrap();
    assert!(
        against().iter().any(|said| said.contains("is gone, or cannot be read")),
        "{:?}",
        against()
    );
}
