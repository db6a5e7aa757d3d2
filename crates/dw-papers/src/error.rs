//! What can go wrong while papers are written.

/// Why a paper could not be written.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The language tag is malformed.
    #[error("{0:?} is not a language tag; write one such as \"en-GB\" or \"de-DE\"")]
    Locale(String),
    /// The binder holds no paper of this id.
    #[error("there is no paper {0:?} in the binder")]
    NoSuchPaper(String),
    /// A row has more cells than its table has columns, or a column has no width.
    #[error("table {table:?}: {reason}")]
    Table {
        /// Id of the table.
        table: String,
        /// What is wrong with it.
        reason: String,
    },
    /// A font file of this crate cannot be read: a defect of the build.
    #[error("a bundled font cannot be read")]
    Font,
    /// The typesetter refused the document: a defect of the template.
    #[error("typesetting failed: {0}")]
    Typeset(String),
    /// The page model could not be handed to the typesetter.
    #[error("the pages could not be passed to the typesetter")]
    Json(#[from] serde_json::Error),
    /// The workbook could not be built.
    #[error("the workbook could not be built")]
    Xlsx(#[from] rust_xlsxwriter::XlsxError),
    /// The CSV file could not be built.
    #[error("the CSV file could not be built")]
    Csv(#[from] csv::Error),
}
