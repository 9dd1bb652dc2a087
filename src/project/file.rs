//! Reading and writing project files. A save is whole or has not happened.

use super::text::{self, LoadError};
use super::{Format, Project, visible};
use crate::schema::bounds::MAX_BYTES;
use std::borrow::Cow;
use std::ffi::OsString;
use std::fs::{self, File};
use std::hash::Hasher as _;
use std::io::{self, Read as _, Write};
use std::path::{Path, PathBuf};

/// Why a project was not saved. What was in the file before is still there.
#[derive(Debug, thiserror::Error)]
pub enum SaveError {
    /// The system refused.
    #[error("{} was not saved: {source}", .path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The project can't be written as text.
    #[error("the project can't be written as text: {0}")]
    Text(#[from] ron::Error),
}

impl SaveError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        "nothing is lost: the older file is unchanged; free some space or save to another folder".into()
    }
}

/// Reads a project file.
///
/// # Errors
/// When the file can't be read, or as `text::from_text`.
pub fn load(path: &Path) -> Result<Project, LoadError> {
    text::from_text(&read_text(path)?)
}

/// Reads a project file for a terminal: what would steer it is a visible mark
/// in every text of the document.
///
/// # Errors
/// As [`load`].
pub(crate) fn load_visible(path: &Path) -> Result<Project, LoadError> {
    from_visible_text(&read_text(path)?)
}

/// Reads the text of a project file as [`load_visible`] does.
///
/// # Errors
/// As [`text::from_text`].
pub(crate) fn from_visible_text(text: &str) -> Result<Project, LoadError> {
    match visible::visible_texts(text) {
        Cow::Borrowed(text) => text::from_text(text),
        // What is wrong is told by the lines of the file as it is.
        Cow::Owned(shown) => text::from_text(text).and_then(|_| text::from_text(&shown)),
    }
}

/// Reads a file as text, if it is not larger than any that this program
/// takes.
///
/// # Errors
/// When it can't be read, is too large, or holds what is no text.
pub(crate) fn read_text(path: &Path) -> Result<String, LoadError> {
    let io = |source| LoadError::Io { path: path.into(), source };
    let mut bytes = Vec::new();
    // One byte more than is allowed tells a file that is too large, whatever
    // its length is said to be.
    File::open(path).and_then(|file| file.take(MAX_BYTES + 1).read_to_end(&mut bytes)).map_err(io)?;
    if u64::try_from(bytes.len()).is_ok_and(|length| length > MAX_BYTES) {
        return Err(LoadError::TooLarge { most: MAX_BYTES });
    }
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.as_bytes().iter().take(error.utf8_error().valid_up_to());
        LoadError::NotText { line: 1 + valid.filter(|&&byte| byte == b'\n').count() }
    })
}

/// Saves a project. A file of an older format that lies there is first kept
/// beside it: `engine.ron` as `engine.format-1.ron`. Returns where it was
/// kept, `None` where there was nothing to keep.
///
/// # Errors
/// When the system refuses; the old file is then untouched.
pub fn save(project: &Project, path: &Path) -> Result<Option<PathBuf>, SaveError> {
    let kept = keep_older(path).map_err(|source| SaveError::Io { path: path.into(), source })?;
    write(project, path)?;
    Ok(kept)
}

/// Writes a project file: a temporary file in the same folder, flushed to the
/// disk, then renamed over the old one, whose permissions it takes.
///
/// # Errors
/// When the system refuses; the old file is then untouched.
pub(crate) fn write(project: &Project, path: &Path) -> Result<(), SaveError> {
    let text = text::to_text(project)?;
    replace(path, |file| file.write_all(text.as_bytes()))
        .map_err(|source| SaveError::Io { path: path.into(), source })
}

