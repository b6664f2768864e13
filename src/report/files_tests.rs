//! Sets of files, whole or not at all.

use super::*;

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

fn both(word: &str) -> [OutFile; 2] {
    ["a.txt", "b.txt"].map(|name| OutFile::text(name, word.to_owned()))
}

#[test]
fn nothing_is_changed_when_one_of_the_files_cannot_be_written() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    write_all(at, "answer", &both("before")).unwrap();
    let before = names(at);
    let missing = [OutFile::text("missing/b.txt", "x".into())];
    let files = [&both("after")[..], &missing].concat();
    assert!(write_all(at, "answer", &files).is_err());
    assert_eq!(names(at), before, "no temporary file may stay behind");
    assert_eq!(fs::read_to_string(at.join("a.txt")).unwrap(), "before");
    write_all(at, "answer", &both("after")).unwrap();
    assert_eq!(fs::read_to_string(at.join("a.txt")).unwrap(), "after");
}

#[test]
fn the_list_has_the_digest_of_each_file() {
    let folder = tempfile::tempdir().unwrap();
    write_all(folder.path(), "answer", &both("abc")).unwrap();
    let list = fs::read_to_string(folder.path().join("answer.sha256")).unwrap();
    // FIPS 180-4 has this digest of "abc".
    let digest = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(list, format!("{digest}  a.txt\n{digest}  b.txt\n"));
}

#[test]
fn a_write_protected_file_is_refused_and_all_others_stay() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    write_all(at, "answer", &both("before")).unwrap();
    let own = at.join("b.txt");
    let mut mode = fs::metadata(&own).unwrap().permissions();
    mode.set_readonly(true);
    fs::set_permissions(&own, mode).unwrap();
    let refused = write_all(at, "answer", &both("after"));
    assert!(matches!(refused, Err(WriteError::Protected { path }) if path == own));
    assert_eq!(fs::read_to_string(at.join("a.txt")).unwrap(), "before");
}

#[test]
fn what_dead_runs_left_goes_and_what_is_somebody_elses_stays() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    for name in [".joulecast-dead.tmp", "notes.tmp", ".joulecast-notes"] {
        fs::write(at.join(name), "x").unwrap();
    }
    prepare(at).unwrap();
    assert_eq!(names(at), [".joulecast-notes", "notes.tmp"]);
}

#[test]
fn a_folder_that_is_a_file_is_an_error() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("taken");
    fs::write(&path, "").unwrap();
    assert!(matches!(
        write_all(&path, "answer", &[]),
        Err(WriteError::Folder { .. })
    ));
}
