//! Build script: tells a release build which revision of the sources it was built from.
//!
//! `EAVEWRIGHT_REVISION` holds it where sources are built without their history, such as from an archive.
use std::process::Command;

fn main() {
    println!("cargo:rerun-if-env-changed=EAVEWRIGHT_REVISION");
    println!("cargo:rerun-if-changed=src/revision.rs");
    // While one works, every commit would build everything once more.
    let released = std::env::var("PROFILE").is_ok_and(|profile| profile == "release");
    let revision = std::env::var("EAVEWRIGHT_REVISION")
        .ok()
        .filter(|given| !given.is_empty())
        .or_else(|| released.then(from_history).flatten());
    println!("cargo:rustc-env=EAVEWRIGHT_BUILT_FROM={}", revision.as_deref().unwrap_or("revision not known"));
}

/// The first twelve digits of the commit, with a mark where files were changed after it.
fn from_history() -> Option<String> {
    let git = |words: &[&str]| {
        let done = Command::new("git").args(words).output().ok().filter(|done| done.status.success())?;
        Some(String::from_utf8(done.stdout).ok()?.trim().to_owned())
    };
    let head = git(&["rev-parse", "--git-path", "HEAD"])?;
    println!("cargo:rerun-if-changed={head}");
    if let Some(branch) = git(&["symbolic-ref", "-q", "HEAD"]).and_then(|name| git(&["rev-parse", "--git-path", &name]))
    {
        println!("cargo:rerun-if-changed={branch}");
    }
    let commit = git(&["rev-parse", "--short=12", "HEAD"])?;
    let changed = git(&["status", "--porcelain", "--untracked-files=no"]).is_some_and(|list| !list.is_empty());
    Some(if changed { format!("{commit}, changed") } else { commit })
}
