//! Writes a made-up estate: `cargo run --release -p dw-instance --example estate -- 1000 7 10 > made.json` gives 1,000
//! openings by seed 7 with 10 % spare ports.

mod made;

use std::io::Write as _;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let numbers: Vec<i64> = std::env::args().skip(1).map(|word| word.parse()).collect::<Result<_, _>>()?;
    let (&[openings, seed, spare], true) = (numbers.as_slice(), numbers.iter().all(|&number| number >= 0)) else {
        return Err("usage: estate OPENINGS SEED SPARE_PERCENT".into());
    };
    let mut out = std::io::stdout().lock();
    serde_json::to_writer(&mut out, &made::estate(openings.clamp(1, 65_000), seed.unsigned_abs(), spare))?;
    out.write_all(b"\n")?;
    Ok(())
}
