//! What shops hold as Parquet tables, for other programs: sessions, rounds, readings, verdicts, remedies, checks,
//! studies and troubles, a file a shop and month. The window is built without this crate; `samepoint tables` hands
//! over to its program.
//!
//! Every number is the record's own account: nothing is worked out here. What a row may be counted for stands in
//! the row.
//!
//! - [`columns`]: the tables, column by column; [`buffer`]: rows, column by column; [`file`](mod@file): them as Parquet;
//! - [`shops`]: the folders named; [`inputs`]: what lies in them, by hash; [`parallel`]: several at once;
//! - [`session`]: one session's rows; [`shop`]: those of a whole shop; [`twice`]: a session that two folders have;
//! - [`output`]: files put in place whole; [`manifest`]: what was written from what;
//! - [`make`](mod@make): from folders to tables; [`run`](mod@run): from arguments to an exit code; [`arguments`]:
//!   what can be typed; [`refusal`]: why not.

pub mod arguments;
pub mod buffer;
pub mod columns;
pub mod file;
pub mod inputs;
pub mod make;
pub mod manifest;
pub mod output;
pub mod parallel;
pub mod refusal;
pub mod run;
pub mod session;
pub mod shop;
pub mod shops;
pub mod twice;

pub use columns::Table;
pub use make::{Made, make};
pub use refusal::TablesRefusal;
pub use run::run;
