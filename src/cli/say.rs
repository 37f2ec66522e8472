//! What is said on the standard output. A reader that closes the pipe early
//! ends the saying, not the work.

use std::cell::RefCell;
use std::io::Write;

/// Where a text goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum To {
    /// The standard output.
    Out,
    /// The standard error.
    Complaints,
}

/// What was said, in its order, to be told later.
#[derive(Debug, Default)]
pub struct Held(pub Vec<(To, String)>);

thread_local! {
    /// What this thread holds back; `None` where it speaks at once.
    static HELD: RefCell<Option<Held>> = const { RefCell::new(None) };
}

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
                To::Out if for_machines => utter(*to, text),
                To::Out | To::Complaints => utter(*to, &named(name, text)),
            }
        }
    }

    /// Texts that follow one another to one place are one.
    fn add(&mut self, to: To, text: &str) {
        match self.0.last_mut() {
            Some((last, said)) if *last == to => said.push_str(text),
            _ => self.0.push((to, text.to_owned())),
        }
    }
}

/// A name before every line that holds something and does not begin with it.
fn named(name: &str, text: &str) -> String {
    let own = format!("benchleaf: {name}: ");
    let line = |line: &str| match line.trim().is_empty() || line.starts_with(&own) {
        true => line.to_owned(),
        false => format!("{name}: {line}"),
    };
    text.split_inclusive('\n').map(line).collect()
}

/// Writes a text; nothing is said to a pipe that was closed.
pub fn say(text: &str) {
    utter(To::Out, text);
}

/// Says a text now, or holds it back where the thread does.
pub fn utter(to: To, text: &str) {
    let held = HELD.with_borrow_mut(|held| held.as_mut().map(|held| held.add(to, text)));
    if held.is_none() {
        speak(to, text);
    }
}

fn speak(to: To, text: &str) {
    // A closed pipe is the reader's own choice.
    let _ = match to {
        To::Out => {
            let mut out = std::io::stdout().lock();
            out.write_all(text.as_bytes()).and_then(|()| out.flush())
        }
        To::Complaints => std::io::stderr().write_all(text.as_bytes()),
    };
}

/// The same as `println!`.
macro_rules! line {
    ($($words:tt)*) => {
        $crate::cli::say::say(&format!("{}\n", format_args!($($words)*)))
    };
}

/// The same as `eprintln!`.
macro_rules! complain {
    ($($words:tt)*) => {
        $crate::cli::say::utter(
            $crate::cli::say::To::Complaints,
            &format!("{}\n", format_args!($($words)*)),
        )
    };
}

pub(crate) use {complain, line};