/// Keeps the file at `path` beside itself if it has an older format. What lies
/// there under such a name is never written over; where that is the very same
/// file, nothing is left to do.
fn keep_older(path: &Path) -> io::Result<Option<PathBuf>> {
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.into());
    let Some(bytes) = fs::metadata(&path)
        .ok()
        .filter(|now| now.is_file() && now.len() <= MAX_BYTES)
        .and_then(|_| fs::read(&path).ok())
    else {
        return Ok(None);
    };
    let number = std::str::from_utf8(&bytes).ok().and_then(|text| text::format_of(text).ok());
    let Some(number) = number.filter(|&number| Format::reads(number) && number < Format::NEWEST) else {
        return Ok(None);
    };
    for copy in 1_u32.. {
        let place = older_path(&path, number, copy);
        match fs::read(&place) {
            Ok(there) if there == bytes => return Ok(None),
            Ok(_) => {}
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                replace(&place, |file| file.write_all(&bytes))?;
                return Ok(Some(place));
            }
            Err(error) => return Err(error),
        }
    }
    Ok(None)
}

/// Where a file of an older format is kept: `engine.format-1.ron`, the next
/// one `engine.format-1-2.ron`.
fn older_path(path: &Path, number: u32, copy: u32) -> PathBuf {
    let again = if copy > 1 { format!("-{copy}") } else { String::new() };
    let mut name = path.file_stem().map_or_else(|| OsString::from("project"), OsString::from);
    name.push(format!(".format-{number}{again}"));
    if let Some(ending) = path.extension() {
        name.push(".");
        name.push(ending);
    }
    path.with_file_name(name)
}

/// A number that tells whether a file is still what it was; none where it
/// can't be read. It is never written anywhere.
#[must_use]
pub(crate) fn fingerprint(path: &Path) -> Option<u64> {
    let mut bytes = Vec::new();
    File::open(path).ok()?.take(MAX_BYTES + 1).read_to_end(&mut bytes).ok()?;
    let mut hasher = std::hash::DefaultHasher::new();
    hasher.write(&bytes);
    Some(hasher.finish())
}

/// Where the document is put beside its file while it is not saved, for the
/// next start after a crash: `engine.ron` gives `engine.ron.recovered`.
#[must_use]
pub fn recovery_path(path: &Path) -> PathBuf {
    let mut name = path.file_name().map_or_else(|| OsString::from("project.ron"), OsString::from);
    name.push(".recovered");
    path.with_file_name(name)
}

