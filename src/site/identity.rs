//! Names that last: the same thing gets the same UUID in every build, on every machine.
//!
//! There is no state between builds, so an identifier is computed from what the thing *is*
//! (version 5 of RFC 9562: SHA-1 over a name inside a namespace). It says nothing about the garden
//! to somebody who reads it, which RFC 7986 section 5.3 asks of a UID.

use uuid::{Uuid, uuid};

use crate::names::folded;
use crate::settings::Settings;

/// The project's own namespace: drawn at random once, never to be changed, because every phone
/// that subscribes to a feed would drop all its events and gain as many strangers.
const NAMESPACE: Uuid = uuid!("d1c286a5-a342-4bc9-a868-5dc4940f902d");

/// The UID of a calendar event: a UUID in lower-case hexadecimal, 36 characters.
///
/// `parts` say whose event it is, from the widest to the narrowest: garden, feed, job, day. Give
/// names in the form in which the garden compares them (NFC, case folded), or a respelling makes
/// a new event. No two different lists of parts are joined alike: `["a", "b c"]` is not `["a b", "c"]`.
pub fn event_uid(parts: &[&str]) -> String {
    name_based(parts).hyphenated().to_string()
}

/// What tells a garden from every other in such a name: its `garden-id`; without one its name, its position
/// as far as pages show it, so that nothing can be found out from a UID, and the address of its site.
pub(super) fn garden_parts(settings: &Settings) -> Vec<String> {
    if let Some(id) = &settings.garden_id {
        return vec![id.clone()];
    }
    let (latitude, longitude) = settings.position.shown();
    let address = settings.site_address.clone().unwrap_or_default();
    vec![folded(&settings.name), format!("{latitude} {longitude}"), address]
}

/// The `atom:id` of a feed or an entry: `urn:uuid:` and a UUID over `parts`, as for [`event_uid`].
///
/// An id must outlive a change of address (RFC 4287 section 4.2.6), therefore it holds none.
pub fn atom_id(parts: &[&str]) -> String {
    name_based(parts).urn().to_string()
}

/// Each part is written as `length:bytes,`, so that the list can be read back from the joined text.
fn name_based(parts: &[&str]) -> Uuid {
    let name: String = parts.iter().map(|part| format!("{}:{part},", part.len())).collect();
    Uuid::new_v5(&NAMESPACE, name.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// RFC 9562, appendix A.4: the name `www.example.com` in the DNS namespace.
    #[test]
    fn version_five_is_that_of_the_standard() {
        let worked = Uuid::new_v5(&Uuid::NAMESPACE_DNS, b"www.example.com");
        assert_eq!(worked.to_string(), "2ed6657d-e927-568b-95e1-2665a8aea6a2");
    }

    /// Computed with Python's `uuid.uuid5` over the same namespace and the parts joined by hand.
    #[test]
    fn agrees_with_another_implementation() {
        for (parts, expected) in [
            (&["harbour steps", "feed", "2026-06-03"][..], "1742b22e-7eb2-506e-a48a-a6f11fbf09dd"),
            (&["a", "b c"], "87c4eb44-1229-5916-965a-048566ca9026"),
            (&["a b", "c"], "c5f5c40c-00c3-5c55-b061-84f9089abc48"),
            (&["Gärtchen 茄", ""], "d2b0fb74-e475-5c6c-a15b-6d86d8612aaf"),
            (&[], "f283d6a6-17f6-50da-b647-40aa87734624"),
        ] {
            assert_eq!(event_uid(parts), expected);
            assert_eq!(atom_id(parts), format!("urn:uuid:{expected}"));
        }
    }

    proptest! {
        #[test]
        fn parts_that_differ_have_names_that_differ(
            one in proptest::collection::vec("[a:,0-3]{0,3}", 0..4),
            other in proptest::collection::vec("[a:,0-3]{0,3}", 0..4),
        ) {
            let uid = |parts: &[String]| event_uid(&parts.iter().map(String::as_str).collect::<Vec<_>>());
            prop_assert_eq!(one == other, uid(&one) == uid(&other));
        }
    }
}
