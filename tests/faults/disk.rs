//! A disk in memory whose faults can be made: any call can fail, the power can be cut before any
//! call, and what was not synced can then be dropped, torn or left full of holes.

use std::collections::BTreeMap;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use record::Disk;
use record::file::{DiskFile, FileState, Locking};

/// What goes wrong, counted in calls from the first.
#[derive(Clone, Debug, Default)]
pub(crate) struct Plan {
    /// These calls fail, each with this error; an append first writes half of its bytes.
    pub(crate) failing: Vec<(usize, ErrorKind)>,
    /// From this call on nothing works any more.
    pub(crate) power_cut_at: Option<usize>,
    /// Locks, or syncs, cannot be had at all.
    pub(crate) no_locks: bool,
    pub(crate) no_sync: bool,
    /// Folders cannot be synced, files can.
    pub(crate) no_folder_sync: bool,
    /// Before this call somebody else writes a few bytes to the end of every file.
    pub(crate) intruder_at: Option<usize>,
}

/// What the intruder writes.
pub(crate) const INTRUDER: &[u8] = b"not ours\n";

/// What becomes of bytes that were not synced when the power went.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Tear {
    /// None of them is there.
    Dropped,
    /// All of them are.
    Kept,
    /// The first so many thousandths of them are.
    Prefix(usize),
    /// The file has its new length, but the bytes are zeros.
    Zeros,
    /// The first so many thousandths are zeros, the rest is there.
    Hole(usize),
}

#[derive(Clone, Debug, Default)]
struct Node {
    bytes: Vec<u8>,
    durable: Vec<u8>,
}

#[derive(Clone, Default)]
struct State {
    nodes: BTreeMap<u64, Node>,
    names: BTreeMap<PathBuf, u64>,
    durable_names: BTreeMap<PathBuf, u64>,
    locks: Vec<PathBuf>,
    locked: Vec<u64>,
    next_node: u64,
    calls: usize,
    plan: Plan,
    log: Vec<String>,
}

/// The disk. Clones share it.
#[derive(Clone, Default)]
pub(crate) struct FaultyDisk(Arc<Mutex<State>>);

/// What a call may do.
enum Fate {
    Works,
    Fails(io::Error),
}

impl State {
    fn call(&mut self, what: &str) -> Fate {
        self.calls += 1;
        self.log.push(what.to_owned());
        if self.plan.intruder_at == Some(self.calls) {
            self.nodes.values_mut().for_each(|node| node.bytes.extend_from_slice(INTRUDER));
        }
        if self.plan.power_cut_at.is_some_and(|at| self.calls >= at) {
            return Fate::Fails(io::Error::other("the power is gone"));
        }
        let failing = self.plan.failing.iter().find(|(at, _)| *at == self.calls);
        failing.map_or(Fate::Works, |(_, kind)| Fate::Fails(io::Error::from(*kind)))
    }

    fn simple(&mut self, what: &str) -> io::Result<()> {
        match self.call(what) {
            Fate::Works => Ok(()),
            Fate::Fails(why) => Err(why),
        }
    }

    fn node_of(&self, path: &Path) -> io::Result<u64> {
        self.names.get(path).copied().ok_or_else(|| io::Error::from(ErrorKind::NotFound))
    }
}

impl FaultyDisk {
    pub(crate) fn new() -> Self {
        Self::default()
    }

    /// From here on, counting anew.
    pub(crate) fn plan(&self, plan: Plan) {
        let mut state = self.0.lock().unwrap();
        state.calls = 0;
        state.log.clear();
        state.plan = plan;
    }

    pub(crate) fn calls(&self) -> usize {
        self.0.lock().unwrap().calls
    }

    /// The calls made since the plan, for a failing test to show.
    pub(crate) fn log(&self) -> Vec<String> {
        self.0.lock().unwrap().log.clone()
    }

