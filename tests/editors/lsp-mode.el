;;; lsp-mode.el --- A session in Emacs with lsp-mode -*- lexical-binding: t; -*-

;; Findings come and stand where they belong, follow the typing, a fix is made,
;; the text is tidied, and the server ends well.  Run by `run', which sets
;; LEVIGATE (the program) and FORMULA (the text).

;;; Code:

(load (expand-file-name "session.el" (file-name-directory load-file-name)) nil t t)
(require 'lsp-mode)
(require 'lsp-diagnostics)
(require 'levigate-lsp)

(defun session-found (code)
  "The finding with CODE, or nil."
  (let (found)
    (maphash (lambda (_file diagnostics)
               (dolist (diagnostic diagnostics)
                 (when (equal code (lsp:diagnostic-code? diagnostic))
                   (setq found diagnostic))))
             (lsp-diagnostics t))
    found))

(defun session-units (text)
  "How many units of UTF-16 TEXT takes."
  (/ (length (encode-coding-string text 'utf-16le)) 2))

(defun session-stands-at (diagnostic words)
  "Whether DIAGNOSTIC is about WORDS, as the protocol counts.
lsp-mode itself counts characters, and paints a finding behind an emoji one
column off, whoever the server is; so its numbers are looked at, not its paint."
  (save-excursion
    (goto-char (point-min))
    (forward-line (lsp:position-line (lsp:range-start (lsp:diagnostic-range diagnostic))))
    (let* ((start (line-beginning-position))
           (before (progn (search-forward words (line-end-position))
                          (session-units (buffer-substring-no-properties start (match-beginning 0))))))
      (let ((range (lsp:diagnostic-range diagnostic)))
        (and (= before (lsp:position-character (lsp:range-start range)))
             (= (+ before (session-units words)) (lsp:position-character (lsp:range-end range))))))))

(defun session-fix (title)
  "Make the fix with TITLE for the unknown name."
  (let* ((finding (session-found "ingredient-unknown"))
         (range (lsp:diagnostic-range finding))
         (actions (lsp-request "textDocument/codeAction"
                               (list :textDocument (lsp--text-document-identifier)
                                     :range range
                                     :context (list :diagnostics (vector finding)))))
         (action (seq-find (lambda (action) (equal title (lsp:code-action-title action))) actions)))
    (session-check action "the fix is offered")
    (lsp-execute-code-action action)))

(setq levigate-command (list (getenv "LEVIGATE") "serve")
      lsp-auto-guess-root nil
      lsp-restart 'ignore
      lsp-response-timeout 20
      lsp-enable-file-watchers nil
      lsp-diagnostics-provider :none
      lsp-session-file (expand-file-name "lsp-session" (getenv "HOME"))
      lsp-server-install-dir (getenv "HOME")
      lsp-warn-no-matched-clients nil)

(defun session ()
  "The session."
  (lsp-workspace-folders-add (file-name-directory (buffer-file-name)))
  (lsp)
  (session-check (session-wait (lambda () (session-found "added-not-listed"))) "the findings come")
  (session-check (session-stands-at (session-found "added-not-listed") "lavender oil")
                 "a finding behind ½, °C and an emoji stands at its words")
  (session-check (session-stands-at (session-found "total-not-100") "Seventy cream")
                 "so does one in the line of the name")
  (if (lsp-feature? "textDocument/codeAction")
      (progn (session-fix "Write `glycerin`")
             (session-check (session-wait (lambda () (not (session-found "ingredient-unknown"))))
                            "the fixed finding goes"))
    (princ "    later: no fixes are offered yet\n"))
  (goto-char (point-min))
  ;; Nothing to be tidied behind the emoji: lsp-mode would not find the place.
  (insert "# 🧴½\n")
  (goto-char (point-max))
  (insert "  30 %  shea butter # µ 🧴\n")
  (session-check (session-wait (lambda () (not (session-found "total-not-100")))) "the finding goes")
  (session-check (session-stands-at (session-found "added-not-listed") "lavender oil")
                 "the other has moved along")
  (session-tidy #'lsp-format-buffer)
  (let* ((workspace (car (lsp-workspaces)))
         (process (lsp--workspace-cmd-proc workspace)))
    (session-let-end 'lsp--uninitialize-workspace process)
    (lsp-workspace-shutdown workspace)
    (session-ended process)))

(session-run #'session)

;;; lsp-mode.el ends here
