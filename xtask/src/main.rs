//! Checks and generated files of the repository.

fn main() {}
