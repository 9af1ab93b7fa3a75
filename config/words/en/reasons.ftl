# What a finding says.

# Sap.
sap-drips-until =
    its cuts drip until about { $end }, which looks bad and does no harm; sources differ on waiting for full leaf or for
    leaf fall
sap-drips-wait = its cuts drip now, and you chose to wait for full leaf
sap-bleeds = its cuts drip in late winter
sap-irritant = its sap hurts skin and eyes: gloves, long sleeves, eye cover, and wash with cold water and soap
sap-poisonous-eaten =
    it is poisonous when eaten: gather up every clipping, away from children, pets and livestock
sap-poisonous-smoke = its smoke is poisonous: never burn the clippings

# How much may go in a year.
pacing-thin-after =
    it was cut hard { $day }: thin the new shoots to the strongest, so that light and air reach the inside
pacing-taken =
    { $share } of 100 parts of its growth are gone this season, and { $most } may go: at most { $left } more
pacing-full = { $share } of 100 parts of its growth are gone this season, and no more than { $most } may go
renewal-part = year { $year } of { $of }
renewal-done = done in { $year }
renewal-last = year { $year } of { $of }: take the last of the old stems to the ground or to a strong side shoot
renewal-third =
    year { $year } of { $of }: take a third of the oldest stems to the ground or to a strong side shoot, and leave the
    rest for the next years
renewal-last-done = the last of { $of } thirds was cut { $day }: let it rest, and only thin the new shoots
renewal-third-done = year { $year } of { $of } was cut { $day }: the next third is next year's

# Official warnings.
warned = { $warnings }: wait until it has passed
warning = { $event }, { $from } to { $until }
warning-by = { $event } by { $sender }, { $from } to { $until }

# Severe cold.
cold-frozen =
    it does not thaw today ({ $max } at the most): frozen wood and leaves shatter under the blade
cold-two-days = and a wound takes most harm in its first two days
cold-two-weeks = and a hard cut takes two weeks to harden
cold-severe = severe cold, { $lowest }, is due { $day }, { $why }
cold-sudden = a sudden fall from { $from } to { $to } is due by { $day }, { $why }
