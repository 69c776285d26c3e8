-- A session in Neovim: findings come, follow the typing, the text is tidied, and the server ends well.
-- Run by `run`, which sets LEVIGATE (the program), CLIENT (our client file) and FORMULA (the text).

local patience = 20000

local function check(good, what)
  io.stdout:write((good and "    ok: " or "    WRONG: ") .. what .. "\n")
  if not good then
    vim.cmd("cquit 1")
  end
end

local function has(code)
  for _, found in ipairs(vim.diagnostic.get(0)) do
    local lsp = found.user_data and found.user_data.lsp or {}
    if (found.code or lsp.code) == code then
      return true
    end
  end
  return false
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

  -- The sum is put right, behind characters that each encoding counts in its own way.
  local last = vim.api.nvim_buf_line_count(0)
  vim.api.nvim_buf_set_text(0, 0, 0, 0, 2, { "# 🧴½ " })
  vim.api.nvim_buf_set_lines(0, last - 1, last, false, { "  20 %   glycerin # µ 🧴", "  30 %  shea butter" })
  check(vim.wait(patience, function() return not has("total-not-100") end, 20), "the finding goes")

  local client = vim.lsp.get_active_clients and vim.lsp.get_active_clients()[1] or vim.lsp.get_clients()[1]
  local function tidy()
    local params = vim.lsp.util.make_formatting_params({})
    local answers = vim.lsp.buf_request_sync(0, "textDocument/formatting", params, patience) or {}
    local answer = answers[client.id] or {}
    check(answer.error == nil and answer.result ~= nil, "an answer to formatting")
    return answer.result or {}
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
