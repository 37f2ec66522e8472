//! The `benchleaf` program.

#![forbid(unsafe_code)]

/// A record of many rows is a hundred thousand small texts: with the system's own
/// allocator a report took half as long again.
#[global_allocator]
static HEAP: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    benchleaf::cli::main()
}
