//! crowndeck: one cylinder of an engine, from the parts on the bench to the
//! section on the screen and the page in the binder.
//!
//! The modules are layers, called rooms; each uses only those below it:
//!
//! | room | what lives there |
//! | --- | --- |
//! | [`quantity`] | lengths, volumes and angles as people write them |
//! | [`engine`] | the list of dimensions and the geometry that follows from it |
//! | [`reading`] | what was measured, with which instrument, and its uncertainty |
//! | [`schema`] | what the user gives in addition to the engine: limits, stock, rings, duty |
//! | [`study`] | what follows: figures, curves, effects, uncertainty, limits, verdicts |
//! | [`advise`] | what to do: shims, gaskets, pairing, chambers, cuts, rings |
//! | [`project`] | the document: file, edits, history |
//! | [`lesson`] | lessons and the glossary: data, checked and played |
//! | [`drawing`] | shapes, line kinds, hatching, dimensions, the section |
//! | [`scene`] | from the document to what is drawn |
//! | [`render`] | a drawing onto a screen, a PDF page, an SVG file |
//! | [`report`] | what there is to say, a section a subject, for paper, terminal and window |
//! | [`sheet`] | the binder pages |
//! | [`app`] | the window |
//! | [`cli`] | the same answers without a window |
//!
//! In addition there are [`clock`], which the two topmost ask for the date, and
//! [`licences`], which they show.
//!
//! All geometry follows one convention: the crank centre is the origin, the
//! bore axis points up, lengths are millimetres, volumes are cubic
//! centimetres (cc) and angles are degrees unless a name says otherwise.

#[macro_use]
mod all;

pub mod advise;
pub mod app;
pub mod cli;
pub mod clock;
pub mod drawing;
pub mod engine;
pub mod lesson;
pub mod licences;
pub mod project;
pub mod quantity;
pub mod reading;
pub mod render;
pub mod report;
pub mod scene;
pub mod schema;
pub mod sheet;
pub mod study;

#[cfg(test)]
mod rooms;
