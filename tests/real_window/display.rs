//! A virtual display, the program in a window on it, and hands for it.

use eframe::egui::Pos2;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// A display of its own; gone with it.
pub struct Display {
    server: Child,
    name: String,
    /// Where the server keeps what it shows.
    shown: tempfile::TempDir,
    _alone: MutexGuard<'static, ()>,
}

/// One program at a time: two that draw by software take each other's time, and a drag comes in one pass.
static ALONE: Mutex<()> = Mutex::new(());

impl Display {
    /// Starts one. Without the programs for it the test is skipped, and says so; where CI runs they must be there.
    pub fn start() -> Option<Self> {
        let have = |program: &str| Command::new(program).arg("-version").output().is_ok();
        let missing: Vec<&str> = ["Xvfb", "xdotool"].into_iter().filter(|program| !have(program)).collect();
        if !missing.is_empty() {
            support::skipped(&missing.join(", "), "a window is not opened", "apt-get install xvfb xdotool");
            return None;
        }
        // A number may be snatched away by another server that starts at the same moment.
        Some((0..5).find_map(|_| Self::serve()).expect("no virtual display answers"))
    }

    /// A server that answers, if it does.
    fn serve() -> Option<Self> {
        let alone = ALONE.lock().unwrap_or_else(PoisonError::into_inner);
        let shown = tempfile::tempdir().unwrap();
        let mut server = Command::new("Xvfb")
            .args(["-displayfd", "1", "-screen", "0", "1400x900x24", "-nolisten", "tcp"])
            .arg("-fbdir")
            .arg(shown.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(server.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let mut display = Self { server, name: format!(":{}", line.trim()), shown, _alone: alone };
        let start = Instant::now();
        while start.elapsed() < Duration::from_secs(20) && display.server.try_wait().unwrap().is_none() {
            let asked =
                Command::new("xdotool").arg("getdisplaygeometry").env("DISPLAY", &display.name).output().unwrap();
            if asked.status.success() {
                return Some(display);
            }
            std::thread::sleep(Duration::from_millis(100));
        }
        None
    }

    /// What it shows now: the server's own picture, in the format of `xwd` (X Window Dump, version 7).
    pub fn picture(&self) -> image::RgbImage {
        let bytes = std::fs::read(self.shown.path().join("Xvfb_screen0")).unwrap();
        let word = |index: usize| u32::from_be_bytes(bytes[4 * index..4 * index + 4].try_into().unwrap()) as usize;
        let [header, version, width, height, order, bits, line, colours] = [0, 1, 4, 5, 7, 11, 12, 19].map(word);
        assert_eq!((version, order, bits), (7, 0, 32), "an X Window Dump of four bytes a pixel, low byte first");
        let first = header + 12 * colours;
        let side = |side: usize| u32::try_from(side).unwrap();
        image::RgbImage::from_fn(side(width), side(height), |x, y| {
            let at = first + y as usize * line + 4 * x as usize;
            image::Rgb([bytes[at + 2], bytes[at + 1], bytes[at]])
        })
    }
}

impl Drop for Display {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// The program with a file open.
pub struct Program<'a> {
    display: &'a Display,
    child: Child,
    window: String,
}

impl<'a> Program<'a> {
    /// Starts it and waits for its window. What it remembers goes into `home`.
    pub fn start(display: &'a Display, file: &Path, home: &Path) -> Self {
        let child = Command::new(env!("CARGO_BIN_EXE_eavewright"))
            .arg("view")
            .arg(file)
            .env("DISPLAY", &display.name)
            .env_remove("WAYLAND_DISPLAY")
            .env("LIBGL_ALWAYS_SOFTWARE", "1")
            .env("XDG_STATE_HOME", home)
            .spawn()
            .unwrap();
        let mut program = Self { display, child, window: String::new() };
        let start = Instant::now();
        while program.window.is_empty() {
            assert!(start.elapsed() < Duration::from_mins(1), "no window");
            std::thread::sleep(Duration::from_millis(100));
            let found = program.xdotool(&["search", "--onlyvisible", "--name", "eavewright"]);
            found.lines().next().unwrap_or_default().clone_into(&mut program.window);
        }
        let window = program.window.clone();
        program.xdotool(&["windowmove", &window, "0", "0"]);
        program.xdotool(&["windowfocus", &window]);
        program.rest();
        program
    }

    fn xdotool(&self, arguments: &[&str]) -> String {
        let output = Command::new("xdotool").args(arguments).env("DISPLAY", &self.display.name).output().unwrap();
        String::from_utf8_lossy(&output.stdout).into_owned()
    }

    fn point(&self, at: Pos2) {
        let [x, y] = [at.x, at.y].map(|side| format!("{side:.0}"));
        self.xdotool(&["mousemove", "--window", &self.window, &x, &y]);
        std::thread::sleep(Duration::from_millis(60));
    }

    /// Presses the first button and lets it go.
    pub fn click(&mut self, at: Pos2) {
        self.point(at);
        self.xdotool(&["mousedown", "1"]);
        std::thread::sleep(Duration::from_millis(60));
        self.xdotool(&["mouseup", "1"]);
        self.rest();
    }

    /// Presses the first button and moves, and waits until the program has seen it: a drag whose end comes in one pass with
    /// its beginning is a click.
    fn pull(&mut self, from: Pos2, to: Pos2) {
        self.point(from);
        self.xdotool(&["mousedown", "1"]);
        for step in 1..=10_u8 {
            self.point(from + (to - from) * f32::from(step) / 10.0);
        }
        self.rest();
    }

    /// Drags from one place to another.
    pub fn drag(&mut self, from: Pos2, to: Pos2) {
        self.pull(from, to);
        self.xdotool(&["mouseup", "1"]);
        self.rest();
    }

    /// Drags, and presses Esc before it lets go.
    pub fn drag_and_call_off(&mut self, from: Pos2, to: Pos2) {
        self.pull(from, to);
        self.xdotool(&["key", "Escape"]);
        std::thread::sleep(Duration::from_millis(200));
        self.point(to + (to - from) / 10.0);
        self.xdotool(&["mouseup", "1"]);
        self.rest();
    }

    /// Presses a key, with its modifiers: `ctrl+s`.
    pub fn key(&mut self, keys: &str) {
        self.xdotool(&["key", keys]);
        self.rest();
    }

    /// Types.
    pub fn type_text(&mut self, text: &str) {
        self.xdotool(&["type", "--delay", "40", text]);
    }

    /// Waits for something to come true.
    pub fn until(&mut self, what: &str, done: impl Fn() -> bool) {
        let start = Instant::now();
        while !done() {
            assert!(start.elapsed() < Duration::from_secs(20), "not within twenty seconds: {what}");
            assert!(self.child.try_wait().unwrap().is_none(), "the program ended by itself");
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// Processor time used so far, hundredths of a second.
    pub fn ticks(&self) -> u64 {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.child.id())).unwrap();
        // The name in brackets may hold blanks: count from behind it.
        let behind: Vec<&str> = stat.rsplit(')').next().unwrap().split_whitespace().collect();
        [11, 12].iter().map(|field| behind[*field].parse::<u64>().unwrap()).sum()
    }

    /// Waits until the program has nothing to do: three quiet looks, since a busy machine may not let it run for one.
    pub fn rest(&mut self) {
        let start = Instant::now();
        let mut quiet = 0;
        while quiet < 3 {
            let before = self.ticks();
            std::thread::sleep(Duration::from_millis(200));
            quiet = if self.ticks() <= before { quiet + 1 } else { 0 };
            assert!(start.elapsed() < Duration::from_mins(1), "it never comes to rest");
        }
    }

    /// As a crash would: at once and without a word.
    pub fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Ends it.
    pub fn end(&mut self) {
        self.kill();
    }
}

impl Drop for Program<'_> {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
