//! The page model: what the papers say, free of how any format says it.
//!
//! Whoever describes a design fills a [`Binder`]; the writers of this crate turn it into PDF, XLSX and CSV. Values stay
//! values (a number with its digits, money as a decimal, a calendar date) so that each writer can print them in the
//! reader's locale or hand them on as real numbers.

use crate::Error;
use crate::locale::Locale;
use rust_decimal::Decimal;

/// All papers of one issue of one job, with the workings that explain their figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Binder {
    /// What the strip on every page says.
    pub title_block: TitleBlock,
    /// How numbers, dates and money are printed, and the paper size.
    pub locale: Locale,
    /// Stable identity of this issue (for example job number and revision); becomes the identity of the PDF files.
    pub document_id: String,
    /// The papers in reading order.
    pub papers: Vec<Paper>,
    /// The workings that cells and facts may point at.
    pub workings: Vec<Working>,
}

/// What identifies a paper: printed on each page and on the first sheet of a workbook.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TitleBlock {
    /// Who the work is for.
    pub customer: String,
    /// Where the work is.
    pub site: String,
    /// The firm's number for the job.
    pub job_number: String,
    /// What the job is called.
    pub job_title: String,
    /// Revision mark of this issue, such as "P2".
    pub revision: String,
    /// Date of this issue, also inside every file written; printed as a dash when nobody has given one.
    pub issue_date: Option<Date>,
    /// Who prepared the issue; blank leaves a space to sign in.
    pub prepared_by: String,
    /// Who checked the issue; blank leaves a space to sign in.
    pub checked_by: String,
    /// What the issue is for, such as "for approval".
    pub status: String,
    /// The units the figures are in, such as "metres, volts, amperes".
    pub units: String,
    /// ISO 4217 code of the currency of every amount, such as "EUR".
    pub currency: String,
}

/// One document of the binder.
#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    /// Short stable name, such as "opening-schedule".
    pub id: String,
    /// Title as printed.
    pub title: String,
    /// Which way round the sheet lies.
    pub orientation: Orientation,
    /// Contents from top to bottom.
    pub blocks: Vec<Block>,
}

/// Which way round a sheet lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Orientation {
    /// Taller than wide: running text.
    Portrait,
    /// Wider than tall: schedules.
    Landscape,
}

/// One piece of a paper.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading below the title of the paper.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// Separate statements, one to a line.
    List(Vec<String>),
    /// Labels with their values.
    Facts(Vec<Fact>),
    /// A table.
    Table(Table),
    /// Something that must not be overlooked.
    Caution(String),
    /// What follows begins a new page.
    NewPage,
}

/// A label with its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// What the value is.
    pub label: String,
    /// The value.
    pub cell: Cell,
    /// Unit of a number, such as "V"; none for text, dates and money.
    pub unit: Option<String>,
}

impl Fact {
    /// A fact without a unit.
    pub fn new(label: impl Into<String>, cell: Cell) -> Self {
        Self { label: label.into(), cell, unit: None }
    }

    /// The same fact with the unit of its number.
    #[must_use]
    pub fn in_unit(mut self, unit: impl Into<String>) -> Self {
        self.unit = Some(unit.into());
        self
    }
}

/// A table: the same table is a piece of a PDF page, a sheet of a workbook and a CSV file.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Short stable name, such as "openings"; names the CSV file.
    pub id: String,
    /// Title as printed; names the sheet of the workbook.
    pub title: String,
    /// The columns from left to right.
    pub columns: Vec<Column>,
    /// The rows from top to bottom.
    pub rows: Vec<Row>,
}

