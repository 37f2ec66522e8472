//! What a report carries inside: the job's files and the verdicts, out of a
//! folder and back.

use crate::diag::Sources;
use crate::load::{ENGINE_FILE, JOB_FILE, LARGEST_JOB, LIMITS_FILE, READINGS_FILE};
use crate::pdf::{Attachment, Carried, Opened, Relationship, safe};
use crate::scan::{self, Scan};

/// The verdicts, as carried.
pub const VERDICTS: &str = "verdicts.json";

/// Stands for the folder of a form in the name of a carried file: a reader's
/// list of attachments knows no folders.
pub const FOLDER: &str = "__";

/// The folder of the scans in a job.
pub const ORIGINALS: &str = "originals";

/// The folder of the earlier report in a job.
pub const EARLIER: &str = "earlier";

/// The report of an earlier job of the same engine, by its name in the folder,
/// carried whole, signatures and all.
#[derive(Clone, Debug)]
pub struct Earlier {
    pub name: String,
    pub bytes: Vec<u8>,
}

impl Earlier {
    /// Out of an opened report.
    pub fn carried(opened: &Opened) -> Option<Earlier> {
        opened.carried.iter().find_map(|carried| match carried.name.split_once(FOLDER) {
            Some((EARLIER, name)) if is_plain(name) => {
                Some(Earlier { name: name.to_owned(), bytes: carried.bytes.clone() })
            }
            _ => None,
        })
    }

    pub fn attachment(&self) -> Attachment<'_> {
        Attachment {
            name: carried_name(&format!("{EARLIER}/{}", self.name)),
            bytes: self.bytes.as_slice().into(),
            mime: "application/pdf".to_owned(),
            relationship: Relationship::Provenance,
            description: "the report of an earlier job of this engine".to_owned(),
        }
    }
}

/// The files that the report was worked out from, and its verdicts.
pub fn carried<'a>(
    files: &'a Sources,
    verdicts: &'a str,
    scans: &'a [Scan],
    earlier: Option<&'a Earlier>,
) -> Vec<Attachment<'a>> {
    let mut carried: Vec<Attachment> = files
        .0
        .iter()
        .map(|(name, text)| Attachment {
            name: carried_name(name),
            bytes: text.as_bytes().into(),
            mime: "application/toml".to_owned(),
            relationship: Relationship::Provenance,
            description: describe(name),
        })
        .collect();
    carried.extend(scans.iter().map(|scan| {
        Attachment {
            name: carried_name(&format!("{ORIGINALS}/{}", scan.name)),
            bytes: scan.bytes.as_slice().into(),
            mime: scan::Kind::of(&scan.bytes)
                .map_or("application/octet-stream", scan::Kind::mime)
                .to_owned(),
            relationship: Relationship::Provenance,
            description: "a scan of filled sheets".to_owned(),
        }
    }));
    carried.extend(earlier.map(Earlier::attachment));
    carried.push(Attachment {
        name: VERDICTS.to_owned(),
        bytes: verdicts.as_bytes().into(),
        mime: "application/json".to_owned(),
        relationship: Relationship::Data,
        description: "every verdict of this report, for machines".to_owned(),
    });
    carried
}

fn describe(name: &str) -> String {
    match name {
        ENGINE_FILE => "the engine".to_owned(),
        LIMITS_FILE => "the limits used".to_owned(),
        JOB_FILE => "the job: people, gauges, scope".to_owned(),
        READINGS_FILE => "the transcription of the sheets".to_owned(),
        form => format!("a form used: {form}"),
    }
}

/// The job's files out of an opened report, by their names in a job folder.
/// None where together they are larger than those of any job: a small report may
/// hold much that unpacks to a lot of nothing.
pub fn job_files(opened: &Opened) -> Sources {
    let mut files = Sources::default();
    if too_large(opened) {
        return files;
    }
    for carried in opened.carried.iter().filter(|carried| is_job_file(carried)) {
        if let Ok(text) = std::str::from_utf8(&carried.bytes) {
            files.put(job_name(&carried.name), text);
        }
    }
    files
}

/// The name that a file of a job folder is carried under.
pub fn carried_name(name: &str) -> String {
    name.replace('/', FOLDER)
}

/// The name of a carried file in a job folder.
pub fn job_name(carried: &str) -> String {
    match carried.split_once(FOLDER) {
        Some(("forms", name)) if name.ends_with(".toml") && is_plain(name) => {
            format!("forms/{name}")
        }
        Some((folder @ (ORIGINALS | EARLIER), name)) if is_plain(name) => {
            format!("{folder}/{name}")
        }
        _ => carried.to_owned(),
    }
}

/// Safe by itself and not only behind the name of its folder.
fn is_plain(name: &str) -> bool {
    safe(name.to_owned()).is_ok()
}

/// The scans out of an opened report, by their names in the folder.
pub fn scans(opened: &Opened) -> Vec<(String, Vec<u8>)> {
    let name = |carried: &Carried| match carried.name.split_once(FOLDER) {
        Some((ORIGINALS, name)) => Some((name.to_owned(), carried.bytes.clone())),
        _ => None,
    };
    opened.carried.iter().filter_map(name).collect()
}

pub fn too_large(opened: &Opened) -> bool {
    let files = opened.carried.iter().filter(|carried| is_job_file(carried));
    files.map(|carried| carried.bytes.len()).sum::<usize>() > LARGEST_JOB
}

/// The first file carried as the job's that no job has.
pub fn stranger(opened: &Opened) -> Option<&str> {
    let files = opened.carried.iter().filter(|carried| is_job_file(carried));
    let known = |name: &str| {
        let name = job_name(name);
        [ENGINE_FILE, LIMITS_FILE, JOB_FILE, READINGS_FILE].contains(&name.as_str())
            || name.starts_with("forms/")
    };
    files.map(|carried| carried.name.as_str()).find(|name| !known(name))
}

fn is_job_file(carried: &Carried) -> bool {
    carried.relationship.as_deref() == Some("Source") && carried.name.ends_with(".toml")
}
