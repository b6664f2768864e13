//! The `joulecast` program: a thin shell around [`joulecast::cli`].

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(joulecast::cli::run(std::env::args_os()) as u8)
}
