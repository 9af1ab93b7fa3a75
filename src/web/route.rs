//! Routes, each with what describes it.
//!
//! In: an address and what answers there. Out: [`Route`]s, of which both the server and its description are made, so that
//! neither has one that the other lacks. Does not answer anything itself.

use axum::routing::MethodRouter;

/// Who reads what a route gives, and so how its faults are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reader {
    /// People: a page, unless they ask for JSON.
    Person,
    /// Programs: problem details.
    Machine,
}

/// Whom a route answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Access {
    /// Everybody.
    Open,
    /// Whoever shows the token of the page, where one is set.
    Owner,
    /// Whoever has a key of the route's own.
    Key,
}

/// What a reply or a body that is sent looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    /// Text.
    Text,
    /// JSON of a standard's form.
    Object,
    /// JSON, as the schema of that name has it.
    Named(&'static str),
}

/// A body by its media type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Body {
    /// The media type, with its charset where it has one.
    pub(super) media: &'static str,
    /// What it looks like.
    pub(super) shape: Shape,
}

/// What may be asked of a route by one method.
#[derive(Debug, Clone, Copy)]
pub(super) struct Operation {
    /// The method, in small letters.
    pub(super) method: &'static str,
    /// Its name in the description.
    pub(super) id: &'static str,
    /// What it is for.
    pub(super) summary: &'static str,
    /// Names and meanings of what stands behind the question mark.
    pub(super) query: &'static [(&'static str, &'static str)],
    /// The bodies that are taken, one of them.
    pub(super) takes: &'static [Body],
    /// What comes back when all is well.
    pub(super) gives: Body,
    /// Whether that has a tag, by which it need not be sent again.
    pub(super) is_tagged: bool,
    /// How it can fail, beside what can befall every request.
    pub(super) fails: &'static [u16],
}

impl Operation {
    /// Something to read, with a tag.
    pub(super) const fn read(id: &'static str, summary: &'static str, gives: Body) -> Self {
        Self {
            method: "get",
            id,
            summary,
            query: &[],
            takes: &[],
            gives,
            is_tagged: true,
            fails: &[],
        }
    }

    /// The same, which can fail so.
    pub(super) const fn failing(self, fails: &'static [u16]) -> Self {
        Self { fails, ..self }
    }

    /// The same without a tag: nobody keeps a copy.
    pub(super) const fn untagged(self) -> Self {
        Self {
            is_tagged: false,
            ..self
        }
    }

    /// Something to do, with a body.
    pub(super) const fn posting(self, takes: &'static [Body]) -> Self {
        Self {
            method: "post",
            takes,
            ..self.untagged()
        }
    }
}

/// An address, what answers there, and what describes it.
#[derive(Debug)]
pub(super) struct Route {
    /// The address, with the names of its variable parts in braces.
    pub(super) path: &'static str,
    /// Who reads it.
    pub(super) reader: Reader,
    /// Whom it answers.
    pub(super) access: Access,
    /// What may be asked.
    pub(super) operations: Vec<Operation>,
    /// What answers.
    pub(super) handler: MethodRouter,
}
