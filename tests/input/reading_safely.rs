//! A roof file comes from anywhere: it makes the tool read nothing outside its folder, wait for nothing, and print nothing
//! that steers a terminal.
#![cfg(unix)]

use assert_cmd::Command;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::time::Duration;

const WALLS: &str = "title = \"Shed\"\nunits = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.4\nsides = [\n\
    { from = \"A\", at = [0, 0], pitch = 35 },\n{ from = \"B\", at = [6, 0], verge = true },\n\
    { from = \"C\", at = [6, 4], pitch = 35 },\n{ from = \"D\", at = [0, 4], verge = true },\n]\n";

/// Exit status, standard output and standard error of `check`, which has 20 seconds.
fn check(folder: &Path, roof: &str) -> (i32, String, String) {
    fs::write(folder.join("roof.toml"), roof).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_eavewright"));
    let done =
        command.current_dir(folder).args(["check", "roof.toml"]).timeout(Duration::from_secs(20)).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (done.status.code().expect("it came to an end by itself"), text(done.stdout), text(done.stderr))
}

#[test]
fn cards_and_photos_stay_in_the_roof_files_folder() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("job");
    fs::create_dir(&folder).unwrap();
    fs::write(outer.path().join("secret.toml"), "password = \"swordfish\"\n").unwrap();
    symlink("../secret.toml", folder.join("link.toml")).unwrap();
    let absolute = outer.path().join("secret.toml");
    for (name, why) in [
        ("../secret.toml", "outside the roof file's folder"),
        (absolute.to_str().unwrap(), "outside the roof file's folder"),
        ("link.toml", "a link to a file outside"),
        ("./missing.toml", "is not there"),
    ] {
        let (code, out, said) = check(&folder, &format!("{WALLS}[covering]\ncard = \"{name}\"\n"));
        assert_eq!(code, 1, "{said}");
        assert!(out.is_empty() && said.contains(why) && said.contains("roof.toml:13:8"), "{name}: {said}");
        assert!(!said.contains("swordfish") && !said.contains("password"), "{said}");
        let photo = format!("{WALLS}[[photo]]\nfile = \"{name}\"\nmarks = {{ A = [1, 2] }}\n");
        let (code, _, said) = check(&folder, &photo);
        assert!(code == 1 && said.contains(why), "{name}: {said}");
    }
    // Within the folder, and below it, files are read as before.
    fs::create_dir(folder.join("cards")).unwrap();
    fs::write(folder.join("cards/mine.toml"), "nonsense = 1\n").unwrap();
    let (_, _, said) = check(&folder, &format!("{WALLS}[covering]\ncard = \"cards/mine.toml\"\n"));
    assert!(said.contains("nonsense"), "{said}");
}

#[test]
fn pipes_devices_and_folders_are_refused_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    assert!(std::process::Command::new("mkfifo").arg(folder.join("pipe.jpg")).status().unwrap().success());
    fs::create_dir(folder.join("folder.jpg")).unwrap();
    symlink("/dev/zero", folder.join("zero.jpg")).unwrap();
    for (name, why) in [("pipe.jpg", "a pipe"), ("folder.jpg", "a folder"), ("zero.jpg", "outside")] {
        let photo = format!("{WALLS}[[photo]]\nfile = \"{name}\"\nmarks = {{ A = [1, 2] }}\n");
        let (code, _, said) = check(folder, &photo);
        assert!(code == 1 && said.contains(why), "{name}: {said}");
    }
}

/// A PNG of the given size in all of 70 bytes or so: header, an empty picture, end. Built by the PNG specification (W3C,
/// third edition, sections 5 and 11.2).
fn claims_to_be(width: u32, height: u32) -> Vec<u8> {
    let mut png = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut header = [width.to_be_bytes(), height.to_be_bytes()].concat();
    header.extend([8, 2, 0, 0, 0]);
    for (kind, data) in [(b"IHDR", header), (b"IDAT", vec![0x78, 0x9c, 3, 0, 0, 0, 0, 1]), (b"IEND", Vec::new())] {
        png.extend(u32::try_from(data.len()).unwrap().to_be_bytes());
        let chunk = [kind.to_vec(), data].concat();
        png.extend(&chunk);
        // CRC-32, annex D.
        let mut crc = u32::MAX;
        for byte in chunk {
            crc ^= u32::from(byte);
            for _ in 0..8 {
                crc = if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 };
            }
        }
        png.extend((!crc).to_be_bytes());
    }
    png
}

#[test]
fn a_small_file_that_claims_a_vast_picture_is_not_decoded() {
    use eavewright::input::picture::{PictureError, upright};
    let huge = upright(&claims_to_be(60_000, 60_000));
    assert!(matches!(huge, Err(PictureError::TooLarge { megapixels, .. }) if megapixels == 3600.0), "{huge:?}");
    // The same header with a size that is allowed is taken for a picture, and found torn.
    assert!(matches!(upright(&claims_to_be(60, 60)), Err(PictureError::Unreadable(_))));
}

#[test]
fn nothing_from_the_file_steers_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let roof = WALLS.replace("title = \"Shed\"", "title = \"Shed \\u001b[2J\\u009b31m\\u0007\"");
    fs::write(folder.path().join("roof.toml"), roof).unwrap();
    for command in ["solve", "takeoff"] {
        let mut tool = Command::new(env!("CARGO_BIN_EXE_eavewright"));
        let done = tool.current_dir(folder.path()).args([command, "roof.toml"]).output().unwrap();
        for text in [done.stdout, done.stderr].map(|bytes| String::from_utf8(bytes).unwrap()) {
            let steers = text.chars().find(|letter| letter.is_control() && !matches!(letter, '\n' | '\t'));
            assert_eq!(steers, None, "{command}: {text:?}");
        }
    }
}

#[test]
fn a_roof_file_without_end_is_refused() {
    let mut tool = Command::new("sh");
    let line = format!("yes '# a comment' | '{}' check -", env!("CARGO_BIN_EXE_eavewright"));
    let done = tool.args(["-c", &line]).timeout(Duration::from_secs(30)).output().unwrap();
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(2), "{said}");
    assert!(said.contains("more than 32 MiB"), "{said}");
}

#[test]
fn thousands_of_mistakes_are_counted_not_all_shown() {
    let folder = tempfile::tempdir().unwrap();
    let mistakes: String = (0..4000).map(|number| format!("unheard_of_{number} = 1\n")).collect();
    let roof = format!("{WALLS}[site]\n{mistakes}");
    let (code, _, said) = check(folder.path(), &roof);
    assert_eq!(code, 1);
    assert_eq!(said.matches("error[").count(), 50);
    assert!(said.contains("and 3950 more"), "{}", &said[said.len() - 300..]);
    let mut tool = Command::new(env!("CARGO_BIN_EXE_eavewright"));
    let done = tool.current_dir(folder.path()).args(["--json", "check", "roof.toml"]).output().unwrap();
    let lines: Vec<serde_json::Value> =
        String::from_utf8(done.stderr).unwrap().lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines.len(), 4000);
    // The last mistake stands in the last line.
    assert_eq!(lines[3999]["at"], format!("roof.toml:{}:1", roof.lines().count()));
}
