//! The command line.

/// Runs the program on the command line's arguments.
pub fn main() -> std::process::ExitCode {
    std::process::ExitCode::SUCCESS
}
