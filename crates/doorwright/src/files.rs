//! Reading jobs and catalogues from disk, and writing files whole or not at all.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, bail};
use dw_core::Sink;
use dw_job::{Catalogue, Document, JOB_FILE, Job, Profile};

use crate::args::JobArgs;
use crate::shipped;

/// A job with what it is designed with, and what reading them raised.
pub struct Loaded {
    pub job: Job,
    pub catalogue: Catalogue,
    pub profile: Profile,
    pub read: Sink,
}

/// Name of a catalogue file that may stand beside the job and is laid over the others.
const JOB_CATALOGUE: &str = "catalogue.toml";

/// Loads the job, its catalogue and its profile.
pub fn load(args: &JobArgs) -> anyhow::Result<Loaded> {
    let folder = job_folder(&args.job)?;
    let mut catalogue = if args.own_catalogue_only { Vec::new() } else { shipped::catalogue() };
    let beside = folder.join(JOB_CATALOGUE);
    let own = args.catalogue.iter().cloned().chain(beside.exists().then_some(beside));
    for path in own {
        catalogue.push(document(&path, &path.display().to_string())?);
    }
    let profile = args.profile.as_deref().map(|path| document(path, &path.display().to_string())).transpose()?;
    Ok(assemble(&job_documents(&folder)?, &catalogue, profile))
}

/// Reads documents already in memory.
pub fn assemble(job: &[Document], catalogue: &[Document], profile: Option<Document>) -> Loaded {
    let (job, mut read) = Job::read(job);
    let (catalogue, said) = Catalogue::read(catalogue);
    read.append(said);
    let (profile, said) = match profile {
        Some(document) => Profile::read(&document),
        None => Profile::named(job.policy.code_profile.as_deref(), &shipped::profiles()),
    };
    read.append(said);
    Loaded { job, catalogue, profile, read }
}

/// The folder of a job given by folder or by document.
pub fn job_folder(path: &Path) -> anyhow::Result<PathBuf> {
    if path.is_dir() {
        if !path.join(JOB_FILE).exists() {
            bail!("there is no {JOB_FILE} in {}; begin one with: doorwright new FOLDER", path.display());
        }
        return Ok(path.to_owned());
    }
    if path.file_name().is_some_and(|name| name == JOB_FILE) && path.exists() {
        return Ok(path.parent().map(Path::to_owned).unwrap_or_default());
    }
    bail!("{} is neither a folder with a {JOB_FILE} nor a {JOB_FILE}", path.display())
}

/// The document and every CSV file of a job's folder, by name. One that is no sheet is handed on unread, to be told of.
fn job_documents(folder: &Path) -> anyhow::Result<Vec<Document>> {
    let failed = || format!("cannot read the folder {}", folder.display());
    let mut names = vec![JOB_FILE.to_owned()];
    let here = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    for entry in fs::read_dir(here).with_context(failed)? {
        let path = entry.with_context(failed)?.path();
        let is_sheet = path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("csv"));
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
        names.extend(name.filter(|_| is_sheet && path.is_file()));
    }
    names[1..].sort_unstable();
    let is_known = |name: &str| name == JOB_FILE || Job::SHEETS.iter().any(|row| row.0 == name);
    let read = |name: &String| {
        if is_known(name) {
            document(&folder.join(name), name)
        } else {
            Ok(Document { name: name.clone(), bytes: Vec::new() })
        }
    };
    names.iter().map(read).collect()
}

fn document(path: &Path, name: &str) -> anyhow::Result<Document> {
    Ok(Document { name: name.to_owned(), bytes: bytes(path)? })
}

/// Reads a file.
pub fn bytes(path: &Path) -> anyhow::Result<Vec<u8>> {
    fs::read(path).with_context(|| format!("cannot read {}", path.display()))
}

/// Reads a text file.
pub fn text(path: &Path) -> anyhow::Result<String> {
    let bytes = bytes(path)?;
    String::from_utf8(bytes).with_context(|| format!("{} is not UTF-8; save it again as UTF-8", path.display()))
}

/// Makes a folder.
pub fn make_folder(path: &Path) -> anyhow::Result<()> {
    fs::create_dir_all(path).with_context(|| format!("cannot make the folder {}", path.display()))
}

/// Writes a file whole or not at all: a crash, a full disk or a power cut leaves the old file as it was.
pub fn write(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    let failed = || format!("cannot write {}; what was there before is untouched", path.display());
    let folder = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new().prefix(".writing-").tempfile_in(folder).with_context(failed)?;
    file.write_all(bytes).with_context(failed)?;
    file.as_file().sync_all().with_context(failed)?;
    set_usual_permissions(file.as_file()).with_context(failed)?;
    file.persist(path).map_err(|error| error.error).with_context(failed)?;
    Ok(())
}

/// Temporary files are private; what we write for people is readable like any other file.
fn set_usual_permissions(file: &fs::File) -> std::io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        file.set_permissions(fs::Permissions::from_mode(0o644))?;
    }
    #[cfg(not(unix))]
    let _ = file;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sheet_of_the_folder_is_looked_at_and_only_known_ones_are_read() {
        let folder = tempfile::tempdir().unwrap();
        for name in [JOB_FILE, "openings.csv", "opening.CSV", "notes.txt"] {
            fs::write(folder.path().join(name), name).unwrap();
        }
        let documents = job_documents(folder.path()).unwrap();
        let found: Vec<(&str, usize)> = documents.iter().map(|one| (one.name.as_str(), one.bytes.len())).collect();
        assert_eq!(found, [(JOB_FILE, JOB_FILE.len()), ("opening.CSV", 0), ("openings.csv", "openings.csv".len())]);
    }
}
