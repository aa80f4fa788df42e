//! The writer thread: the only owner of an open session file.
//!
//! It appends one line at a time and syncs it before the next. Before each append, and again before
//! anything is called saved, it looks whether the file under the name is still ours and as long as we
//! left it. Whatever fails, it cuts its own bytes off again and stops; the lines wait with the caller.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::JoinHandle;

use crate::error::Error;
use crate::fact::Seq;
use crate::file::disk::{Disk, DiskFile, FileState};

/// Called from the writer thread whenever there is an event to poll.
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// What became of an appended fact.
#[derive(Clone, Debug)]
pub enum Event {
    /// It and all before it are on disk.
    Saved {
        /// The fact.
        seq: Seq,
    },
    /// It and all before it are written, but this disk does not sync: a power cut may lose it.
    Written {
        /// The fact.
        seq: Seq,
    },
    /// It could not be written; it and all after it wait in memory.
    Stopped {
        /// The fact.
        seq: Seq,
        /// Why, and what to do.
        why: Error,
    },
}

pub(crate) enum WriterCommand {
    Append { seq: Seq, line: Vec<u8> },
    TryAgain,
    GoWithoutSync,
}

/// The caller's end.
pub(crate) struct Writer {
    commands: Option<Sender<WriterCommand>>,
    events: Receiver<Event>,
    thread: Option<JoinHandle<()>>,
}

/// What a writer thread begins with.
pub(crate) struct Desk {
    pub(crate) disk: Arc<dyn Disk>,
    pub(crate) path: PathBuf,
    pub(crate) file: Box<dyn DiskFile>,
    pub(crate) acknowledged: u64,
    /// How many bytes past `acknowledged` at most could not be cut off yet.
    pub(crate) torn: Option<u64>,
    /// Whether its name in the folder would survive a power cut.
    pub(crate) name_lasts: bool,
    /// Whether to go on where syncing is not supported.
    pub(crate) without_sync: bool,
    pub(crate) wake: Wake,
}

impl Writer {
    pub(crate) fn start(desk: Desk) -> Result<Self, Error> {
        let (commands, orders) = channel();
        let (reports, events) = channel();
        let path = desk.path.clone();
        let thread = std::thread::Builder::new()
            .name("session writer".to_owned())
            .spawn(move || serve(desk, &orders, &reports))
            .map_err(|why| Error::io("start the writer of", &path, why))?;
        Ok(Self { commands: Some(commands), events, thread: Some(thread) })
    }

    /// `false` when the thread is gone.
    pub(crate) fn send(&self, command: WriterCommand) -> bool {
        self.commands.as_ref().is_some_and(|commands| commands.send(command).is_ok())
    }

    pub(crate) fn event(&self) -> Option<Event> {
        self.events.try_recv().ok()
    }

    /// Lets the thread finish what it was given, and waits for it. Events stay to be read.
    pub(crate) fn finish(&mut self) {
        self.commands = None;
        if let Some(thread) = self.thread.take() {
            // A writer that panicked leaves its lines unacknowledged, which is what counts.
            let _ = thread.join();
        }
    }
}

impl Drop for Writer {
    fn drop(&mut self) {
        self.finish();
    }
}

fn serve(mut desk: Desk, orders: &Receiver<WriterCommand>, reports: &Sender<Event>) {
    let mut stopped = false;
    while let Ok(command) = orders.recv() {
        match command {
            WriterCommand::TryAgain => stopped = false,
            WriterCommand::GoWithoutSync => desk.without_sync = true,
            WriterCommand::Append { .. } if stopped => {}
            WriterCommand::Append { seq, line } => {
                let event = match desk.append(&line) {
                    Ok(WriteLasting::Synced) => Event::Saved { seq },
                    Ok(WriteLasting::WrittenOnly) => Event::Written { seq },
                    Err(why) => {
                        stopped = true;
                        Event::Stopped { seq, why }
                    }
                };
                if reports.send(event).is_err() {
                    return;
                }
                (desk.wake)();
            }
        }
    }
}

enum WriteLasting {
    Synced,
    WrittenOnly,
}

impl Desk {
    fn append(&mut self, line: &[u8]) -> Result<WriteLasting, Error> {
        if let Some(most) = self.torn {
            self.cut(most)
                .map_err(|why| Error::io("cut the unfinished line off", &self.path, why))?;
            self.torn = None;
        }
        self.still_ours(self.acknowledged)?;
        let length = line.len() as u64;
        if let Err(why) = self.file.append(line) {
            self.cut_back(length);
            return Err(Error::io("append to", &self.path, why));
        }
        let lasting = match self.file.sync() {
            Ok(()) if self.name_lasts => WriteLasting::Synced,
            Ok(()) => WriteLasting::WrittenOnly,
            Err(why) if why.kind() == io::ErrorKind::Unsupported => {
                if !self.without_sync {
                    self.cut_back(length);
                    return Err(Error::Unsupported {
                        path: self.path.clone(),
                        missing: "synced to disk",
                    });
                }
                WriteLasting::WrittenOnly
            }
            Err(why) => {
                self.cut_back(length);
                return Err(Error::io("sync", &self.path, why));
            }
        };
        // Whoever wrote between our look and our write has bytes beside ours: nothing is called saved
        // any more, and what is not ours alone is not cut off.
        if let Err(why) = self.still_ours(self.acknowledged + length) {
            self.cut_back(length);
            return Err(why);
        }
        self.acknowledged += length;
        Ok(lasting)
    }

    /// Compares what lies under the name with the file we hold, and its length with what it must be.
    pub(crate) fn still_ours(&self, length: u64) -> Result<(), Error> {
        let ours = self.file.state().map_err(|why| Error::io("look at", &self.path, why))?;
        let there = under_name(&*self.disk, &self.path)?;
        if there.identity != ours.identity {
            return Err(Error::FileReplaced { path: self.path.clone() });
        }
        if there.length != length {
            return Err(Error::LengthChanged {
                path: self.path.clone(),
                ours: length,
                found: there.length,
            });
        }
        Ok(())
    }

    /// Takes unacknowledged bytes off the end again, `most` at most. Should that fail, the next try
    /// does it.
    fn cut_back(&mut self, most: u64) {
        self.torn = self.cut(most).err().map(|_| most);
        let _ = self.file.sync();
    }

    /// Cuts off what may be ours: more than `most` bytes are somebody else's, fewer than none too.
    fn cut(&mut self, most: u64) -> io::Result<()> {
        let length = self.file.state()?.length;
        if length > self.acknowledged && length <= self.acknowledged + most {
            self.file.truncate(self.acknowledged)?;
        }
        Ok(())
    }
}

fn under_name(disk: &dyn Disk, path: &Path) -> Result<FileState, Error> {
    disk.state(path).map_err(|why| {
        if why.kind() == io::ErrorKind::NotFound {
            Error::FileGone { path: path.to_owned() }
        } else {
            Error::io("look at", path, why)
        }
    })
}
