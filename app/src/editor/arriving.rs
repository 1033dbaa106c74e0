//! What another thread works out, taken by the frame that finds it there.

use egui::Context;
use std::sync::mpsc::{Receiver, TryRecvError};
use std::time::Duration;

/// How soon a frame looks again.
const LOOK_AGAIN: Duration = Duration::from_millis(50);

/// What came; `None` while it is on its way, and then another frame is asked for. A thread that
/// ended without an answer is a problem, told with the words of `lost`.
pub(super) fn arrived<T>(
    arriving: &Receiver<Result<T, String>>,
    context: &Context,
    lost: &str,
) -> Option<Result<T, String>> {
    match arriving.try_recv() {
        Ok(came) => Some(came),
        Err(TryRecvError::Empty) => {
            context.request_repaint_after(LOOK_AGAIN);
            None
        }
        Err(TryRecvError::Disconnected) => Some(Err(lost.to_owned())),
    }
}
