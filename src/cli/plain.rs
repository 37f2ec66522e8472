//! Files from outside: only plain ones are read, each within a size, and no
//! link leads out of a folder that somebody else may have filled.

use super::unusable::{Unusable, unusable};
use std::fs::{self, File, FileType, Metadata, OpenOptions};
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

/// Who named a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// A person, on the command line: a link is that person's own.
    ByHand,
    /// A folder that it lies in: a link is not followed.
    ByFolder,
}

/// The most files in one folder of a job.
const MOST_FILES: usize = 4_000;

impl Named {
    fn look(self, path: &Path) -> std::io::Result<Metadata> {
        match self {
            Named::ByHand => fs::metadata(path),
            Named::ByFolder => fs::symlink_metadata(path),
        }
    }
}

/// A plain file, whole.
pub fn read(path: &Path, most: u64, named: Named) -> Result<Vec<u8>, Unusable> {
    let seen = named.look(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound if is_link(path) => {
            Unusable::new(path, "is a link that leads nowhere; name the file itself")
        }
        _ => unusable(path)(error),
    })?;
    plain(path, seen.file_type())?;
    let file = open(path, named).map_err(unusable(path))?;
    // It may have been exchanged since it was looked at.
    let long = file.metadata().map_err(unusable(path)).and_then(|seen| {
        plain(path, seen.file_type())?;
        Ok(seen.len())
    })?;
    let large = || Unusable::new(path, format!("larger than {}", size(most)));
    if long > most {
        return Err(large());
    }
    let mut bytes = Vec::with_capacity(long as usize + 1);
    let read = file.take(most + 1).read_to_end(&mut bytes).map_err(unusable(path))?;
    if read as u64 > most { Err(large()) } else { Ok(bytes) }
}

/// A plain file of any size, to be read bit by bit.
pub fn streamed(path: &Path, named: Named) -> Result<File, Unusable> {
    let file = open(path, named).map_err(unusable(path))?;
    let seen = file.metadata().map_err(unusable(path))?;
    plain(path, seen.file_type())?;
    Ok(file)
}

fn size(bytes: u64) -> String {
    match bytes >> 20 {
        0 => format!("{} KiB", bytes >> 10),
        mib => format!("{mib} MiB"),
    }
}

/// Whether anything has this name in a folder, be it a link that leads nowhere.
pub fn is_there(path: &Path) -> Result<bool, Unusable> {
    match fs::symlink_metadata(path) {
        Ok(_) => Ok(true),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(false),
        Err(error) => Err(unusable(path)(error)),
    }
}

/// What lies in a folder, in the order of names; `None` where there is none.
pub fn entries(dir: &Path, named: Named) -> Result<Option<Vec<PathBuf>>, Unusable> {
    if named == Named::ByFolder {
        if !is_there(dir)? {
            return Ok(None);
        }
        let kind = fs::symlink_metadata(dir).map_err(unusable(dir))?.file_type();
        if kind.is_symlink() {
            return Err(Unusable::new(dir, LINK));
        }
        if !kind.is_dir() {
            return Err(Unusable::new(dir, "is no folder; take it out, or make it one"));
        }
    }
    let mut found = Vec::new();
    for entry in fs::read_dir(dir).map_err(unusable(dir))? {
        if found.len() == MOST_FILES {
            let why = format!("holds more than {MOST_FILES} files; take out what is not the job's");
            return Err(Unusable::new(dir, why));
        }
        found.push(entry.map_err(unusable(dir))?.path());
    }
    found.sort();
    Ok(Some(found))
}

/// The name of an entry as text.
pub fn name(path: &Path) -> Result<&str, Unusable> {
    let name = path.file_name().and_then(|name| name.to_str());
    name.ok_or_else(|| Unusable::new(path, "the name is not text; rename it"))
}

pub fn is_link(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|seen| seen.file_type().is_symlink())
}

const LINK: &str = "is a link, which is not followed; put the file itself there";

/// A place that is written to holds a plain file or nothing.
pub fn writable(path: &Path) -> Result<(), Unusable> {
    match fs::symlink_metadata(path) {
        Ok(seen) if seen.file_type().is_symlink() => {
            Err(Unusable::new(path, "is a link; name the file that it leads to"))
        }
        Ok(seen) => plain(path, seen.file_type()),
        Err(_) => Ok(()),
    }
}

fn plain(path: &Path, kind: FileType) -> Result<(), Unusable> {
    if kind.is_file() {
        return Ok(());
    }
    Err(Unusable::new(
        path,
        if kind.is_symlink() {
            LINK
        } else if kind.is_dir() {
            "is a folder, not a file"
        } else {
            "is no plain file; a pipe or a device is neither read nor written"
        },
    ))
}

/// A pipe does not keep the program waiting.
#[cfg(unix)]
fn open(path: &Path, named: Named) -> std::io::Result<File> {
    use rustix::fs::OFlags;
    use std::os::unix::fs::OpenOptionsExt;
    let flags = match named {
        Named::ByHand => OFlags::NONBLOCK,
        Named::ByFolder => OFlags::NONBLOCK | OFlags::NOFOLLOW,
    };
    OpenOptions::new().read(true).custom_flags(flags.bits() as i32).open(path)
}

#[cfg(not(unix))]
fn open(path: &Path, _: Named) -> std::io::Result<File> {
    OpenOptions::new().read(true).open(path)
}
