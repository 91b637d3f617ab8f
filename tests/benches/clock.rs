//! Processor time and memory, of this program and of those that it ran.

use std::time::Duration;

/// Whose time is taken.
#[derive(Clone, Copy)]
pub enum Whose {
    /// This program's.
    Own,
    /// That of the programs it ran and waited for.
    Children,
}

/// Processor time taken so far.
#[cfg(unix)]
pub fn taken(whose: Whose) -> Duration {
    use nix::sys::time::TimeValLike;
    let usage = usage(whose);
    let part = |time: nix::sys::time::TimeVal| Duration::from_micros(time.num_microseconds().unsigned_abs());
    part(usage.user_time()) + part(usage.system_time())
}

/// Where processor time cannot be had, the clock on the wall has to do.
#[cfg(not(unix))]
pub fn taken(_whose: Whose) -> Duration {
    static START: std::sync::OnceLock<std::time::Instant> = std::sync::OnceLock::new();
    START.get_or_init(std::time::Instant::now).elapsed()
}

/// The most memory that a program waited for has held, in MB.
#[cfg(unix)]
pub fn peak_of_children() -> Option<f64> {
    let kilobytes = u32::try_from(usage(Whose::Children).max_rss()).ok()?;
    Some(f64::from(kilobytes) / 1024.0)
}

/// Not known here.
#[cfg(not(unix))]
pub fn peak_of_children() -> Option<f64> {
    None
}

/// The most memory that this program has held, in MB, where the system tells.
pub fn peak_of_own() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(peak.split_whitespace().next()?.parse::<f64>().ok()? / 1024.0)
}

#[cfg(unix)]
fn usage(whose: Whose) -> nix::sys::resource::Usage {
    use nix::sys::resource::{UsageWho, getrusage};
    let who = match whose {
        Whose::Own => UsageWho::RUSAGE_SELF,
        Whose::Children => UsageWho::RUSAGE_CHILDREN,
    };
    getrusage(who).unwrap()
}
