//! The way to a forecast and to the warnings: a point leads to a cell, and an office may move its cells.

use chrono::{DateTime, Utc};

use super::{Point, alerts, alerts_address, concerning, grid, point, point_address};
use crate::forecast::FrostWarning;
use crate::garden::Place;
use crate::weather::error::WeatherError;
use crate::weather::fetch::Fetcher;
use crate::weather::run::Run;

impl Fetcher {
    /// The run of a place's cell. A cell that is not found may have been moved: the point is asked anew, once.
    pub(in crate::weather) async fn nws(
        &self,
        url: &str,
        place: &Place,
        now: DateTime<Utc>,
    ) -> Result<Run, WeatherError> {
        let (point, asked_at) = self.nws_point(url, place, now).await?;
        let cell = point.grid_address(url);
        let outcome = self.ask(&cell, &grid(place), now).await;
        let is_gone = outcome.as_ref().is_err_and(is_not_found);
        if !is_gone || asked_at == now {
            return outcome;
        }
        let (point, _) = self.nws_point_anew(url, place, now).await?;
        let moved = point.grid_address(url);
        if moved == cell {
            return outcome;
        }
        self.ask(&moved, &grid(place), now).await
    }

    /// The warnings of frost and freeze that concern a place. Without its point, whose zones tell what concerns it, all
    /// that the service gives for it do.
    pub(in crate::weather) async fn nws_warnings(
        &self,
        url: &str,
        place: &Place,
        now: DateTime<Utc>,
    ) -> Result<Vec<FrostWarning>, WeatherError> {
        let point = self.nws_point(url, place, now).await;
        let point = point.map(|(point, _)| point).unwrap_or_default();
        let address = alerts_address(url, place);
        let alerts = self.ask(&address, &alerts(), now).await?;
        Ok(concerning(alerts, &point))
    }

    async fn nws_point(
        &self,
        url: &str,
        place: &Place,
        now: DateTime<Utc>,
    ) -> Result<(Point, DateTime<Utc>), WeatherError> {
        let address = point_address(url, place);
        self.ask_dated(&address, &point(place), now).await
    }

    async fn nws_point_anew(
        &self,
        url: &str,
        place: &Place,
        now: DateTime<Utc>,
    ) -> Result<(Point, DateTime<Utc>), WeatherError> {
        self.forget(&point_address(url, place), &point(place)).await;
        self.nws_point(url, place, now).await
    }
}

fn is_not_found(error: &WeatherError) -> bool {
    matches!(
        error,
        WeatherError::NotCovered { .. } | WeatherError::Refused { status: 404, .. }
    )
}
