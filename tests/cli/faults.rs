//! What goes wrong around a program: killed at any moment, a full disk, a
//! folder that may not be written.

use std::ffi::OsStr;
use std::os::unix::process::CommandExt;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

use super::script::{Ran, Script, not_tried, words};

impl Script {
    /// Starts the program and kills it (signal 9) after `wait`. True where it
    /// was still running.
    #[track_caller]
    pub fn killed_after(&self, line: &str, wait: Duration) -> bool {
        let mut command = self.command(&words(line));
        command.stdout(Stdio::null()).stderr(Stdio::null());
        let mut child = command.spawn().expect("the program could not be started");
        let start = Instant::now();
        while start.elapsed() < wait {
            if child.try_wait().expect("a child").is_some() {
                return false;
            }
            std::thread::sleep(Duration::from_micros(50).min(wait));
        }
        child.kill().expect("a child to kill");
        let status = child.wait().expect("a child");
        status.code().is_none()
    }

    /// Kills a command at `times` moments spread over its run, each in a state
    /// that `before` makes; `after` looks at what is left. Returns how many
    /// kills came in time.
    pub fn killed_throughout(
        &self,
        line: &str,
        times: u32,
        before: impl Fn(&Script),
        after: impl Fn(&Script, u32),
    ) -> u32 {
        before(self);
        let start = Instant::now();
        self.run(line).in_order();
        let whole = start.elapsed();
        let mut hits = 0;
        for n in 0..times {
            before(self);
            // Steps of the golden ratio leave no stretch of the run untried.
            let share = f64::from(n) * 0.618_033_988_75 % 1.0;
            hits += u32::from(self.killed_after(line, whole.mul_f64(share)));
            after(self, n);
        }
        hits
    }

    /// Runs the program as a user who owns nothing. `None` where the tests
    /// themselves are run by such a one.
    pub fn run_as_nobody(&self, line: &str) -> Option<Ran> {
        if !root() {
            return None;
        }
        let words = words(line);
        let mut command = self.command(&words);
        // 65534 is nobody on Debian.
        command.uid(65534).gid(65534);
        match command.output() {
            Ok(output) => Some(Ran::new(self.folder(), &words, &output)),
            Err(e) => {
                not_tried(&format!("as nobody: {e}"));
                None
            }
        }
    }

    /// Runs the program while the folder lies on a disk that holds what the
    /// folder holds and has so many KiB to spare; afterwards the folder is as the
    /// disk was left. `None` where a disk cannot be mounted.
    pub fn run_on_small_disk(&self, spare: u32, line: &str) -> Option<Ran> {
        let steps = r#"
            cp -a "$PLACE" "$ASIDE" || exit 98
            held=$(du -sk "$PLACE" | cut -f 1)
            mount -t tmpfs -o "size=$((held + SPARE))k" small "$PLACE" || exit 99
            cp -a "$ASIDE/." "$PLACE" && cd "$PLACE" || exit 98
            "$@"; status=$?
            rm -rf "$ASIDE" && cp -a "$PLACE" "$ASIDE"
            exit $status"#;
        let room = tempfile::TempDir::new().expect("a temporary folder");
        let aside = room.path().join("aside of the small disk");
        let ran = self.in_namespace(steps, line, |command| {
            command.env("SPARE", spare.to_string()).env("ASIDE", &aside);
        })?;
        // The mount went with its namespace; what was on it lies aside.
        std::fs::remove_dir_all(self.folder()).expect("the folder under the mount");
        std::fs::rename(&aside, self.folder()).expect("the disk's copy");
        Some(ran)
    }

    /// Runs the program while its folder is mounted read-only. `None` where
    /// that cannot be done.
    pub fn run_read_only(&self, line: &str) -> Option<Ran> {
        let steps = r#"
            mount --bind "$PLACE" "$PLACE" && mount -o remount,ro,bind "$PLACE" &&
            cd "$PLACE" || exit 99
            "$@""#;
        self.in_namespace(steps, line, |_| {})
    }

    fn in_namespace(&self, steps: &str, line: &str, more: impl Fn(&mut Command)) -> Option<Ran> {
        let words = words(line);
        let mut command = Command::new("unshare");
        command
            .args(["-m", "sh", "-c", steps, "sh"])
            .arg(env!("CARGO_BIN_EXE_benchleaf"))
            .args(&words)
            .env("PLACE", self.folder())
            .env_remove("RUST_BACKTRACE")
            .stdin(Stdio::null());
        more(&mut command);
        let output = command.output().ok()?;
        ran_unless_refused(self, &words, &output)
    }
}

fn ran_unless_refused<S: AsRef<OsStr>>(
    script: &Script,
    words: &[S],
    output: &Output,
) -> Option<Ran> {
    let said = String::from_utf8_lossy(&output.stderr);
    let refused = output.status.code() == Some(99) || said.starts_with("unshare:");
    if refused {
        not_tried(&format!("a mount is refused here: {said}"));
        return None;
    }
    Some(Ran::new(script.folder(), words, output))
}

fn root() -> bool {
    let id = Command::new("id").arg("-u").output();
    id.is_ok_and(|out| out.stdout.starts_with(b"0\n"))
}
