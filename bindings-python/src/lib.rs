//! Underlet for Python: text in, text out, no chemistry here.
