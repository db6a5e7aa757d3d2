//! `cargo xtask gen [--check]`: writes the generated pages and schemas, or checks that they are as they should be.
//! `cargo xtask tidy`: checks the rules of the house. Both also run as tests.

use anyhow::bail;

fn main() -> anyhow::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let faults = match words.as_slice() {
        ["gen"] => return xtask::generate::write(&xtask::root()),
        ["gen", "--check"] => xtask::generate::check(&xtask::root()),
        ["tidy"] => xtask::tidy::check(&xtask::root())?,
        _ => bail!("usage: cargo xtask gen [--check] | cargo xtask tidy"),
    };
    if faults.is_empty() { Ok(()) } else { bail!("{}", faults.join("\n")) }
}
