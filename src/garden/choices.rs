//! What the owner chooses where published practices differ.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Hemisphere, Place};

/// The owner's choices; the defaults follow from the place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Choices {
    /// When old stems of perennials are cut.
    pub stem_bees: StemBees,
    /// How much of an old stem is left standing.
    pub stubble: Stubble,
    /// Where birds nest when.
    pub nest_region: NestRegion,
    /// What the nest season does to a cut.
    pub nests: Nests,
    /// Which advice on wounds of oak and elm holds.
    pub oak_region: OakRegion,
    /// When cherries and their kin are left alone.
    pub cherry: Cherry,
    /// When birches are left alone.
    pub birch: Birch,
    /// When kinds that drip sap are cut.
    pub bleeders: Bleeders,
    /// When old boxwood is cut hard.
    pub boxwood_hard_cut: BoxwoodHardCut,
    /// When an overgrown shrub that flowers on old wood is cut hard.
    pub overgrown_bloomers: OvergrownBloomers,
}

/// A published practice with its name in the garden file.
pub type Named<T> = (&'static str, T);

/// When old stems of perennials are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum StemBees {
    /// When the plants have started to grow (common practice, no source).
    UntilGrowth,
    /// In the first winter, when the stems of the year are still empty.
    FirstWinter,
    /// After five days in a row of 50 °F.
    WarmDays5,
    /// After seven.
    WarmDays7,
    /// After ten.
    WarmDays10,
    /// Never.
    LeaveAll,
}

/// How much of an old stem is left standing for bees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Stubble {
    /// 8 in.
    #[serde(rename = "8-in")]
    Low,
    /// 8 to 12 in.
    #[serde(rename = "8-to-12-in")]
    LowVaried,
    /// 8 to 24 in, at varied heights.
    #[serde(rename = "8-to-24-in")]
    Varied,
    /// 12 to 18 in.
    #[serde(rename = "12-to-18-in")]
    Tall,
    /// 15 in.
    #[serde(rename = "15-in")]
    TallEven,
    /// None.
    #[serde(rename = "none")]
    None,
}

/// Where birds nest when.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum NestRegion {
    /// March to August.
    UnitedKingdom,
    /// March to August.
    UnitedStates,
    /// 1 February to 15 August.
    SouthernCalifornia,
    /// March to September.
    Germany,
    /// March to August elsewhere in the north.
    OtherNorth,
    /// August to January.
    South,
}

/// What the nest season does to a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Nests {
    /// Search first, then cut.
    SearchFirst,
    /// Wait until the season is over.
    Hold,
}

/// Which advice on wounds of oak and elm holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum OakRegion {
    /// The strictest northern advice, April to November.
    NorthAmerica,
    /// April to November.
    Wisconsin,
    /// April to October.
    Minnesota,
    /// Whenever 50 °F is reached.
    Michigan,
    /// February to June.
    Texas,
    /// There is no oak wilt here.
    NoOakWilt,
}

/// When cherries and their kin are left alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cherry {
    /// In the wet cool months, for canker and silver leaf.
    DrySummer,
    /// From May to August, for the moth whose grubs live in the bark.
    NotMayToAugust,
}

/// When birches are left alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Birch {
    /// While the borer flies, May to August.
    OutsideBorerFlight,
    /// In late winter, while it drips.
    AfterFullLeaf,
}

/// When kinds that drip sap are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bleeders {
    /// At any time: the drip does no harm.
    AnyTime,
    /// Not between mid-winter and full leaf.
    AfterFullLeaf,
}

/// When old boxwood is cut hard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BoxwoodHardCut {
    /// In late winter, before growth.
    LateWinter,
    /// When the danger of frost is over.
    AfterLastFreeze,
    /// In May and June.
    LateSpring,
}

/// When an overgrown shrub that flowers on old wood is cut hard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum OvergrownBloomers {
    /// Right after bloom.
    AfterBloom,
    /// In late winter, at the price of two or three years with little bloom.
    LateWinter,
}

impl Choices {
    /// The defaults of a place.
    ///
    /// Boxes of latitude and longitude stand for regions (estimate): North America for oak wilt, the Pacific Northwest
    /// for the cherry bark moth.
    pub fn of(place: &Place) -> Self {
        let (north, east) = (place.latitude(), place.longitude());
        let inside = |latitudes: (f64, f64), longitudes: (f64, f64)| {
            (latitudes.0..latitudes.1).contains(&north)
                && (longitudes.0..longitudes.1).contains(&east)
        };
        let nest_region = match place.hemisphere() {
            Hemisphere::South => NestRegion::South,
            Hemisphere::North if inside((32.0, 35.0), (-121.0, -114.5)) => {
                NestRegion::SouthernCalifornia
            }
            Hemisphere::North if inside((24.5, 49.0), (-125.0, -66.9)) => NestRegion::UnitedStates,
            Hemisphere::North if inside((49.9, 61.0), (-8.2, 1.8)) => NestRegion::UnitedKingdom,
            Hemisphere::North => NestRegion::OtherNorth,
        };
        let oak_region = if inside((24.5, 55.0), (-130.0, -52.0)) {
            OakRegion::NorthAmerica
        } else {
            OakRegion::NoOakWilt
        };
        let cherry = if inside((42.0, 52.0), (-126.0, -116.0)) {
            Cherry::NotMayToAugust
        } else {
            Cherry::DrySummer
        };
        Self {
            stem_bees: StemBees::UntilGrowth,
            stubble: Stubble::Varied,
            nest_region,
            nests: Nests::SearchFirst,
            oak_region,
            cherry,
            birch: Birch::OutsideBorerFlight,
            bleeders: Bleeders::AnyTime,
            boxwood_hard_cut: BoxwoodHardCut::AfterLastFreeze,
            overgrown_bloomers: OvergrownBloomers::LateWinter,
        }
    }
}

