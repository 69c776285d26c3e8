;;; lsp-mode.el --- A session in Emacs with lsp-mode -*- lexical-binding: t; -*-

;; Findings come and stand where they belong, follow the typing, a fix is made,
;; the text is tidied, and the server ends well.  Run by `run', which sets
;; LEVIGATE (the program) and FORMULA (the text).

;;; Code:

(require 'package)
(package-initialize)
(require 'lsp-mode)
(require 'lsp-diagnostics)
(require 'levigate-lsp)

(defun session-check (good what)
  "Say WHAT, and leave with a failure unless GOOD."
  (princ (format "    %s: %s\n" (if good "ok" "WRONG") what))
  (unless good (kill-emacs 1)))

(defun session-wait (so)
  "Wait until the function SO is true; nil when it takes too long."
  (let ((deadline (+ (float-time) 20)) done)
    (while (and (not (setq done (funcall so))) (< (float-time) deadline))
      (accept-process-output nil 0.05))
    done))

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
  (session-check (eq major-mode 'levigate-mode) "the file is known by its name")
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
  (let ((before (buffer-string)))
    (lsp-format-buffer)
    (session-check (not (equal before (buffer-string))) "the text gets tidied")
    (setq before (buffer-string))
    (lsp-format-buffer)
    (session-check (equal before (buffer-string)) "the text stays tidy"))
  (let* ((workspace (car (lsp-workspaces)))
         (process (lsp--workspace-cmd-proc workspace)))
    ;; Emacs kills the server right after `exit'; here it may end by itself.
    (advice-add 'lsp--uninitialize-workspace :before
                (lambda (&rest _)
                  (session-wait (lambda () (not (process-live-p process))))))
    (lsp-workspace-shutdown workspace)
    (session-check (session-wait (lambda () (not (process-live-p process)))) "the server stops")
    (session-check (and (eq 'exit (process-status process)) (equal 0 (process-exit-status process)))
                   "its exit status is 0"))
  (set-buffer-modified-p nil))

(condition-case fault
    (with-current-buffer (find-file-noselect (getenv "FORMULA"))
      (session))
  (error (session-check nil (substring (format "%S" fault) 0 (min 300 (length (format "%S" fault)))))))

;;; lsp-mode.el ends here
