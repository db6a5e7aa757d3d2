//! The papers of a design: PDF, XLSX, CSV and JSON
