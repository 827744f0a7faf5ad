//! What a page may load: files of its own site, and nothing that stands in the page itself. A word that slipped
//! through as markup could then run nothing, and ask nobody.

use crate::support::garden::Written;

const POLICY: &str = "<meta http-equiv=\"Content-Security-Policy\" content=\"";

#[test]
fn every_page_has_a_strict_policy_before_anything_that_is_loaded() {
    let site = Written::demo().site_and_problems().0;
    let mut pages = 0;
    for path in site.files.keys().filter(|path| path.ends_with(".html")) {
        let html = site.text(path);
        let at = html.find(POLICY).unwrap_or_else(|| panic!("{path} has no policy"));
        let rest = &html[at + POLICY.len()..];
        let policy = &rest[..rest.find('"').unwrap()];
        for part in
            ["default-src 'none'", "script-src 'self'", "base-uri 'none'", "form-action 'none'"]
        {
            assert!(policy.split("; ").any(|found| found == part), "{path}: {policy}");
        }
        assert!(!policy.contains("unsafe") && !policy.contains('*'), "{path}: {policy}");
        let first = ["<link", "<script", "<style"].iter().filter_map(|tag| html.find(tag)).min();
        assert!(first.is_none_or(|first| at < first), "{path}: something is loaded before it");
        assert_eq!(blocked(html), Vec::<&str>::new(), "{path}");
        pages += 1;
    }
    assert!(pages > 100, "{pages}");
}

/// Tags that the policy would block: scripts and styles that stand in the page.
fn blocked(html: &str) -> Vec<&str> {
    let tags = html.match_indices('<').map(|(at, _)| &html[at..at + html[at..].find('>').unwrap()]);
    let is_blocked = |tag: &&str| {
        let attributes = tag.split_once(char::is_whitespace).map_or("", |(_, rest)| rest);
        let is_handler = attributes.split('"').step_by(2).any(|name| {
            let name = name.trim().trim_end_matches('=');
            name == "style" || name.starts_with("on")
        });
        is_handler
            || tag.starts_with("<style")
            || (tag.starts_with("<script") && !tag.contains("src="))
    };
    tags.filter(is_blocked).collect()
}

/// The check can fail.
#[test]
fn what_stands_in_the_page_is_found() {
    let html = "<p class=\"one\"><p style=\"color: red\"><a onclick=\"x()\"><script>x</script>\
                <script src=\"x.js\"></script><style>p {}</style>";
    assert_eq!(blocked(html).len(), 4);
}
