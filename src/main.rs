//! The command `girthline`: exit code from the result, nothing else.

fn main() -> std::process::ExitCode {
    girthline::cli::run()
}
