//! Two commands at once: what one reads, changes and writes back is not written
//! by another in between. The lock is the folder's own (`flock`): it leaves no
//! file, and the system takes it off where the program is killed.

use super::aside::parent;
use super::say::complain;
use super::unusable::{Unusable, unusable};
use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};

/// Held while a file of a folder is exchanged for another.
#[derive(Debug)]
pub struct Lock {
    folder: PathBuf,
    /// `None` where the disk knows no locks on folders, as some do that lie
    /// across a network.
    _held: Option<File>,
}

impl Lock {
    /// Waits until no other command writes into the folder of this file.
    pub fn beside(path: &Path) -> Result<Lock, Unusable> {
        let folder = parent(path);
        fs::create_dir_all(folder).map_err(unusable(folder))?;
        let held = File::open(folder).ok().and_then(|held| wait(held, folder));
        Ok(Lock { folder: folder.to_owned(), _held: held })
    }

    /// Whether it is for the folder of this file.
    pub fn is_for(&self, path: &Path) -> bool {
        parent(path) == self.folder
    }
}

fn wait(held: File, folder: &Path) -> Option<File> {
    match held.try_lock() {
        Ok(()) => Some(held),
        Err(TryLockError::WouldBlock) => {
            complain!("benchleaf: {}: another command writes here; waiting", folder.display());
            held.lock().ok().map(|()| held)
        }
        Err(TryLockError::Error(_)) => None,
    }
}
