//! The `eavewright` command.
fn main() -> std::process::ExitCode {
    eavewright::cli::run()
}
