" A session in Vim with ALE: findings come and stand where they belong, follow the typing, the text is tidied, and the
" server ends well. Run by `run`, which sets LEVIGATE (a wrapper of the program that writes its exit status into
" STATUS), CLIENT (our client file), FORMULA (the text) and SAID (where to say it).

set nocompatible nomore shortmess+=I
let s:said = []

function! s:Check(good, what) abort
  call add(s:said, (a:good ? '    ok: ' : '    WRONG: ') . a:what)
  call writefile(s:said, $SAID)
  if !a:good
    cquit!
  endif
endfunction

function! s:Find(code) abort
  let l:found = filter(copy(ale#engine#GetLoclist(bufnr(''))), {_, item -> get(item, 'code', '') ==# a:code})
  return get(l:found, 0, {})
endfunction

function! s:Wait(so) abort
  for l:_ in range(400)
    if a:so()
      return 1
    endif
    sleep 50m
  endfor
  return 0
endfunction

" ALE hands on what the protocol says: units of UTF-16, where Vim itself counts bytes.
function! s:Units(text) abort
  let l:units = 0
  for l:character in split(a:text, '\zs')
    let l:units += char2nr(l:character) > 0xffff ? 2 : 1
  endfor
  return l:units
endfunction

function! s:StandsAt(code, words) abort
  let l:found = s:Find(a:code)
  let l:line = getline(get(l:found, 'lnum', 1))
  let l:before = s:Units(strpart(l:line, 0, stridx(l:line, a:words)))
  return get(l:found, 'col') == l:before + 1 && get(l:found, 'end_col') == l:before + s:Units(a:words)
endfunction

let s:connection = ''
function! s:Connected(linter, details) abort
  let s:connection = a:details.connection_id
endfunction

function! s:Session() abort
  call s:Check(&filetype ==# 'levigate', 'the file is known by its name')
  call s:Check(s:Wait({-> !empty(s:Find('added-not-listed'))}), 'the findings come')
  call s:Check(s:StandsAt('added-not-listed', 'lavender oil'), 'a finding behind ½, °C and an emoji stands at its words')
  call s:Check(s:StandsAt('total-not-100', 'Seventy cream'), 'so does one in the line of the name')

  " ALE asks which fix to make in a dialogue that no script can answer; the hand makes it here.
  %s/glycerim/glycerin/
  call append(0, '# 🧴½ ')
  call append('$', '  30 %  shea butter # µ 🧴')
  ALELint
  call s:Check(s:Wait({-> empty(s:Find('total-not-100')) && empty(s:Find('ingredient-unknown'))}), 'the findings go')
  call s:Check(s:StandsAt('added-not-listed', 'lavender oil'), 'the other has moved along')

  let l:before = getline(1, '$')
  ALEFix
  call s:Check(s:Wait({-> getline(1, '$') != l:before}), 'the text gets tidied')
  let l:before = getline(1, '$')
  call s:Check(index(l:before, '       50     %     purified water') >= 0, 'the text is tidy')

  " ALE itself ends a server by a signal. Here it says so in the protocol's words, and waits.
  call ale#lsp_linter#StartLSP(bufnr(''), ale#linter#Get('levigate')[0], function('s:Connected'))
  call s:Check(s:Wait({-> !empty(s:connection)}), 'the server is still there')
  call ale#lsp#Send(s:connection, ale#lsp#message#Shutdown())
  call ale#lsp#Send(s:connection, ale#lsp#message#Exit())
  call s:Check(s:Wait({-> filereadable($STATUS)}), 'the server stops')
  call s:Check(readfile($STATUS) == ['0'], 'its exit status is 0')
endfunction

function! s:Start() abort
  try
    call s:Session()
    qall!
  catch
    call s:Check(0, v:exception . ' at ' . v:throwpoint)
  endtry
endfunction

let g:levigate_command = $LEVIGATE
let g:ale_lint_on_text_changed = 'always'
let g:ale_lint_delay = 50
packadd ale
execute 'source' fnameescape($CLIENT)
filetype on
execute 'edit' fnameescape($FORMULA)
call timer_start(200, {-> s:Start()})
