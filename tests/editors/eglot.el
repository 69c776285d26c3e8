;;; eglot.el --- A session in Emacs -*- lexical-binding: t; -*-

;; Findings come and stand where they belong, follow the typing, a fix is made,
;; the text is tidied, and the server ends well.  Run by `run', which sets
;; LEVIGATE (the program) and FORMULA (the text).

;;; Code:

(load (expand-file-name "session.el" (file-name-directory load-file-name)) nil t t)
(require 'eglot)
(require 'flymake)
(require 'levigate)

(defun session-text (code)
  "The text that the finding with CODE is about; nil when there is none."
  (let (text)
    (dolist (found (flymake-diagnostics) text)
      (when (string-match-p (regexp-quote code) (flymake-diagnostic-text found))
        (setq text (buffer-substring-no-properties (flymake-diagnostic-beg found)
                                                   (flymake-diagnostic-end found)))))))

(defun session-has (code)
  "Whether a finding with CODE is shown."
  (and (session-text code) t))

(defun session-fix (server title)
  "Have SERVER make the fix with TITLE for the unknown name."
  (goto-char (point-min))
  (search-forward "glycerim")
  (let* ((here (list :line (1- (line-number-at-pos)) :character (funcall eglot-current-column-function)))
         (actions (jsonrpc-request server :textDocument/codeAction
                                   (list :textDocument (eglot--TextDocumentIdentifier)
                                         :range (list :start here :end here)
                                         :context (list :diagnostics []))))
         (action (seq-find (lambda (action) (equal title (plist-get action :title))) actions)))
    (session-check action "the fix is offered")
    (unless (plist-get action :edit)
      (setq action (jsonrpc-request server :codeAction/resolve action)))
    (eglot--apply-workspace-edit (plist-get action :edit))
    (eglot--signal-textDocument/didChange)))

(setq levigate-command (list (getenv "LEVIGATE") "serve")
      eglot-sync-connect 20
      eglot-autoreconnect nil
      session-nudge (lambda () (when flymake-mode (flymake-start))))

(defun session ()
  "The session."
  (apply #'eglot (eglot--guess-contact))
  (let* ((server (eglot-current-server))
         (process (jsonrpc--process server)))
    (session-check (session-wait (lambda () (session-has "total-not-100")))
                   "the finding comes")
    (session-check (equal "lavender oil" (session-text "added-not-listed"))
                   "a finding behind ½, °C and an emoji stands at its words")
    (if (eglot--server-capable :codeActionProvider)
        (progn (session-fix server "Write `glycerin`")
               (session-check (session-wait (lambda () (not (session-has "ingredient-unknown"))))
                              "the fixed finding goes"))
      (princ "    later: no fixes are offered yet\n"))
    (goto-char (point-min))
    (insert "# 🧴½ \n")
    (goto-char (point-max))
    (insert "  30 %  shea butter # µ 🧴\n")
    (eglot--signal-textDocument/didChange)
    (session-check (session-wait (lambda () (not (session-has "total-not-100"))))
                   "the finding goes")
    (session-check (equal "lavender oil" (session-text "added-not-listed")) "the other has moved along")
    (session-tidy #'eglot-format-buffer)
    (session-let-end 'jsonrpc-shutdown process)
    (eglot-shutdown server)
    (session-ended process)))

(session-run #'session)

;;; eglot.el ends here
