//! What can be typed.

use std::path::PathBuf;

use clap::Parser;

/// Write what shops hold as Parquet tables, for other programs.
#[derive(Debug, Parser)]
#[command(name = "samepoint-tables", version)]
pub struct Arguments {
    /// The shops' folders
    #[arg(value_name = "FOLDER", required_unless_present = "schema")]
    pub folders: Vec<PathBuf>,

    /// The folder of the tables
    #[arg(long, value_name = "DIR", required_unless_present = "schema")]
    pub to: Option<PathBuf>,

    /// Print every table and column, its unit and meaning
    #[arg(long)]
    pub schema: bool,
}
