//! What is written is whole, goes where it was asked to and nowhere else, and takes nothing away that is not its own.

use assert_cmd::Command;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn eavewright(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_eavewright"));
    command.current_dir(folder);
    command
}

fn names(folder: &Path) -> BTreeSet<String> {
    fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

/// A gable of so many metres, in a block of this name.
fn gable(block: &str, length: f64) -> String {
    format!(
        "title = \"Shed\"\nunits = \"m\"\n[[block]]\nname = \"{block}\"\nheight = 2.4\nsides = [\n\
         {{ from = \"A\", at = [0, 0], pitch = 35 }},\n{{ from = \"B\", at = [{length}, 0], verge = true }},\n\
         {{ from = \"C\", at = [{length}, 4], pitch = 35 }},\n{{ from = \"D\", at = [0, 4], verge = true }},\n]\n"
    )
}

fn folder_with(roof: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("roof.toml"), roof).unwrap();
    let path = folder.path().to_path_buf();
    (folder, path)
}

fn draw(folder: &Path, file: &str, out: &str) -> Vec<String> {
    let done = eavewright(folder).args(["--json", "draw", file, "--out", out]).assert().success();
    let told: serde_json::Value = serde_json::from_slice(&done.get_output().stdout).unwrap();
    told["files"].as_array().unwrap().iter().map(|name| name.as_str().unwrap().to_owned()).collect()
}

#[test]
fn every_drawing_has_a_file_of_its_own() {
    // Both names make "a-b"; the third differs from the first in its capital alone.
    let mut roof = String::from("title = \"T\"\nunits = \"m\"\n");
    for (nth, name) in ["a b", "a-b", "A b", "long ".repeat(12).trim()].iter().enumerate() {
        let x = 20 * nth;
        let pitch = 30 + nth;
        roof.push_str(&format!(
            "[[block]]\nname = \"{name}\"\nheight = 2.4\nsides = [\n{{ from = \"A\", at = [{x}, 0], pitch = {pitch} }},\n\
             {{ from = \"B\", at = [{}, 0], verge = true }},\n{{ from = \"C\", at = [{}, 5.6], pitch = 45 }},\n\
             {{ from = \"D\", at = [{x}, 5.6], verge = true }},\n]\n",
            x + 9,
            x + 9
        ));
    }
    let (_keep, folder) = folder_with(&roof);
    let told = draw(&folder, "roof.toml", "out");
    let apart: BTreeSet<String> = told.iter().map(|name| name.to_lowercase()).collect();
    assert_eq!(apart.len(), told.len(), "two drawings of one name among {told:?}");
    let mut written: BTreeSet<String> = told.into_iter().collect();
    written.insert("drawings.json".to_owned());
    assert_eq!(names(&folder.join("out")), written);
}

#[test]
fn a_second_set_takes_the_place_of_the_first_and_leaves_the_rest() {
    let (_keep, folder) = folder_with(&gable("shed", 6.0));
    fs::write(folder.join("barn.toml"), gable("barn", 9.0)).unwrap();
    draw(&folder, "roof.toml", "out");
    fs::write(folder.join("out/my notes.txt"), "mine").unwrap();
    assert!(folder.join("out/face-shed-A.svg").exists());
    let mut expected: BTreeSet<String> = draw(&folder, "barn.toml", "out").into_iter().collect();
    expected.extend(["drawings.json".to_owned(), "my notes.txt".to_owned()]);
    assert_eq!(names(&folder.join("out")), expected);
    assert_eq!(fs::read_to_string(folder.join("out/my notes.txt")).unwrap(), "mine");
    // The same where a folder of the user's own stands within, so that files are replaced one by one.
    fs::create_dir(folder.join("out/mine")).unwrap();
    let mut expected: BTreeSet<String> = draw(&folder, "roof.toml", "out").into_iter().collect();
    expected.extend(["drawings.json", "my notes.txt", "mine"].map(str::to_owned));
    assert_eq!(names(&folder.join("out")), expected);
    let left: Vec<String> = names(&folder).into_iter().filter(|name| name.starts_with('.')).collect();
    assert!(left.is_empty(), "left behind: {left:?}");
}

#[test]
fn the_current_folder_can_take_a_set_and_stays_the_current_folder() {
    let (_keep, folder) = folder_with(&gable("shed", 6.0));
    draw(&folder, "roof.toml", ".");
    assert_eq!(fs::read_to_string(folder.join("roof.toml")).unwrap(), gable("shed", 6.0));
    assert!(folder.join("plan.svg").exists());
}

#[test]
fn a_list_of_files_removes_nothing_outside_its_folder() {
    let (_keep, folder) = folder_with(&gable("shed", 6.0));
    fs::create_dir(folder.join("out")).unwrap();
    let list = r#"{ "format": "eavewright-drawings/1", "files": ["../roof.toml", "/etc/hostname", ".."] }"#;
    fs::write(folder.join("out/drawings.json"), list).unwrap();
    draw(&folder, "roof.toml", "out");
    assert!(folder.join("roof.toml").exists());
}

