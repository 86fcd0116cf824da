//! The command line of yokecheck.

fn main() {}