impl Table {
    /// Says what is wrong with the shape of the table, if anything: every writer asks before it starts.
    pub(crate) fn check(&self) -> Result<(), Error> {
        let fault = |reason: String| Err(Error::Table { table: self.id.clone(), reason });
        if self.columns.is_empty() {
            return fault("it has no columns".to_owned());
        }
        if let Some(column) = self.columns.iter().find(|column| !(column.weight.is_finite() && column.weight > 0.0)) {
            return fault(format!("the weight of column {:?} is not above zero", column.title));
        }
        for (idx, row) in self.rows.iter().enumerate() {
            let most = if row.kind == RowKind::Group { 1 } else { self.columns.len() };
            if row.cells.len() > most {
                return fault(format!("row {} has {} cells, at most {most} fit", idx + 1, row.cells.len()));
            }
        }
        Ok(())
    }
}

/// One column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Title without the unit.
    pub title: String,
    /// Unit of the numbers, such as "m". A money column takes the currency of the binder instead.
    pub unit: Option<String>,
    /// What the cells hold; numbers and money stand on the right, so that digits line up.
    pub kind: ColumnKind,
    /// Width relative to the other columns of the table; above zero.
    pub weight: f64,
}

impl Column {
    /// A column of words.
    pub fn text(title: impl Into<String>, weight: f64) -> Self {
        Self { title: title.into(), unit: None, kind: ColumnKind::Text, weight }
    }

    /// A column of numbers in one unit; give `""` for a plain count.
    pub fn number(title: impl Into<String>, unit: &str, weight: f64) -> Self {
        let unit = (!unit.is_empty()).then(|| unit.to_owned());
        Self { title: title.into(), unit, kind: ColumnKind::Number, weight }
    }

    /// A column of amounts in the currency of the binder.
    pub fn money(title: impl Into<String>, weight: f64) -> Self {
        Self { title: title.into(), unit: None, kind: ColumnKind::Money, weight }
    }

    /// A column of dates.
    pub fn date(title: impl Into<String>, weight: f64) -> Self {
        Self { title: title.into(), unit: None, kind: ColumnKind::Date, weight }
    }

    /// Whether the cells stand on the right.
    pub(crate) fn is_right(&self) -> bool {
        matches!(self.kind, ColumnKind::Number | ColumnKind::Money)
    }

    /// The title with the unit in brackets, such as "Length (m)" or "Price (EUR)".
    pub fn heading(&self, currency: &str) -> String {
        let unit = if self.kind == ColumnKind::Money { Some(currency) } else { self.unit.as_deref() };
        match unit {
            Some(unit) if !unit.is_empty() => format!("{} ({unit})", self.title),
            _ => self.title.clone(),
        }
    }
}

/// What the cells of a column hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// Words, marks, codes.
    Text,
    /// Numbers in one unit.
    Number,
    /// Amounts in the currency of the binder.
    Money,
    /// Calendar dates.
    Date,
}

/// One row of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What the row is for.
    pub kind: RowKind,
    /// One cell per column, one in all for a group row; missing cells at the end are empty, more are an error.
    pub cells: Vec<Cell>,
}

impl Row {
    /// An ordinary row.
    pub fn new(cells: Vec<Cell>) -> Self {
        Self { kind: RowKind::Normal, cells }
    }

    /// A bold line that names the rows after it; a PDF repeats it where the group runs on to the next page.
    pub fn group(title: impl Into<String>) -> Self {
        Self { kind: RowKind::Group, cells: vec![Cell::text(title)] }
    }

    /// A bold row that sums the rows before it.
    pub fn total(cells: Vec<Cell>) -> Self {
        Self { kind: RowKind::Total, cells }
    }
}

/// What a row is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowKind {
    /// Data.
    Normal,
    /// Names the rows after it.
    Group,
    /// Sums rows before it.
    Total,
}

/// A value, and the id of the working that explains it.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// What is shown.
    pub value: Value,
    /// Id of a [`Working`]; an id that the binder does not hold is printed without a link.
    pub figure: Option<String>,
}

impl Cell {
    /// Nothing.
    pub fn empty() -> Self {
        Self { value: Value::Empty, figure: None }
    }

