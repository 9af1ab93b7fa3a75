# Pages.


# The journal.
journal-verdict = verdict: { $change }
journal-change = { $from } to { $to }
journal-now-go = told to go: { $detail }
journal-put-off = told to put off: { $detail }
journal-closing = told of the end: { $detail }
journal-cover-tonight = told to cover: { $detail }
journal-frost-seen = told of frost: { $detail }
journal-below-now = told of cold at the thermometer: { $detail }
journal-weather-lost = told that the weather is lost: { $detail }
journal-weather-back = told that the weather is back: { $detail }
journal-done = done on { $day }
journal-done-undone = taken back: done on { $day }
journal-not-this-year = not this year, told on { $day }
journal-later = to be told later, on { $day }
journal-frost-damage = frost damage seen on { $day }
journal-no-letters = no more letters wanted, told on { $day }
journal-seen = seen: { $event }
journal-seen-undone = taken back: seen { $event }
journal-mail-sent = the mail was taken by the mail server
journal-mail-deferred = the mail waits: { $detail }
journal-mail-given-up = the mail was given up: { $detail }
journal-mail-replaced = a mail that waited was replaced by a newer one: { $detail }
journal-mail-unconfirmed = the mail may have gone out twice: { $detail }
