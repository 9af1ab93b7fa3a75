//! The translation files, read once, and the look-up in them.

use std::borrow::Cow;
use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource};

use super::{Language, Locale};

pub use fluent_bundle::FluentValue as Value;

/// The files of a language, built in.
macro_rules! files {
    ($language:literal) => {
        [
            include_str!(concat!("../../config/words/", $language, "/answers.ftl")),
            include_str!(concat!("../../config/words/", $language, "/cuts.ftl")),
            include_str!(concat!("../../config/words/", $language, "/dates.ftl")),
            include_str!(concat!("../../config/words/", $language, "/events.ftl")),
            include_str!(concat!("../../config/words/", $language, "/kinds.ftl")),
            include_str!(concat!("../../config/words/", $language, "/letters.ftl")),
            include_str!(concat!("../../config/words/", $language, "/pages.ftl")),
            include_str!(concat!("../../config/words/", $language, "/pictures.ftl")),
            include_str!(concat!("../../config/words/", $language, "/plan.ftl")),
            include_str!(concat!("../../config/words/", $language, "/reasons.ftl")),
            include_str!(concat!("../../config/words/", $language, "/rows.ftl")),
            include_str!(concat!("../../config/words/", $language, "/sources.ftl")),
            include_str!(concat!("../../config/words/", $language, "/terminal.ftl")),
            include_str!(concat!("../../config/words/", $language, "/watch.ftl")),
        ]
    };
}

static ENGLISH: LazyLock<FluentBundle<FluentResource>> =
    LazyLock::new(|| bundle(Language::English, &files!("en")));

static GERMAN: LazyLock<FluentBundle<FluentResource>> =
    LazyLock::new(|| bundle(Language::German, &files!("de")));

impl Locale {
    /// The text of an id; the id itself where there is none, which a test forbids.
    pub(crate) fn text(self, id: &str, args: &[(&'static str, Value<'_>)]) -> String {
        let bundle: &FluentBundle<FluentResource> = match self.language {
            Language::English => &ENGLISH,
            Language::German => &GERMAN,
        };
        let pattern = bundle.get_message(id).and_then(|message| message.value());
        let Some(pattern) = pattern else {
            return id.to_owned();
        };
        let args: FluentArgs<'_> = args.iter().cloned().collect();
        // A fault leaves its mark in the text; tests look for such marks.
        let mut faults = Vec::new();
        bundle
            .format_pattern(pattern, Some(&args), &mut faults)
            .into_owned()
    }
}

/// What a language's files hold; a text that a file has twice, or has wrong, is missing, which a test forbids.
fn bundle(language: Language, files: &[&str]) -> FluentBundle<FluentResource> {
    let locales = language.tag().parse().into_iter().collect();
    let mut bundle = FluentBundle::new_concurrent(locales);
    // Words and values stand in one line of one direction: no marks about values, and a line that is broken in the file
    // is not broken in the text.
    bundle.set_use_isolating(false);
    bundle.set_transform(Some(on_one_line));
    for file in files {
        let resource = match FluentResource::try_new((*file).to_owned()) {
            Ok(resource) | Err((resource, _)) => resource,
        };
        bundle.add_resource_overriding(resource);
    }
    bundle
}

fn on_one_line(text: &str) -> Cow<'_, str> {
    if text.contains('\n') {
        Cow::Owned(text.replace('\n', " "))
    } else {
        Cow::Borrowed(text)
    }
}
