//! The journal: every entry that was taken in, own and others', in arrival order. The record itself.
//!
//! Invariant: what `append` acknowledged is on disk, in the file that the folder names; files only
//! grow. A torn last line was never acknowledged and is moved to `aside/`. This module does not know
//! what entries mean. One file past 400 lines, since writing and its tests are read together.

use std::fs::{self, File, OpenOptions};
use std::io::{BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use crate::error::RecordError;

/// A file is closed when it has reached this many bytes.
pub const FILE_BYTES: u64 = 16 * 1024 * 1024;

/// Where a line lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Number of the file.
    pub file: u64,
    /// Offset of the line's first byte.
    pub offset: u64,
    /// Length with the line's end.
    pub length: u64,
}

/// The open journal.
#[derive(Debug)]
pub struct Journal {
    dir: PathBuf,
    current: u64,
    file: File,
    end: u64,
}

impl Journal {
    /// Opens the journal in `dir`, making the folder and the first file where needed.
    ///
    /// # Errors
    /// When the folder or a file can't be read or made.
    pub fn open(dir: &Path) -> Result<Self, RecordError> {
        fs::create_dir_all(dir).map_err(RecordError::file("make", dir))?;
        let current = numbers(dir)?.last().copied().unwrap_or(1);
        let (file, end) = open_file(dir, current)?;
        Ok(Journal {
            dir: dir.to_path_buf(),
            current,
            file,
            end,
        })
    }

    /// Where the next line will lie.
    #[must_use]
    pub fn end(&self) -> (u64, u64) {
        (self.current, self.end)
    }

