//! What is said on the standard output. A reader that closes the pipe early
//! ends the saying, not the work.

use std::io::Write;

/// Writes a text; nothing is said to a pipe that was closed.
pub fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    // A closed pipe is the reader's own choice.
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// The same as `println!`.
macro_rules! line {
    ($($words:tt)*) => {
        $crate::cli::say::say(&format!("{}\n", format_args!($($words)*)))
    };
}

/// The same as `eprintln!`.
macro_rules! complain {
    ($($words:tt)*) => {{
        use std::io::Write;
        let _ = writeln!(std::io::stderr(), $($words)*);
    }};
}

pub(crate) use {complain, line};
