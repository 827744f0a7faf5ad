//! `sitemap.xml` (protocol 0.9 of sitemaps.org): bytes from a view.

use crate::render::uri::below;
use crate::render::xml::XmlFile;
use crate::site::sitemap::SitemapView;

/// The file, or `None` if there is nothing to list: no page, or a site address that is not a clean
/// `http` or `https` one. The protocol allows only absolute addresses, and at least one.
pub fn bytes(map: &SitemapView) -> Option<Vec<u8>> {
    let mut file = XmlFile::begin();
    file.open("urlset", &[("xmlns", "http://www.sitemaps.org/schemas/sitemap/0.9")]);
    if map.pages().is_empty() {
        return None;
    }
    for page in map.pages() {
        file.open("url", &[]);
        file.text("loc", &[], &below(&map.site, &page.path)?);
        if let Some(day) = page.changed {
            file.text("lastmod", &[], &day.format("%Y-%m-%d").to_string());
        }
        file.close("url");
    }
    file.close("urlset");
    Some(file.end())
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::*;
    use crate::site::sitemap::SitemapPage;

    fn page(path: &str, day: Option<u32>) -> SitemapPage {
        let changed = day.and_then(|day| NaiveDate::from_ymd_opt(2026, 5, day));
        SitemapPage { path: path.into(), changed }
    }

    #[test]
    fn pages_are_listed_once_and_in_order() {
        let pages =
            vec![page("crops/?a&b", None), page("", Some(3)), page("", Some(9)), page("", None)];
        let map = SitemapView::new("https://example.org/steps".into(), pages);
        let text = String::from_utf8(bytes(&map).unwrap()).unwrap();
        insta::assert_snapshot!(text, @r#"
        <?xml version="1.0" encoding="utf-8"?>
        <urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">
          <url>
            <loc>https://example.org/steps/</loc>
            <lastmod>2026-05-09</lastmod>
          </url>
          <url>
            <loc>https://example.org/steps/crops/?a&amp;b</loc>
          </url>
        </urlset>
        "#);
    }

    #[test]
    fn no_more_pages_than_the_protocol_allows() {
        let pages = (0..50_001).map(|n| page(&format!("{n:05}/"), None)).collect();
        let text = String::from_utf8(
            bytes(&SitemapView::new("https://example.org/".into(), pages)).unwrap(),
        )
        .unwrap();
        assert_eq!(text.matches("<loc>").count(), 50_000);
        assert!(text.contains("/49999/") && !text.contains("/50000/"));
    }

    #[test]
    fn nothing_to_list_is_no_file() {
        let nowhere = SitemapView::new("steps/".into(), vec![page("", None)]);
        assert_eq!(bytes(&nowhere), None);
        let blank = SitemapView::new("https://example.org/steps/".into(), vec![]);
        assert_eq!(bytes(&blank), None);
    }
}