    /// Whether nothing was ever written.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.current <= 1 && self.end == 0
    }

    /// Appends whole lines in one write, and answers when they are on disk.
    ///
    /// # Errors
    /// When the write or the sync fails, or the file was taken away or replaced meanwhile; then it is
    /// cut back to what was acknowledged.
    pub fn append(&mut self, lines: &[&[u8]]) -> Result<Vec<Place>, RecordError> {
        self.cut_leftover()?;
        if self.end >= FILE_BYTES {
            self.is_in_place(self.end)?;
            let (file, end) = open_file(&self.dir, self.current + 1)?;
            (self.current, self.file, self.end) = (self.current + 1, file, end);
        }
        let path = path_of(&self.dir, self.current);
        let mut places = Vec::with_capacity(lines.len());
        let mut offset = self.end;
        for line in lines {
            let length = line.len() as u64;
            places.push(Place {
                file: self.current,
                offset,
                length,
            });
            offset += length;
        }
        let bytes = lines.concat();
        let written = self
            .file
            .write_all(&bytes)
            .and_then(|()| self.file.sync_data());
        if let Err(source) = written {
            // What was not acknowledged must not be read back later.
            self.cut_leftover()?;
            return Err(RecordError::file("write", &path)(source));
        }
        // Bytes in a file that the folder no longer names are read by nobody again.
        if let Err(gone) = self.is_in_place(offset) {
            self.cut_leftover()?;
            return Err(gone);
        }
        self.end = offset;
        Ok(places)
    }

    /// Refuses where the folder names another file, or none, in the place of the one that is open
    /// and `length` bytes long: it was moved, deleted or put back from a copy under this program.
    ///
    /// # Errors
    /// When it is so, or the name can't be looked at.
    pub(crate) fn is_in_place(&self, length: u64) -> Result<(), RecordError> {
        let path = path_of(&self.dir, self.current);
        let open = self.file.metadata();
        let open = open.map_err(RecordError::file("read", &path))?;
        let same = fs::metadata(&path).is_ok_and(|named| is_same(&named, &open, length));
        if same {
            return Ok(());
        }
        let gone = std::io::Error::other(
            "the journal was taken away or replaced while this program had it open, so nothing was \
             saved; put the data folder back where it was, or close the program and open it anew",
        );
        Err(RecordError::file("go on with", &path)(gone))
    }

    /// The same for the journal as it stands.
    ///
    /// # Errors
    /// As for [`Journal::is_in_place`].
    pub(crate) fn is_here(&self) -> Result<(), RecordError> {
        self.is_in_place(self.end)
    }

    /// Takes the last append back, which nothing has acknowledged: cuts its file where it began.
    ///
    /// # Errors
    /// When the file can't be cut; then nothing more is appended until it can be. Where the program
    /// ends before that, the lines are taken in at the next opening.
    pub(crate) fn take_back(&mut self, first: Place) -> Result<(), RecordError> {
        self.end = first.offset;
        self.cut_leftover()
    }

    /// Cuts what an append left behind that was not acknowledged. A line that went after it would
    /// not lie where its place says.
    ///
    /// # Errors
    /// When the file can't be cut, or is shorter than it was left.
    pub(crate) fn cut_leftover(&self) -> Result<(), RecordError> {
        let path = path_of(&self.dir, self.current);
        let there = self.file.metadata().map(|about| about.len());
        let there = there.map_err(RecordError::file("read", &path))?;
        if there < self.end {
            let shorter = std::io::Error::other(
                "it is shorter than this program left it; close the program and open it anew",
            );
            return Err(RecordError::file("go on with", &path)(shorter));
        }
        if there == self.end {
            return Ok(());
        }
        self.file
            .set_len(self.end)
            .and_then(|()| self.file.sync_data())
            .map_err(RecordError::file("cut back", &path))
    }

    /// Whether a folder holds no line of a journal at all, or is not there.
    ///
    /// # Errors
    /// When the folder can't be listed.
    pub(crate) fn is_gone(dir: &Path) -> Result<bool, RecordError> {
        if !dir.exists() {
            return Ok(true);
        }
        let holds = |number| fs::metadata(path_of(dir, number)).is_ok_and(|file| file.len() > 0);
        Ok(!numbers(dir)?.into_iter().any(holds))
    }

    /// Reads one line back.
    ///
    /// # Errors
    /// When the file can't be read or is shorter than the place says.
    pub fn read(&self, place: Place) -> Result<Vec<u8>, RecordError> {
        let path = path_of(&self.dir, place.file);
        let mut file = File::open(&path).map_err(RecordError::file("open", &path))?;
        read_from(&mut file, place).map_err(RecordError::file("read", &path))
    }

    /// Reads many lines, each file opened once; places may come in any order.
    ///
    /// # Errors
    /// As for [`Journal::read`].
    pub fn read_many(&self, places: &[Place]) -> Result<Vec<Vec<u8>>, RecordError> {
        let mut lines = Vec::with_capacity(places.len());
        let mut open: Option<(u64, File)> = None;
        for place in places {
            let path = path_of(&self.dir, place.file);
            let file = match &mut open {
                Some((number, file)) if *number == place.file => file,
                _ => {
                    let file = File::open(&path).map_err(RecordError::file("open", &path))?;
                    &mut open.insert((place.file, file)).1
                }
            };
            lines.push(read_from(file, *place).map_err(RecordError::file("read", &path))?);
        }
        Ok(lines)
    }

    /// Calls `each` for every whole line from `(file, offset)` on; returns where a torn last line begins.
    ///
    /// # Errors
    /// When a file can't be read, or `each` fails.
    pub fn scan(
        &self,
        from: (u64, u64),
        mut each: impl FnMut(Place, &[u8]) -> Result<(), RecordError>,
    ) -> Result<Option<Place>, RecordError> {
        let mut torn = None;
        for number in numbers(&self.dir)?.into_iter().filter(|n| *n >= from.0) {
            let path = path_of(&self.dir, number);
            let mut offset = if number == from.0 { from.1 } else { 0 };
            let mut file = File::open(&path).map_err(RecordError::file("open", &path))?;
            file.seek(SeekFrom::Start(offset))
                .map_err(RecordError::file("read", &path))?;
            let mut reader = BufReader::with_capacity(1 << 20, file);
            let mut line = Vec::new();
            loop {
                line.clear();
                let length = reader
                    .read_until(b'\n', &mut line)
                    .map_err(RecordError::file("read", &path))? as u64;
                if length == 0 {
                    break;
                }
                let place = Place {
                    file: number,
                    offset,
                    length,
                };
                if line.ends_with(b"\n") {
                    each(place, &line)?;
                } else {
                    torn = Some(place);
                }
                offset += length;
            }
        }
        Ok(torn)
    }

    /// Moves the last file's bytes from `offset` on into `aside`, and cuts the file there.
    ///
    /// # Errors
    /// When either file can't be written.
    pub fn set_tail_aside(
        &mut self,
        offset: u64,
        aside: &Path,
        name: &str,
    ) -> Result<(), RecordError> {
        let path = path_of(&self.dir, self.current);
        fs::create_dir_all(aside).map_err(RecordError::file("make", aside))?;
        let mut tail = Vec::new();
        let mut file = File::open(&path).map_err(RecordError::file("open", &path))?;
        file.seek(SeekFrom::Start(offset))
            .and_then(|_| file.read_to_end(&mut tail))
            .map_err(RecordError::file("read", &path))?;
        let to = aside.join(name);
        let mut out = File::create(&to).map_err(RecordError::file("create", &to))?;
        out.write_all(&tail)
            .and_then(|()| out.sync_all())
            .map_err(RecordError::file("write", &to))?;
        sync_dir(aside)?;
        self.file
            .set_len(offset)
            .and_then(|()| self.file.sync_data())
            .map_err(RecordError::file("cut", &path))?;
        self.end = offset;
        Ok(())
    }
}

