//! Words for what a kind bears of a hard cut.

use crate::garden::{BoxwoodHardCut, OvergrownBloomers};
use crate::rules::{BareWoodFacts, Bears};

pub(super) fn reason(facts: BareWoodFacts) -> String {
    let bears = match facts.bears {
        Bears::WholeAccepted => {
            "it bears to be cut down all at once, and you accept the risk that it sulks or dies: leave stubs of 3 to 12 in \
             (8 to 30 cm), the sources differ, and water it through the next summer"
        }
        Bears::WholeOrThirds => {
            "it is overgrown: a third of the oldest stems a year over three years is safe; all at once only if you accept \
             that it may die (mark it risk-accepted)"
        }
        Bears::ThirdsOnly => {
            "it comes back slowly from bare stems and may die if it is cut hard at once: a third a year over three years, \
             and its new shoots are thinned in the years after"
        }
        Bears::GreenOnly => {
            "no bud waits in its bare wood: leave green leaves or needles below every cut"
        }
        Bears::SingleStems => {
            "it is not cut to stubs: at most single old stems, back to where they start"
        }
    };
    let mut parts = vec![bears];
    parts.extend(facts.boxwood.map(boxwood));
    parts.extend(facts.overgrown_bloomer.map(bloomer));
    parts.join("; ")
}

const fn boxwood(time: BoxwoodHardCut) -> &'static str {
    match time {
        BoxwoodHardCut::LateWinter => {
            "sources differ on the time, late winter, after the frosts or May and June: you chose late winter"
        }
        BoxwoodHardCut::AfterLastFreeze => {
            "sources differ on the time, late winter, after the frosts or May and June: the odds of frost decide here"
        }
        BoxwoodHardCut::LateSpring => {
            "sources differ on the time, late winter, after the frosts or May and June: you chose May and June"
        }
    }
}

const fn bloomer(time: OvergrownBloomers) -> &'static str {
    match time {
        OvergrownBloomers::AfterBloom => {
            "you chose the weeks right after bloom, which keep most flowers; other sources cut in late winter, which is easier \
             on the plant"
        }
        OvergrownBloomers::LateWinter => {
            "cut hard in late winter it flowers poorly for two or three years; other sources cut right after bloom"
        }
    }
}
