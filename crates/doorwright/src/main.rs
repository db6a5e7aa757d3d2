//! The doorwright command line.

fn main() {}
