;;; eglot.el --- A session in Emacs -*- lexical-binding: t; -*-

;; Findings come and stand where they belong, follow the typing, a fix is made,
;; the text is tidied, and the server ends well.  Run by `run', which sets
;; LEVIGATE (the program) and FORMULA (the text).

;;; Code:

(require 'package)
(package-initialize)
(require 'eglot)
(require 'flymake)
(require 'levigate)

(defun session-check (good what)
  "Say WHAT, and leave with a failure unless GOOD."
  (princ (format "    %s: %s\n" (if good "ok" "WRONG") what))
  (unless good (kill-emacs 1)))

(defun session-wait (so)
  "Wait until the function SO is true; nil when it takes too long."
  (let ((deadline (+ (float-time) 20)) done)
    (while (and (not (setq done (funcall so))) (< (float-time) deadline))
      (accept-process-output nil 0.05)
      (when flymake-mode (flymake-start)))
    done))

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
      eglot-autoreconnect nil)

(defun session ()
  "The session."
  (session-check (eq major-mode 'levigate-mode) "the file is known by its name")
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
    (let ((before (buffer-string)))
      (eglot-format-buffer)
      (session-check (not (equal before (buffer-string))) "the text gets tidied")
      (setq before (buffer-string))
      (eglot-format-buffer)
      (session-check (equal before (buffer-string)) "the text stays tidy"))
    ;; Emacs kills the server right after `exit'; here it may end by itself.
    (advice-add 'jsonrpc-shutdown :before
                (lambda (&rest _)
                  (session-wait (lambda () (not (process-live-p process))))))
    (eglot-shutdown server)
    (session-check (and (not (process-live-p process)) (eq 'exit (process-status process)))
                   "the server stops")
    (session-check (equal 0 (process-exit-status process)) "its exit status is 0")
    (set-buffer-modified-p nil)))

(condition-case fault
    (with-current-buffer (find-file-noselect (getenv "FORMULA"))
      (session))
  (error (session-check nil (substring (format "%S" fault) 0 (min 300 (length (format "%S" fault)))))))

;;; eglot.el ends here
