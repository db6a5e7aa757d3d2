//! The writers seen from outside: what is read back from their files.

#![allow(clippy::unwrap_used, reason = "a file that cannot be read back fails its test")]

mod csv_files;
mod demo;
mod fixture;
mod hostile;
mod pdf;
mod workbook;
