//! Pieces of a file worked on by all processors, their answers taken in the order of the file. Memory is bounded: the reader
//! waits where it is as many pieces ahead of the writer as [`AHEAD`] a processor.

use crate::input::outlines::{Piece, Pieces};
use std::collections::BTreeMap;
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, Sender};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

/// Pieces a processor that are read and not yet written.
const AHEAD: u64 = 3;

/// How far the writer is, and whether it has given up.
struct Window {
    written: Mutex<u64>,
    moved: Condvar,
    stopped: AtomicBool,
}

fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    // A count is whole whoever held it last.
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Window {
    /// Waits until the piece may be read; `false` where the writer has given up.
    fn wait(&self, piece: u64, ahead: u64) -> bool {
        let mut written = held(&self.written);
        while piece >= *written + ahead && !self.stopped.load(Ordering::Relaxed) {
            written = self.moved.wait(written).unwrap_or_else(PoisonError::into_inner);
        }
        !self.stopped.load(Ordering::Relaxed)
    }

    fn advance(&self, stop: bool) {
        *held(&self.written) += 1;
        self.stopped.fetch_or(stop, Ordering::Relaxed);
        self.moved.notify_all();
    }
}

/// Works on every piece and takes what comes of it in the order of the pieces, `first` before those that are still to be read.
///
/// # Errors
/// The reader's or the taker's, the first in order.
pub fn run<T: Send>(
    pieces: &mut dyn Pieces,
    first: Option<Piece>,
    workers: usize,
    work: impl Fn(Piece) -> T + Sync,
    mut take: impl FnMut(T) -> io::Result<()>,
) -> io::Result<()> {
    let window = Window { written: Mutex::new(0), moved: Condvar::new(), stopped: AtomicBool::new(false) };
    let ahead = AHEAD * workers as u64;
    let (to_work, read) = mpsc::channel::<(u64, Piece)>();
    let read = Mutex::new(read);
    let (to_take, done) = mpsc::channel::<(u64, T)>();
    std::thread::scope(|scope| {
        let reader = scope.spawn(|| {
            // Workers end where nothing more can come.
            let to_work = to_work;
            read_all(pieces, first, &window, ahead, &to_work)
        });
        for _ in 0..workers.max(1) {
            let to_take = to_take.clone();
            let (read, work) = (&read, &work);
            scope.spawn(move || work_on(read, work, &to_take));
        }
        drop(to_take);
        let mut result = Ok(());
        let mut waiting = BTreeMap::new();
        let mut next = 0;
        for (number, answer) in done {
            waiting.insert(number, answer);
            while let Some(answer) = waiting.remove(&next) {
                next += 1;
                if result.is_ok() {
                    result = take(answer);
                }
                window.advance(result.is_err());
            }
        }
        let read = reader.join().unwrap_or_else(|_| Err(io::Error::other("the reader stopped")));
        result.and(read)
    })
}

fn read_all(
    pieces: &mut dyn Pieces,
    first: Option<Piece>,
    window: &Window,
    ahead: u64,
    to_work: &Sender<(u64, Piece)>,
) -> io::Result<()> {
    let mut number = 0;
    let mut next = first;
    loop {
        if !window.wait(number, ahead) {
            return Ok(());
        }
        let piece = match next.take() {
            Some(piece) => Some(piece),
            None => pieces.next_piece()?,
        };
        let Some(piece) = piece else { return Ok(()) };
        if to_work.send((number, piece)).is_err() {
            return Ok(());
        }
        number += 1;
    }
}

fn work_on<T>(read: &Mutex<Receiver<(u64, Piece)>>, work: impl Fn(Piece) -> T, to_take: &Sender<(u64, T)>) {
    loop {
        let next = held(read).recv();
        let Ok((number, piece)) = next else { return };
        if to_take.send((number, work(piece))).is_err() {
            return;
        }
    }
}