/// Whether a name leads to the open file. Where the system tells no file from another, the length
/// is compared.
#[cfg(unix)]
fn is_same(named: &fs::Metadata, open: &fs::Metadata, _length: u64) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    (named.dev(), named.ino()) == (open.dev(), open.ino())
}

#[cfg(not(unix))]
fn is_same(named: &fs::Metadata, _open: &fs::Metadata, length: u64) -> bool {
    named.len() == length
}

fn read_from(file: &mut File, place: Place) -> std::io::Result<Vec<u8>> {
    let mut line = vec![0; usize::try_from(place.length).unwrap_or(0)];
    file.seek(SeekFrom::Start(place.offset))?;
    file.read_exact(&mut line)?;
    Ok(line)
}

fn path_of(dir: &Path, number: u64) -> PathBuf {
    dir.join(format!("{number:08}.jsonl"))
}

fn numbers(dir: &Path) -> Result<Vec<u64>, RecordError> {
    let mut found = Vec::new();
    for item in fs::read_dir(dir).map_err(RecordError::file("list", dir))? {
        let item = item.map_err(RecordError::file("list", dir))?;
        let name = item.file_name();
        let number = name
            .to_str()
            .and_then(|n| n.strip_suffix(".jsonl"))
            .and_then(|n| n.parse::<u64>().ok());
        found.extend(number);
    }
    found.sort_unstable();
    Ok(found)
}

fn open_file(dir: &Path, number: u64) -> Result<(File, u64), RecordError> {
    let path = path_of(dir, number);
    let file = OpenOptions::new()
        .append(true)
        .create(true)
        .open(&path)
        .map_err(RecordError::file("open", &path))?;
    let end = file
        .metadata()
        .map_err(RecordError::file("read", &path))?
        .len();
    if end == 0 {
        sync_dir(dir)?;
    }
    Ok((file, end))
}

