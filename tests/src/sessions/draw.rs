//! The protocol's answers as lines that people read. Lines and columns are counted from 1, as editors show them.

use super::World;
use serde_json::{Value, json};
use std::ops::Range;

/// A piece of text, short enough for a line.
fn cut(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default();
    if line.chars().count() <= 40 && line.len() == text.len() {
        return line.to_owned();
    }
    let head: String = line.chars().take(40).collect();
    format!("{head}…")
}

/// The file of an address, as the session names it.
pub(super) fn name(uri: &Value) -> String {
    let uri = uri.as_str().unwrap_or_default();
    uri.strip_prefix(crate::editor::FOLDER).unwrap_or(uri).to_owned()
}

fn one(number: &Value) -> u64 {
    number.as_u64().unwrap_or_default() + 1
}

/// `3:9-17`, or `3:9-4:1`.
pub(super) fn range(range: &Value) -> String {
    let (start, end) = (&range["start"], &range["end"]);
    let to = if start["line"] == end["line"] { String::new() } else { format!("{}:", one(&end["line"])) };
    format!("{}:{}-{to}{}", one(&start["line"]), one(&start["character"]), one(&end["character"]))
}

/// A range with the text in it.
pub(super) fn spot(world: &World, uri: &Value, at: &Value) -> String {
    let Some(text) = world.text(uri.as_str().unwrap_or_default()) else {
        return range(at);
    };
    let bytes = world.editor.counting.bytes(&text, at);
    if bytes.is_empty() { range(at) } else { format!("{} \"{}\"", range(at), cut(&text[bytes])) }
}

/// A place: the file, the range, and the text there.
pub(super) fn location(world: &World, at: &Value) -> String {
    let uri = if at.get("uri").is_some() { &at["uri"] } else { &at["targetUri"] };
    let range = if at.get("range").is_some() { &at["range"] } else { &at["targetSelectionRange"] };
    format!("{} {}", name(uri), spot(world, uri, range))
}

/// Findings, one a line. Their places are looked up only in the text that they are about.
pub(super) fn findings(world: &World, uri: &Value, found: &Value, current: bool) -> Vec<String> {
    let mut lines = Vec::new();
    for finding in found.as_array().into_iter().flatten() {
        let level = match finding["severity"].as_u64() {
            Some(1) => "error",
            Some(2) => "warning",
            Some(3) => "note",
            _ => "hint",
        };
        let faded = if finding["tags"] == json!([1]) { ", faded" } else { "" };
        let at = if current { spot(world, uri, &finding["range"]) } else { range(&finding["range"]) };
        let code = finding["code"].as_str().map(|code| format!(" {code}")).unwrap_or_default();
        let message = finding["message"].as_str().unwrap_or_default().lines().next().unwrap_or_default();
        lines.push(format!("  {at} {level}{code}{faded}: {message}"));
        for related in finding["relatedInformation"].as_array().into_iter().flatten() {
            let said = related["message"].as_str().unwrap_or_default();
            lines.push(format!("    {}: {said}", location(world, &related["location"])));
        }
    }
    lines
}

/// A heading with what stands under it, or with `nothing`.
pub(super) fn under(heading: String, lines: Vec<String>) -> Vec<String> {
    if lines.is_empty() {
        return vec![format!("{heading}: nothing")];
    }
    std::iter::once(heading).chain(lines).collect()
}

/// The lines that text edits touch, with the edits drawn.
pub(super) fn edits(world: &World, uri: &str, edits: &Value) -> Vec<String> {
    let text = world.text(uri).unwrap_or_default();
    let mut drawn = String::new();
    let mut at = 0;
    for (Range { start, end }, new) in super::text_edits(world, &text, edits) {
        assert!(at <= start, "edits of {uri} overlap: {edits:?}");
        drawn.push_str(&text[at..start]);
        if end > start {
            drawn.push_str(&format!("{{-{}-}}", &text[start..end]));
        }
        if !new.is_empty() {
            drawn.push_str(&format!("{{+{new}+}}"));
        }
        at = end;
    }
    drawn.push_str(&text[at..]);
    let mut inside = false;
    let mut lines = Vec::new();
    for line in drawn.lines() {
        let touched = inside || line.contains("{-") || line.contains("{+");
        let (opened, closed) =
            (line.rfind("{-").max(line.rfind("{+")), line.rfind("-}").max(line.rfind("+}")));
        inside = if opened.is_none() && closed.is_none() { inside } else { opened > closed };
        if touched {
            lines.push(format!("  {line}"));
        }
    }
    lines
}

/// All that an edit of the workspace changes.
pub(super) fn workspace_edit(world: &World, edit: &Value) -> Vec<String> {
    let mut lines = Vec::new();
    for (uri, texts) in super::changes(edit) {
        lines.push(format!("{}:", name(&json!(uri))));
        lines.extend(edits(world, &uri, &texts));
    }
    for other in edit["documentChanges"].as_array().into_iter().flatten() {
        if let Some(kind) = other["kind"].as_str() {
            lines.push(
                format!("{kind} {} {}", name(&other["uri"]), name(&other["newUri"])).trim_end().to_owned(),
            );
        }
    }
    if lines.is_empty() { vec!["nothing".to_owned()] } else { lines }
}

/// Coloured pieces, one text line a line.
pub(super) fn colours(world: &World, uri: &str, data: &[u64]) -> Vec<String> {
    let text = world.text(uri).unwrap_or_default();
    let (mut line, mut column) = (0, 0);
    let mut lines: Vec<(u64, String)> = Vec::new();
    for token in data.chunks(5) {
        if token[0] > 0 {
            (line, column) = (line + token[0], 0);
        }
        column += token[1];
        let place = |column| json!({ "line": line, "character": column });
        let bytes = world
            .editor
            .counting
            .bytes(&text, &json!({ "start": place(column), "end": place(column + token[2]) }));
        let kind = world.legend.get(token[3] as usize).map_or("?", String::as_str);
        let piece = format!("{kind} \"{}\"", cut(&text[bytes]));
        match lines.last_mut() {
            Some((at, before)) if *at == line => before.push_str(&format!(", {piece}")),
            _ => lines.push((line, piece)),
        }
    }
    lines.into_iter().map(|(line, pieces)| format!("  {}: {pieces}", line + 1)).collect()
}

/// An outline, indented.
pub(super) fn outline(entries: &Value, depth: usize, lines: &mut Vec<String>) {
    for entry in entries.as_array().into_iter().flatten() {
        let at = entry.get("range").unwrap_or(&entry["location"]["range"]);
        let detail = entry["detail"].as_str().or(entry["containerName"].as_str());
        let detail = detail.map(|detail| format!(" ({detail})")).unwrap_or_default();
        lines.push(format!(
            "{}{} {}{detail}",
            "  ".repeat(depth + 1),
            one(&at["start"]["line"]),
            entry["name"].as_str().unwrap_or_default()
        ));
        outline(&entry["children"], depth + 1, lines);
    }
}
