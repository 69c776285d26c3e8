;;; levigate.el --- Skin-care formulas checked while you write -*- lexical-binding: t; -*-

;; Package-Requires: ((emacs "26.3") (eglot "1.9"))
;; Keywords: languages

;;; Commentary:

;; A major mode for formula files and an entry for eglot, which starts
;; levigate's language server.  Put this file into your `load-path' and
;;
;;     (require 'levigate)
;;     (add-hook 'levigate-mode-hook #'eglot-ensure)
;;
;; into your init file.

;;; Code:

(defgroup levigate nil
  "Skin-care formulas."
  :group 'languages)

(defcustom levigate-command '("levigate" "serve")
  "The program that serves as language server, with its arguments."
  :type '(repeat string))

;;;###autoload
(define-derived-mode levigate-mode prog-mode "Levigate"
  "Major mode for levigate formulas."
  (setq-local comment-start "# ")
  (setq-local comment-start-skip "#+[ \t]*"))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.formula\\'" . levigate-mode))

(defvar eglot-server-programs)

(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs
               (cons 'levigate-mode (lambda (&rest _) levigate-command))))

(provide 'levigate)
;;; levigate.el ends here
