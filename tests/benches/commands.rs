//! Times whole runs of the commands over the demo lessons and over lessons of 12 and 120 pages made
//! from them, and prints each figure beside what it must reach and what it aims at.

#[path = "../support/long_lesson.rs"]
mod long_lesson;

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const FRETLEAF: &str = env!("CARGO_BIN_EXE_fretleaf");

/// How often each command is run; the median is printed.
const RUNS: usize = 21;

fn main() -> Result<(), Box<dyn Error>> {
    let demos = demos()?;
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("bench");
    fs::create_dir_all(&folder)?;
    println!("{:44} {:>9} {:>9} {:>9}", "", "median", "must", "aims at");
    for (path, _) in &demos {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let bench = Bench::new(&folder, path)?;
        bench.proof(&name)?;
        bench.press(&format!("{name} ({} pages)", bench.pages()?), 20, 10)?;
    }
    let texts: Vec<String> = demos.into_iter().map(|(_, text)| text).collect();
    for (pages, must, aim) in [(12, 60, 30), (120, 400, 150)] {
        let path = of_about(pages, &texts, &folder)?;
        let bench = Bench::new(&folder, &path)?;
        bench.proof(&format!("{} pages", bench.pages()?))?;
        bench.press(&format!("{} pages", bench.pages()?), must, aim)?;
        println!(
            "{:44} {:>6.1} MB {:>9} {:>9}",
            "  memory at its highest",
            bench.memory()?,
            "60 MB",
            ""
        );
    }
    Ok(())
}

fn demos() -> Result<Vec<(PathBuf, String)>, Box<dyn Error>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let mut paths: Vec<PathBuf> =
        fs::read_dir(folder)?.map(|entry| entry.map(|e| e.path())).collect::<Result<_, _>>()?;
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "md"));
    paths.sort();
    paths.into_iter().map(|path| Ok((path.clone(), fs::read_to_string(path)?))).collect()
}

/// A lesson of at least so many pages, made of whole copies of the demos.
fn of_about(pages: usize, texts: &[String], folder: &Path) -> Result<PathBuf, Box<dyn Error>> {
    let path = folder.join(format!("long-{pages}.md"));
    let one = pages_of(texts, 1, folder, &path)?;
    let mut copies = (pages / one).max(1);
    while pages_of(texts, copies, folder, &path)? < pages {
        copies += 1;
    }
    Ok(path)
}

fn pages_of(
    texts: &[String],
    copies: usize,
    folder: &Path,
    path: &Path,
) -> Result<usize, Box<dyn Error>> {
    fs::write(path, long_lesson::long_lesson(texts, copies))?;
    Bench::new(folder, path)?.pages()
}

/// One lesson, and the folder that it is pressed into.
struct Bench {
    lesson: PathBuf,
    folder: PathBuf,
}

impl Bench {
    fn new(folder: &Path, lesson: &Path) -> Result<Bench, Box<dyn Error>> {
        let bench = Bench { lesson: lesson.to_path_buf(), folder: folder.to_path_buf() };
        bench.run("press")?;
        Ok(bench)
    }

    fn command(&self, name: &str) -> Command {
        let mut command = Command::new(FRETLEAF);
        command.arg(name).arg(&self.lesson).stdout(Stdio::null()).stderr(Stdio::null());
        if name == "press" {
            command.arg("--out").arg(&self.folder);
        }
        command
    }

    fn run(&self, name: &str) -> Result<Duration, Box<dyn Error>> {
        let start = Instant::now();
        let status = self.command(name).status()?;
        let time = start.elapsed();
        if !status.success() {
            return Err(format!("{name} {} ended with {status}", self.lesson.display()).into());
        }
        Ok(time)
    }

    fn median(&self, name: &str) -> Result<f64, Box<dyn Error>> {
        let mut times = (0..RUNS).map(|_| self.run(name)).collect::<Result<Vec<_>, _>>()?;
        times.sort();
        Ok(times.get(RUNS / 2).map_or(0.0, |time| time.as_secs_f64() * 1000.0))
    }

    fn proof(&self, what: &str) -> Result<(), Box<dyn Error>> {
        let time = self.median("proof")?;
        println!("{:44} {time:>6.1} ms {:>9} {:>9}", format!("proof {what}"), "10 ms", "3 ms");
        Ok(())
    }

    fn press(&self, what: &str, must: u32, aim: u32) -> Result<(), Box<dyn Error>> {
        let time = self.median("press")?;
        let (must, aim) = (format!("{must} ms"), format!("{aim} ms"));
        println!("{:44} {time:>6.1} ms {must:>9} {aim:>9}", format!("press {what}"));
        let size = fs::metadata(self.pdf())?.len() as f64 / 1000.0;
        println!("{:44} {size:>6.1} kB", "  PDF");
        Ok(())
    }

    fn pdf(&self) -> PathBuf {
        let name = self.lesson.file_stem().unwrap_or_default();
        self.folder.join(name).with_extension("pdf")
    }

    fn pages(&self) -> Result<usize, Box<dyn Error>> {
        Ok(lopdf::Document::load(self.pdf())?.get_pages().len())
    }

    /// The most memory that a press holds, in MB, as the system counts it.
    fn memory(&self) -> Result<f64, Box<dyn Error>> {
        let mut child = self.command("press").spawn()?;
        let status = format!("/proc/{}/status", child.id());
        let mut most = 0.0_f64;
        while child.try_wait()?.is_none() {
            let text = fs::read_to_string(&status).unwrap_or_default();
            let kilobytes = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
            let kilobytes = kilobytes.and_then(|rest| rest.trim().strip_suffix(" kB"));
            most =
                most.max(kilobytes.and_then(|number| number.parse().ok()).unwrap_or(0.0) / 1024.0);
        }
        Ok(most)
    }
}
