//! The `slabloom` program: parse, run, exit code.

use std::io::Write as _;
use std::process::ExitCode;

fn main() -> ExitCode {
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    let mut err = std::io::stderr();
    let exit = slabloom::run(std::env::args_os(), &mut out, &mut err);
    // The verbs flush what matters; what is left here is the text of a failure.
    let _ = out.flush();
    ExitCode::from(exit.code())
}
