//! What a supervisor sent back, as a survey tells it.

use super::{SessionSummary, Survey};
use crate::shop::ReturnedSession;

impl Survey {
    /// The sessions of the shop itself that were sent back and wait to be signed anew, by file name: the same as the shop
    /// tells by [looking for them](crate::Shop::returned), without reading anything again. Files that were passed over
    /// are not among them.
    #[must_use]
    pub fn returned(&self) -> Vec<ReturnedSession> {
        let Some(own) = self.folders.first() else { return Vec::new() };
        let own = own.join("sessions");
        let of_own = |session: &&SessionSummary| session.folder == 0;
        let told = |session: &SessionSummary| {
            let (signed, sent_back) = session.signed_as.as_ref().zip(session.sent_back.as_ref())?;
            Some(ReturnedSession {
                path: own.join(&session.file),
                unit: session.unit.to_string(),
                signed_by: signed.hand.to_string(),
                by: sent_back.by.clone(),
                since: sent_back.since,
                comment: sent_back.comment.clone(),
            })
        };
        self.sessions.iter().filter(of_own).filter_map(told).collect()
    }
}
