;;; session.el --- What the sessions in Emacs share -*- lexical-binding: t; -*-

;; Loaded by `eglot.el' and `lsp-mode.el', each of which knows one client.

;;; Code:

(require 'package)
(package-initialize)

(defvar session-nudge #'ignore
  "Called over and over while something is waited for.")

(defun session-check (good what)
  "Say WHAT, and leave with a failure unless GOOD."
  (princ (format "    %s: %s\n" (if good "ok" "WRONG") what))
  (unless good (kill-emacs 1)))

(defun session-wait (so)
  "Wait until the function SO is true; nil when it takes too long."
  (let ((deadline (+ (float-time) 20)) done)
    (while (and (not (setq done (funcall so))) (< (float-time) deadline))
      (accept-process-output nil 0.05)
      (funcall session-nudge))
    done))

(defun session-tidy (format-buffer)
  "Tidy the text with FORMAT-BUFFER, twice: the second time changes nothing."
  (let ((before (buffer-string)))
    (funcall format-buffer)
    (session-check (not (equal before (buffer-string))) "the text gets tidied")
    (setq before (buffer-string))
    (funcall format-buffer)
    (session-check (equal before (buffer-string)) "the text stays tidy")))

(defun session-let-end (killer process)
  "Let PROCESS end by itself before KILLER is called.
Emacs kills a server right after `exit'."
  (advice-add killer :before
              (lambda (&rest _)
                (session-wait (lambda () (not (process-live-p process)))))))

(defun session-ended (process)
  "Check that PROCESS has ended, and well."
  (session-check (session-wait (lambda () (not (process-live-p process)))) "the server stops")
  (session-check (and (eq 'exit (process-status process)) (equal 0 (process-exit-status process)))
                 "its exit status is 0"))

(defun session-run (session)
  "Call SESSION in the buffer of the text; an error of Lisp fails it, too."
  (condition-case fault
      (with-current-buffer (find-file-noselect (getenv "FORMULA"))
        (session-check (eq major-mode 'levigate-mode) "the file is known by its name")
        (funcall session)
        (set-buffer-modified-p nil))
    (error
     (let ((said (format "%S" fault)))
       (session-check nil (substring said 0 (min 300 (length said))))))))

;;; session.el ends here
