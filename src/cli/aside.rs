//! Files and folders that come to be whole or not at all: written aside and
//! moved into place. What is aside is taken away where the program is stopped
//! by a signal that can be caught; after `kill -9` it stays, under a name that
//! begins with `.benchleaf-`.

use super::signals::hold;
use super::unusable::{Unusable, unusable};
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// How what is written aside is called.
const PREFIX: &str = ".benchleaf-";

/// A file written aside.
pub struct Aside {
    /// `None` once it is moved.
    file: Option<NamedTempFile<File>>,
    path: PathBuf,
}

impl Aside {
    pub fn write(path: &Path, bytes: &[u8]) -> Result<Aside, Unusable> {
        let mut aside = Aside::begin(path)?;
        aside.add(bytes).and_then(|()| aside.on_disk()).map_err(unusable(path))?;
        Ok(aside)
    }

    /// For what is written bit by bit, with nothing in it yet.
    pub fn begin(path: &Path) -> Result<Aside, Unusable> {
        let dir = parent(path);
        fs::create_dir_all(dir).map_err(unusable(dir))?;
        let made = tempfile::Builder::new().prefix(PREFIX).make_in(dir, |name| {
            let mut held = hold();
            let file = create(name)?;
            held.add(name);
            Ok(file)
        });
        let file = made.map_err(unusable(path))?;
        let own = file.path().to_owned();
        Ok(Aside { file: Some(file), path: own })
    }

    pub fn add(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.as_mut().map_or(Ok(()), |file| file.as_file_mut().write_all(bytes))
    }

    /// Adds all that is in another file.
    pub fn add_all_of(&mut self, from: &mut File) -> io::Result<()> {
        let Some(file) = self.file.as_mut() else { return Ok(()) };
        io::copy(from, file.as_file_mut()).map(|_| ())
    }

    pub fn on_disk(&self) -> io::Result<()> {
        self.file.as_ref().map_or(Ok(()), |file| file.as_file().sync_data())
    }

    /// Moves it over whatever has the name.
    pub fn replace(mut self, path: &Path) -> io::Result<()> {
        let Some(file) = self.file.take() else { return Ok(()) };
        file.persist(path).map(|_| ()).map_err(|error| error.error)
    }

    /// Moves it to a name that nothing has; whether it was moved.
    pub fn create(mut self, path: &Path) -> io::Result<bool> {
        let Some(file) = self.file.take() else { return Ok(false) };
        match file.persist_noclobber(path) {
            Ok(_) => Ok(true),
            Err(error) if error.error.kind() == ErrorKind::AlreadyExists => Ok(false),
            Err(error) => Err(error.error),
        }
    }
}

impl Drop for Aside {
    fn drop(&mut self) {
        drop(self.file.take());
        hold().forget(&self.path);
    }
}

#[cfg(unix)]
fn create(name: &Path) -> io::Result<File> {
    use std::os::unix::fs::OpenOptionsExt;
    OpenOptions::new().read(true).write(true).create_new(true).mode(0o644).open(name)
}

#[cfg(not(unix))]
fn create(name: &Path) -> io::Result<File> {
    OpenOptions::new().read(true).write(true).create_new(true).open(name)
}

pub fn parent(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// A folder written aside, and taken away unless it is moved into place.
struct Folder {
    path: PathBuf,
}

impl Folder {
    fn make(within: &Path) -> io::Result<Folder> {
        let made = tempfile::Builder::new().prefix(PREFIX).make_in(within, |name| {
            let mut held = hold();
            fs::create_dir(name)?;
            held.add(name);
            Ok(())
        })?;
        let (_, path) = made.into_parts();
        let path = path.keep().map_err(|error| error.error)?;
        Ok(Folder { path })
    }

    /// All at once, in place of nothing.
    fn becomes(&self, dir: &Path) -> io::Result<()> {
        let mut held = hold();
        fs::rename(&self.path, dir)?;
        held.forget(&self.path);
        Ok(())
    }

    /// What is in it, into the folder that it was made in. A signal waits until
    /// all of it is moved; where one cannot be moved, none is.
    fn empties_into(&self, dir: &Path) -> io::Result<()> {
        let _held = hold();
        let mut moved: Vec<(PathBuf, PathBuf)> = Vec::new();
        let mut all = || {
            for entry in fs::read_dir(&self.path)? {
                let entry = entry?;
                let to = dir.join(entry.file_name());
                if fs::symlink_metadata(&to).is_ok() {
                    return Err(io::Error::from(ErrorKind::AlreadyExists));
                }
                fs::rename(entry.path(), &to)?;
                moved.push((entry.path(), to));
            }
            Ok(())
        };
        let done = all();
        if done.is_err() {
            for (from, to) in &moved {
                let _ = fs::rename(to, from);
            }
        }
        done
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let mut held = hold();
        let _ = fs::remove_dir_all(&self.path);
        held.forget(&self.path);
    }
}

/// Fills a folder that does not exist, or is empty, whole or not at all. `fill`
/// is given the folder to write into.
pub fn folder(
    dir: &Path,
    fill: impl FnOnce(&Path) -> Result<(), Unusable>,
) -> Result<(), Unusable> {
    let own = |error: Unusable, from: &Path, to: &Path| error.moved(from, to);
    if dir.is_dir() {
        let aside = Folder::make(dir).map_err(unusable(dir))?;
        fill(&aside.path).map_err(|error| own(error, &aside.path, dir))?;
        return aside.empties_into(dir).map_err(unusable(dir));
    }
    // The folders above it that do not exist come with it.
    let missing = dir
        .ancestors()
        .take_while(|above| !above.as_os_str().is_empty() && fs::symlink_metadata(above).is_err());
    let top = missing.last().unwrap_or(dir);
    let aside = Folder::make(parent(top)).map_err(unusable(dir))?;
    let inner = match dir.strip_prefix(top) {
        Ok(below) if !below.as_os_str().is_empty() => aside.path.join(below),
        _ => aside.path.clone(),
    };
    fs::create_dir_all(&inner).map_err(unusable(dir))?;
    fill(&inner).map_err(|error| own(error, &inner, dir))?;
    aside.becomes(top).map_err(unusable(dir))
}
