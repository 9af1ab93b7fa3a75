//! Past years from an archive: asked for in pieces, taken up again after a break, kept, and extended day by day.

use budward::climate::{Climate, DailyRecord};
use budward::daemon::{Progress, Reach};
use chrono::{NaiveDate, TimeDelta};
use std::sync::{Arc, Mutex};

use super::home::{Home, PATH, mild};
use super::paused::paused;
use super::services::{Product, archive_of};
use super::stand_in::{Answer, StandIn, whole};

/// The span of days that a target asks for.
fn span(target: &str) -> (NaiveDate, NaiveDate) {
    let day = |key: &str| {
        let after = target.split_once(key).unwrap().1;
        after.get(..10).unwrap().parse().unwrap()
    };
    (day("start_date="), day("end_date="))
}

/// The days that are asked for, and no others.
fn as_asked(target: &str) -> Vec<u8> {
    let (first, last) = span(target);
    archive_of(first, last).to_string().into_bytes()
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

struct Archive {
    peer: StandIn,
    home: Home,
    shown: Arc<Mutex<Vec<(usize, usize)>>>,
}

impl Archive {
    async fn new(years: u32) -> Self {
        Self::of(&["quarry"], years).await
    }

    async fn of(gardens: &[&str], years: u32) -> Self {
        let peer = StandIn::start(Vec::new()).await;
        let table = Product::Archive.table(&peer.url, &peer.url);
        let table = table.replace("years = 10", &format!("years = {years}"));
        let gardens: Vec<_> = gardens.iter().map(|name| (*name, table.clone())).collect();
        let mut home = Home::patient(&gardens, "30 5,14 * * *");
        let shown = Arc::<Mutex<Vec<_>>>::default();
        let show = Arc::clone(&shown);
        home.house.progress = Progress::of(move |done, of| show.lock().unwrap().push((done, of)));
        Self { peer, home, shown }
    }

    /// What a look gets of past years.
    async fn gathered(&self) -> Option<DailyRecord> {
        self.gathered_for(0).await
    }

    async fn gathered_for(&self, garden: usize) -> Option<DailyRecord> {
        self.peer.say(PATH, mild(self.home.now()));
        let garden = &self.home.house.gardens()[garden];
        let now = self.home.now();
        let weather = self.home.house.gather(garden, now, Reach::Everywhere).await;
        weather.unwrap().record().cloned()
    }

    /// The spans that were asked for.
    fn spans(&self) -> Vec<(NaiveDate, NaiveDate)> {
        let targets = self.peer.targets().into_iter();
        targets
            .filter(|target| target.starts_with("/v1/archive"))
            .map(|target| span(&target))
            .collect()
    }
}

#[test]
fn thirty_years_come_in_six_pieces_which_are_shown() {
    paused(async {
        let archive = Archive::new(30).await;
        archive.peer.say("/v1/archive", Answer::Made(as_asked));
        let record = archive.gathered().await.unwrap();
        assert_eq!(record.first(), day("1996-06-15"));
        assert_eq!(record.last(), day("2026-06-09"));
        assert_eq!(
            record.days().filter(|(_, day)| day.min.is_none()).count(),
            0
        );
        let spans = archive.spans();
        assert_eq!(spans.len(), 6);
        assert_eq!(spans[0], (day("2021-06-10"), day("2026-06-09")));
        let times = archive.peer.times("/v1/archive");
        for two in times.windows(2) {
            assert!(
                (two[1] - two[0]).as_secs_f64() >= 2.0,
                "one after the other in peace"
            );
        }
        let shown = archive.shown.lock().unwrap().clone();
        assert_eq!(shown.first(), Some(&(0, 6)));
        assert_eq!(shown.last(), Some(&(6, 6)));
        // The point of the grid, seen from the garden.
        let climate = Climate::of(&record).unwrap();
        let place = &archive.home.house.gardens()[0].garden.place;
        let site = climate.site.unwrap().from(place);
        // By the cosine rule in Python: 15.618 km.
        assert!(
            (site.distance.0 - 15_618.0).abs() < 1.0,
            "{:?}",
            site.distance
        );
        assert!((site.above.unwrap().0 - 14.0).abs() < 1e-9);
    });
}

#[test]
fn what_was_broken_off_is_taken_up_where_it_stopped() {
    fn recent_only(target: &str) -> Vec<u8> {
        if span(target).0 < "2012-01-01".parse().unwrap() {
            return b"{\"latitude\":40.5,\"dai".to_vec();
        }
        as_asked(target)
    }
    paused(async {
        let archive = Archive::new(30).await;
        archive.peer.say("/v1/archive", Answer::Made(recent_only));
        let record = archive.gathered().await.unwrap();
        // Two pieces came, the third breaks off, three times.
        assert_eq!(record.first(), day("2016-06-10"));
        assert_eq!(archive.spans().len(), 2 + 3);
        // It is worth another look soon, and that one asks for what is left alone.
        let again = archive.home.house.silence.again_at("quarry").unwrap();
        assert!(again - archive.home.now() < TimeDelta::minutes(14));
        archive.home.pass(TimeDelta::minutes(15));
        archive.peer.say("/v1/archive", Answer::Made(as_asked));
        let record = archive.gathered().await.unwrap();
        assert_eq!(record.first(), day("1996-06-15"));
        let spans = archive.spans();
        assert_eq!(spans[5], (day("2011-06-10"), day("2016-06-09")));
        assert_eq!(spans.len(), 5 + 4);
    });
}

#[test]
fn a_record_is_kept_and_extended_once_a_day() {
    paused(async {
        let archive = Archive::new(10).await;
        archive.peer.say("/v1/archive", Answer::Made(as_asked));
        archive.gathered().await.unwrap();
        assert_eq!(archive.spans().len(), 2);
        // The same day: nothing to ask.
        archive.home.pass(TimeDelta::hours(9));
        archive.gathered().await.unwrap();
        assert_eq!(archive.spans().len(), 2);
        archive.home.pass(TimeDelta::hours(24));
        let record = archive.gathered().await.unwrap();
        // The last three months once more, since the archive's last days are preliminary.
        assert_eq!(archive.spans()[2], (day("2026-03-11"), day("2026-06-11")));
        assert_eq!(record.last(), day("2026-06-11"));
        assert_eq!(record.first(), day("2016-06-17"));
        // A service that is gone takes nothing away.
        archive.peer.say("/v1/archive", whole("410 Gone", &[], b""));
        archive.home.pass(TimeDelta::hours(24));
        let record = archive.gathered().await.unwrap();
        assert_eq!(record.last(), day("2026-06-11"));
    });
}

#[test]
fn gardens_of_one_place_ask_for_its_past_years_once() {
    paused(async {
        let archive = Archive::of(&["quarry", "abbey"], 10).await;
        archive.peer.say("/v1/archive", Answer::Made(as_asked));
        let (one, other) = tokio::join!(archive.gathered_for(0), archive.gathered_for(1));
        assert!(one.is_some());
        assert_eq!(one, other);
        assert_eq!(archive.spans().len(), 2, "the pieces of one record");
    });
}
