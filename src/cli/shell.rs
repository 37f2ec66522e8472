//! `benchleaf completions` and `benchleaf man`.

use super::say::say;
use super::{Cli, Outcome, job};
use clap::{Args, CommandFactory};
use clap_complete::Shell;
use std::io::Write;

/// Print completions for a shell.
#[derive(Args)]
pub struct Completions {
    #[arg(value_enum)]
    shell: Shell,
}

/// Print the man page.
#[derive(Args)]
pub struct Man {}

impl Completions {
    pub fn run(&self) -> Outcome {
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut Cli::command(), "benchleaf", &mut text);
        print(text)
    }
}

impl Man {
    pub fn run(&self) -> Outcome {
        let mut text = Vec::new();
        match whole(&mut text) {
            Ok(()) => print(text),
            Err(error) => job::wrong(&error),
        }
    }
}

/// The program's page and, after it, one section a command.
fn whole(text: &mut Vec<u8>) -> std::io::Result<()> {
    let mut command = Cli::command();
    command.build();
    clap_mangen::Man::new(command.clone()).render(text)?;
    for sub in command.get_subcommands() {
        let page = clap_mangen::Man::new(sub.clone());
        writeln!(text, ".SH \"BENCHLEAF {}\"", sub.get_name().to_uppercase())?;
        page.render_synopsis_section(text)?;
        page.render_description_section(text)?;
        page.render_options_section(text)?;
    }
    Ok(())
}

fn print(text: Vec<u8>) -> Outcome {
    match String::from_utf8(text) {
        Ok(text) => {
            say(&text);
            Outcome::Done
        }
        Err(error) => job::wrong(&error),
    }
}