/// Makes names in a folder durable.
///
/// # Errors
/// When the folder can't be opened or synced.
pub(crate) fn sync_dir(dir: &Path) -> Result<(), RecordError> {
    #[cfg(unix)]
    File::open(dir)
        .and_then(|d| d.sync_all())
        .map_err(RecordError::file("sync", dir))?;
    #[cfg(not(unix))]
    let _ = dir;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The system takes bytes for /dev/null and refuses to sync them: a disk that loses writes.
    #[cfg(target_os = "linux")]
    #[test]
    fn bytes_that_are_not_on_disk_are_not_acknowledged() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("00000001.jsonl");
        std::os::unix::fs::symlink("/dev/null", path).unwrap();
        let mut journal = Journal::open(dir.path()).unwrap();
        assert!(journal.append(&[b"one\n"]).is_err());
        assert_eq!(journal.end(), (1, 0));
    }

    #[test]
    fn a_taken_back_append_leaves_no_trace() {
        let dir = tempfile::tempdir().unwrap();
        let mut journal = Journal::open(dir.path()).unwrap();
        journal.append(&[b"one\n"]).unwrap();
        let places = journal.append(&[b"two\n", b"three\n"]).unwrap();
        journal.take_back(places[0]).unwrap();
        journal.append(&[b"four\n"]).unwrap();
        let text = fs::read(dir.path().join("00000001.jsonl")).unwrap();
        assert_eq!(text, b"one\nfour\n");
    }

    #[test]
    fn what_could_not_be_cut_back_is_cut_before_the_next_line() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("00000001.jsonl");
        let mut journal = Journal::open(dir.path()).unwrap();
        journal.append(&[b"one\n"]).unwrap();
        let mut beside = OpenOptions::new().append(true).open(&path).unwrap();
        beside.write_all(b"tw").unwrap();
        let places = journal.append(&[b"three\n"]).unwrap();
        assert_eq!(journal.read(places[0]).unwrap(), b"three\n");
        assert_eq!(fs::read(&path).unwrap(), b"one\nthree\n");
        // And one that was cut from outside takes no line: its place would be wrong.
        beside.set_len(2).unwrap();
        assert!(journal.append(&[b"four\n"]).is_err());
        assert_eq!(fs::read(&path).unwrap(), b"on");
    }

    #[cfg(unix)]
    #[test]
    fn a_file_that_the_folder_no_longer_names_takes_no_line() {
        let dir = tempfile::tempdir().unwrap();
        let (data, moved) = (dir.path().join("data"), dir.path().join("moved"));
        let path = data.join("00000001.jsonl");
        let mut journal = Journal::open(&data).unwrap();
        journal.append(&[b"one\n"]).unwrap();
        let told = |journal: &mut Journal| {
            let refused = journal.append(&[b"two\n"]).unwrap_err().to_string();
            assert!(refused.contains("taken away or replaced"), "{refused}");
        };
        // Moved away, replaced by its own copy, deleted.
        fs::rename(&data, &moved).unwrap();
        told(&mut journal);
        fs::rename(&moved, &data).unwrap();
        let places = journal.append(&[b"three\n"]).unwrap();
        assert_eq!(journal.read(places[0]).unwrap(), b"three\n");
        fs::copy(&path, data.join("copy")).unwrap();
        fs::rename(data.join("copy"), &path).unwrap();
        told(&mut journal);
        assert_eq!(fs::read(&path).unwrap(), b"one\nthree\n");
        fs::remove_dir_all(&data).unwrap();
        told(&mut journal);
        // Nor does the next file begin in a folder that is another one.
        fs::create_dir_all(&data).unwrap();
        journal.end = FILE_BYTES;
        journal.file.set_len(FILE_BYTES).unwrap();
        told(&mut journal);
        assert_eq!(numbers(&data).unwrap(), [] as [u64; 0]);
    }

    #[test]
    fn a_next_file_that_can_not_be_made_leaves_the_journal_where_it_was() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("journal");
        let mut journal = Journal::open(&path).unwrap();
        let line = [vec![b'x'; FILE_BYTES as usize], vec![b'\n']].concat();
        journal.append(&[&line]).unwrap();
        let end = journal.end();
        let second = path.join("00000002.jsonl");
        fs::create_dir(&second).unwrap();
        assert!(journal.append(&[b"one\n"]).is_err());
        assert_eq!(journal.end(), end);
        fs::remove_dir(&second).unwrap();
        let places = journal.append(&[b"one\n"]).unwrap();
        assert_eq!((places[0].file, places[0].offset), (2, 0));
    }

    #[test]
    fn lines_come_back_and_a_torn_tail_goes_aside() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("journal");
        let mut journal = Journal::open(&path).unwrap();
        let places = journal.append(&[b"one\n", b"two\n"]).unwrap();
        assert_eq!(journal.read(places[1]).unwrap(), b"two\n");
        drop(journal);
        fs::write(path.join("00000001.jsonl"), b"one\ntwo\nthr").unwrap();
        let mut journal = Journal::open(&path).unwrap();
        let mut seen = Vec::new();
        let torn = journal
            .scan((1, 4), |_, line| {
                seen.push(line.to_vec());
                Ok(())
            })
            .unwrap()
            .unwrap();
        assert_eq!(seen, vec![b"two\n".to_vec()]);
        assert_eq!(torn.offset, 8);
        let aside = dir.path().join("aside");
        journal.set_tail_aside(torn.offset, &aside, "torn").unwrap();
        assert_eq!(fs::read(aside.join("torn")).unwrap(), b"thr");
        journal.append(&[b"three\n"]).unwrap();
        assert_eq!(
            fs::read(path.join("00000001.jsonl")).unwrap(),
            b"one\ntwo\nthree\n"
        );
    }
}
