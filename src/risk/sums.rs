//! The sums over one outlook that were asked for so far: whoever asks for the same again is told at once.

use std::sync::{Arc, Mutex, PoisonError};

use super::sum::FrostSum;
use crate::almanac::Tender;
use crate::garden::Spot;
use crate::outlook::Outlook;

/// The sums over one outlook, for all who look at it. One that is worked out is waited for and not worked out twice.
#[derive(Debug, Default)]
pub struct Sums(Mutex<Worked>);

/// What was worked out.
#[derive(Debug, Default)]
struct Worked {
    known: Vec<Known>,
    /// The running heat sums of the futures one after the other, counted when the futures are gone through once more.
    heat: Option<Vec<f64>>,
}

#[derive(Debug)]
struct Known {
    tender: Tender,
    spot: Spot,
    sum: Arc<FrostSum>,
}

impl Sums {
    /// The sum for a tender period in a spot.
    pub(super) fn of(&self, outlook: &Outlook, tender: &Tender, spot: &Spot) -> Arc<FrostSum> {
        self.prepare(outlook, [(tender, spot)]);
        let worked = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = worked.known.iter().find(|known| known.is_for(tender, spot));
        let sum = found.map(|known| Arc::clone(&known.sum));
        sum.unwrap_or_else(|| Arc::new(FrostSum::unknown()))
    }

    /// Works out those that are not known in one pass over the futures.
    pub(super) fn prepare<'t>(
        &self,
        outlook: &Outlook,
        cuts: impl IntoIterator<Item = (&'t Tender, &'t Spot)>,
    ) {
        let mut worked = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let Worked { known, heat } = &mut *worked;
        let mut asked: Vec<(Tender, Spot)> = Vec::new();
        for (tender, spot) in cuts {
            let is_known = known.iter().any(|known| known.is_for(tender, spot));
            let is_asked = || {
                let mut asked = asked.iter();
                asked.any(|(one, here)| is_same((one, here), (tender, spot)))
            };
            if !is_known && !is_asked() {
                asked.push((tender.clone(), spot.clone()));
            }
        }
        if asked.is_empty() {
            return;
        }
        if !known.is_empty() && heat.is_none() {
            *heat = Some(heat_of(outlook));
        }
        let sums = FrostSum::of_all(outlook, &asked, heat.as_deref());
        let sums = asked.into_iter().zip(sums);
        known.extend(sums.map(|((tender, spot), sum)| Known {
            tender,
            spot,
            sum: Arc::new(sum),
        }));
    }
}

/// The running heat sums of all futures.
fn heat_of(outlook: &Outlook) -> Vec<f64> {
    let mut heat = Vec::with_capacity(outlook.futures.len() * outlook.days());
    for future in outlook.futures.iter() {
        future.heat_into(&mut heat);
    }
    heat
}

impl Known {
    fn is_for(&self, tender: &Tender, spot: &Spot) -> bool {
        is_same((&self.tender, &self.spot), (tender, spot))
    }
}

/// Whether two cuts have the same risk.
fn is_same((one, here): (&Tender, &Spot), (other, there): (&Tender, &Spot)) -> bool {
    here.offset == there.offset && here.doubt == there.doubt && one == other
}
