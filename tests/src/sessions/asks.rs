//! What a session can ask. **A new request is a row of [`QUESTIONS`]**: its words in a session, the method, what is
//! sent, and how the answer is drawn. Until it has a row, `ask METHOD` shows the bare answer.

use super::World;
use super::draw::{colours, edits, findings, location, name, outline, range, spot, under, workspace_edit};
use serde_json::{Value, json};

/// A question, as the session asks it.
#[derive(Clone, Default)]
pub(super) struct Asked {
    pub(super) uri: String,
    /// Where `|` was drawn, in bytes of the text.
    pub(super) at: Vec<usize>,
    /// What stands behind `with`.
    pub(super) with: String,
}

pub(super) struct Kind {
    pub(super) words: &'static str,
    pub(super) method: &'static str,
    /// What is sent beside the text's name.
    params: Params,
    pub(super) draw: Draw,
}

type Params = fn(&World, &Asked) -> Value;
type Draw = fn(&mut World, &Asked, &Value) -> Vec<String>;

pub(super) const QUESTIONS: &[Kind] = &[
    Kind::new("hover", "textDocument/hover", here, card),
    Kind::new("definition", "textDocument/definition", here, places),
    Kind::new("references", "textDocument/references", uses, places),
    Kind::new("highlights", "textDocument/documentHighlight", here, ranges),
    Kind::new("what can be renamed", "textDocument/prepareRename", here, renamable),
    Kind::new("rename", "textDocument/rename", new_name, change),
    Kind::new("outline", "textDocument/documentSymbol", nothing, tree),
    Kind::new("symbols", "workspace/symbol", query, symbols),
    Kind::new("folds", "textDocument/foldingRange", nothing, folds),
    Kind::new("wider selections", "textDocument/selectionRange", heres, selections),
    Kind::new("links", "textDocument/documentLink", nothing, links),
    Kind::new("hints", "textDocument/inlayHint", whole, hints),
    Kind::new("colours", "textDocument/semanticTokens/full", nothing, coloured),
    Kind::new("colours between", "textDocument/semanticTokens/range", between, coloured),
    Kind::new("tidy form", "textDocument/formatting", tidying, text_change),
    Kind::new("tidy form between", "textDocument/rangeFormatting", tidying_between, text_change),
    Kind::new("tidy form of the line above", "textDocument/onTypeFormatting", after_line, text_change),
    Kind::new("findings", "textDocument/diagnostic", since, report),
    Kind::new("all findings", "workspace/diagnostic", all_since, reports),
    Kind::new("actions", "textDocument/codeAction", around, offered),
    Kind::new("completion", "textDocument/completion", here, proposals),
    Kind::new("lenses", "textDocument/codeLens", nothing, lenses),
    Kind::new("changes", "workspace/executeCommand", comparing, written),
    Kind::new("label", "workspace/executeCommand", label, written),
    Kind::new("formula", "textDocument/prepareCallHierarchy", here, node),
    Kind::new("what uses it", "callHierarchy/incomingCalls", item, calls),
    Kind::new("what it uses", "callHierarchy/outgoingCalls", item, calls),
];

/// What has to change when files move; the step `move` asks it.
pub(super) const MOVING: Kind = Kind::new("move", "workspace/willRenameFiles", nothing, change);

/// What a chosen action would change; the step `choose` asks it.
pub(super) const CHOICE: Kind = Kind::new("choose", "codeAction/resolve", nothing, chosen);

impl Kind {
    const fn new(words: &'static str, method: &'static str, params: Params, draw: Draw) -> Kind {
        Kind { words, method, params, draw }
    }

    pub(super) fn params(&self, world: &World, asked: &Asked) -> Value {
        let mut params = (self.params)(world, asked);
        params["textDocument"] = json!({ "uri": asked.uri });
        params
    }
}

/// A question that has no row: the bare answer.
pub(super) fn bare(answer: &Value) -> Vec<String> {
    vec![format!("  {answer}")]
}

fn nothing(_: &World, _: &Asked) -> Value {
    json!({})
}

fn place(world: &World, asked: &Asked, nth: usize) -> Value {
    let text = world.text(&asked.uri).expect("a text");
    let at = asked.at.get(nth).expect("a | in the text");
    world.editor.counting.place(&text, *at)
}

