//! Mails as files in a folder.

use std::io;
use std::path::Path;

use tokio::fs;
use tokio::io::AsyncWriteExt;

use super::compose::token;
use super::{MailError, Sent};

/// Lays a mail into the folder as `<key>.eml`; the file is there as a whole or not at all.
pub(super) async fn lay(
    folder: &Path,
    key: &str,
    mail: &lettre::Message,
) -> Result<Sent, MailError> {
    let path = folder.join(format!("{}.eml", token(key)));
    match write(&path, &mail.formatted()).await {
        Ok(()) => Ok(Sent {
            reply: format!("written to {}", path.display()),
        }),
        Err(cause) => Err(MailError::Folder { path, cause }),
    }
}

async fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).await?;
    }
    let unfinished = path.with_extension("eml.part");
    let mut file = fs::File::create(&unfinished).await?;
    file.write_all(bytes).await?;
    file.sync_all().await?;
    fs::rename(&unfinished, path).await
}
