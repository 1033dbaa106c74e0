//! Derives jobs on a thread of its own, so that the window never waits.
//!
//! Question: what follows from the newest job? One named thread takes the newest job that waits
//! (older ones are dropped), and sends the results back with the revision they belong to. Work
//! that nobody waits for is cancelled, unless it belongs to a drag: during a drag each answer is
//! worth showing, so the running one may finish before the newest is taken. A panic in a stage
//! is caught here and told as a fault of the program; the last results stay.

use slabloom_core::derive::alternates::{DerivedAlternate, derive_alternates};
use slabloom_core::derive::{Deriver, Results};
use slabloom_core::effort::Cancel;
use slabloom_core::job::Job;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

/// A job to derive.
#[derive(Clone, Debug)]
pub struct Request {
    /// Counts the changes of the job in this sitting.
    pub revision: u64,
    /// The job.
    pub job: Arc<Job>,
}

/// What came of a request.
#[derive(Clone, Debug)]
pub enum Reply {
    /// Everything that follows from the job of this revision.
    Done {
        /// The revision it belongs to.
        revision: u64,
        /// The results.
        results: Arc<Results>,
    },
    /// The alternates of the job, each with what follows; they come after the job's own results.
    Alternates {
        /// The revision they belong to.
        revision: u64,
        /// In the order of the job's rate book.
        alternates: Arc<Vec<DerivedAlternate>>,
    },
    /// The program failed in a stage.
    Fault {
        /// The revision it belongs to.
        revision: u64,
        /// What the stage said.
        message: String,
    },
}

/// What a new request does to the one that is being worked on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Urgency {
    /// It is cancelled: nobody wants its answer any more.
    Replace,
    /// It may finish: in a drag every answer is shown.
    AfterRunning,
}

/// The thread that derives.
#[derive(Debug)]
pub struct Worker {
    shared: Arc<Shared>,
    replies: Receiver<Reply>,
}

#[derive(Debug, Default)]
struct Shared {
    desk: Mutex<Desk>,
    wake: Condvar,
}

/// What lies on the worker's desk.
#[derive(Debug, Default)]
struct Desk {
    next: Option<Request>,
    running: Option<Cancel>,
    /// Alternates that are worked on: they wait for nobody and give way to any request.
    alternates: Option<Cancel>,
    is_closed: bool,
}

impl Shared {
    fn desk(&self) -> MutexGuard<'_, Desk> {
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Worker {
    /// Starts the thread; `notify` is called after each reply, to ask for a new frame.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn start(notify: impl Fn() + Send + 'static) -> std::io::Result<Self> {
        let shared = Arc::new(Shared::default());
        let (sender, replies) = channel();
        let own = Arc::clone(&shared);
        std::thread::Builder::new()
            .name("derive".to_owned())
            .spawn(move || work(&own, &sender, &notify))?;
        Ok(Self { shared, replies })
    }

    /// Asks for the results of a job; a request that still waits is replaced.
    pub fn ask(&self, request: Request, urgency: Urgency) {
        let mut desk = self.shared.desk();
        desk.next = Some(request);
        if urgency == Urgency::Replace
            && let Some(running) = &desk.running
        {
            running.raise();
        }
        if let Some(alternates) = &desk.alternates {
            alternates.raise();
        }
        drop(desk);
        self.shared.wake.notify_one();
    }

    /// The replies that have come since the last call, oldest first.
    pub fn replies(&self) -> impl Iterator<Item = Reply> {
        self.replies.try_iter()
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        let mut desk = self.shared.desk();
        desk.is_closed = true;
        if let Some(running) = &desk.running {
            running.raise();
        }
        if let Some(alternates) = &desk.alternates {
            alternates.raise();
        }
        drop(desk);
        self.shared.wake.notify_one();
    }
}

/// Waits for a request; `None` when the worker was dropped.
fn next_request(shared: &Shared) -> Option<(Request, Cancel)> {
    let mut desk = shared.desk();
    loop {
        if desk.is_closed {
            return None;
        }
        if let Some(request) = desk.next.take() {
            let cancel = Cancel::new();
            desk.running = Some(cancel.clone());
            return Some((request, cancel));
        }
        desk = shared.wake.wait(desk).unwrap_or_else(PoisonError::into_inner);
    }
}

fn work(shared: &Shared, replies: &Sender<Reply>, notify: &dyn Fn()) {
    let mut deriver = Deriver::default();
    while let Some((Request { revision, job }, cancel)) = next_request(shared) {
        let derived = catch_unwind(AssertUnwindSafe(|| deriver.derive(&job, &cancel, &mut |_| {})));
        shared.desk().running = None;
        let reply = match derived {
            Ok(Ok(results)) => Reply::Done { revision, results: Arc::new(results) },
            Ok(Err(_cancelled)) => continue,
            Err(panic) => {
                // What a failed stage left behind is not built upon.
                deriver = Deriver::default();
                Reply::Fault { revision, message: panic_text(&*panic) }
            }
        };
        let own = match &reply {
            Reply::Done { results, .. } => Some(Arc::clone(results)),
            _ => None,
        };
        if replies.send(reply).is_err() {
            return;
        }
        notify();
        if let Some(alternates) = own.and_then(|own| alternates_of(shared, &job, &own)) {
            let alternates = Arc::new(alternates);
            if replies.send(Reply::Alternates { revision, alternates }).is_err() {
                return;
            }
            notify();
        }
    }
}

/// The job's alternates, unless it has none or something newer waits.
fn alternates_of(shared: &Shared, job: &Job, own: &Results) -> Option<Vec<DerivedAlternate>> {
    if job.prices.alternates.is_empty() {
        return None;
    }
    let cancel = Cancel::new();
    {
        let mut desk = shared.desk();
        if desk.next.is_some() || desk.is_closed {
            return None;
        }
        desk.alternates = Some(cancel.clone());
    }
    // A stage that fails on an alternate is no fault of the job: there is just nothing to show.
    let derived = catch_unwind(AssertUnwindSafe(|| derive_alternates(job, own, &cancel)));
    shared.desk().alternates = None;
    derived.ok()?.ok()
}

fn panic_text(panic: &(dyn std::any::Any + Send)) -> String {
    panic
        .downcast_ref::<&str>()
        .map(|text| (*text).to_owned())
        .or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no words".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::geometry::Point;
    use std::time::Duration;

    fn square(feet: f64) -> Arc<Job> {
        let corners = [(0.0, 0.0), (feet, 0.0), (feet, feet), (0.0, feet)];
        Arc::new(Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None))))
    }

    #[test]
    fn the_newest_job_is_answered_with_its_revision() {
        let (told, heard) = channel();
        let worker = Worker::start(move || told.send(()).unwrap_or_default()).unwrap();
        for revision in 1..=20 {
            worker.ask(Request { revision, job: square(10.0 + revision as f64) }, Urgency::Replace);
        }
        let mut newest = 0;
        while newest < 20 {
            heard.recv_timeout(Duration::from_secs(20)).unwrap();
            for reply in worker.replies() {
                let Reply::Done { revision, results } = reply else { panic!("{reply:?}") };
                assert!(revision > newest, "answers come in order");
                newest = revision;
                let side = 10.0 + revision as f64;
                assert!((results.parts.plan.area / 144.0 - side * side).abs() < 1e-6);
            }
        }
    }
}
