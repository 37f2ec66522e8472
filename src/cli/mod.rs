//! The command line: one file a command. The clock, the disk and the random
//! source enter here and nowhere else.

#![allow(clippy::disallowed_methods)] // the clock and the temporary folder enter here

mod built_in;
mod check;
mod compare;
mod demo;
mod disk;
mod job;
mod jobs;
mod limits;
mod new;
mod progress;
mod recall;
mod report;
mod revised;
mod say;
mod schemas;
mod second;
mod sheets;
mod shell;
mod sign;
mod tags;
mod told;
mod train;
mod verify;
mod version;
mod wear;
mod whatif;
mod written;

use clap::{Parser, Subcommand};
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
    Compare(compare::Compare),
    Whatif(whatif::Whatif),
    Wear(wear::Wear),
    Recall(recall::Recall),
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

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Outcome {
    Done,
    /// Done, and something is out, in query, on hold or open.
    Exceptions,
    /// The input or the command is wrong.
    Wrong,
}

/// Runs the program on its arguments.
pub fn main() -> ExitCode {
    let cli = Cli::parse();
    let outcome = match &cli.command {
        Command::Demo(demo) => demo.run(),
        Command::New(new) => new.run(),
        Command::Limits(limits) => limits.run(),
        Command::Sheets(sheets) => sheets.run(),
        Command::Tags(tags) => tags.run(),
        Command::Check(check) => check.run(),
        Command::Compare(compare) => compare.run(),
        Command::Whatif(whatif) => whatif.run(),
        Command::Wear(wear) => wear.run(),
        Command::Recall(recall) => recall.run(),
        Command::Train(train) => train.run(),
        Command::Report(report) => report.run(),
        Command::Sign(sign) => sign.run(),
        Command::Stamp(stamp) => stamp.run(),
        Command::Verify(verify) => verify.run(),
        Command::Unpack(unpack) => unpack.run(),
        Command::Schemas(schemas) => schemas.run(),
        Command::Completions(completions) => completions.run(),
        Command::Man(man) => man.run(),
    };
    ExitCode::from(match outcome {
        Outcome::Done => 0,
        Outcome::Exceptions => 1,
        Outcome::Wrong => 2,
    })
}
