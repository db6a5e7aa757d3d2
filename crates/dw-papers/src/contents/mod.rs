//! What the papers say: a design turned into a binder, and the binder into files.
//!
//! One module a paper. Each gives the paper for people, and its tables for programs: the same rows, groups as a column,
//! nothing where a figure is not known.

mod architecture;
mod cables;
mod card_order;
mod choices;
mod controllers;
mod findings;
mod links;
mod materials;
mod openings;
mod power;
mod price_parts;
mod proposal;
mod quantities;
mod rows;
mod split;
mod title;
mod view;
mod words;
mod workings;

#[cfg(test)]
mod fixture;
#[cfg(test)]
mod tests;

use dw_engine::Design;

use crate::model::{Binder, Block, Orientation, Paper, Table};
use crate::{Error, Which, csv_out, write_pdf, write_xlsx};
use view::View;

/// One file of the papers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperFile {
    /// File name without a folder: "opening-schedule.pdf".
    pub name: String,
    /// Contents.
    pub bytes: Vec<u8>,
}

/// All papers of a design: the binder and each paper as PDF, the schedules as one workbook and as CSV files.
///
/// Files come in a fixed order with names that never depend on the job; the same design gives the same bytes.
pub fn papers(design: &Design) -> Result<Vec<PaperFile>, Error> {
    let view = View::new(design);
    let binder = binder(&view);
    let mut files = vec![PaperFile { name: "binder.pdf".to_owned(), bytes: write_pdf(&binder, Which::Binder)? }];
    for paper in &binder.papers {
        files
            .push(PaperFile { name: format!("{}.pdf", paper.id), bytes: write_pdf(&binder, Which::Paper(&paper.id))? });
    }
    let schedules = schedules(&view, binder);
    files.push(PaperFile { name: "schedules.xlsx".to_owned(), bytes: write_xlsx(&schedules)? });
    let currency = &schedules.title_block.currency;
    for table in tables_of(&schedules) {
        files.push(PaperFile { name: format!("{}.csv", table.id), bytes: csv_out::one_table(table, currency)? });
    }
    Ok(files)
}

/// Every paper with the workings that its figures link to.
fn binder(view: &View<'_>) -> Binder {
    let mut papers = vec![
        proposal::paper(view),
        openings::paper(view),
        materials::paper(view),
        cables::paper(view),
        controllers::paper(view),
        power::paper(view),
        links::paper(view),
    ];
    papers.extend(card_order::paper(view));
    papers.push(findings::paper(view));
    Binder {
        title_block: title::title_block(view),
        locale: view.locale.clone(),
        document_id: title::document_id(view),
        workings: workings::linked(view, &papers),
        papers,
    }
}

/// The tables for programs, under the title block of the papers.
fn schedules(view: &View<'_>, binder: Binder) -> Binder {
    let tables = [
        openings::tables(view),
        choices::tables(view),
        quantities::tables(view),
        materials::tables(view),
        cables::tables(view),
        controllers::tables(view),
        power::tables(view),
        links::tables(view),
        card_order::tables(view),
        findings::tables(view),
    ];
    let tables = tables.into_iter().flatten().map(rows::for_programs).map(Block::Table);
    let blocks = view.cautions().into_iter().chain(tables).collect();
    let paper = Paper {
        id: "schedules".to_owned(),
        title: "Schedules".to_owned(),
        orientation: Orientation::Landscape,
        blocks,
    };
    Binder { papers: vec![paper], workings: Vec::new(), ..binder }
}

fn tables_of(binder: &Binder) -> impl Iterator<Item = &Table> {
    let blocks = binder.papers.iter().flat_map(|paper| &paper.blocks);
    blocks.filter_map(|block| if let Block::Table(table) = block { Some(table) } else { None })
}
