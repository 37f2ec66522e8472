//! A report with all that it was made from, built and proved. No disk and no
//! clock.

mod build;
mod carried;
mod compared;
mod earlier;
mod originals;
mod read;
mod signatory;
mod signers;
mod types;
mod verify;

pub use build::{Built, How, build};
pub use carried::{EARLIER, Earlier, ORIGINALS, carried_name, job_files, job_name};
pub use compared::{Comparer, Found, read_compared};
pub use originals::matched;
pub use read::{judged, printed, read};
pub use signatory::{Signatory, signatories, signatory};
pub use signers::too_early;
pub use types::{Finding, Proof, WorkedOut};
pub use verify::verify;
