//! The views beside the field plot as they were made: each once for what is on the bench, however often it
//! is drawn.

use std::cell::{Cell, OnceCell};

use super::glass::GlassView;
use super::missing::NothingToShow;
use super::over_swing::SwingView;
use super::ring_map::RingMapView;
use super::sources::SourcesView;
use crate::bench::session::OpenSession;

/// A view, or what is missing for it, in a sentence.
type MadeView<T> = OnceCell<Result<T, NothingToShow>>;

/// The views, each made when it is first looked at.
#[derive(Default)]
pub struct Views {
    /// The drawing of the session that they were made for; `None` where none is open.
    of: Option<u64>,
    glass: MadeView<GlassView>,
    ring_map: MadeView<RingMapView>,
    sources: MadeView<SourcesView>,
    swing: MadeView<SwingView>,
    times_made: Cell<usize>,
}

impl Views {
    /// Lets go of what was made for another drawing.
    pub fn follow(&mut self, session: Option<&OpenSession>) {
        let now = session.map(|session| session.picture().drawing);
        if now != self.of {
            *self = Self { of: now, times_made: self.times_made.clone(), ..Self::default() };
        }
    }

    /// How many were made so far.
    #[must_use]
    pub fn times_made(&self) -> usize {
        self.times_made.get()
    }

    /// Through the glass.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn glass(&self, session: Option<&OpenSession>) -> &Result<GlassView, NothingToShow> {
        self.glass.get_or_init(|| self.make(session, GlassView::of))
    }

    /// The ring map.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn ring_map(&self, session: Option<&OpenSession>) -> &Result<RingMapView, NothingToShow> {
        self.ring_map.get_or_init(|| self.make(session, RingMapView::of))
    }

    /// Where errors come from.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn sources(&self, session: Option<&OpenSession>) -> &Result<SourcesView, NothingToShow> {
        self.sources.get_or_init(|| self.make(session, SourcesView::of))
    }

    /// Over the swing.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn swing(&self, session: Option<&OpenSession>) -> &Result<SwingView, NothingToShow> {
        self.swing.get_or_init(|| self.make(session, SwingView::of))
    }

    /// Makes a view, if answers may be told.
    fn make<T>(
        &self,
        session: Option<&OpenSession>,
        of: impl FnOnce(&OpenSession) -> Result<T, NothingToShow>,
    ) -> Result<T, NothingToShow> {
        self.times_made.set(self.times_made.get() + 1);
        let session = session.ok_or(NothingToShow::Session)?;
        session.told().map_err(|_| NothingToShow::Withheld)?;
        of(session)
    }
}
