//! Floor 8: arguments, progress, exit codes.

mod answer;
mod args;
mod check;
mod compare;
mod evaluate;
mod examples;
mod folder;
mod forecast;
mod goal;
mod grade;
mod help;
mod input;
mod loosen;
mod measured;
mod new;
mod numbers;
mod output;
mod progress;
mod rank;
mod read;
mod report;
mod show;
mod slip;
mod sweep;
mod trace;

use args::{Cli, Command};
use clap::Parser;
use std::ffi::OsString;

/// How the program ended; the number is its exit code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum Exit {
    /// Done.
    Done = 0,
    /// It ran, and a stated target is missed.
    Missed = 1,
    /// The command line or the input is bad.
    BadInput = 2,
    /// Something could not be read or written.
    ReadWrite = 3,
    /// Interrupted by the user.
    Interrupted = 130,
}

/// Runs the program with these arguments (the first is its own name).
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> Exit {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(e) => return output::parser_says(&e),
    };
    let common = cli.common;
    output::set(common.color, common.quiet);
    if let Some(threads) = common.threads {
        let _ = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build_global();
    }
    let ended = match cli.command {
        None => report::without_a_command(&common),
        Some(Command::Forecast(a)) => forecast::run(&a, &common),
        Some(Command::Rank(a)) => rank::run(&a, &common),
        Some(Command::Sweep(a)) => sweep::run(&a, &common),
        Some(Command::Loosen(a)) => loosen::run(&a, &common),
        Some(Command::Compare(a)) => compare::run(&a, &common),
        Some(Command::Evaluate(a)) => evaluate::run(&a, &common),
        Some(Command::Trace(a)) => trace::run(&a, &common),
        Some(Command::Slip(a)) => slip::run(&a, &common),
        Some(Command::Grade(a)) => grade::run(&a, &common),
        Some(Command::Report(a)) => report::run(&a, &common),
        Some(Command::Check(a)) => Ok(check::run(&a, &common)),
        Some(Command::Show(a)) => Ok(show::run(&a, &common)),
        Some(Command::New(a)) => Ok(new::run(&a)),
        Some(Command::Help(a)) => Ok(help::run(&a, &common)),
    };
    match ended {
        Ok(exit) | Err(exit) => exit,
    }
}