    /// Words; never read as markup or as a formula.
    pub fn text(text: impl Into<String>) -> Self {
        Self { value: Value::Text(text.into()), figure: None }
    }

    /// A number printed with `digits` decimal places.
    pub fn number(value: f64, digits: u8) -> Self {
        Self { value: Value::Number { value, digits }, figure: None }
    }

    /// A number with at most so many significant figures and no zeros at the end, as in a calculation by hand.
    ///
    /// ```
    /// use dw_papers::model::{Cell, Value};
    /// assert_eq!(Cell::significant(10.5, 6), Cell::number(10.5, 1));
    /// assert_eq!(Cell::significant(0.018_100_02, 4), Cell::number(0.018_100_02, 4));
    /// assert_eq!(Cell::significant(1_234_567.8, 6), Cell::number(1_234_567.8, 0));
    /// ```
    pub fn significant(value: f64, figures: u8) -> Self {
        const MOST: i32 = 12;
        let after_first = figures.saturating_sub(1);
        let scientific = format!("{value:.*e}", usize::from(after_first));
        let exponent: i32 = scientific.split_once('e').and_then(|(_, exponent)| exponent.parse().ok()).unwrap_or(0);
        let decimals = (i32::from(after_first) - exponent).clamp(0, MOST);
        let plain = format!("{value:.*}", decimals as usize);
        let digits = plain.split_once('.').map_or(0, |(_, decimals)| decimals.trim_end_matches('0').len());
        Self::number(value, digits as u8)
    }

    /// A count of things.
    pub fn count(value: u32) -> Self {
        Self::number(f64::from(value), 0)
    }

    /// An amount in the currency of the binder.
    pub fn money(amount: Decimal) -> Self {
        Self { value: Value::Money(amount), figure: None }
    }

    /// A calendar date.
    pub fn date(date: Date) -> Self {
        Self { value: Value::Date(date), figure: None }
    }

    /// The same cell, explained by the working with this id.
    #[must_use]
    pub fn explained_by(mut self, working: impl Into<String>) -> Self {
        self.figure = Some(working.into());
        self
    }
}

/// What a cell shows.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Nothing.
    Empty,
    /// Words.
    Text(String),
    /// A number and how many decimal places to print. One that is not finite is printed as "unknown".
    Number {
        /// The number.
        value: f64,
        /// Decimal places.
        digits: u8,
    },
    /// An amount in the currency of the binder.
    Money(Decimal),
    /// A calendar date.
    Date(Date),
}

/// How a figure was found: an entry of the workings annex.
#[derive(Debug, Clone, PartialEq)]
pub struct Working {
    /// Stable name that cells point at.
    pub id: String,
    /// The object it was worked out for, such as "opening D-014". Workings alike but for their object, inputs and result
    /// share a table.
    pub about: String,
    /// What was worked out.
    pub title: String,
    /// The formula in plain notation.
    pub formula: String,
    /// The values that went in.
    pub inputs: Vec<Fact>,
    /// What came out.
    pub result: Fact,
    /// Where the formula comes from.
    pub source: String,
}

/// A day of the proleptic Gregorian calendar, years 1900 to 9999 (the range a spreadsheet can hold).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// The day, or nothing when the calendar has no such day.
    ///
    /// ```
    /// use dw_papers::model::Date;
    /// assert!(Date::new(2024, 2, 29).is_some());
    /// assert!(Date::new(2023, 2, 29).is_none());
    /// ```
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let length = match month {
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            1..=12 => 31,
            _ => return None,
        };
        ((1900..=9999).contains(&year) && (1..=length).contains(&day)).then_some(Self { year, month, day })
    }

    /// Year, such as 2026.
    pub fn year(self) -> u16 {
        self.year
    }

    /// Month from 1 to 12.
    pub fn month(self) -> u8 {
        self.month
    }

    /// Day of the month from 1.
    pub fn day(self) -> u8 {
        self.day
    }
}

/// Year, month and day as in ISO 8601.
impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}
