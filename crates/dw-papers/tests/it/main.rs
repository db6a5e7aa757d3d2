//! The writers seen from outside: what is read back from their files.

mod csv_files;
mod fixture;
mod hostile;
mod pdf;
mod workbook;
