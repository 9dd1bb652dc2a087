//! The program: picks the command line or the window.

fn main() {}
