//! The `scant` program.

fn main() -> std::process::ExitCode {
    scant::cli::main()
}