impl StemBees {
    /// Every practice.
    pub const ALL: [Named<Self>; 6] = [
        ("until-growth", Self::UntilGrowth),
        ("first-winter", Self::FirstWinter),
        ("warm-days-5", Self::WarmDays5),
        ("warm-days-7", Self::WarmDays7),
        ("warm-days-10", Self::WarmDays10),
        ("leave-all", Self::LeaveAll),
    ];

    /// After how many days in a row of 50 °F stems are cut; none when it is not counted in warm days.
    pub const fn warm_days(self) -> Option<usize> {
        match self {
            Self::WarmDays5 => Some(5),
            Self::WarmDays7 => Some(7),
            Self::WarmDays10 => Some(10),
            Self::UntilGrowth | Self::FirstWinter | Self::LeaveAll => None,
        }
    }
}

impl Stubble {
    /// Every height.
    pub const ALL: [Named<Self>; 6] = [
        ("8-in", Self::Low),
        ("8-to-12-in", Self::LowVaried),
        ("8-to-24-in", Self::Varied),
        ("12-to-18-in", Self::Tall),
        ("15-in", Self::TallEven),
        ("none", Self::None),
    ];
}

impl NestRegion {
    /// Every region.
    pub const ALL: [Named<Self>; 6] = [
        ("united-kingdom", Self::UnitedKingdom),
        ("united-states", Self::UnitedStates),
        ("southern-california", Self::SouthernCalifornia),
        ("germany", Self::Germany),
        ("other-north", Self::OtherNorth),
        ("south", Self::South),
    ];
}

impl Nests {
    /// Both practices.
    pub const ALL: [Named<Self>; 2] = [("search-first", Self::SearchFirst), ("hold", Self::Hold)];
}

impl OakRegion {
    /// Every region.
    pub const ALL: [Named<Self>; 6] = [
        ("north-america", Self::NorthAmerica),
        ("wisconsin", Self::Wisconsin),
        ("minnesota", Self::Minnesota),
        ("michigan", Self::Michigan),
        ("texas", Self::Texas),
        ("no-oak-wilt", Self::NoOakWilt),
    ];
}

impl Cherry {
    /// Both practices.
    pub const ALL: [Named<Self>; 2] = [
        ("dry-summer", Self::DrySummer),
        ("not-may-to-august", Self::NotMayToAugust),
    ];
}

impl Birch {
    /// Both practices.
    pub const ALL: [Named<Self>; 2] = [
        ("outside-borer-flight", Self::OutsideBorerFlight),
        ("after-full-leaf", Self::AfterFullLeaf),
    ];
}

impl Bleeders {
    /// Both practices.
    pub const ALL: [Named<Self>; 2] = [
        ("any-time", Self::AnyTime),
        ("after-full-leaf", Self::AfterFullLeaf),
    ];
}

impl BoxwoodHardCut {
    /// Every practice.
    pub const ALL: [Named<Self>; 3] = [
        ("late-winter", Self::LateWinter),
        ("after-last-freeze", Self::AfterLastFreeze),
        ("late-spring", Self::LateSpring),
    ];
}

impl OvergrownBloomers {
    /// Both practices.
    pub const ALL: [Named<Self>; 2] = [
        ("after-bloom", Self::AfterBloom),
        ("late-winter", Self::LateWinter),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::Zone;

    fn at(latitude: f64, longitude: f64) -> Choices {
        let zone = Zone::named("Etc/UTC").unwrap();
        Choices::of(&Place::new(latitude, longitude, None, zone).unwrap())
    }

    #[test]
    fn the_place_decides_what_the_owner_did_not_choose() {
        // The Ohio valley, San Diego, Seattle, Kent, Lower Austria, Christchurch.
        let ohio = at(38.74, -85.38);
        assert_eq!(ohio.nest_region, NestRegion::UnitedStates);
        assert_eq!(
            (ohio.oak_region, ohio.cherry),
            (OakRegion::NorthAmerica, Cherry::DrySummer)
        );
        assert_eq!(at(32.7, -117.2).nest_region, NestRegion::SouthernCalifornia);
        assert_eq!(at(47.6, -122.3).cherry, Cherry::NotMayToAugust);
        assert_eq!(at(51.2, 0.7).nest_region, NestRegion::UnitedKingdom);
        let austria = at(48.2, 15.4);
        assert_eq!(austria.nest_region, NestRegion::OtherNorth);
        assert_eq!(austria.oak_region, OakRegion::NoOakWilt);
        assert_eq!(at(-43.5, 172.6).nest_region, NestRegion::South);
    }
}
