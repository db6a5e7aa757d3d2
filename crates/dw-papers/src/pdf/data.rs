//! What the template reads: every value printed, measured and cut, in the order of the pages.

use super::fit::{Fitted, Place, Ruler};
use super::table::{self, TableData};
use super::{Which, annex};
use crate::Error;
use crate::locale::Printer;
use crate::model::{Binder, Block, Cell, Fact, Orientation, Paper, TitleBlock, Value, Working};
use serde::Serialize;
use std::collections::BTreeMap;

const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Margins in millimetres: a filing margin of 20 mm on the left as in ISO 5457 (*from memory*); the title block strip
/// stands in the bottom margin.
const LEFT_MM: f64 = 20.0;
const RIGHT_MM: f64 = 12.0;
const TOP_MM: f64 = 14.0;
const BOTTOM_MM: f64 = 34.0;

/// Sizes of type in points: running text, tables, values and labels of the strip.
pub(super) const BODY_PT: f64 = 8.5;
pub(super) const TABLE_PT: f64 = 7.5;
const STRIP_PT: f64 = 7.0;
const LABEL_PT: f64 = 5.5;

/// White space on each side of a table cell, in points.
pub(super) const INSET_PT: f64 = 4.0;

/// Most lines of a value: of a fact, of a heading, and of a cell of the strip.
const FACT_LINES: u32 = 12;
const HEADING_LINES: u32 = 3;
const STRIP_LINES: u32 = 2;

/// Everything the template needs.
#[derive(Debug, Serialize)]
pub(super) struct Document {
    title: String,
    author: String,
    lang: &'static str,
    sheet: Sheet,
    papers: Vec<PaperData>,
}

#[derive(Debug, Serialize)]
struct Sheet {
    width_mm: f64,
    height_mm: f64,
    left_mm: f64,
    right_mm: f64,
    top_mm: f64,
    bottom_mm: f64,
    body_pt: f64,
    table_pt: f64,
    strip_pt: f64,
    label_pt: f64,
    inset_pt: f64,
}

#[derive(Debug, Serialize)]
struct PaperData {
    title: Fitted,
    landscape: bool,
    strip: Vec<Vec<StripCell>>,
    blocks: Vec<BlockData>,
}

/// A cell of the title block; without a value it shows the page number.
#[derive(Debug, Serialize)]
struct StripCell {
    label: &'static str,
    width_pt: f64,
    value: Option<Fitted>,
}

#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub(super) enum BlockData {
    Heading { text: Fitted },
    Text { text: Fitted },
    List { items: Vec<Fitted> },
    Facts { widths: Vec<f64>, rows: Vec<Vec<CellData>> },
    Table(TableData),
    Caution { text: Fitted },
    NewPage,
    Contents,
    Formula { title: Fitted, formula: Fitted, source: Fitted },
}

/// A printed value, and the entry of the annex it links to.
#[derive(Debug, Serialize)]
pub(super) struct CellData {
    pub(super) text: Fitted,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) link: Option<String>,
}

/// The pages of `which`, ready for the template.
pub(super) fn document(binder: &Binder, which: Which<'_>, ruler: &Ruler) -> Result<Document, Error> {
    let mut setter = Setter::new(binder, ruler)?;
    let (title, papers) = match which {
        Which::Binder => {
            setter.anchors = anchors(&binder.workings);
            (binder.title_block.job_title.clone(), setter.whole_binder()?)
        }
        Which::Paper(id) => {
            let paper = binder.papers.iter().find(|paper| paper.id == id);
            let paper = paper.ok_or_else(|| Error::NoSuchPaper(id.to_owned()))?;
            (format!("{}: {}", paper.title, binder.title_block.job_title), vec![setter.paper(paper)?])
        }
    };
    let (width_mm, height_mm) = binder.locale.paper_size().millimetres();
    let sheet = Sheet {
        width_mm,
        height_mm,
        left_mm: LEFT_MM,
        right_mm: RIGHT_MM,
        top_mm: TOP_MM,
        bottom_mm: BOTTOM_MM,
        body_pt: BODY_PT,
        table_pt: TABLE_PT,
        strip_pt: STRIP_PT,
        label_pt: LABEL_PT,
        inset_pt: INSET_PT,
    };
    Ok(Document { title, author: binder.title_block.prepared_by.clone(), lang: "en", sheet, papers })
}

