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
journal-mail-unconfirmed = nobody knows whether the mail arrived: { $detail }
journal-store-restored = the store was restored: { $detail }

page-skip = Skip to the content
page-pages = Pages
page-board = Board
page-almanac = Almanac
the-board = The board
no-page = No such page
no-page-head = There is no such page
no-page-why = A cut or a garden that was taken out of the garden file has no page any more.
# Two links in a sentence: the board HAS ALL ...; the ALMANAC has the kinds.
no-page-has-all = has all that there are; the
no-page-almanac = almanac
no-page-has-kinds = has the kinds of plants.

# In place of what was asked for.
trouble-head = That cannot be shown
trouble-token = The page asks for its token: as the password, with any name.
trouble-method = This address is only to be read, or only to be sent to.
trouble-slow = What you asked took too long.
trouble-large = What you sent is too large.
trouble-host = The page is not served under this name. Its own names are added in the settings, below [web].
trouble-keys = Too many wrong links or tokens came from this address. Wait a minute.
trouble-fault = The program has a fault. Its log says more.
trouble-request = What you asked cannot be understood.

# The board.
board-title = What may be cut
board-no-garden = No garden is set up yet.
# A link in a sentence: the nearest decisions; THE GARDEN'S PAGE has all.
board-nearest = The { $shown } nearest decisions;
board-garden-page = the garden's page
board-has-all = has all.
watched-head = Cut lately, and watched

# A cut.
cut-stands-in = stands in: { $spot }
cut-leaves-nothing-tender = Frost is no reason to wait with this cut: it leaves nothing tender.
basis-head = What the numbers rest on
tell-head = Tell what you did or saw
heat-head = The season's heat and the plant's events
what-would-change = What would change it: { $change }.
how-head = How
history-head = What was said and done
history-nothing = Nothing yet.

# A garden.
strip-after-first-look = It is drawn after the first look at the weather.
cuts-head = The cuts, nearest decision first
calendar-head = In your calendar
calendar-link = The windows of this garden as a calendar
calendar-why = a calendar program that subscribes to it moves and cancels them as they change.
garden-page = The garden
garden-plan = Year plan
garden-journal = Journal
garden-pages = Pages of this garden
looked = Weather last looked at { $when }.
not-looked = The weather has not been looked at yet.
figures-of = Figures of { $source }
figures-title = Figures: { $title }
figures-summary = The figures of this picture

journal-title = Journal of { $garden }
journal-nothing = Nothing has happened yet.
journal-last = The last { $lines } lines.
