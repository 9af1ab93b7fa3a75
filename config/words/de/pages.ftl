# Seiten.


# Das Tagebuch.
journal-verdict = Urteil: { $change }
journal-change = { $from } zu { $to }
journal-now-go = Freigabe gemeldet: { $detail }
journal-put-off = Aufschub gemeldet: { $detail }
journal-closing = Ende gemeldet: { $detail }
journal-cover-tonight = Abdecken gemeldet: { $detail }
journal-frost-seen = Frost gemeldet: { $detail }
journal-below-now = Kälte am Thermometer gemeldet: { $detail }
journal-weather-lost = gemeldet, dass kein Wetter mehr kommt: { $detail }
journal-weather-back = gemeldet, dass wieder Wetter kommt: { $detail }
journal-done = erledigt am { $day }
journal-done-undone = zurückgenommen: erledigt am { $day }
journal-not-this-year = dieses Jahr nicht, gesagt am { $day }
journal-later = später erinnern, gesagt am { $day }
journal-frost-damage = Frostschaden gesehen am { $day }
journal-no-letters = keine Briefe mehr gewünscht, gesagt am { $day }
journal-seen = beobachtet: { $event }
journal-seen-undone = zurückgenommen: beobachtet { $event }
journal-mail-sent = der Mailserver hat den Brief angenommen
journal-mail-deferred = der Brief wartet: { $detail }
journal-mail-given-up = der Brief wurde aufgegeben: { $detail }
journal-mail-replaced = ein wartender Brief wurde durch einen neueren ersetzt: { $detail }
journal-mail-unconfirmed = der Brief ging vielleicht zweimal hinaus: { $detail }
