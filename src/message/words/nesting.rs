//! Words for birds on their nests.

use chrono::NaiveDate;

use crate::garden::NestRegion;
use crate::locale::Locale;
use crate::rules::NestingFacts;

pub(super) fn reason(facts: &NestingFacts, today: NaiveDate, locale: Locale) -> String {
    let end = locale.date(facts.season.to, today);
    if facts.holds {
        return match facts.region {
            NestRegion::Germany => format!(
                "birds nest until {end}, and until then the law forbids to cut hedges hard: the local authority knows its \
                 exceptions"
            ),
            NestRegion::UnitedKingdom
            | NestRegion::UnitedStates
            | NestRegion::SouthernCalifornia
            | NestRegion::OtherNorth
            | NestRegion::South => format!("birds nest until {end}, and you chose to wait"),
        };
    }
    format!(
        "birds nest until about {end}: search the plant first, and leave it if a nest is in use, which the law protects \
         almost everywhere; sources differ on the season, so check the local law"
    )
}
