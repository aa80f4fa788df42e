//! All tables in words: what the program prints of them.

use super::Table;

/// The number that files carry: a column that changes its meaning or goes makes it another; new ones do not.
pub const SCHEMA: u32 = 1;

/// Every table and column, its unit and meaning.
#[must_use]
pub fn told() -> String {
    let mut said = format!(
        "Tables of samepoint, schema {SCHEMA}. Each lies in a folder of its name, as\n\
         TABLE/shop=NAME/month=YYYY-MM/part.parquet; shop and month are columns too, as engines\n\
         that know such folders read them. Of no day is month=__HIVE_DEFAULT_PARTITION__. What is\n\
         not known is null, never 0. Count only rows whose column counts is true. Texts stand\n\
         as hands and files said them: trust them no more than those.\n"
    );
    for table in Table::ALL {
        said += &format!("\n{}: {}\n", table.name(), table.meaning());
        let columns = table.described();
        let widest = columns.iter().map(|column| column.name.len()).max().unwrap_or(0);
        for column in columns {
            said += &format!(
                "  {:<widest$}  {:<13}  {:<11}  {}\n",
                column.name,
                column.kind.word(),
                column.unit.word(),
                column.meaning
            );
        }
    }
    said
}