/// The anchor of each working's entry; of two workings with one id the first is linked to.
fn anchors(workings: &[Working]) -> BTreeMap<&str, String> {
    workings.iter().enumerate().rev().map(|(idx, working)| (working.id.as_str(), anchor(idx))).collect()
}

pub(super) fn anchor(idx: usize) -> String {
    format!("working-{}", idx.saturating_add(1))
}

/// Turns pieces of the page model into printed data.
pub(super) struct Setter<'a> {
    binder: &'a Binder,
    pub(super) ruler: &'a Ruler,
    pub(super) printer: Printer<'a>,
    anchors: BTreeMap<&'a str, String>,
}

impl<'a> Setter<'a> {
    fn new(binder: &'a Binder, ruler: &'a Ruler) -> Result<Self, Error> {
        let printer = Printer::new(&binder.locale, &binder.title_block.currency)?;
        Ok(Self { binder, ruler, printer, anchors: BTreeMap::new() })
    }

    fn whole_binder(&self) -> Result<Vec<PaperData>, Error> {
        let mut papers = vec![self.front()];
        for paper in &self.binder.papers {
            papers.push(self.paper(paper)?);
        }
        if !self.binder.workings.is_empty() {
            papers.push(self.annex()?);
        }
        Ok(papers)
    }

    fn front(&self) -> PaperData {
        let width = self.content_pt(Orientation::Portrait);
        let facts: Vec<Fact> = front_facts(&self.binder.title_block);
        let blocks = vec![self.facts(&facts, width, 1), BlockData::Contents];
        self.page(&self.binder.title_block.job_title, Orientation::Portrait, blocks)
    }

    fn annex(&self) -> Result<PaperData, Error> {
        let width = self.content_pt(Orientation::Landscape);
        let blocks = annex::annex(self, &self.binder.workings, width)?;
        Ok(self.page("Workings", Orientation::Landscape, blocks))
    }

    /// The currency of every amount.
    pub(super) fn currency(&self) -> &str {
        &self.binder.title_block.currency
    }

    fn paper(&self, paper: &Paper) -> Result<PaperData, Error> {
        let width = self.content_pt(paper.orientation);
        let blocks: Result<Vec<BlockData>, Error> =
            paper.blocks.iter().map(|block| self.block(block, paper.orientation, width)).collect();
        Ok(self.page(&paper.title, paper.orientation, blocks?))
    }

    fn block(&self, block: &Block, orientation: Orientation, width: f64) -> Result<BlockData, Error> {
        Ok(match block {
            Block::Heading(text) => BlockData::Heading { text: self.bold(text, width, 10.5, HEADING_LINES) },
            Block::Text(text) => BlockData::Text { text: self.text(text, width, BODY_PT, None) },
            Block::List(items) => BlockData::List {
                items: items.iter().map(|item| self.text(item, width - 14.0, BODY_PT, None)).collect(),
            },
            Block::Facts(facts) => {
                let pairs = if orientation == Orientation::Landscape { 2 } else { 1 };
                self.facts(facts, width, pairs)
            }
            Block::Table(table) => {
                BlockData::Table(table::table(self, table, width, &self.binder.title_block.currency)?)
            }
            Block::NewPage => BlockData::NewPage,
            Block::Caution(text) => BlockData::Caution { text: self.text(text, width - 24.0, BODY_PT, None) },
        })
    }

    /// Facts as pairs of label and value, going down the left half first where there are two pairs to a row.
    fn facts(&self, facts: &[Fact], width: f64, pairs: usize) -> BlockData {
        let pair_pt = width / pairs as f64;
        let pair_widths = [pair_pt * 0.35, pair_pt * 0.65];
        let n_rows = facts.len().div_ceil(pairs);
        let row = |at: usize| -> Vec<CellData> {
            let in_row = (0..pairs).map(|pair| facts.get(at + pair * n_rows));
            in_row.flat_map(|fact| fact.map_or_else(empty_pair, |fact| self.pair(fact, &pair_widths))).collect()
        };
        BlockData::Facts { widths: pair_widths.repeat(pairs), rows: (0..n_rows).map(row).collect() }
    }

    fn pair(&self, fact: &Fact, widths: &[f64]) -> Vec<CellData> {
        let width = |idx: usize| widths.get(idx).map_or(0.0, |width| width - 2.0 * INSET_PT);
        let label = self.text(&fact.label, width(0), TABLE_PT, Some(FACT_LINES));
        let printed = match fact.cell.value {
            Value::Empty => "–".to_owned(),
            _ => self.printer.full(&fact.cell.value, fact.unit.as_deref()),
        };
        let value = self.bold(&printed, width(1), TABLE_PT, FACT_LINES);
        vec![CellData { text: label, link: None }, CellData { text: value, link: self.link(&fact.cell) }]
    }

