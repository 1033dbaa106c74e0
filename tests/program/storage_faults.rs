//! Every act of the disk fails, or the program ends in the middle of it, while a job is saved or
//! kept aside: afterwards the file is the old one or the new one, whole.
//!
//! The disk is a model in memory: files have contents that are live and contents that are synced,
//! and names that are live and names that are synced. After the power fails any of three disks
//! may be found: the live one, the live names with only the synced contents, and the synced names
//! with the synced contents.

use slabloom::files::{
    Backup, FileError, NewFile, Recovery, Stamp, Storage, backup_path, save, save_job,
};
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

/// How an act of the disk goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fault {
    /// It is refused and has no effect.
    Refused(ErrorKind),
    /// It does a half (a write) or all (anything else) of its work and then reports a failure.
    DoneButReported(ErrorKind),
    /// It and everything after it is refused: the drive is gone.
    Gone,
    /// The power fails before it.
    PowerBefore,
    /// The power fails half through it.
    PowerAmid,
    /// The power fails after it.
    PowerAfter,
}

const FAULTS: [Fault; 12] = [
    Fault::Refused(ErrorKind::StorageFull),
    Fault::Refused(ErrorKind::PermissionDenied),
    Fault::Refused(ErrorKind::Other),
    Fault::Refused(ErrorKind::NotFound),
    Fault::Refused(ErrorKind::ReadOnlyFilesystem),
    Fault::DoneButReported(ErrorKind::StorageFull),
    Fault::DoneButReported(ErrorKind::TimedOut),
    Fault::DoneButReported(ErrorKind::Other),
    Fault::Gone,
    Fault::PowerBefore,
    Fault::PowerAmid,
    Fault::PowerAfter,
];

#[derive(Clone, Debug, Default)]
struct Contents {
    live: Vec<u8>,
    synced: Vec<u8>,
}

#[derive(Clone, Debug, Default)]
struct Model {
    files: Vec<Contents>,
    names: BTreeMap<PathBuf, usize>,
    synced_names: BTreeMap<PathBuf, usize>,
    /// Acts so far.
    acts: usize,
    /// Which act goes wrong, and how.
    plan: Option<(usize, Fault)>,
    /// Nothing is done any more.
    is_dead: bool,
}

/// What an act may do.
enum Act {
    All,
    Half(io::Error),
    AllThen(io::Error),
    Nothing(io::Error),
}

impl Model {
    fn next(&mut self, is_write: bool) -> Act {
        let error = |kind| io::Error::new(kind, "injected");
        let act = self.acts;
        self.acts += 1;
        if self.is_dead {
            return Act::Nothing(error(ErrorKind::Other));
        }
        match self.plan {
            Some((at, fault)) if at == act => match fault {
                Fault::Refused(kind) => Act::Nothing(error(kind)),
                Fault::DoneButReported(kind) if is_write => Act::Half(error(kind)),
                Fault::DoneButReported(kind) => Act::AllThen(error(kind)),
                Fault::Gone | Fault::PowerBefore => {
                    self.is_dead = true;
                    Act::Nothing(error(ErrorKind::Other))
                }
                Fault::PowerAmid => {
                    self.is_dead = true;
                    if is_write {
                        Act::Half(error(ErrorKind::Other))
                    } else {
                        Act::Nothing(error(ErrorKind::Other))
                    }
                }
                Fault::PowerAfter => {
                    self.is_dead = true;
                    Act::AllThen(error(ErrorKind::Other))
                }
            },
            _ => Act::All,
        }
    }

    /// Does something by name; `work` must not fail for a reason of its own.
    fn act(&mut self, work: impl FnOnce(&mut Self)) -> io::Result<()> {
        match self.next(false) {
            Act::All => {
                work(self);
                Ok(())
            }
            Act::AllThen(error) | Act::Half(error) => {
                work(self);
                Err(error)
            }
            Act::Nothing(error) => Err(error),
        }
    }

    fn put(&mut self, path: &Path, bytes: &[u8]) {
        let number = self.files.len();
        self.files.push(Contents { live: bytes.to_vec(), synced: bytes.to_vec() });
        self.names.insert(path.to_owned(), number);
        self.synced_names = self.names.clone();
    }

