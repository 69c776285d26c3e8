;;; levigate-lsp.el --- levigate's language server for lsp-mode -*- lexical-binding: t; -*-

;; Package-Requires: ((emacs "26.3") (lsp-mode "8.0"))
;; Keywords: languages

;;; Commentary:

;; For those who use lsp-mode instead of eglot.  Put this file and levigate.el
;; into your `load-path' and
;;
;;     (require 'levigate-lsp)
;;     (add-hook 'levigate-mode-hook #'lsp)
;;
;; into your init file.

;;; Code:

(require 'levigate)
(require 'lsp-mode)

(add-to-list 'lsp-language-id-configuration '(levigate-mode . "levigate"))

(lsp-register-client
 (make-lsp-client :new-connection (lsp-stdio-connection (lambda () levigate-command))
                  :activation-fn (lsp-activate-on "levigate")
                  :server-id 'levigate))

(provide 'levigate-lsp)
;;; levigate-lsp.el ends here
