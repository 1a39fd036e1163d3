//! The command line: one file a command, each with its flags, one call and a few lines out.

mod batch;
mod common;
mod facets;
mod job_file;
mod joint;
mod miter;
mod new;
mod outcome;
mod page;
mod pipe;
mod ruler;
mod saddle;
mod schema;
mod sizes;
mod trial;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};

use crate::letters::seen;
use crate::problem::{Place, Problem, Problems};

/// Prints 1:1 wrap-around cut patterns for pipe joints.
///
/// Type what you measured, print at 100 %, check the rulers, tape the wrap round the tube, mark, cut.
///
/// LENGTHS: 48.3mm, 4.5 cm, 1.9in, 1-7/8in, 1-7/8", 2ft 3-1/2in. A bare number needs
/// --units, in a job file "units": each is read in the units that are named where it stands.
/// SIZES: "48.3mm x 2mm", "1-7/8in x 16ga", "NPS 1-1/2 sch 40", "DN 40 sch 40", "fence 1-7/8 x 0.065in",
/// "drum 55 gal", or "girth 5-31/32in x 0.065in" for what a tape round it reads.
///
/// Cutting and welding can hurt: see the cautions on the first sheet. Pressure, fuel gas and structures
/// come under local codes and licensed practice.
#[derive(Debug, Parser)]
#[command(name = "girthline", version, verbatim_doc_comment, arg_required_else_help = true)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// A branch on a header: wrap for the branch's end, pattern for the hole.
    Saddle(saddle::Args),
    /// Chop-saw facets against the true curve, and better saw settings.
    Facets(facets::Args),
    /// A mitered turn in two or more pieces.
    Miter(miter::Args),
    /// At the trial fit: what is off, by the gaps that were read, and what to grind.
    Trial(trial::Args),
    /// A whole job from one file: pieces, holes, cut list, sticks.
    Batch(batch::Args),
    /// A job to start from.
    New(new::Args),
    /// The JSON Schema of job files.
    Schema(schema::Args),
    /// All of it in the browser, on this machine.
    Page(page::Args),
    /// A full-page ruler, to see what the printer does to lengths.
    Ruler(ruler::Args),
    /// Lists the sizes that are known by name.
    Sizes(sizes::Args),
}

/// Runs the command line; the exit code is 0, or 2 for wrong input, or 1 where writing failed or a check found clashes.
pub fn run() -> ExitCode {
    let cli = match parsed() {
        Ok(cli) => cli,
        Err(error) => return not_understood(&error),
    };
    let result = match cli.command {
        Command::Saddle(args) => args.run(),
        Command::Facets(args) => args.run(),
        Command::Miter(args) => args.run(),
        Command::Trial(args) => args.run(),
        Command::Batch(args) => args.run(),
        Command::New(args) => args.run(),
        Command::Schema(args) => args.run(),
        Command::Page(args) => args.run(),
        Command::Ruler(args) => args.run(),
        Command::Sizes(args) => args.run(),
    };
    match result {
        Ok(outcome) => match outcome.say() {
            // A reader that has gone away has read what it wanted.
            Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
                let problem = Problem::output("standard output can't be written")
                    .at(Place::File("standard output".to_owned()))
                    .figures(error.to_string());
                complain(&problem.help("send it elsewhere, or make room").into());
                ExitCode::FAILURE
            }
            _ if outcome.is_well => ExitCode::SUCCESS,
            _ => ExitCode::FAILURE,
        },
        Err(problems) => {
            complain(&problems);
            ExitCode::from(problems.exit_code())
        }
    }
}

/// The flags as they are understood.
fn parsed() -> Result<Cli, clap::Error> {
    let mut command = command();
    let matches = command.try_get_matches_from_mut(std::env::args_os())?;
    Cli::from_arg_matches(&matches).map_err(|error| error.format(&mut command))
}

fn command() -> clap::Command {
    Cli::command().mut_subcommand("trial", trial::joint_or_job)
}

/// Help that was asked for, or what is wrong with the flags.
fn not_understood(error: &clap::Error) -> ExitCode {
    let plain = error.render().to_string();
    let shown = seen(&plain);
    if error.use_stderr() && shown != plain {
        // Quoted as typed, which may be what a terminal obeys.
        let _ = write!(io::stderr().lock(), "{shown}");
    } else {
        // With colours where the terminal has them.
        let _ = error.print();
    }
    ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
}

fn complain(problems: &Problems) {
    // Where even standard error is closed there is nobody left to tell.
    let _ = writeln!(io::stderr().lock(), "{}", seen(&problems.to_string()));
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_command_line_is_sound() {
        super::command().debug_assert();
    }
}