fn here(world: &World, asked: &Asked) -> Value {
    json!({ "position": place(world, asked, 0) })
}

fn heres(world: &World, asked: &Asked) -> Value {
    json!({ "positions": [place(world, asked, 0)] })
}

fn uses(world: &World, asked: &Asked) -> Value {
    json!({ "position": place(world, asked, 0), "context": { "includeDeclaration": true } })
}

fn new_name(world: &World, asked: &Asked) -> Value {
    json!({ "position": place(world, asked, 0), "newName": asked.with })
}

fn query(_: &World, asked: &Asked) -> Value {
    json!({ "query": asked.with })
}

/// The label of the formula behind `with`, of all of them without.
fn label(_: &World, asked: &Asked) -> Value {
    let name = if asked.with.is_empty() { Value::Null } else { json!(asked.with) };
    json!({ "command": "levigate.showLabel", "arguments": [asked.uri, name] })
}

/// What changed since the text was committed.
fn comparing(_: &World, asked: &Asked) -> Value {
    json!({ "command": "levigate.compare", "arguments": [asked.uri] })
}

/// A text that the editor was not asked to show.
fn written(_: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    none_or(answer.as_str().into_iter().flat_map(str::lines).map(str::to_owned).collect())
}

fn between(world: &World, asked: &Asked) -> Value {
    json!({ "range": { "start": place(world, asked, 0), "end": place(world, asked, 1) } })
}

fn whole(world: &World, asked: &Asked) -> Value {
    let text = world.text(&asked.uri).expect("a text");
    json!({ "range": world.editor.counting.range(&text, &(0..text.len())) })
}

fn options() -> Value {
    json!({ "tabSize": 2, "insertSpaces": true })
}

fn tidying(_: &World, _: &Asked) -> Value {
    json!({ "options": options() })
}

fn tidying_between(world: &World, asked: &Asked) -> Value {
    let mut params = between(world, asked);
    params["options"] = options();
    params
}

fn after_line(world: &World, asked: &Asked) -> Value {
    json!({ "position": place(world, asked, 0), "ch": "\n", "options": options() })
}

fn since(world: &World, asked: &Asked) -> Value {
    json!({ "identifier": "levigate", "previousResultId": world.known.get(&asked.uri) })
}

fn all_since(world: &World, _: &Asked) -> Value {
    let known = world.known.iter().map(|(uri, value)| json!({ "uri": uri, "value": value }));
    json!({ "previousResultIds": known.collect::<Vec<_>>() })
}

fn item(world: &World, _: &Asked) -> Value {
    json!({ "item": world.item })
}

fn each(answer: &Value) -> impl Iterator<Item = &Value> {
    answer.as_array().into_iter().flatten()
}

fn none_or(lines: Vec<String>) -> Vec<String> {
    if lines.is_empty() { vec!["nothing".to_owned()] } else { lines }
}

/// The first lines of a card; a session is no place to look at all of it.
fn card(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    let Some(text) = answer["contents"]["value"].as_str() else { return none_or(Vec::new()) };
    let mut lines = vec![spot(world, &json!(asked.uri), &answer["range"])];
    lines.extend(text.lines().filter(|line| !line.is_empty()).take(3).map(|line| format!("  {line}")));
    lines
}

fn places(world: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    if answer.is_object() {
        // The page of a rule lies outside the folder.
        return vec![name(&answer["uri"])];
    }
    none_or(each(answer).map(|at| location(world, at)).collect())
}

fn ranges(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    let write = |found: &Value| if found["kind"] == 3 { ", declared" } else { "" };
    let line = |found: &Value| format!("{}{}", spot(world, &json!(asked.uri), &found["range"]), write(found));
    none_or(each(answer).map(line).collect())
}

fn renamable(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    if answer.is_null() {
        return none_or(Vec::new());
    }
    vec![spot(world, &json!(asked.uri), &answer["range"])]
}

fn change(world: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    world.edit = answer.clone();
    workspace_edit(world, answer)
}

fn text_change(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    world.edit = json!({ "changes": { asked.uri.as_str(): answer } });
    none_or(edits(world, &asked.uri, answer))
}

fn tree(_: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    let mut lines = Vec::new();
    outline(answer, 0, &mut lines);
    none_or(lines)
}

