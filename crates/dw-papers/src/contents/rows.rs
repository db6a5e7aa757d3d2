//! Tables from items: a column and how its cells are found stand together.

use super::words::UNKNOWN;
use crate::model::{Cell, Column, Row, RowKind, Table, Value};

/// A column, and the cell that an item has in it.
pub(super) struct Field<'a, T: ?Sized> {
    column: Column,
    cell: Box<dyn Fn(&T) -> Cell + 'a>,
}

/// A column, and the cell that an item has in it.
pub(super) fn field<'a, T: ?Sized>(column: Column, cell: impl Fn(&T) -> Cell + 'a) -> Field<'a, T> {
    Field { column, cell: Box::new(cell) }
}

/// A table with a row for each item.
pub(super) fn table<T>(id: &str, title: &str, fields: &[Field<'_, T>], items: &[T]) -> Table {
    Table { rows: rows(fields, items), ..head(id, title, fields) }
}

/// A row for each item.
fn rows<T>(fields: &[Field<'_, T>], items: &[T]) -> Vec<Row> {
    items.iter().map(|item| Row::new(fields.iter().map(|field| (field.cell)(item)).collect())).collect()
}

/// A table with a bold line above the items of each group.
pub(super) fn grouped<T>(id: &str, title: &str, fields: &[Field<'_, T>], groups: &[(String, Vec<T>)]) -> Table {
    let lines = groups.iter().flat_map(|(name, items)| std::iter::once(Row::group(name)).chain(rows(fields, items)));
    Table { rows: lines.collect(), ..head(id, title, fields) }
}

fn head<T>(id: &str, title: &str, fields: &[Field<'_, T>]) -> Table {
    let columns = fields.iter().map(|field| field.column.clone()).collect();
    Table { id: id.to_owned(), title: title.to_owned(), columns, rows: Vec::new() }
}

/// Items in groups by a key, in the order of the keys; items keep their order within a group.
pub(super) fn by_key<K: Ord, T>(items: impl IntoIterator<Item = T>, key: impl Fn(&T) -> K) -> Vec<(K, Vec<T>)> {
    let mut groups = std::collections::BTreeMap::<K, Vec<T>>::new();
    for item in items {
        groups.entry(key(&item)).or_default().push(item);
    }
    groups.into_iter().collect()
}

/// A row that sums: its words in the first column, and the cells of some others.
pub(super) fn total<const N: usize>(columns: usize, words: &str, sums: [(usize, Cell); N]) -> Row {
    let mut cells = vec![Cell::empty(); columns];
    cells[0] = Cell::text(words);
    for (column, cell) in sums {
        cells[column] = cell;
    }
    Row::total(cells)
}

/// What is known, or the sign for what is not.
pub(super) fn known<T>(value: Option<T>, cell: impl FnOnce(T) -> Cell) -> Cell {
    value.map_or_else(|| Cell::text(UNKNOWN), cell)
}

/// A count, blank for none.
pub(super) fn some(count: u32) -> Cell {
    if count == 0 { Cell::empty() } else { Cell::count(count) }
}

/// A share of one as percent.
pub(super) fn percent(share: f64, digits: u8) -> Cell {
    Cell::number(share * 100.0, digits)
}

/// The table as a program wants it: the groups as a first column, no sums between rows, nothing where a figure is not
/// known.
pub(super) fn for_programs(mut table: Table) -> Table {
    let has_groups = table.rows.iter().any(|row| row.kind == RowKind::Group);
    let last = table.rows.iter().rposition(|row| row.kind != RowKind::Total).map_or(0, |idx| idx + 1);
    let mut group = Cell::empty();
    let mut rows = Vec::with_capacity(table.rows.len());
    for (idx, mut row) in table.rows.drain(..).enumerate() {
        match row.kind {
            RowKind::Group => {
                group = row.cells.swap_remove(0);
                continue;
            }
            RowKind::Total if idx < last => continue,
            RowKind::Total | RowKind::Normal => {}
        }
        for cell in &mut row.cells {
            if matches!(&cell.value, Value::Text(text) if text == UNKNOWN) {
                cell.value = Value::Empty;
            }
        }
        if has_groups {
            row.cells.insert(0, if row.kind == RowKind::Total { Cell::empty() } else { group.clone() });
        }
        rows.push(row);
    }
    if has_groups {
        table.columns.insert(0, Column::text("Part", 1.0));
    }
    Table { rows, ..table }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_for_programs_has_groups_as_a_column_and_sums_only_at_its_end() {
        let fields = [
            field(Column::text("Name", 1.0), |item: &(&str, Option<f64>)| Cell::text(item.0)),
            field(Column::number("Length", "m", 1.0), |item: &(&str, Option<f64>)| {
                known(item.1, |length| Cell::number(length, 1))
            }),
        ];
        let groups =
            [("One".to_owned(), vec![("a", Some(1.0)), ("b", None)]), ("Two".to_owned(), vec![("c", Some(2.0))])];
        let mut table = grouped("t", "T", &fields, &groups);
        table.rows.insert(3, total(2, "One", [(1, Cell::number(1.0, 1))]));
        table.rows.push(total(2, "All", [(1, Cell::number(3.0, 1))]));
        let flat = for_programs(table);
        assert_eq!(
            flat.columns.iter().map(|column| column.title.as_str()).collect::<Vec<_>>(),
            ["Part", "Name", "Length"]
        );
        assert_eq!(flat.rows.len(), 4);
        assert_eq!(flat.rows[1].cells, [Cell::text("One"), Cell::text("b"), Cell::empty()]);
        assert_eq!(flat.rows[3].cells, [Cell::empty(), Cell::text("All"), Cell::number(3.0, 1)]);
    }
}
