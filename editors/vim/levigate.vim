" Vim client for levigate's language server, through ALE. Works from Vim 8.1 and ALE 3.0 on.
"
" Copy this file to `plugin/levigate.vim` in `~/.vim`. Findings are shown while you write; `:ALEHover`,
" `:ALEGoToDefinition`, `:ALEFindReferences` and `:ALERename` ask about what stands under the cursor, `:ALEFix` brings
" the text into its canonical form. If the command is not on your PATH, say where it is:
"
"     let g:levigate_command = '/opt/levigate/levigate'

if exists('g:loaded_levigate')
  finish
endif
let g:loaded_levigate = 1

augroup levigate
  autocmd!
  autocmd BufNewFile,BufRead *.formula setfiletype levigate
  autocmd FileType levigate setlocal commentstring=#\ %s
augroup END

function! LevigateCommand(buffer) abort
  return get(g:, 'levigate_command', 'levigate')
endfunction

" The folder with a workshop file or a repository in it, else the file's own.
function! LevigateRoot(buffer) abort
  let l:folder = fnamemodify(bufname(a:buffer), ':p:h')
  let l:workshop = findfile('workshop.formula', l:folder . ';')
  if !empty(l:workshop)
    return fnamemodify(l:workshop, ':p:h')
  endif
  let l:git = finddir('.git', l:folder . ';')
  return empty(l:git) ? l:folder : fnamemodify(l:git, ':p:h:h')
endfunction

function! LevigateTidy(buffer) abort
  return {'command': ale#Escape(LevigateCommand(a:buffer)) . ' tidy -'}
endfunction

" All plugins are there once the first text gets its type.
function! s:Introduce() abort
  if !exists(':ALEInfo') || exists('s:introduced')
    return
  endif
  let s:introduced = 1
  call ale#linter#Define('levigate', {
  \ 'name': 'levigate',
  \ 'lsp': 'stdio',
  \ 'language': 'levigate',
  \ 'executable': function('LevigateCommand'),
  \ 'command': '%e serve',
  \ 'project_root': function('LevigateRoot'),
  \})
  let g:ale_fixers = get(g:, 'ale_fixers', {})
  if type(g:ale_fixers) == v:t_dict && !has_key(g:ale_fixers, 'levigate')
    let g:ale_fixers.levigate = [function('LevigateTidy')]
  endif
endfunction

autocmd levigate FileType levigate call s:Introduce()
