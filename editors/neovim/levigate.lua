-- Neovim client for levigate's language server. Works from Neovim 0.7 on.
--
-- Copy this file to `lua/levigate.lua` in your configuration folder, and put into `init.lua`:
--
--     require("levigate").setup()
--
-- `setup` takes what `vim.lsp` takes for a client, for instance
-- `{ cmd = { "/opt/levigate/levigate", "serve" } }`.

local M = {}

local uv = vim.uv or vim.loop
local clients = {}

-- The folder with a workshop file or a repository in it, else the file's own.
local function root_of(file)
  local own = vim.fn.fnamemodify(file, ":p:h")
  local folder = own
  while true do
    for _, mark in ipairs({ "workshop.formula", ".git" }) do
      if uv.fs_stat(folder .. "/" .. mark) then
        return folder
      end
    end
    local above = vim.fn.fnamemodify(folder, ":h")
    if above == folder then
      return own
    end
    folder = above
  end
end

-- One server for each root. Neovim 0.8 and later keep count of that themselves.
local function attach(buffer, options)
  local root = root_of(vim.api.nvim_buf_get_name(buffer))
  local config = vim.tbl_extend("force", {
    name = "levigate",
    cmd = { "levigate", "serve" },
    root_dir = root,
  }, options)
  if vim.lsp.start then
    vim.lsp.start(config, { bufnr = buffer })
    return
  end
  local id = clients[root]
  if not id or vim.lsp.client_is_stopped(id) then
    id = vim.lsp.start_client(config)
    clients[root] = id
  end
  if id then
    vim.lsp.buf_attach_client(buffer, id)
  end
end

function M.setup(options)
  local group = vim.api.nvim_create_augroup("levigate", { clear = true })
  vim.api.nvim_create_autocmd({ "BufRead", "BufNewFile" }, {
    group = group,
    pattern = "*.formula",
    command = "setfiletype levigate",
  })
  vim.api.nvim_create_autocmd("FileType", {
    group = group,
    pattern = "levigate",
    callback = function(event)
      -- Neovim 0.7 tells no buffer when the event comes out of another one.
      local buffer = event.buf or vim.api.nvim_get_current_buf()
      vim.api.nvim_buf_set_option(buffer, "commentstring", "# %s")
      attach(buffer, options or {})
    end,
  })
end

return M
