//! CSV files, read back.

use crate::fixture::ferry_terminal;
use dw_papers::write_csv;

#[test]
fn every_table_is_a_file_with_units_in_its_head() {
    let files = write_csv(&ferry_terminal("de-DE")).unwrap();
    let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "proposal-quantities.csv",
            "opening-schedule-openings.csv",
            "bill-of-materials-materials.csv",
            "power-loads.csv",
            "findings-findings.csv"
        ]
    );
    assert!(files[1].bytes.starts_with(
        b"Mark,Opening,Leaf,Handing,Lock,Reader,Exit,Fits lock / wires,Cable (m),At lock (V),Normal use,On fire,"
    ));
    assert_eq!(files[3].bytes, b"Device,Quantity,Standby (A),Peak (A)\r\n");
}

#[test]
fn values_read_back_as_numbers_whatever_the_locale_and_lines_end_as_the_standard_says() {
    let files = write_csv(&ferry_terminal("de-DE")).unwrap();
    let text = std::str::from_utf8(&files[2].bytes).unwrap();
    assert!(text.ends_with("\r\n") && !text.replace("\r\n", "").contains('\n'));
    let mut reader = csv::Reader::from_reader(files[2].bytes.as_slice());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(
        rows[4].iter().collect::<Vec<_>>(),
        ["M-05", "Electric strike, 12 V, fail secure", "21", "piece", "88.25", "1853.25"]
    );
    let total: f64 = rows[10][5].parse().unwrap();
    let sum: f64 = rows[..10].iter().map(|row| row[5].parse::<f64>().unwrap()).sum();
    assert!((total - sum).abs() < 0.005, "{total} is not {sum}");
}
