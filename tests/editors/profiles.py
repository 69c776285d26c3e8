"""Sessions of recorded editors, by pytest-lsp: each says of itself what that editor says.

Findings come and stand where they belong, follow the typing, a fix is made, the text is tidied, and the server ends
well. Run by `run`, which sets LEVIGATE (the program) and FORMULA (the text).
"""

import asyncio
import os
import pathlib

import pytest
import pytest_lsp
from lsprotocol import types
from pytest_lsp import ClientServerConfig, LanguageClient, client_capabilities

PATIENCE = 20
PROFILES = [
    "neovim@v0.6",
    "neovim@v0.8",
    "neovim@v0.10",
    "neovim@v0.11",
    "emacs@v29",
    "visual_studio_code@v1.65",
]
WIDTHS = {
    types.PositionEncodingKind.Utf8: lambda text: len(text.encode()),
    types.PositionEncodingKind.Utf16: lambda text: len(text.encode("utf-16-le")) // 2,
    types.PositionEncodingKind.Utf32: len,
}


@pytest_lsp.fixture(
    params=PROFILES,
    config=ClientServerConfig(server_command=[os.environ["LEVIGATE"], "serve"]),
)
async def client(request, lsp_client: LanguageClient):
    lsp_client.capabilities = client_capabilities(request.param)

    @lsp_client.feature(types.CLIENT_REGISTER_CAPABILITY)
    def agree(_: types.RegistrationParams):
        """Editors that are asked to tell of changed files agree."""

    folder = pathlib.Path(os.environ["FORMULA"]).parent.as_uri()
    params = types.InitializeParams(
        capabilities=lsp_client.capabilities,
        workspace_folders=[types.WorkspaceFolder(uri=folder, name="work")],
        root_uri=folder,
    )
    lsp_client.offered = (await lsp_client.initialize_session(params)).capabilities
    yield lsp_client


class Text:
    """An open text, counted as the server has agreed to count."""

    def __init__(self, client: LanguageClient):
        path = pathlib.Path(os.environ["FORMULA"])
        self.client, self.uri, self.text, self.version = client, path.as_uri(), path.read_text(), 1
        encoding = client.offered.position_encoding or types.PositionEncodingKind.Utf16
        self.width = WIDTHS[encoding]
        client.text_document_did_open(
            types.DidOpenTextDocumentParams(
                types.TextDocumentItem(uri=self.uri, language_id="levigate", version=1, text=self.text)
            )
        )

    @property
    def name(self):
        return types.TextDocumentIdentifier(uri=self.uri)

    def offset(self, place: types.Position) -> int:
        lines = self.text.splitlines(keepends=True) + [""]
        before = sum(len(line) for line in lines[: place.line])
        column = next(at for at in range(len(lines[place.line]) + 1) if self.width(lines[place.line][:at]) >= place.character)
        assert self.width(lines[place.line][:column]) == place.character, "a place within a character"
        return before + column

    def place(self, offset: int) -> types.Position:
        line = self.text.count("\n", 0, offset)
        start = self.text.rfind("\n", 0, offset) + 1
        return types.Position(line=line, character=self.width(self.text[start:offset]))

    def at(self, span: types.Range) -> str:
        return self.text[self.offset(span.start) : self.offset(span.end)]

    def edit(self, edits: list[types.TextEdit]):
        """Makes edits that are told all at once: the last first, so that none moves another."""
        edits = sorted(edits, key=lambda edit: self.offset(edit.range.start), reverse=True)
        changes = [
            types.TextDocumentContentChangePartial(range=edit.range, text=edit.new_text) for edit in edits
        ]
        for edit in edits:
            start, end = self.offset(edit.range.start), self.offset(edit.range.end)
            self.text = self.text[:start] + edit.new_text + self.text[end:]
        self.version += 1
        self.client.text_document_did_change(
            types.DidChangeTextDocumentParams(
                text_document=types.VersionedTextDocumentIdentifier(uri=self.uri, version=self.version),
                content_changes=changes,
            )
        )

    def insert(self, offset: int, new: str):
        here = self.place(offset)
        self.edit([types.TextEdit(range=types.Range(start=here, end=here), new_text=new)])

    async def findings(self, so) -> dict[str, types.Diagnostic]:
        """The findings by their rules, asked for or told unasked, once they are so."""
        for _ in range(PATIENCE * 20):
            if self.client.offered.diagnostic_provider:
                params = types.DocumentDiagnosticParams(text_document=self.name)
                found = (await self.client.text_document_diagnostic_async(params)).items
            else:
                found = self.client.diagnostics.get(self.uri, [])
            by_rule = {finding.code: finding for finding in found}
            if so(by_rule):
                return by_rule
            await asyncio.sleep(0.05)
        raise AssertionError(f"the findings are {list(by_rule)}")

    async def tidy(self) -> list[types.TextEdit]:
        options = types.FormattingOptions(tab_size=2, insert_spaces=True)
        params = types.DocumentFormattingParams(text_document=self.name, options=options)
        return await self.client.text_document_formatting_async(params)


async def fix(client: LanguageClient, text: Text, finding: types.Diagnostic, title: str):
    context = types.CodeActionContext(diagnostics=[finding])
    params = types.CodeActionParams(text_document=text.name, range=finding.range, context=context)
    actions = await client.text_document_code_action_async(params)
    action = next(action for action in actions if action.title == title)
    if action.edit is None:
        action = await client.code_action_resolve_async(action)
    edits = (action.edit.changes or {}).get(text.uri)
    if edits is None:
        edits = [edit for change in action.edit.document_changes for edit in change.edits]
    text.edit(edits)


@pytest.mark.asyncio
async def test_session(client: LanguageClient):
    text = Text(client)
    found = await text.findings(lambda found: "total-not-100" in found)
    assert text.at(found["added-not-listed"].range) == "lavender oil"
    assert text.at(found["total-not-100"].range) == "Seventy cream"

    if client.offered.code_action_provider:
        await fix(client, text, found["ingredient-unknown"], "Write `glycerin`")
        await text.findings(lambda found: "ingredient-unknown" not in found)
    else:
        print("later: no fixes are offered yet")

    text.insert(0, "# 🧴½ \n")
    text.insert(len(text.text), "  30 %  shea butter # µ 🧴\n")
    found = await text.findings(lambda found: "total-not-100" not in found)
    assert text.at(found["added-not-listed"].range) == "lavender oil"

    edits = await text.tidy()
    assert edits
    text.edit(edits)
    assert not await text.tidy()
    assert "\n       50     %     purified water\n" in text.text

    server = client._server
    await client.shutdown_async(None)
    client.exit(None)
    assert await asyncio.wait_for(server.wait(), PATIENCE) == 0
    assert client.error is None
