//! One drawing onto a screen, a PDF page or an SVG file.
