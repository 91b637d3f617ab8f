//! Ctrl-C, and the signals that end a program.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Who is working when Ctrl-C comes.
pub enum Working {
    /// A command: what does not stop by itself at once is ended, and this says so.
    Command(Box<dyn Fn() + Send>),
    /// The prompt, while it works an entry; an idle prompt is ended.
    Entry(Arc<AtomicBool>),
}

/// From now on the first Ctrl-C sets `stop` and stops the work; a second one, and a signal to end, end
/// the program and leave no unfinished file.
#[cfg(unix)]
pub fn watch(stop: Arc<AtomicBool>, working: Working) {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;

    let heard: Vec<i32> =
        [SIGINT, SIGTERM, SIGHUP].into_iter().filter(|signal| !is_ignored(*signal)).collect();
    // Without a watch each signal ends the program, as it does anywhere.
    let Ok(mut signals) = Signals::new(heard) else { return };
    std::thread::spawn(move || {
        for signal in signals.forever() {
            if signal == SIGINT && !stop.swap(true, Ordering::Relaxed) {
                match &working {
                    Working::Entry(busy) if busy.load(Ordering::Relaxed) => continue,
                    Working::Entry(_) => {}
                    Working::Command(say) => {
                        // A moment to stop by itself and say how far it came.
                        std::thread::sleep(std::time::Duration::from_millis(150));
                        super::whole::remove_parts();
                        say();
                        std::process::exit(2);
                    }
                }
            }
            super::whole::remove_parts();
            let _ = signal_hook::low_level::emulate_default_handler(signal);
        }
    });
}

/// Whether the program was started so that a signal does not reach it, as by `nohup`: known where the
/// system keeps it in a file.
#[cfg(unix)]
fn is_ignored(signal: i32) -> bool {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let mask = mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or(0);
    mask >> signal.saturating_sub(1) & 1 == 1
}

/// Elsewhere Ctrl-C ends the program.
#[cfg(not(unix))]
pub fn watch(_stop: Arc<AtomicBool>, _working: Working) {}
