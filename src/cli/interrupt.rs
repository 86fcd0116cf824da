//! Interrupting: what Ctrl-C, or a polite request to end, leaves behind is nothing.
//!
//! Unfinished outputs are taken away; then the process ends as if it had never listened, so that a shell
//! sees which signal ended it (130 for Ctrl-C, 143 for a request to end) and stops its own loops. On systems
//! without such signals the next run sweeps up.

/// Listens from now on.
#[cfg(unix)]
pub(super) fn listen() {
    use std::io::Write as _;

    use signal_hook::consts::{SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;

    use crate::report::unfinished;

    // A system that grants no signals interrupts as it always did.
    let Ok(mut signals) = Signals::new([SIGINT, SIGTERM]) else { return };
    std::thread::spawn(move || {
        if let Some(signal) = signals.forever().next() {
            let _abandoned = unfinished::abandon();
            // Whoever reads the messages may have gone; the process ends all the same.
            let _ = writeln!(anstream::stderr(), "interrupted: nothing unfinished is left");
            // It does not come back from a signal that ends a process.
            let _ = emulate_default_handler(signal);
            std::process::exit(128 + signal);
        }
    });
}

#[cfg(not(unix))]
pub(super) fn listen() {}
