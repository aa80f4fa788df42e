//! Why no tables are written, and what to do.

use std::io;
use std::path::PathBuf;

use record::shown;

/// What is refused; nothing was written then, but where it says so.
#[derive(Debug, thiserror::Error)]
pub enum TablesRefusal {
    /// A folder that is no shop, or cannot be read.
    #[error("{}: {why}", shown::path(folder))]
    NoShop {
        /// As named.
        folder: PathBuf,
        /// Why.
        why: record::Error,
    },
    /// The tables would lie in the shop.
    #[error(
        "{}: the tables would lie in the shop {}; name a folder outside it",
        shown::path(to),
        shown::path(shop)
    )]
    InsideShop {
        /// Where they were to go.
        to: PathBuf,
        /// The shop.
        shop: PathBuf,
    },
    /// The shop lies where tables would be put.
    #[error(
        "{}: the shop {} lies where its tables would; name another folder",
        shown::path(to),
        shown::path(shop)
    )]
    ShopInside {
        /// Where they were to go.
        to: PathBuf,
        /// The shop.
        shop: PathBuf,
    },
    /// What is named for the tables is no folder.
    #[error(
        "{}: there is a file where the folder of the tables would be; name another",
        shown::path(to)
    )]
    NoFolder {
        /// Where they were to go.
        to: PathBuf,
    },
    /// A folder in it that leads out of it.
    #[error("{}: it leads out of the folder of the tables; move it away", shown::path(folder))]
    LeadsElsewhere {
        /// Which.
        folder: PathBuf,
    },
    /// A file that would be replaced and is not ours.
    #[error(
        "{}: it was not written by `samepoint tables`; move it away, or name another folder",
        shown::path(file)
    )]
    NotOurs {
        /// Which.
        file: PathBuf,
    },
    /// Another program writes there.
    #[error(
        "{}: another `samepoint tables` writes there; try again when it is done",
        shown::path(to)
    )]
    Busy {
        /// Where.
        to: PathBuf,
    },
    /// Something cannot be written. What was written before it stands.
    #[error(
        "{}: it cannot be written: {}; what was written before stands, and the next run goes on",
        shown::path(path),
        shown::system(why)
    )]
    NotWritten {
        /// What.
        path: PathBuf,
        /// Why.
        why: io::Error,
    },
    /// Rows that do not become a file.
    #[error("{}: its rows cannot be put in a file: {why}", shown::path(path))]
    NotEncoded {
        /// Which.
        path: PathBuf,
        /// Why.
        why: parquet::errors::ParquetError,
    },
    /// No folder was named.
    #[error("name a shop’s folder, and with --to where the tables are to go")]
    Nothing,
}