    /// The disks that may be found after the power failed; only the live one otherwise.
    fn found(&self) -> Vec<BTreeMap<PathBuf, Vec<u8>>> {
        let live = |number: &usize| self.files[*number].live.clone();
        let synced = |number: &usize| self.files[*number].synced.clone();
        let all = |names: &BTreeMap<PathBuf, usize>, of: &dyn Fn(&usize) -> Vec<u8>| {
            names.iter().map(|(path, number)| (path.clone(), of(number))).collect()
        };
        let mut found = vec![all(&self.names, &live)];
        if matches!(self.plan, Some((_, Fault::PowerBefore | Fault::PowerAmid | Fault::PowerAfter)))
        {
            found.push(all(&self.names, &synced));
            found.push(all(&self.synced_names, &synced));
        }
        found
    }
}

#[derive(Clone, Debug, Default)]
struct FaultyDisk(Rc<RefCell<Model>>);

struct FaultyFile {
    disk: FaultyDisk,
    number: usize,
}

impl NewFile for FaultyFile {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut model = self.disk.0.borrow_mut();
        let act = model.next(true);
        let live = &mut model.files[self.number].live;
        match act {
            Act::All => {
                live.extend(bytes);
                Ok(())
            }
            Act::Half(error) => {
                live.extend(&bytes[..bytes.len() / 2]);
                Err(error)
            }
            Act::AllThen(error) => {
                live.extend(bytes);
                Err(error)
            }
            Act::Nothing(error) => Err(error),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        self.disk.0.borrow_mut().act(|_| {})
    }

    fn sync(&mut self) -> io::Result<()> {
        let number = self.number;
        self.disk.0.borrow_mut().act(|model| {
            let contents = &mut model.files[number];
            contents.synced = contents.live.clone();
        })
    }
}

impl Storage for FaultyDisk {
    fn read(&self, path: &Path, _most: u64) -> io::Result<Vec<u8>> {
        let mut model = self.0.borrow_mut();
        model.act(|_| {})?;
        let number = model.names.get(path).ok_or(ErrorKind::NotFound)?;
        Ok(model.files[*number].live.clone())
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        let mut model = self.0.borrow_mut();
        if model.names.contains_key(path) {
            return Err(ErrorKind::AlreadyExists.into());
        }
        let number = model.files.len();
        model.act(|model| {
            model.files.push(Contents::default());
            model.names.insert(path.to_owned(), number);
        })?;
        drop(model);
        Ok(Box::new(FaultyFile { disk: self.clone(), number }))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.0.borrow_mut().act(|model| {
            if let Some(number) = model.names.remove(from) {
                model.names.insert(to.to_owned(), number);
            }
        })
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.0.borrow_mut().act(|model| {
            model.names.remove(path);
        })
    }

    fn sync_folder(&self, _folder: &Path) -> io::Result<()> {
        self.0.borrow_mut().act(|model| model.synced_names = model.names.clone())
    }

    fn stamp(&self, path: &Path) -> io::Result<Stamp> {
        let mut model = self.0.borrow_mut();
        model.act(|_| {})?;
        let folder = Stamp { length: 0, modified: None, is_folder: true, is_read_only: false };
        match model.names.get(path) {
            Some(&number) => Ok(Stamp {
                length: model.files[number].live.len() as u64,
                is_folder: false,
                ..folder
            }),
            None if path.extension().is_none() => Ok(folder),
            None => Err(ErrorKind::NotFound.into()),
        }
    }

    fn resolve(&self, path: &Path) -> PathBuf {
        path.to_owned()
    }

    fn copy_rights(&self, _from: &Path, _to: &Path) -> io::Result<()> {
        self.0.borrow_mut().act(|_| {})
    }

    fn list(&self, _folder: &Path) -> io::Result<Vec<PathBuf>> {
        let mut model = self.0.borrow_mut();
        model.act(|_| {})?;
        Ok(model.names.keys().cloned().collect())
    }

