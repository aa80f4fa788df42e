//! What a row of the table of sheets says, and what becomes of the rows.

/// What is true of some sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SheetTrait {
    /// Something typed in it would be lost with it.
    Work,
    /// It is only read: the keyboard stays where it was, on the entry row.
    OnlyRead,
    /// It says itself where the keyboard goes when it comes to the front.
    OwnKeyboard,
    /// Ctrl+Enter is its own: it logs a block or keeps a form.
    OwnEnter,
    /// Nothing is read at the bench while it is in front: the signature ends the round, a new session and what a shop
    /// keeps come before it.
    CoversEntry,
    /// It tells the verdict or what it rests on.
    TellsVerdict,
    /// What is typed in it is about the round on the bench, so that the next round ends it.
    OfRound,
    /// What is typed in it outlives the open session: it is about another, or about none.
    OutlivesSession,
    /// It shows a picture, which is worth a wider sheet.
    Wide,
}

/// One row makes a sheet whole: its state, what it is called, what is true of it (always, or if), when another is the
/// same sheet (else every one of its kind), which path of it a file dialog may fill in and what that dialog asks, and
/// what shows it. First come the names under which rows know what they are shown with.
macro_rules! sheets {
    (
        ($ui:ident, $palette:ident, $fresh:ident, $context:ident, $actions:ident, $from:ident)
        $(
            $(#[$doc:meta])*
            $name:ident $(($sheet:ident: $of:ty))?: $title:expr,
            [$($true_of:ident $(if $when:expr)?),*],
            $(same |$one:ident, $other:ident| $same:expr,)?
            $(path |$asks:ident| $path:expr, $ask:expr,)?
            => $show:expr;
        )*
    ) => {
        /// A sheet.
        #[derive(Clone, Debug, Default, PartialEq)]
        pub enum Sheet {
            /// None: the plot is in sight.
            #[default]
            Clear,
            $($(#[$doc])* $name $(($of))?,)*
        }

        #[allow(unused_variables, reason = "a row uses of its sheet what it needs")]
        impl Sheet {
            /// What it is called; none is in front otherwise.
            pub(crate) fn title(&self) -> Option<&'static str> {
                Some(match self {
                    Self::Clear => return None,
                    $(Self::$name $(($sheet))? => $title,)*
                })
            }

            fn is(&self, what: SheetTrait) -> bool {
                match self {
                    Self::Clear => false,
                    $(Self::$name $(($sheet))? => {
                        false $(|| (what == SheetTrait::$true_of $(&& $when)?))*
                    })*
                }
            }

            /// Whether another is the same sheet, whatever is typed in it.
            #[must_use]
            pub fn is_same_sheet(&self, other: &Self) -> bool {
                match (self, other) {
                    $($((Self::$name($one), Self::$name($other)) => $same,)?)*
                    _ => std::mem::discriminant(self) == std::mem::discriminant(other),
                }
            }

            /// The path in it that a file dialog may fill in.
            pub(crate) fn path(&mut self) -> Option<&mut PathSheet> {
                match self {
                    $($(Self::$name($asks) => Some($path),)?)*
                    _ => None,
                }
            }

            /// What that dialog asks.
            pub(crate) fn ask(&self, $from: &AskFrom) -> Option<Ask> {
                match self {
                    $($(Self::$name($asks) => Some($ask),)?)*
                    _ => None,
                }
            }

            /// Shows it in its window.
            pub(super) fn show(
                &mut self,
                $ui: &mut Ui,
                $palette: &Palette,
                $fresh: bool,
                $context: &SheetContext<'_>,
                $actions: &mut Vec<Action>,
            ) {
                match self {
                    Self::Clear => {}
                    $(Self::$name $(($sheet))? => $show,)*
                }
            }
        }
    };
}

pub(super) use sheets;
