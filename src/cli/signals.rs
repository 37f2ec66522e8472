//! What must not stay behind where the program is stopped: files and folders
//! written aside, and a terminal that shows nothing of what is typed.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};
use std::thread::sleep;
use std::time::Duration;

/// What is to be taken away, or back, before the program ends.
#[derive(Debug, Default)]
struct Left {
    aside: Vec<PathBuf>,
    #[cfg(unix)]
    terminal: Option<(std::fs::File, rustix::termios::Termios)>,
}

/// How often it is tried to take something away, and how far apart.
const TRIES: usize = 100;
const A_WHILE: Duration = Duration::from_millis(5);

static LEFT: Mutex<Option<Left>> = Mutex::new(None);

/// The list while it is held: a signal waits for it.
pub struct Held(MutexGuard<'static, Option<Left>>);

/// Keeps signals waiting while something is made or moved.
pub fn hold() -> Held {
    static LISTENING: Once = Once::new();
    LISTENING.call_once(listen);
    Held(LEFT.lock().unwrap_or_else(PoisonError::into_inner))
}

impl Held {
    fn left(&mut self) -> &mut Left {
        self.0.get_or_insert_default()
    }

    /// To be taken away.
    pub fn add(&mut self, path: &Path) {
        self.left().aside.push(path.to_owned());
    }

    /// Moved into place, or taken away already.
    pub fn forget(&mut self, path: &Path) {
        self.left().aside.retain(|known| known != path);
    }

    fn take_away(&mut self) {
        for path in self.left().aside.drain(..) {
            // A file may just be moved into a folder while that is emptied; after
            // it the program waits. What still cannot be taken away stays:
            // nobody is left to tell.
            for _ in 0..TRIES {
                let done = match path.is_dir() {
                    true => std::fs::remove_dir_all(&path),
                    false => std::fs::remove_file(&path),
                };
                match done {
                    Err(error) if error.kind() != io::ErrorKind::NotFound => sleep(A_WHILE),
                    _ => break,
                }
            }
        }
    }
}

/// Does some work during which the terminal may show nothing of what is typed.
pub fn with_terminal<T>(work: impl FnOnce() -> io::Result<T>) -> io::Result<T> {
    remember_terminal();
    let done = work();
    #[cfg(unix)]
    {
        hold().left().terminal = None;
    }
    done
}

#[cfg(unix)]
fn remember_terminal() {
    let tty = std::fs::OpenOptions::new().read(true).write(true).open("/dev/tty");
    if let Ok(tty) = tty
        && let Ok(as_it_is) = rustix::termios::tcgetattr(&tty)
    {
        hold().left().terminal = Some((tty, as_it_is));
    }
}

#[cfg(not(unix))]
fn remember_terminal() {}

/// Waits for the signals that end a program, unless they are to be ignored.
#[cfg(unix)]
fn listen() {
    use rustix::termios::{OptionalActions, tcsetattr};
    use signal_hook::consts::{SIGHUP, SIGINT, SIGQUIT, SIGTERM};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;
    let ignored = ignored();
    let awaited = [SIGHUP, SIGINT, SIGQUIT, SIGTERM];
    let awaited = awaited.into_iter().filter(|signal| ignored & (1 << (signal - 1)) == 0);
    // Where no thread is to be had, a signal ends the program as it always did.
    let Ok(mut signals) = Signals::new(awaited) else { return };
    let _ = std::thread::Builder::new().name("signals".to_owned()).spawn(move || {
        if let Some(signal) = signals.forever().next() {
            // Held to the end: nothing more is made.
            let mut held = Held(LEFT.lock().unwrap_or_else(PoisonError::into_inner));
            held.take_away();
            if let Some((tty, as_it_was)) = &held.left().terminal {
                let _ = tcsetattr(tty, OptionalActions::Now, as_it_was);
            }
            let _ = emulate_default_handler(signal);
        }
    });
}

/// The signals that were ignored when the program began (by nohup, say), a bit
/// each; none where the system does not tell.
#[cfg(unix)]
fn ignored() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or(0)
}

#[cfg(not(unix))]
fn listen() {}
