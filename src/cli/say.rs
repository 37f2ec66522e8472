//! All that reaches a terminal goes through this file. Words from outside (of
//! files, folders, certificates, arguments) may hold control characters or turn
//! the direction of writing: they are shown as their escapes. A reader that
//! closes the pipe early ends the saying, not the work; any other output that
//! cannot be written is an error.

use super::signals::with_terminal;
use crate::diag::{Diags, Sources, shown, unprinted};
use std::cell::RefCell;
use std::fmt::{self, Display, Write as _};
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::panic;
use std::sync::OnceLock;

/// Where a text goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum To {
    /// The standard output.
    Out,
    /// The standard error.
    Complaints,
}

/// A text that is safe to print. Only the functions of this file make one.
#[derive(Clone, Debug)]
pub struct Safe(String);

/// What was said, in its order, to be told later.
#[derive(Debug, Default)]
pub struct Held(Vec<(To, Safe)>);

thread_local! {
    /// What this thread holds back; `None` where it speaks at once.
    static HELD: RefCell<Option<Held>> = const { RefCell::new(None) };
}

/// Why the standard output could not be written, the first time.
static UNWRITTEN: OnceLock<io::Error> = OnceLock::new();

/// Back to the start of the line, and the line emptied (ECMA-48: CR, EL).
const EMPTY: &str = "\r\u{1b}[K";

/// Does some work and holds back all that it says on this thread.
pub fn hold<T>(work: impl FnOnce() -> T) -> (T, Held) {
    let before = HELD.replace(Some(Held::default()));
    let done = work();
    (done, HELD.replace(before).unwrap_or_default())
}

impl Held {
    /// Says all of it.
    pub fn tell(&self) {
        self.0.iter().for_each(|(to, text)| speak(*to, text));
    }

    /// Says all of it with a name before each line. What a machine reads on the
    /// standard output stays as it is.
    pub fn tell_of(&self, name: &str, for_machines: bool) {
        for (to, text) in &self.0 {
            match to {
                To::Out if for_machines => utter(*to, text.clone()),
                To::Out | To::Complaints => utter(*to, named(name, text)),
            }
        }
    }

    /// Texts that follow one another to one place are one.
    fn add(&mut self, to: To, text: Safe) {
        match self.0.last_mut() {
            Some((last, said)) if *last == to => said.0.push_str(&text.0),
            _ => self.0.push((to, text)),
        }
    }

    #[cfg(test)]
    pub fn texts(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(_, text)| text.0.as_str())
    }
}

impl Safe {
    /// One line, with its end.
    fn line(words: fmt::Arguments<'_>) -> Safe {
        let mut text = words.to_string();
        if text.chars().any(unprinted) {
            text = shown(&text);
        }
        text.push('\n');
        Safe(text)
    }

    /// Several lines as they are, tabs among them.
    fn lines(text: &str) -> Safe {
        let part = |letter: char| match letter {
            '\n' | '\t' => letter.to_string(),
            _ => shown(letter.encode_utf8(&mut [0; 4])),
        };
        match text.chars().any(|letter| unprinted(letter) && letter != '\n') {
            true => Safe(text.chars().map(part).collect()),
            false => Safe(text.to_owned()),
        }
    }

    /// The same, colours kept (ECMA-48: SGR, figures alone between `[` and `m`).
    fn coloured(text: &str) -> Safe {
        let mut safe = String::with_capacity(text.len());
        for (nth, part) in text.split('\u{1b}').enumerate() {
            let colour = part.strip_prefix('[').and_then(|rest| rest.split_once('m'));
            let colour = colour.filter(|(figures, _)| {
                nth > 0 && figures.bytes().all(|byte| byte.is_ascii_digit() || byte == b';')
            });
            match colour {
                Some((figures, rest)) => {
                    let _ = write!(safe, "\u{1b}[{figures}m{}", Safe::lines(rest).0);
                }
                None if nth == 0 => safe.push_str(&Safe::lines(part).0),
                None => safe.push_str(&Safe::lines(&format!("\u{1b}{part}")).0),
            }
        }
        Safe(safe)
    }

    /// JSON: what is not printed stands only inside its strings, where an
    /// escape means the same.
    fn json(text: &str) -> Safe {
        let mut safe = String::with_capacity(text.len());
        for letter in text.chars() {
            if unprinted(letter) && letter != '\n' {
                let mut units = [0; 2];
                for unit in letter.encode_utf16(&mut units) {
                    let _ = write!(safe, "\\u{unit:04x}");
                }
            } else {
                safe.push(letter);
            }
        }
        Safe(safe)
    }
}

/// Says one line.
pub fn one_line(to: To, words: fmt::Arguments<'_>) {
    utter(to, Safe::line(words));
}

/// Says a text of several lines.
pub fn say(text: &str) {
    utter(To::Out, Safe::lines(text));
}

/// Says a JSON text.
pub fn json(text: &str) {
    utter(To::Out, Safe::json(text));
}

/// Says what is wrong with the files, on the standard error.
pub fn diagnostics(out: &Diags, files: &Sources) {
    if !out.is_empty() {
        let colour = io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
        let text = out.render(files, colour);
        let text = format!("{}\n", text.trim_end());
        let safe = if colour { Safe::coloured(&text) } else { Safe::lines(&text) };
        utter(To::Complaints, safe);
    }
}

