//! `benchleaf completions` and `benchleaf man`.

use super::job;
use super::outcome::Outcome;
use super::say::say;
use clap::{Args, Command};
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
    pub fn run(&self, mut command: Command) -> Outcome {
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut command, "benchleaf", &mut text);
        print(text)
    }
}

impl Man {
    pub fn run(&self, command: Command) -> Outcome {
        let mut text = Vec::new();
        match whole(command, &mut text) {
            Ok(()) => print(text),
            Err(error) => job::wrong(&error),
        }
    }
}

/// The program's page and, after it, one section a command.
fn whole(mut command: Command, text: &mut Vec<u8>) -> std::io::Result<()> {
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
