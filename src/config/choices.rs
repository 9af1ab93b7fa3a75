//! `[garden.choices]`: what the owner chooses where published practices differ.

use super::check::{Checker, Given};
use super::faults::Checked;
use super::raw::RawChoices;
use crate::garden::{
    Birch, Bleeders, BoxwoodHardCut, Cherry, Choices, Named, NestRegion, Nests, OakRegion,
    OvergrownBloomers, Place, StemBees, Stubble,
};

impl Checker<'_> {
    /// The choices of a garden; what is not chosen follows from its place.
    pub(super) fn choices(
        &mut self,
        raw: Given<'_, RawChoices>,
        place: &Place,
    ) -> Checked<Choices> {
        let usual = Choices::of(place);
        raw.map_or(Ok(usual), |raw| self.all_chosen(raw.get_ref(), usual))
    }

    fn all_chosen(&mut self, raw: &RawChoices, usual: Choices) -> Checked<Choices> {
        let stem_bees = self.chosen(
            "stem_bees",
            raw.stem_bees.as_ref(),
            &StemBees::ALL,
            usual.stem_bees,
        );
        let stubble = self.chosen(
            "stubble",
            raw.stubble.as_ref(),
            &Stubble::ALL,
            usual.stubble,
        );
        let nest_region = self.chosen(
            "nest_region",
            raw.nest_region.as_ref(),
            &NestRegion::ALL,
            usual.nest_region,
        );
        let nests = self.chosen("nests", raw.nests.as_ref(), &Nests::ALL, usual.nests);
        let oak_region = self.chosen(
            "oak_region",
            raw.oak_region.as_ref(),
            &OakRegion::ALL,
            usual.oak_region,
        );
        let cherry = self.chosen("cherry", raw.cherry.as_ref(), &Cherry::ALL, usual.cherry);
        let birch = self.chosen("birch", raw.birch.as_ref(), &Birch::ALL, usual.birch);
        let bleeders = self.chosen(
            "bleeders",
            raw.bleeders.as_ref(),
            &Bleeders::ALL,
            usual.bleeders,
        );
        let boxwood_hard_cut = self.chosen(
            "boxwood_hard_cut",
            raw.boxwood_hard_cut.as_ref(),
            &BoxwoodHardCut::ALL,
            usual.boxwood_hard_cut,
        );
        let overgrown_bloomers = self.chosen(
            "overgrown_bloomers",
            raw.overgrown_bloomers.as_ref(),
            &OvergrownBloomers::ALL,
            usual.overgrown_bloomers,
        );
        Ok(Choices {
            stem_bees: stem_bees?,
            stubble: stubble?,
            nest_region: nest_region?,
            nests: nests?,
            oak_region: oak_region?,
            cherry: cherry?,
            birch: birch?,
            bleeders: bleeders?,
            boxwood_hard_cut: boxwood_hard_cut?,
            overgrown_bloomers: overgrown_bloomers?,
        })
    }

    fn chosen<T: Copy>(
        &mut self,
        key: &'static str,
        value: Given<'_, String>,
        options: &[Named<T>],
        usual: T,
    ) -> Checked<T> {
        match value {
            Some(value) => self.choice((key, value), options),
            None => Ok(usual),
        }
    }
}
