//! What a session's facts come to, each part worked out once, when it is first asked for: whoever shows or
//! compares a session looks at the same account of it.

use std::cell::OnceCell;

use solver::Circles;

use crate::conclusion::{Conclusion, Method, NoConclusion, conclude, conclude_to_sign};
use crate::fact::Seq;
use crate::fold::Session;

/// A session and what is derived from it.
#[derive(Debug)]
pub struct Derived<'a> {
    session: &'a Session,
    conclusion: OnceCell<Result<Conclusion, NoConclusion>>,
    circles: Vec<OnceCell<Option<Circles>>>,
}

impl<'a> Derived<'a> {
    /// Of a session; nothing is worked out yet.
    #[must_use]
    pub fn of(session: &'a Session) -> Self {
        let circles = session.rounds.iter().map(|_| OnceCell::new()).collect();
        Self { session, conclusion: OnceCell::new(), circles }
    }

    /// The session.
    #[must_use]
    pub const fn session(&self) -> &'a Session {
        self.session
    }

    /// What it comes to.
    ///
    /// # Errors
    /// What is missing.
    pub fn conclusion(&self) -> Result<&Conclusion, &NoConclusion> {
        self.conclusion.get_or_init(|| conclude(self.session)).as_ref()
    }

    /// What a signature stores: the same, whether or not an examination is sat.
    ///
    /// # Errors
    /// What is missing.
    pub fn into_what_is_signed(self) -> Result<Conclusion, NoConclusion> {
        let kept = self.conclusion.into_inner().filter(|_| !self.session.withholds());
        kept.unwrap_or_else(|| conclude_to_sign(self.session, Method::for_session(self.session)))
    }

    /// A round's circles; `None` without such a round, and where its uncertainties make no sense.
    #[must_use]
    pub fn circles(&self, round: Seq) -> Option<&Circles> {
        let index = self.session.rounds.iter().position(|one| one.id == round)?;
        self.circles.get(index)?.get_or_init(|| circles_of(self.session, round)).as_ref()
    }
}

/// The circles of one round, for whoever asks for no more of the session; `None` as for
/// [`Derived::circles`].
#[must_use]
pub fn circles_of(session: &Session, round: Seq) -> Option<Circles> {
    solver::circles(&session.problem(round)?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_it_comes_to_is_worked_out_once() {
        let session = Session::default();
        let account = Derived::of(&session);
        let (first, again) = (account.conclusion(), account.conclusion());
        assert!(matches!((first, again), (Err(one), Err(other)) if std::ptr::eq(one, other)));
        assert!(account.circles(1).is_none() && circles_of(&session, 1).is_none());
        assert_eq!(account.into_what_is_signed(), conclude(&session));
    }
}
