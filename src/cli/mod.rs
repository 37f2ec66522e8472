//! The command line: one file a command. The clock, the disk and the random
//! source enter here and nowhere else.

#![allow(clippy::disallowed_methods)] // the clock and the temporary folder enter here

mod aside;
mod built_in;
mod check;
mod compare;
mod demo;
mod disk;
mod history;
mod job;
mod jobs;
mod like;
mod limits;
mod lock;
mod new;
mod outcome;
mod plain;
mod progress;
mod proven;
mod recall;
mod report;
mod revised;
mod say;
mod scans;
mod schemas;
mod second;
mod sheets;
mod shell;
mod sign;
mod signals;
mod spreadsheet;
mod table;
mod tags;
mod take;
mod train;
mod tree;
mod typed;
mod unusable;
mod verify;
mod version;
mod wear;
mod whatif;
mod written;

use clap::{CommandFactory, Parser, Subcommand};
use outcome::Outcome;
use std::panic::catch_unwind;
use std::process::ExitCode;

/// Blank worksheets, verdicts and the measuring record of an engine overhaul,
/// on paper.
///
/// A job is a folder: engine.toml, limits.toml, job.toml, forms/, and, once
/// sheets are printed, readings.toml, the transcription.
#[derive(Parser)]
#[command(
    name = "benchleaf",
    version = version::version(),
    disable_help_subcommand = true,
    after_help = "Exit status: 0 done, nothing out; 1 done, and something is out, in query, on hold \
                  or open; 2 the input or the command is wrong.\n\n\
                  A report records inspection results. It is not a release: the manual, local rules \
                  and licensed people decide."
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Demo(demo::Demo),
    New(new::New),
    Limits(limits::Limits),
    Sheets(sheets::Sheets),
    Tags(tags::Tags),
    Check(check::Check),
    Take(take::Take),
    Compare(compare::Compare),
    Whatif(whatif::Whatif),
    Wear(wear::Wear),
    Recall(recall::Recall),
    Table(table::Table),
    History(history::History),
    Train(train::Train),
    Report(report::Report),
    Sign(sign::Sign),
    Stamp(verify::Stamp),
    Verify(verify::Verify),
    Unpack(verify::Unpack),
    Schemas(schemas::Schemas),
    Completions(shell::Completions),
    Man(shell::Man),
}

/// Runs the program on its arguments.
pub fn main() -> ExitCode {
    say::tell_failures();
    // What it panicked at is told already.
    let outcome = catch_unwind(run).unwrap_or(Outcome::Wrong);
    let outcome = match say::unwritten() {
        Some(error) => job::wrong(&format!("the standard output cannot be written: {error}")),
        None => outcome,
    };
    ExitCode::from(match outcome {
        Outcome::Done => 0,
        Outcome::Exceptions => 1,
        Outcome::Wrong => 2,
    })
}

fn run() -> Outcome {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            say::arguments(&error);
            return if error.use_stderr() { Outcome::Wrong } else { Outcome::Done };
        }
    };
    match &cli.command {
        Command::Demo(demo) => demo.run(),
        Command::New(new) => new.run(),
        Command::Limits(limits) => limits.run(),
        Command::Sheets(sheets) => sheets.run(),
        Command::Tags(tags) => tags.run(),
        Command::Check(check) => check.run(),
        Command::Take(take) => take.run(),
        Command::Compare(compare) => compare.run(),
        Command::Whatif(whatif) => whatif.run(),
        Command::Wear(wear) => wear.run(),
        Command::Recall(recall) => recall.run(),
        Command::Table(table) => table.run(),
        Command::History(history) => history.run(),
        Command::Train(train) => train.run(),
        Command::Report(report) => report.run(),
        Command::Sign(sign) => sign.run(),
        Command::Stamp(stamp) => stamp.run(),
        Command::Verify(verify) => verify.run(),
        Command::Unpack(unpack) => unpack.run(),
        Command::Schemas(schemas) => schemas.run(),
        Command::Completions(completions) => completions.run(Cli::command()),
        Command::Man(man) => man.run(Cli::command()),
    }
}