    /// A file as it is, unsynced bytes too.
    pub(crate) fn bytes(&self, path: &Path) -> Option<Vec<u8>> {
        let state = self.0.lock().unwrap();
        let node = state.names.get(path)?;
        Some(state.nodes[node].bytes.clone())
    }

    /// Puts a file there, synced.
    pub(crate) fn put(&self, path: &Path, bytes: &[u8]) {
        let mut state = self.0.lock().unwrap();
        let node = Node { bytes: bytes.to_vec(), durable: bytes.to_vec() };
        let number = state.next_node;
        state.next_node += 1;
        state.nodes.insert(number, node);
        state.names.insert(path.to_owned(), number);
        state.durable_names.insert(path.to_owned(), number);
    }

    /// All files, by name.
    pub(crate) fn names(&self) -> Vec<PathBuf> {
        self.0.lock().unwrap().names.keys().cloned().collect()
    }

    /// The disk as it comes up after a power cut. A name that was not made to last is gone with
    /// `Dropped`, and there with any other tear.
    pub(crate) fn after_power_cut(&self, tear: Tear) -> Self {
        let mut state = self.0.lock().unwrap().clone();
        if matches!(tear, Tear::Dropped) {
            state.names = state.durable_names.clone();
        }
        for node in state.nodes.values_mut() {
            node.bytes = torn(node, tear);
            node.durable = node.bytes.clone();
        }
        state.durable_names = state.names.clone();
        state.locks.clear();
        state.locked.clear();
        state.plan = Plan::default();
        state.calls = 0;
        Self(Arc::new(Mutex::new(state)))
    }
}

fn torn(node: &Node, tear: Tear) -> Vec<u8> {
    let Some(new) = node.bytes.strip_prefix(&node.durable[..]) else {
        // Cut since the last sync: the old length or the new.
        return if matches!(tear, Tear::Dropped) {
            node.durable.clone()
        } else {
            node.bytes.clone()
        };
    };
    let share = |thousandths: usize| new.len() * thousandths / 1000;
    let mut after = node.durable.clone();
    match tear {
        Tear::Dropped => {}
        Tear::Kept => after.extend_from_slice(new),
        Tear::Prefix(thousandths) => after.extend_from_slice(&new[..share(thousandths)]),
        Tear::Zeros => after.resize(node.bytes.len(), 0),
        Tear::Hole(thousandths) => {
            // A hole is as long as a piece of disk: never a single byte.
            let hole = share(thousandths).max(2).min(new.len());
            after.resize(node.durable.len() + hole, 0);
            after.extend_from_slice(&new[hole..]);
        }
    }
    after
}

impl Disk for FaultyDisk {
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut state = self.0.lock().unwrap();
        state.simple("create")?;
        if state.names.contains_key(path) {
            return Err(io::Error::from(ErrorKind::AlreadyExists));
        }
        let node = state.next_node;
        state.next_node += 1;
        state.nodes.insert(node, Node::default());
        state.names.insert(path.to_owned(), node);
        Ok(Box::new(FaultyFile { disk: self.clone(), node, at: 0, locked: false }))
    }

    fn open_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut state = self.0.lock().unwrap();
        state.simple("open to append")?;
        let node = state.node_of(path)?;
        Ok(Box::new(FaultyFile { disk: self.clone(), node, at: 0, locked: false }))
    }

    fn open_read(&self, path: &Path) -> io::Result<Box<dyn Read + Send>> {
        let mut state = self.0.lock().unwrap();
        state.simple("open to read")?;
        let node = state.node_of(path)?;
        Ok(Box::new(FaultyFile { disk: self.clone(), node, at: 0, locked: false }))
    }

    fn state(&self, path: &Path) -> io::Result<FileState> {
        let mut state = self.0.lock().unwrap();
        state.simple("look under the name")?;
        let node = state.node_of(path)?;
        Ok(FileState { length: state.nodes[&node].bytes.len() as u64, identity: (1, node) })
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut state = self.0.lock().unwrap();
        state.simple("rename")?;
        let node = state.node_of(from)?;
        state.names.remove(from);
        state.names.insert(to.to_owned(), node);
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        let mut state = self.0.lock().unwrap();
        state.simple("remove")?;
        state.node_of(path)?;
        state.names.remove(path);
        Ok(())
    }

    fn sync_folder(&self, _folder: &Path) -> io::Result<()> {
        let mut state = self.0.lock().unwrap();
        state.simple("sync the folder")?;
        if state.plan.no_folder_sync || state.plan.no_sync {
            return Err(io::Error::from(ErrorKind::Unsupported));
        }
        state.durable_names = state.names.clone();
        Ok(())
    }

    fn try_lock(&self, path: &Path, note: &str) -> io::Result<Locking> {
        let mut state = self.0.lock().unwrap();
        state.simple("lock")?;
        if state.plan.no_locks {
            return Err(io::Error::from(ErrorKind::Unsupported));
        }
        if state.locks.iter().any(|held| held == path) {
            return Ok(Locking::Taken(note.to_owned()));
        }
        state.locks.push(path.to_owned());
        Ok(Locking::Held(Box::new(Held { disk: self.clone(), path: path.to_owned() })))
    }
}