/// Replaces a file by what `write` writes, or leaves it alone.
///
/// # Errors
/// When the system refuses, or where something stands that is no file, such
/// as a folder or a device.
pub(crate) fn replace(path: &Path, write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<()> {
    // Through a link the file behind it is replaced, not the link.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.into());
    let folder = match target.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let before = fs::metadata(&target).ok();
    if before.as_ref().is_some_and(|before| !before.is_file()) {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "it is not an ordinary file"));
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(".crowndeck-").suffix(".tmp");
    // Temporary files are private by default; a project is an ordinary file,
    // as far as the person's settings for new files allow.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut temporary = builder.tempfile_in(folder)?;
    if let Some(before) = before {
        temporary.as_file().set_permissions(before.permissions())?;
    }
    write(temporary.as_file_mut())?;
    temporary.as_file().sync_all()?;
    temporary.persist(&target).map_err(|error| error.error)?;
    // The new name is safe only when the folder is on the disk too. Where a
    // folder can't be opened as a file the system takes care of it.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::demo;
    use super::*;

    #[test]
    fn what_is_saved_is_read_back() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("twin.ron");
        save(&demo(), &path).unwrap();
        assert_eq!(load(&path).unwrap(), demo());
        let first = fs::read(&path).unwrap();
        save(&load(&path).unwrap(), &path).unwrap();
        assert_eq!(fs::read(&path).unwrap(), first);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    /// A format 1 file beside the others of a folder.
    fn old_file(folder: &Path, title: &str) -> (PathBuf, Vec<u8>) {
        let path = folder.join("twin.ron");
        let old = include_str!("../../tests/data/formats/1/tarnbeck-ft62.ron").replace("Tarnbeck", title);
        fs::write(&path, &old).unwrap();
        (path, old.into_bytes())
    }

    #[test]
    fn a_file_of_an_older_format_is_kept_once_beside_the_new_one() {
        let folder = tempfile::tempdir().unwrap();
        let (path, old) = old_file(folder.path(), "Tarnbeck");
        let kept = folder.path().join("twin.format-1.ron");
        let kept = fs::canonicalize(folder.path()).unwrap().join(kept.file_name().unwrap());
        let project = load(&path).unwrap();
        assert_eq!(save(&project, &path).unwrap(), Some(kept.clone()));
        assert_eq!(fs::read(&kept).unwrap(), old);
        assert!(fs::read_to_string(&path).unwrap().contains("format: 2,"));
        assert_eq!(load(&path).unwrap(), project);
        assert_eq!(save(&project, &path).unwrap(), None, "a file of this format is just saved");
        // The same old file put back is kept already; another one is not
        // allowed to take its place.
        old_file(folder.path(), "Tarnbeck");
        assert_eq!(save(&project, &path).unwrap(), None);
        let (_, other) = old_file(folder.path(), "Another");
        let second = kept.with_file_name("twin.format-1-2.ron");
        assert_eq!(save(&project, &path).unwrap(), Some(second.clone()));
        assert_eq!((fs::read(&kept).unwrap(), fs::read(&second).unwrap()), (old, other));
    }

    #[cfg(unix)]
    #[test]
    fn where_the_older_file_can_not_be_kept_nothing_is_saved() {
        let folder = tempfile::tempdir().unwrap();
        let (path, old) = old_file(folder.path(), "Tarnbeck");
        // A folder in the place where it would be kept.
        fs::create_dir(folder.path().join("twin.format-1.ron")).unwrap();
        let error = save(&load(&path).unwrap(), &path).unwrap_err();
        assert!(error.to_string().contains("was not saved"), "{error}");
        assert_eq!(fs::read(&path).unwrap(), old);
    }

    #[test]
    fn what_is_kept_for_a_crash_keeps_no_older_file() {
        let folder = tempfile::tempdir().unwrap();
        let (path, _) = old_file(folder.path(), "Tarnbeck");
        write(&load(&path).unwrap(), &path).unwrap();
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_failure_halfway_leaves_the_old_file_and_nothing_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("twin.ron");
        fs::write(&path, "old").unwrap();
        let full = replace(&path, |file| {
            file.write_all(b"half of the new")?;
            Err(io::Error::from(io::ErrorKind::StorageFull))
        });
        assert_eq!(full.unwrap_err().kind(), io::ErrorKind::StorageFull);
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn only_an_ordinary_file_is_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let error = replace(folder.path(), |file| file.write_all(b"x")).unwrap_err();
        assert_eq!(error.to_string(), "it is not an ordinary file");
        #[cfg(unix)]
        {
            use std::os::unix::fs::FileTypeExt as _;
            let null = Path::new("/dev/null");
            assert!(replace(null, |file| file.write_all(b"x")).is_err());
            assert!(fs::metadata(null).unwrap().file_type().is_char_device());
        }
    }

    #[test]
    fn a_folder_that_does_not_exist_is_told_with_the_path() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("none").join("twin.ron");
        let error = save(&demo(), &path).unwrap_err();
        assert!(error.to_string().contains("twin.ron was not saved"), "{error}");
        assert!(matches!(load(&path), Err(LoadError::Io { .. })));
        assert!(matches!(load(folder.path()), Err(LoadError::Io { .. })));
    }

    #[test]
    fn a_file_that_is_too_large_or_no_text_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("large.ron");
        let large = usize::try_from(MAX_BYTES).unwrap() + 1;
        fs::write(&path, vec![b' '; large]).unwrap();
        assert!(matches!(load(&path), Err(LoadError::TooLarge { .. })));
        fs::write(&path, b"(\n  format: 1,\n  title: \"\xff\")").unwrap();
        assert!(matches!(load(&path), Err(LoadError::NotText { line: 3 })));
    }

    #[cfg(unix)]
    #[test]
    fn permissions_and_links_stay() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (folder.path().join("twin.ron"), folder.path().join("link.ron"));
        fs::write(&path, "old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        std::os::unix::fs::symlink(&path, &link).unwrap();
        save(&demo(), &link).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
        assert_eq!(load(&path).unwrap(), demo());
    }

    #[test]
    fn a_recovered_document_lies_beside_its_file() {
        assert_eq!(recovery_path(Path::new("a/twin.ron")), Path::new("a/twin.ron.recovered"));
    }
}
