//! Addresses (URIs) and paths.

use std::path::{Path, PathBuf};
use tower_lsp::lsp_types::Url;

/// The path under which the desk keeps a document. One that is not a file (a text that was never saved, a view of an
/// old version) gets a path of its own in a folder that does not exist.
pub(crate) fn path(address: &Url) -> PathBuf {
    if address.scheme() == "file"
        && let Ok(path) = address.to_file_path()
    {
        return path;
    }
    let name =
        address.as_str().replace('%', "%25").replace('/', "%2F").replace('\\', "%5C").replace(':', "%3A");
    Path::new("/").join("unsaved").join(name)
}

/// The address of a file; none for a relative path.
pub(crate) fn address(path: &Path) -> Option<Url> {
    Url::from_file_path(path).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn there_and_back() {
        for (uri, expected) in [
            ("file:///home/a/cream.formula", "/home/a/cream.formula"),
            ("file:///home/a%20b/cr%C3%A8me%23%3F%25.formula", "/home/a b/crème#?%.formula"),
            ("file://localhost/x.formula", "/x.formula"),
        ] {
            let uri = Url::parse(uri).unwrap();
            assert_eq!(path(&uri), Path::new(expected));
            assert_eq!(path(&address(Path::new(expected)).unwrap()), Path::new(expected));
        }
        assert_eq!(address(Path::new("cream.formula")), None);
    }

    #[test]
    fn what_is_no_file_gets_a_path_of_its_own() {
        let paths = [
            "untitled:Untitled-1",
            "untitled:Untitled-2",
            "git:/a/b.formula?x",
            "file://elsewhere/c.formula",
        ]
        .map(|uri| path(&Url::parse(uri).unwrap()));
        for (at, one) in paths.iter().enumerate() {
            assert!(one.starts_with("/unsaved") && one.components().count() == 3, "{one:?}");
            assert!(!paths[..at].contains(one));
        }
    }
}
