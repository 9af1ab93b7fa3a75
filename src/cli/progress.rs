//! How much of a record of past years has come, as a bar on a terminal.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::daemon::Progress;

/// A bar while pieces of a record come; it shows on a terminal only.
pub(super) fn past_years() -> Progress {
    let bar = ProgressBar::with_draw_target(Some(0), ProgressDrawTarget::stderr());
    if let Ok(style) = ProgressStyle::with_template("past years {wide_bar} {pos}/{len} pieces") {
        bar.set_style(style);
    }
    Progress::of(move |done, all| {
        bar.set_length(u64::try_from(all).unwrap_or(0));
        bar.set_position(u64::try_from(done).unwrap_or(0));
        if done == all {
            bar.finish_and_clear();
            bar.reset();
        } else {
            bar.tick();
        }
    })
}