    fn make_folder(&self, _folder: &Path) -> io::Result<()> {
        self.0.borrow_mut().act(|_| {})
    }
}

/// Something done with a disk that may fail.
type OnDisk = Box<dyn Fn(&FaultyDisk) -> Result<(), FileError>>;

/// What is saved, over what, in which way.
struct Scenario {
    name: &'static str,
    path: PathBuf,
    old: Option<Vec<u8>>,
    old_backup: Option<Vec<u8>>,
    new: Vec<u8>,
    run: OnDisk,
}

impl Scenario {
    fn disk(&self, plan: Option<(usize, Fault)>) -> FaultyDisk {
        let mut model = Model { plan, ..Model::default() };
        if let Some(old) = &self.old {
            model.put(&self.path, old);
        }
        if let Some(backup) = &self.old_backup {
            model.put(&backup_path(&self.path), backup);
        }
        FaultyDisk(Rc::new(RefCell::new(model)))
    }

    /// Runs the scenario with a fault at every act; gives how many cases were tried and what was
    /// lost in them.
    fn try_all(&self) -> (usize, Vec<String>) {
        let whole = self.disk(None);
        (self.run)(&whole).expect("without a fault it is saved");
        let acts = whole.0.borrow().acts;
        let mut lost = Vec::new();
        for act in 0..acts {
            for fault in FAULTS {
                let disk = self.disk(Some((act, fault)));
                let result = (self.run)(&disk);
                for found in disk.0.borrow().found() {
                    if let Err(what) = self.hold(&found, result.is_ok(), fault) {
                        lost.push(format!("{}, act {act}, {fault:?}: {what}", self.name));
                    }
                }
            }
        }
        (acts * FAULTS.len(), lost)
    }

    fn hold(
        &self,
        found: &BTreeMap<PathBuf, Vec<u8>>,
        is_saved: bool,
        fault: Fault,
    ) -> Result<(), String> {
        let now = found.get(&self.path);
        let is_old = now == self.old.as_ref();
        let is_new = now == Some(&self.new);
        if !is_old && !is_new {
            return Err("the file is neither the old nor the new".to_owned());
        }
        let keeps_power =
            !matches!(fault, Fault::PowerBefore | Fault::PowerAmid | Fault::PowerAfter);
        if is_saved && keeps_power && !is_new {
            return Err("it was called saved and is not".to_owned());
        }
        let backup = found.get(&backup_path(&self.path));
        if backup.is_some() && backup != self.old.as_ref() && backup != self.old_backup.as_ref() {
            return Err("the copy of the version before is broken".to_owned());
        }
        if self.old_backup.is_some() && backup.is_none() {
            return Err("the copy of the version before is gone".to_owned());
        }
        // What was begun is cleared away unless the disk or the power went with it.
        let is_left = found.keys().any(|path| path.extension().is_some_and(|end| end == "tmp"));
        if is_left && keeps_power && fault != Fault::Gone {
            // Only a removal that itself fails may leave it.
            return Err("a file that was begun is left".to_owned());
        }
        Ok(())
    }
}

fn square(feet: f64) -> Job {
    let corners = [(0.0, 0.0), (feet, 0.0), (feet, feet), (0.0, feet)];
    Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)))
}

fn text(job: &Job) -> Vec<u8> {
    slabloom_core::job::file::write(job).unwrap().into_bytes()
}

