//! How long the thread of a test has worked: a busy machine does not change it, as
//! it does the time on the wall. (`/proc/thread-self/stat`, in hundredths of a
//! second: proc(5) of Linux.)

pub struct Work(u64);

impl Work {
    pub fn start() -> Work {
        Work(worked())
    }

    /// Whole seconds since the start.
    pub fn seconds(&self) -> u64 {
        (worked() - self.0) / 100
    }
}

/// For itself and in the kernel.
fn worked() -> u64 {
    let stat = std::fs::read_to_string("/proc/thread-self/stat").expect("what the thread did");
    // The name of the thread may hold spaces and brackets.
    let (_, after) = stat.rsplit_once(')').expect("a name in brackets");
    let figures = after.split_whitespace().skip(11).take(2);
    figures.map(|figure| figure.parse::<u64>().expect("a count of ticks")).sum()
}

#[test]
fn work_is_counted() {
    let work = Work::start();
    let mut seen = 0u64;
    while work.seconds() < 1 {
        seen = std::hint::black_box(seen.wrapping_mul(31) + 1);
    }
    assert!(work.seconds() >= 1 && Work::start().seconds() < 1);
}