struct Held {
    disk: FaultyDisk,
    path: PathBuf,
}

impl Drop for Held {
    fn drop(&mut self) {
        self.disk.0.lock().unwrap().locks.retain(|held| *held != self.path);
    }
}

struct FaultyFile {
    disk: FaultyDisk,
    node: u64,
    at: usize,
    locked: bool,
}

impl Drop for FaultyFile {
    fn drop(&mut self) {
        if self.locked {
            self.disk.0.lock().unwrap().locked.retain(|held| *held != self.node);
        }
    }
}

impl Read for FaultyFile {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let mut state = self.disk.0.lock().unwrap();
        state.simple("read")?;
        let bytes = &state.nodes[&self.node].bytes;
        let rest = bytes.get(self.at..).unwrap_or_default();
        let count = rest.len().min(buffer.len());
        buffer[..count].copy_from_slice(&rest[..count]);
        self.at += count;
        Ok(count)
    }
}

impl DiskFile for FaultyFile {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut state = self.disk.0.lock().unwrap();
        let fate = state.call("append");
        let node = state.nodes.get_mut(&self.node).unwrap();
        match fate {
            Fate::Works => {
                node.bytes.extend_from_slice(bytes);
                Ok(())
            }
            Fate::Fails(why) => {
                node.bytes.extend_from_slice(&bytes[..bytes.len() / 2]);
                Err(why)
            }
        }
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut state = self.disk.0.lock().unwrap();
        state.simple("sync")?;
        if state.plan.no_sync {
            return Err(io::Error::from(ErrorKind::Unsupported));
        }
        let node = state.nodes.get_mut(&self.node).unwrap();
        node.durable = node.bytes.clone();
        Ok(())
    }

    fn try_lock(&mut self) -> io::Result<bool> {
        let mut state = self.disk.0.lock().unwrap();
        state.simple("lock the file")?;
        if state.plan.no_locks {
            return Err(io::Error::from(ErrorKind::Unsupported));
        }
        if state.locked.contains(&self.node) {
            return Ok(false);
        }
        state.locked.push(self.node);
        self.locked = true;
        Ok(true)
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        let mut state = self.disk.0.lock().unwrap();
        state.simple("truncate")?;
        state.nodes.get_mut(&self.node).unwrap().bytes.truncate(length as usize);
        Ok(())
    }

    fn state(&self) -> io::Result<FileState> {
        let mut state = self.disk.0.lock().unwrap();
        state.simple("look at the file")?;
        let length = state.nodes[&self.node].bytes.len() as u64;
        Ok(FileState { length, identity: (1, self.node) })
    }
}