    /// The anchor that explains a cell, where the annex is part of the document.
    pub(super) fn link(&self, cell: &Cell) -> Option<String> {
        cell.figure.as_deref().and_then(|figure| self.anchors.get(figure)).cloned()
    }

    fn page(&self, title: &str, orientation: Orientation, blocks: Vec<BlockData>) -> PaperData {
        let width = self.content_pt(orientation);
        PaperData {
            title: self.bold(title, width, 15.0, HEADING_LINES),
            landscape: orientation == Orientation::Landscape,
            strip: self.strip(title, width),
            blocks,
        }
    }

    /// The title block: two rows of labelled cells across the foot of the sheet.
    fn strip(&self, paper: &str, width: f64) -> Vec<Vec<StripCell>> {
        let block = &self.binder.title_block;
        let job = format!("{} {}", block.job_number, block.job_title);
        let date = block.issue_date.map_or_else(|| "–".to_owned(), |date| self.binder.locale.date(date));
        let rows: [&[(&'static str, f64, Option<&str>)]; 2] = [
            &[
                ("Customer", 3.2, Some(&block.customer)),
                ("Site", 3.6, Some(&block.site)),
                ("Paper", 3.2, Some(paper)),
                ("Status", 1.9, Some(&block.status)),
                ("Revision", 1.0, Some(&block.revision)),
                ("Date", 1.6, Some(&date)),
            ],
            &[
                ("Job", 3.8, Some(&job)),
                ("Prepared by", 1.9, Some(&block.prepared_by)),
                ("Checked by", 1.9, Some(&block.checked_by)),
                ("Units", 4.3, Some(&block.units)),
                ("Currency", 1.1, Some(&block.currency)),
                ("Page", 1.5, None),
            ],
        ];
        rows.iter().map(|cells| self.strip_row(cells, width)).collect()
    }

    fn strip_row(&self, cells: &[(&'static str, f64, Option<&str>)], width: f64) -> Vec<StripCell> {
        let weight: f64 = cells.iter().map(|(_, weight, _)| weight).sum();
        let cell = |(label, share, value): &(&'static str, f64, Option<&str>)| {
            let width_pt = width * share / weight;
            let place = Place {
                width_pt: width_pt - 2.0 * INSET_PT,
                size_pt: STRIP_PT,
                bold: false,
                max_lines: Some(STRIP_LINES),
            };
            StripCell { label, width_pt, value: value.map(|value| self.ruler.fit_label(value, place)) }
        };
        cells.iter().map(cell).collect()
    }

    pub(super) fn text(&self, text: &str, width_pt: f64, size_pt: f64, max_lines: Option<u32>) -> Fitted {
        self.ruler.fit(text, Place { width_pt, size_pt, bold: false, max_lines })
    }

    pub(super) fn bold(&self, text: &str, width_pt: f64, size_pt: f64, max_lines: u32) -> Fitted {
        self.ruler.fit(text, Place { width_pt, size_pt, bold: true, max_lines: Some(max_lines) })
    }

    fn content_pt(&self, orientation: Orientation) -> f64 {
        let (width, height) = self.binder.locale.paper_size().millimetres();
        let across = if orientation == Orientation::Landscape { height } else { width };
        (across - LEFT_MM - RIGHT_MM) * POINTS_PER_MM
    }
}

fn empty_pair() -> Vec<CellData> {
    let blank = || CellData { text: Fitted::Whole(String::new()), link: None };
    vec![blank(), blank()]
}

fn front_facts(block: &TitleBlock) -> Vec<Fact> {
    let fact = |label: &str, value: &str| Fact::new(label, Cell::text(value));
    vec![
        fact("Customer", &block.customer),
        fact("Site", &block.site),
        fact("Job number", &block.job_number),
        fact("Revision", &block.revision),
        Fact::new("Issue date", block.issue_date.map_or_else(Cell::empty, Cell::date)),
        fact("Status", &block.status),
        fact("Prepared by", &block.prepared_by),
        fact("Checked by", &block.checked_by),
        fact("Units", &block.units),
        fact("Currency", &block.currency),
    ]
}