/// Says what clap has to say of the arguments: help, or what is wrong with
/// them.
pub fn arguments(error: &clap::Error) {
    let to = if error.use_stderr() { To::Complaints } else { To::Out };
    utter(to, Safe::lines(&error.render().to_string()));
}

/// Asks for a passphrase on the terminal.
pub fn ask(question: &str) -> io::Result<String> {
    with_terminal(|| rpassword::prompt_password(shown(question)))
}

/// How far a call with several jobs is: one line, written over itself.
#[derive(Debug)]
pub struct Over {
    terminal: bool,
}

impl Over {
    /// Nothing is shown where standard error is no terminal.
    pub fn new() -> Over {
        Over { terminal: io::stderr().is_terminal() }
    }

    pub fn show(&self, line: &str) {
        if self.terminal {
            speak(To::Complaints, &Safe(format!("{EMPTY}{}", shown(line))));
        }
    }
}

/// A name before every line that holds something and does not begin with it.
fn named(name: &str, text: &Safe) -> Safe {
    let name = shown(name);
    let own = format!("benchleaf: {name}: ");
    let line = |line: &str| match line.trim().is_empty() || line.starts_with(&own) {
        true => line.to_owned(),
        false => format!("{name}: {line}"),
    };
    Safe(text.0.split_inclusive('\n').map(line).collect())
}

/// Why the standard output could not be written, where it could not; a pipe that
/// was closed is the reader's own choice.
pub fn unwritten() -> Option<&'static dyn Display> {
    UNWRITTEN.get().map(|error| error as &dyn Display)
}

/// A fault of the program is told like any other, without the words it carries
/// as they are. Threads named [`crate::scan::THREAD`] tell theirs themselves.
pub fn tell_failures() {
    panic::set_hook(Box::new(|failure| {
        if std::thread::current().name() == Some(crate::scan::THREAD) {
            return;
        }
        let at = failure.location().map(|at| format!("{}:{}", at.file(), at.line()));
        let payload = failure.payload();
        let text = payload.downcast_ref::<String>().map(String::as_str);
        let why = text.or(payload.downcast_ref::<&str>().copied()).unwrap_or("no reason given");
        complain!("benchleaf: the program panicked at {}: {why}", at.unwrap_or_default());
    }));
}

/// Says a text now, or holds it back where the thread does.
fn utter(to: To, text: Safe) {
    HELD.with_borrow_mut(|held| match held {
        Some(held) => held.add(to, text),
        None => speak(to, &text),
    });
}

fn speak(to: To, text: &Safe) {
    let done = match to {
        To::Out => {
            let mut out = io::stdout().lock();
            out.write_all(text.0.as_bytes()).and_then(|()| out.flush())
        }
        // Nobody is left to tell where this cannot be written.
        To::Complaints => io::stderr().write_all(text.0.as_bytes()).or(Ok(())),
    };
    if let Some(error) = done.err().filter(|error| error.kind() != ErrorKind::BrokenPipe) {
        let _ = UNWRITTEN.set(error);
    }
}

/// The same as `println!`, on one line.
macro_rules! line {
    ($($words:tt)*) => {
        $crate::cli::say::one_line($crate::cli::say::To::Out, format_args!($($words)*))
    };
}

/// The same as `eprintln!`, on one line.
macro_rules! complain {
    ($($words:tt)*) => {
        $crate::cli::say::one_line($crate::cli::say::To::Complaints, format_args!($($words)*))
    };
}

pub(crate) use {complain, line};

#[cfg(test)]
mod tests {
    use super::*;

    /// ESC, C1, the marks of direction, NUL, DEL and both ends of a line.
    const FOUL: &str = "a\u{1b}[2J\u{9b}1m\u{85}\u{202e}\u{200f}\u{2066}\0\u{7f}\r\nb";

    #[test]
    fn one_line_stays_one_line_of_printed_characters() {
        let said = Safe::line(format_args!("{FOUL}")).0;
        assert_eq!(
            said,
            "a\\u{1b}[2J\\u{9b}1m\\u{85}\\u{202e}\\u{200f}\\u{2066}\\u{0}\\u{7f}\\r\\nb\n"
        );
        assert_eq!(Safe::line(format_args!("µ → ∅")).0, "µ → ∅\n");
    }

    #[test]
    fn several_lines_keep_their_ends_and_nothing_else() {
        let said = Safe::lines(FOUL).0;
        assert!(said.ends_with("\\r\nb"), "{said}");
        assert!(said.chars().all(|letter| letter == '\n' || !unprinted(letter)), "{said}");
    }

    #[test]
    fn colours_are_kept_and_other_sequences_are_not() {
        let red = "\u{1b}[1m\u{1b}[31mfault\u{1b}[0m: ";
        let said = Safe::coloured(&format!("{red}{FOUL}\u{1b}")).0;
        let rest = said.strip_prefix(red).expect("the colours");
        assert!(rest.chars().all(|letter| letter == '\n' || !unprinted(letter)), "{rest}");
    }

    #[test]
    fn json_means_the_same() {
        let text = serde_json::to_string(&format!("{FOUL}\u{feff}µ")).expect("a text");
        let said = Safe::json(&text).0;
        assert!(said.chars().all(|letter| !unprinted(letter)), "{said}");
        let read: String = serde_json::from_str(&said).expect("JSON");
        assert_eq!(read, format!("{FOUL}\u{feff}µ"));
    }
}
