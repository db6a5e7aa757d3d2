//! How much memory the program has used.

/// Most memory in use at any time so far, in bytes; `None` where the system does not tell.
///
/// **Source:** `VmHWM`, the peak resident set, of `/proc/self/status` in kB of 1,024 bytes (Linux, proc(5)).
pub fn peak() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix("kB")?.trim().parse::<u64>().ok().map(|kilobytes| kilobytes * 1024)
}
