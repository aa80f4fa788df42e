//! A calibration on the command line: worked out again by `samepoint review`, on paper by `samepoint report`.

use std::path::Path;

use record::calibrations::CalibrationReview;
use record::calibrations::noted::review_in_shop;
use record::review::State;
use record::shop::CALIBRATION_EXTENSION;
use record::{Axis, RealDisk};
use serde_json::json;

use super::arguments::{ReportArguments, Review};
use super::refusal::{CommandRefusal, RefusalKind};
use super::{Outcome, figures};
use crate::calibration_file::write_calibration_sheet;

/// Whether a path names a calibration.
pub(super) fn is_one(path: &Path) -> bool {
    path.extension().is_some_and(|extension| extension == CALIBRATION_EXTENSION)
}

/// Works a calibration out again without touching it.
pub(super) fn review(asked: &Review) -> Result<Outcome, CommandRefusal> {
    let of = |why| RefusalKind::Record(why).of(&asked.session);
    let review = match review_in_shop(&asked.session, &RealDisk) {
        Ok(review) => review,
        Err(why @ record::Error::Damaged { .. }) => {
            return Ok(Outcome::Answered { text: format!("{why}\n"), code: 3 });
        }
        Err(why) => return Err(of(why)),
    };
    let code = review.exit_code();
    let text = if asked.json {
        serde_json::to_string_pretty(&document(&review))? + "\n"
    } else {
        let lines = review.words().join("\n");
        format!("{lines}\nExit code {code}: {}.\n", review.state.word())
    };
    Ok(Outcome::Answered { text, code })
}

/// Puts a calibration's sheet into a file.
pub(super) fn report(asked: &ReportArguments) -> Result<Outcome, CommandRefusal> {
    write_calibration_sheet(&asked.session, &asked.to, asked.paper.size(), &RealDisk)?;
    Ok(Outcome::Answered { text: format!("{}\n", figures::path(&asked.to)), code: 0 })
}

fn document(review: &CalibrationReview) -> serde_json::Value {
    let means = &review.means;
    let channel = |channel| match means.outcome(channel) {
        Err(gap) => json!({ "gap": gap.to_string() }),
        Ok(outcome) => {
            let found = outcome.found;
            let findings: Vec<String> = found.findings.iter().map(ToString::to_string).collect();
            json!({
                "flip_x": found.flips.x,
                "flip_y": found.flips.y,
                "rotation_deg": found.rotation_deg,
                "arcmin_per_division": found.arcmin_per_division,
                "boresight_divisions": found.boresight_divisions,
                "covariance": found.covariance,
                "freedom": if found.freedom.is_finite() { json!(found.freedom) } else { json!(null) },
                "rms_arcmin": found.rms_arcmin,
                "consistency": found.consistency,
                "residuals_arcmin": found.residuals.iter().map(|residual| {
                    residual.map(|residual| Axis::BOTH.map(|axis| axis.of(residual.off)))
                }).collect::<Vec<_>>(),
                "findings": findings,
            })
        }
    };
    json!({
        "format": 1,
        "station": means.station(),
        "state": review.state.word(),
        "objections": review.objections,
        "left": channel(solver::Channel::Left),
        "right": channel(solver::Channel::Right),
        "certificate": means.terms.as_ref().map(|terms| terms.certificate.clone()),
        "due": means.terms.as_ref().map(|terms| terms.due.to_string()),
        "signed_by": means.signed.as_ref().map(|signed| signed.hand.clone()),
        "signing_line": review.signing_line,
        "last_line": review.last_line,
        "ledger": review.ledger.as_ref().map(|says| says.words(review.state != State::Damaged)),
        "exit_code": review.exit_code(),
    })
}
