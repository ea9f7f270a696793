//! `watch`: prints lessons' handouts anew on every save, and shows them on a live page.

use super::figures::ScreenLooks;
use super::looks::Looks;
use super::{Failure, Service, Status, print, say, writing};
use crate::cli::preview::Preview;
use crate::cli::watch::folders::Folders;
use crate::cli::watch::{self, News, Wishes, lessons};
use clap::Args;
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

/// How long a build that is under way may last after an interrupt. Whoever interrupts waits no longer
/// than a fifth of a second in all.
const GRACE: Duration = Duration::from_millis(100);

/// Print handouts as drafts on every save, and say what changed
#[derive(Debug, Args)]
pub struct Watch {
    /// The lessons' files; of a folder, its `.md` files that begin with a header
    #[arg(required = true, value_name = "LESSON")]
    lessons: Vec<PathBuf>,
    /// Write the script's files too, and say how long the script runs
    #[arg(long)]
    script: bool,
    /// Write the figures that cues show for the screen too, as SVG and PNG
    #[arg(long, requires = "script")]
    figures: bool,
    #[command(flatten)]
    screen: ScreenLooks,
    /// Serve a live page that shows the handout, what is wrong with it, and the script
    #[arg(long)]
    preview: bool,
    /// The live page's port, instead of one worked out from the lesson's path
    #[arg(long, requires = "preview", value_parser = clap::value_parser!(u16).range(1..))]
    port: Option<u16>,
    /// Open the live page in the browser
    #[arg(long, requires = "preview")]
    open: bool,
    /// Build once and leave
    #[arg(long, conflicts_with = "preview")]
    once: bool,
    /// Write what each handout is made from, as rules for make
    #[arg(long, value_name = "FILE")]
    deps: Option<PathBuf>,
    /// The folder to write to, instead of the lesson's own
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    looks: Looks,
}

impl Watch {
    /// Builds until it is interrupted, or once.
    pub fn run(self) -> Result<Status, Failure> {
        let wishes = Wishes {
            named: self.lessons,
            looks: self.looks,
            out: self.out,
            dependencies: self.deps,
            script: self.script,
            figures: self.figures.then(|| self.screen.wanted()),
        };
        let tell = Box::new(|line: &str| say(line));
        if self.once {
            return watch::Watch::new(wishes, None, tell)?.once();
        }
        lessons::named(&wishes.named)?;
        let preview =
            if self.preview { Some(serve(&wishes.named, self.port, self.open)?) } else { None };
        let (sender, news) = mpsc::channel();
        let end = sender.clone();
        ctrlc::set_handler(move || {
            // Where nobody listens any longer it has ended already.
            let _ = end.send(News::End);
            thread::sleep(GRACE);
            writing::leave(0);
        })
        .map_err(|error| Service::Interrupts.denied(error))?;
        let folders = Folders::new(move |event| {
            let _ = sender.send(News::Files(event));
        })?;
        watch::Watch::new(wishes, preview, tell)?.run(&news, folders)
    }
}

fn serve(named: &[PathBuf], port: Option<u16>, open: bool) -> Result<Preview, Failure> {
    let preview = match port {
        Some(port) => Preview::at(port),
        None => Preview::near(named.first().map_or(Path::new("."), PathBuf::as_path)),
    }?;
    print(&format!("{}\n", preview.address()))?;
    if open {
        crate::cli::preview::open(preview.address());
    }
    Ok(preview)
}
