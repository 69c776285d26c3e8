-- A session in Neovim: findings come and stand where they belong, follow the typing, a fix is made, the text is tidied,
-- and the server ends well.
-- Run by `run`, which sets LEVIGATE (the program), CLIENT (our client file) and FORMULA (the text).

local patience = 20000

local function check(good, what)
  io.stdout:write((good and "    ok: " or "    WRONG: ") .. what .. "\n")
  if not good then
    vim.cmd("cquit 1")
  end
end

local function find(code)
  for _, found in ipairs(vim.diagnostic.get(0)) do
    local lsp = found.user_data and found.user_data.lsp or {}
    if (found.code or lsp.code) == code then
      return found
    end
  end
end

local function has(code)
  return find(code) ~= nil
end

-- The text that a finding is about.
local function text(code)
  local found = find(code)
  local line = vim.api.nvim_buf_get_lines(0, found.lnum, found.lnum + 1, true)[1]
  return line:sub(found.col + 1, found.end_col)
end

local function main()
  local status
  dofile(vim.env.CLIENT).setup({
    cmd = { vim.env.LEVIGATE, "serve" },
    on_exit = function(code)
      status = code
    end,
  })
  vim.cmd("edit " .. vim.fn.fnameescape(vim.env.FORMULA))
  check(vim.bo.filetype == "levigate", "the file is known by its name")
  check(vim.wait(patience, function() return has("total-not-100") end, 20), "the finding comes")
  check(text("added-not-listed") == "lavender oil", "a finding behind ½, °C and an emoji stands at its words")
  check(text("total-not-100") == "Seventy cream", "so does one in the line of the name")

  local client = vim.lsp.get_active_clients and vim.lsp.get_active_clients()[1] or vim.lsp.get_clients()[1]
  local function ask(method, params)
    local answers = vim.lsp.buf_request_sync(0, method, params, patience) or {}
    local answer = answers[client.id] or {}
    check(answer.error == nil and answer.result ~= nil, "an answer to " .. method)
    return answer.result or {}
  end

  if client.server_capabilities.codeActionProvider then
    local unknown = find("ingredient-unknown")
    local here = { line = unknown.lnum, character = unknown.col + 1 }
    local actions = ask("textDocument/codeAction", {
      textDocument = vim.lsp.util.make_text_document_params(0),
      range = { start = here, ["end"] = here },
      context = { diagnostics = {} },
    })
    local fix
    for _, action in ipairs(actions) do
      fix = action.title == "Write `glycerin`" and action or fix
    end
    check(fix ~= nil, "the fix is offered")
    fix = fix.edit and fix or ask("codeAction/resolve", fix)
    vim.lsp.util.apply_workspace_edit(fix.edit, client.offset_encoding)
    check(vim.wait(patience, function() return not has("ingredient-unknown") end, 20), "the fixed finding goes")
  else
    io.stdout:write("    later: no fixes are offered yet\n")
  end

  -- The sum is put right, behind characters that each encoding counts in its own way.
  local last = vim.api.nvim_buf_line_count(0)
  vim.api.nvim_buf_set_text(0, 0, 0, 0, 2, { "# 🧴½ " })
  vim.api.nvim_buf_set_lines(0, last - 1, last, false, { "  20 %   glycerin # µ 🧴", "  30 %  shea butter" })
  check(vim.wait(patience, function() return not has("total-not-100") end, 20), "the finding goes")
  check(text("added-not-listed") == "lavender oil", "the other is still at its words")

  local function tidy()
    return ask("textDocument/formatting", vim.lsp.util.make_formatting_params({}))
  end
  local edits = tidy()
  check(#edits > 0, "the text is not tidy yet")
  vim.lsp.util.apply_text_edits(edits, 0, client.offset_encoding)
  check(#tidy() == 0, "the text is tidy after the edits")

  client.stop()
  check(vim.wait(patience, function() return client.is_stopped() end, 20), "the server stops")
  check(vim.wait(patience, function() return status ~= nil end, 20) and status == 0, "its exit status is 0")
  vim.cmd("qall!")
end

local good, fault = pcall(main)
if not good then
  io.stdout:write("    WRONG: " .. tostring(fault) .. "\n")
  vim.cmd("cquit 1")
end
