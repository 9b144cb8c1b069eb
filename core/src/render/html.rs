//! HTML from templates that are compiled in, so that a mistake in one of them is a compile error.
//! Askama escapes every text that a template writes.

use askama::Template;

/// Ends a page that could not be completed: nobody may weigh from half a plan that looks whole.
pub(crate) const INCOMPLETE: &str =
    "<p><strong>This page is incomplete: do not weigh from it.</strong></p>\n";

/// Renders a template. Writing to a `String` cannot fail, nor can the texts and numbers that the
/// templates write; should one of them ever do so, the page says that it is incomplete.
pub(crate) fn page(template: &impl Template) -> String {
    let mut page = String::new();
    let rendered = template.render_into(&mut page);
    // Askama drops the newline that ends a template.
    page.push_str(if rendered.is_ok() { "\n" } else { INCOMPLETE });
    page
}