fn symbols(world: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    let line = |found: &Value| {
        let name = found["name"].as_str().unwrap_or_default();
        format!("{name}: {}", location(world, &found["location"]))
    };
    none_or(each(answer).map(line).collect())
}

fn folds(_: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    let number = |value: &Value| value.as_u64().unwrap_or_default() + 1;
    let fold = |fold: &Value| format!("{} to {}", number(&fold["startLine"]), number(&fold["endLine"]));
    none_or(each(answer).map(fold).collect())
}

fn selections(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    let mut lines = Vec::new();
    let mut next = &answer[0];
    while next.is_object() {
        lines.push(spot(world, &json!(asked.uri), &next["range"]));
        next = &next["parent"];
    }
    none_or(lines)
}

fn links(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    let line = |link: &Value| {
        format!("{} to {}", spot(world, &json!(asked.uri), &link["range"]), name(&link["target"]))
    };
    none_or(each(answer).map(line).collect())
}

/// Each hinted line with its hints between `‹` and `›`.
fn hints(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    let text = world.text(&asked.uri).expect("a text");
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut shown = std::collections::BTreeSet::new();
    for hint in answer.as_array().into_iter().flatten().rev() {
        let at = world.editor.counting.byte(&text, &hint["position"]);
        let line = text[..at].matches('\n').count();
        let column = at - text[..at].rfind('\n').map_or(0, |at| at + 1);
        lines[line].insert_str(column, &format!("‹{}›", hint["label"].as_str().unwrap_or_default()));
        let _ = shown.insert(line);
    }
    none_or(shown.into_iter().map(|line| format!("{}: {}", line + 1, lines[line])).collect())
}

fn coloured(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    let data: Vec<u64> = each(&answer["data"]).filter_map(Value::as_u64).collect();
    none_or(colours(world, &asked.uri, &data))
}

/// One report; what is known now is remembered for the next question.
fn one_report(world: &mut World, uri: &str, report: &Value) -> Vec<String> {
    let heading = name(&json!(uri));
    if let Some(known) = report["resultId"].as_str() {
        let _ = world.known.insert(uri.to_owned(), known.to_owned());
    }
    if report["kind"] == "unchanged" {
        return vec![format!("{heading}: as before")];
    }
    under(heading, findings(world, &json!(uri), &report["items"], true))
}

fn report(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    let mut lines = one_report(world, &asked.uri, answer);
    let mut others: Vec<_> = answer["relatedDocuments"].as_object().into_iter().flatten().collect();
    others.sort_by_key(|(uri, _)| (*uri).clone());
    for (uri, report) in others {
        lines.extend(one_report(world, uri, report));
    }
    lines
}

fn reports(world: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    let mut lines = Vec::new();
    for report in each(&answer["items"]) {
        lines.extend(one_report(world, report["uri"].as_str().unwrap_or_default(), report));
    }
    none_or(lines)
}

/// The formula is remembered: what is asked next is asked about it.
fn node(world: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    world.item = answer[0].clone();
    none_or(
        each(answer)
            .map(|item| format!("{} in {}", item["name"].as_str().unwrap_or_default(), name(&item["uri"])))
            .collect(),
    )
}

fn calls(_: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    let line = |call: &Value| {
        let item = if call["from"].is_object() { &call["from"] } else { &call["to"] };
        let lines: Vec<String> = each(&call["fromRanges"]).map(range).collect();
        format!(
            "{} in {}, at {}",
            item["name"].as_str().unwrap_or_default(),
            name(&item["uri"]),
            lines.join(", ")
        )
    };
    none_or(each(answer).map(line).collect())
}

/// A place, or what lies between two.
fn around(world: &World, asked: &Asked) -> Value {
    let (start, end) = (place(world, asked, 0), place(world, asked, asked.at.len() - 1));
    json!({ "range": { "start": start, "end": end }, "context": { "diagnostics": [] } })
}

/// Titles and kinds; the step `choose` names one of them.
fn offered(world: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    world.offers = each(answer).cloned().collect();
    let line = |action: &Value| {
        let kind = action["kind"].as_str().map(|kind| format!(" ({kind})")).unwrap_or_default();
        let preferred = if action["isPreferred"] == true { ", preferred" } else { "" };
        format!("{}{kind}{preferred}", action["title"].as_str().unwrap_or_default())
    };
    none_or(each(answer).map(line).collect())
}