fn scenarios() -> Vec<Scenario> {
    let path = PathBuf::from("/jobs/job.ron");
    let big = |byte: u8| vec![byte; 300_000];
    let bytes_saved = |name, old: Option<Vec<u8>>, old_backup, new: Vec<u8>, backup| Scenario {
        name,
        path: path.clone(),
        old,
        old_backup,
        new: new.clone(),
        run: Box::new({
            let path = path.clone();
            move |disk| save(disk, &path, &new, backup)
        }),
    };
    let mut all = vec![
        bytes_saved("first save", None, None, big(1), Backup::Keep),
        bytes_saved("second save", Some(big(1)), None, big(2), Backup::Keep),
        bytes_saved("third save", Some(big(2)), Some(big(1)), big(3), Backup::Keep),
        bytes_saved("the same again", Some(big(2)), Some(big(1)), big(2), Backup::Keep),
        bytes_saved("an output again", Some(b"old".to_vec()), None, b"new".to_vec(), Backup::None),
        bytes_saved("an empty file", Some(Vec::new()), None, b"new".to_vec(), Backup::Keep),
    ];
    let (old, new) = (square(20.0), square(30.0));
    all.push(Scenario {
        name: "a job",
        path: path.clone(),
        old: Some(text(&old)),
        old_backup: None,
        new: text(&new),
        run: Box::new({
            let (path, new) = (path.clone(), new.clone());
            move |disk| save_job(disk, &path, &new).map(|_| ())
        }),
    });
    let recovery = Recovery::at(PathBuf::from("/user/recovery"));
    for (name, before) in [("autosave", None), ("autosave again", Some(old))] {
        let kept = recovery.file_of(Some(&path));
        let aside = |job: &Job| {
            let line = format!("// Unsaved work on {}\n", path.display());
            [line.into_bytes(), text(job)].concat()
        };
        all.push(Scenario {
            name,
            path: kept,
            old: before.as_ref().map(&aside),
            old_backup: None,
            new: aside(&new),
            run: Box::new({
                let (recovery, path, new) = (recovery.clone(), path.clone(), new.clone());
                move |disk| recovery.keep(disk, Some(&path), &new)
            }),
        });
    }
    all
}

#[test]
fn nothing_is_lost_whatever_act_fails() {
    let mut cases = 0;
    for scenario in scenarios() {
        let (tried, lost) = scenario.try_all();
        assert!(lost.is_empty(), "{} of {tried} lost:\n{}", lost.len(), lost.join("\n"));
        cases += tried;
    }
    println!("{cases} injected faults");
    assert!(cases >= 1000, "only {cases} cases");
}

#[test]
fn the_model_catches_savers_that_lose_work() {
    let path = PathBuf::from("/jobs/job.ron");
    let (old, new) = (vec![1; 1000], vec![2; 1000]);
    let scenario = |name, run: OnDisk| Scenario {
        name,
        path: path.clone(),
        old: Some(old.clone()),
        old_backup: None,
        new: new.clone(),
        run,
    };
    let begun = PathBuf::from("/jobs/.job.tmp");
    // One that removes the old file first, and one that does not sync before the rename.
    let removes_first = scenario("removes first", {
        let (path, begun, new) = (path.clone(), begun.clone(), new.clone());
        Box::new(move |disk| {
            let refuse = |error| FileError::CannotWrite(path.clone(), error);
            let mut file = disk.create(&begun).map_err(refuse)?;
            file.write_all(&new).and_then(|()| file.sync()).map_err(refuse)?;
            disk.remove(&path).map_err(refuse)?;
            disk.rename(&begun, &path).map_err(refuse)
        })
    });
    let never_syncs = scenario("never syncs", {
        let (path, new) = (path.clone(), new.clone());
        Box::new(move |disk| {
            let refuse = |error| FileError::CannotWrite(path.clone(), error);
            let mut file = disk.create(&begun).map_err(refuse)?;
            file.write_all(&new).map_err(refuse)?;
            disk.rename(&begun, &path).map_err(refuse)
        })
    });
    for careless in [removes_first, never_syncs] {
        let (_, lost) = careless.try_all();
        assert!(lost.iter().any(|what| what.contains("neither")), "{}", careless.name);
    }
}

#[test]
fn a_job_that_cannot_be_read_back_is_not_saved() {
    let disk = FaultyDisk::default();
    let path = PathBuf::from("/jobs/job.ron");
    disk.0.borrow_mut().put(&path, b"old");
    let mut job = square(20.0);
    Arc::make_mut(&mut job.pour).truck_yd3 = f64::NAN;
    let error = save_job(&disk, &path, &job).unwrap_err().to_string();
    assert!(error.contains("pour.truck_yd3"), "{error}");
    assert_eq!(disk.read(&path, 100).unwrap(), b"old");
}
