# Pages.