pub(super) fn chosen(world: &mut World, _: &Asked, action: &Value) -> Vec<String> {
    world.edit = action["edit"].clone();
    workspace_edit(world, &world.edit)
}

/// The first proposals, in the order in which an editor shows them.
/// The candidates that an editor lists, and what the first of them would write.
fn proposals(world: &mut World, asked: &Asked, answer: &Value) -> Vec<String> {
    let items = if answer.is_array() { answer } else { &answer["items"] };
    let mut items: Vec<&Value> = each(items).filter(|item| is_sought(world, asked, item)).collect();
    let key =
        |item: &Value| item["sortText"].as_str().or(item["label"].as_str()).unwrap_or_default().to_owned();
    items.sort_by_key(|item| key(item));
    let line = |item: &&Value| {
        let detail = item["detail"].as_str().or(item["labelDetails"]["description"].as_str());
        let detail = detail.map(|detail| format!(": {detail}")).unwrap_or_default();
        format!("{}{detail}", item["label"].as_str().unwrap_or_default())
    };
    let mut lines: Vec<String> = items.iter().take(8).map(line).collect();
    if items.len() > 8 {
        lines.push(format!("and {} more", items.len() - 8));
    }
    let first = items.first().map_or(&Value::Null, |item| &item["textEdit"]);
    for (range, how) in
        [("range", "the first writes:"), ("insert", "the first inserts:"), ("replace", "or replaces:")]
    {
        if first[range].is_object() {
            lines.push(how.to_owned());
            let edit = json!([{ "range": first[range], "newText": first["newText"] }]);
            lines.extend(edits(world, &asked.uri, &edit));
        }
    }
    none_or(lines)
}

/// Whether an editor lists a candidate: what is typed stands in what it is sought by, whatever the case.
fn is_sought(world: &World, asked: &Asked, item: &Value) -> bool {
    let edit = &item["textEdit"];
    let Some(start) = edit["range"].get("start").or(edit["insert"].get("start")) else { return true };
    let text = world.text(&asked.uri).expect("a text");
    let at = asked.at.first().copied().unwrap_or(text.len());
    let typed = text[world.editor.counting.byte(&text, start)..at].to_lowercase();
    let sought = item["filterText"].as_str().or(item["label"].as_str()).unwrap_or_default();
    sought.to_lowercase().contains(&typed)
}

fn lenses(_: &mut World, _: &Asked, answer: &Value) -> Vec<String> {
    let line = |lens: &Value| {
        let title = lens["command"]["title"].as_str().unwrap_or("(to be resolved)");
        format!("{}: {title}", lens["range"]["start"]["line"].as_u64().unwrap_or_default() + 1)
    };
    none_or(each(answer).map(line).collect())
}

/// Answers as other servers' documents show them, drawn.
#[test]
fn answers_are_drawn() {
    let disk = std::sync::Arc::new(crate::editor::Disk::default());
    disk.write("a.formula", Some("formula A\n".to_owned()));
    let mut world = World::start(&disk);
    let asked = Asked { uri: crate::editor::uri("a.formula"), ..Asked::default() };
    let edit = json!({ "changes": { asked.uri.as_str(): [
        { "range": { "start": { "line": 0, "character": 8 }, "end": { "line": 0, "character": 9 } }, "newText": "B" }] } });
    let actions = json!([{ "title": "Write B", "kind": "quickfix", "isPreferred": true, "edit": edit }]);
    assert_eq!(offered(&mut world, &asked, &actions), ["Write B (quickfix), preferred"]);
    assert_eq!(chosen(&mut world, &asked, &actions[0]), ["a.formula:", "  formula {-A-}{+B+}"]);
    let items = json!({ "items": [{ "label": "b", "sortText": "1" }, { "label": "a", "sortText": "0", "detail": "d" }] });
    assert_eq!(proposals(&mut world, &asked, &items), ["a: d", "b"]);
    let lens =
        json!([{ "range": { "start": { "line": 2, "character": 0 } }, "command": { "title": "100 %" } }]);
    assert_eq!(lenses(&mut world, &asked, &lens), ["3: 100 %"]);
    world.editor.hang_up();
    assert_eq!(world.editor.status(), 1);
}
