//! Underlet for JavaScript and browsers: text in, text out, no chemistry here.
