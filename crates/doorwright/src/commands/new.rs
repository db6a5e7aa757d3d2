//! `new`: a job to begin with.

use anyhow::bail;

use crate::args::NewArgs;
use crate::{Outcome, files, shipped, show};

/// Writes the smallest sensible job into a new folder.
pub fn run(args: &NewArgs) -> anyhow::Result<Outcome> {
    files::make_folder(&args.folder)?;
    for document in shipped::first_job() {
        let path = args.folder.join(&document.name);
        if path.exists() {
            bail!("{} is there already and was not touched; choose another folder", path.display());
        }
        files::write(&path, &document.bytes)?;
    }
    let folder = args.folder.display();
    show::text(&format!("Began a job in {folder}\nEdit {folder}/job.toml, then: doorwright check {folder}\n"))?;
    Ok(Outcome::Clear)
}
