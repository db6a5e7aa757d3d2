//! `cargo xtask gen [--check]`: writes the generated pages and schemas, or checks that they are as they should be.
//! `cargo xtask tidy`: checks the rules of the house. Both also run as tests.
//! `cargo xtask facility` and `cargo xtask estate`: try placement on the published instances, see [`xtask::trials`].

use anyhow::bail;
use xtask::trials::{self, Options};

fn main() -> anyhow::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let faults = match words.as_slice() {
        ["gen"] => return xtask::generate::write(&xtask::root()),
        ["gen", "--check"] => xtask::generate::check(&xtask::root()),
        ["tidy"] => xtask::tidy::check(&xtask::root())?,
        ["facility", options @ ..] => return trials::facility(&xtask::root(), &Options::read(options)?),
        ["estate", options @ ..] => return trials::estate(&xtask::root(), &Options::read(options)?),
        _ => {
            bail!("usage: cargo xtask gen [--check] | tidy | facility [options] | estate [options]\n{}", trials::USAGE)
        }
    };
    if faults.is_empty() { Ok(()) } else { bail!("{}", faults.join("\n")) }
}