#[test]
fn an_answer_is_not_written_over_what_it_is_made_from() {
    let (_keep, folder) = folder_with("");
    fs::remove_file(folder.join("roof.toml")).unwrap();
    for (command, file) in [("export", "roof.obj"), ("sheet", "roof.html")] {
        fs::write(folder.join(file), gable("shed", 6.0)).unwrap();
        let done = eavewright(&folder).args([command, file, "--out", file]).assert().code(2);
        let said = String::from_utf8(done.get_output().stderr.clone()).unwrap();
        assert!(said.contains(file) && said.contains("made from"), "{said}");
        assert_eq!(fs::read_to_string(folder.join(file)).unwrap(), gable("shed", 6.0));
    }
    fs::write(folder.join("roof.toml"), gable("shed", 6.0)).unwrap();
    eavewright(&folder)
        .args(["compare", "roof.toml", "--pitches", "20..30/10", "--svg", "./roof.toml"])
        .assert()
        .code(2);
    assert_eq!(fs::read_to_string(folder.join("roof.toml")).unwrap(), gable("shed", 6.0));
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::{FileTypeExt, PermissionsExt, symlink};
    use std::process::Command as Plain;

    #[test]
    fn only_plain_files_are_replaced_and_links_are_followed() {
        let (_keep, folder) = folder_with(&gable("shed", 6.0));
        assert!(Plain::new("mkfifo").arg(folder.join("pipe.stl")).status().unwrap().success());
        eavewright(&folder).args(["export", "roof.toml", "--out", "pipe.stl"]).assert().code(2);
        assert!(fs::metadata(folder.join("pipe.stl")).unwrap().file_type().is_fifo());
        fs::create_dir(folder.join("folder.stl")).unwrap();
        eavewright(&folder).args(["export", "roof.toml", "--out", "folder.stl"]).assert().code(2);
        fs::create_dir(folder.join("elsewhere")).unwrap();
        fs::write(folder.join("elsewhere/model.stl"), "old").unwrap();
        symlink("elsewhere/model.stl", folder.join("link.stl")).unwrap();
        eavewright(&folder).args(["export", "roof.toml", "--out", "link.stl"]).assert().success();
        assert!(fs::symlink_metadata(folder.join("link.stl")).unwrap().is_symlink());
        assert!(fs::metadata(folder.join("elsewhere/model.stl")).unwrap().len() > 100);
    }

    #[test]
    fn new_files_have_the_rights_the_users_mask_leaves_and_replaced_ones_keep_theirs() {
        let (_keep, folder) = folder_with(&gable("shed", 6.0));
        let run = |mask: &str| {
            let line = format!(
                "umask {mask}; '{tool}' export roof.toml --out m.stl && '{tool}' draw roof.toml --out out-{mask}",
                tool = env!("CARGO_BIN_EXE_eavewright")
            );
            let done = Plain::new("sh").args(["-c", &line]).current_dir(&folder).output().unwrap();
            assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        };
        let mode = |name: &str| fs::metadata(folder.join(name)).unwrap().permissions().mode() & 0o777;
        run("027");
        assert_eq!((mode("m.stl"), mode("out-027"), mode("out-027/plan.svg")), (0o640, 0o750, 0o640));
        fs::set_permissions(folder.join("m.stl"), fs::Permissions::from_mode(0o600)).unwrap();
        run("022");
        assert_eq!((mode("m.stl"), mode("out-022/plan.svg")), (0o600, 0o644));
    }

    #[test]
    fn a_killed_draw_leaves_the_old_set_or_the_new_one() {
        let (_keep, folder) = folder_with(&gable("shed", 6.0));
        fs::write(folder.join("barn.toml"), gable("barn", 9.0)).unwrap();
        let sets = ["roof.toml", "barn.toml"].map(|file| {
            let mut set: BTreeSet<String> = draw(&folder, file, "out").into_iter().collect();
            set.insert("drawings.json".to_owned());
            set
        });
        let mut changed = 0;
        for turn in 0..60_usize {
            let file = ["roof.toml", "barn.toml"][turn % 2];
            let mut child = Plain::new(env!("CARGO_BIN_EXE_eavewright"))
                .args(["draw", file, "--out", "out"])
                .current_dir(&folder)
                .stdout(std::process::Stdio::null())
                .stderr(std::process::Stdio::null())
                .spawn()
                .unwrap();
            std::thread::sleep(std::time::Duration::from_millis(turn as u64 * 7 % 400));
            let _ = child.kill();
            let _ = child.wait();
            let found = names(&folder.join("out"));
            assert!(sets.contains(&found), "turn {turn}: a mixture: {found:?}");
            changed += usize::from(found == sets[turn % 2]);
        }
        assert!(changed > 0, "no run came as far as writing");
        // The next whole run clears away what the killed ones left.
        draw(&folder, "roof.toml", "out");
        assert!(names(&folder).iter().all(|name| !name.starts_with('.')), "{:?}", names(&folder));
    }

    #[test]
    fn a_full_disk_or_a_locked_folder_leaves_everything_as_it_was() {
        let (_keep, folder) = folder_with(&gable("shed", 6.0));
        draw(&folder, "roof.toml", "out");
        let before = names(&folder.join("out"));
        let plan = fs::read(folder.join("out/plan.svg")).unwrap();
        // A limit on the size of files stands for a full disk: the PDF does not fit.
        let line = format!("ulimit -f 8; '{}' draw roof.toml --out out", env!("CARGO_BIN_EXE_eavewright"));
        let done = Plain::new("bash").args(["-c", &line]).current_dir(&folder).output().unwrap();
        assert!(!done.status.success());
        assert_eq!(names(&folder.join("out")), before);
        assert_eq!(fs::read(folder.join("out/plan.svg")).unwrap(), plan);
    }
}
