//! What is chosen for the ring in hand from a list: the duty that its wanted
//! gap follows from, and the instrument that reads it.

use super::RingsView;
use crate::advise::rings::{FACTORS, GapRule, MIN_OIL, SCHOOLS, WhichRing};
use crate::app::command::Command;
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::DropDown;
use crate::project::Edit;
use crate::quantity::{Kind, Quantity, write};
use crate::reading::catalogue;
use crate::schema::WantedGap;
use egui::{Id, Rect, Sense, Ui, vec2};

const WIDE: f32 = 270.0;
const HEIGHT: f32 = 27.0;

/// A place for a list beside others.
fn place(ui: &mut Ui) -> Rect {
    let width = WIDE.min(0.5 * ui.max_rect().width() - 4.0);
    ui.allocate_exact_size(vec2(width, HEIGHT), Sense::hover()).0
}

/// One wanted gap that can be chosen: what is written, what it is, who says so.
struct Offer {
    words: String,
    wanted: WantedGap,
    source: String,
}

/// What builders ask of this ring.
fn offers(shown: &ViewContext<'_>, view: &RingsView) -> Vec<Offer> {
    let asked = &shown.session.rings().asked;
    let Some(which) = asked.which.get(view.ring).copied() else { return Vec::new() };
    let mut offers = Vec::new();
    let bore_mm = asked.bores.get(shown.cylinder).and_then(|bore| bore.mm);
    if let (WhichRing::Second, Some(top), Some(bore_mm)) = (which, asked.rings.first(), bore_mm) {
        for school in &SCHOOLS {
            if let GapRule::PerBore(factor) = school.wants(top.wanted, bore_mm) {
                offers.push(Offer {
                    words: format!("{}: bore × {factor:.4}", school.name),
                    wanted: WantedGap::PerBore(factor),
                    source: format!("{}, {}", school.name, school.source),
                });
            }
        }
    }
    for row in FACTORS.iter().filter(|row| row.ring == which && which != WhichRing::Oil) {
        offers.push(Offer {
            words: format!("{}: bore × {:.4}", row.duty, row.proposed),
            wanted: WantedGap::PerBore(row.proposed),
            source: format!("{}, {}", row.duty, row.source),
        });
    }
    for row in MIN_OIL.iter().filter(|_| which == WhichRing::Oil) {
        let Ok(gap) = Quantity::of(Kind::Length, row.mm) else { continue };
        let least = write(Kind::Length, row.mm, None, shown.units());
        offers.push(Offer {
            words: format!("{}: at least {least}", row.make),
            wanted: WantedGap::AtLeast(gap),
            source: format!("{}, {}", row.make, row.source),
        });
    }
    offers
}

/// The duty of the ring in hand; the maker's figure is typed instead.
pub(super) fn duty_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let Some(ring) = shown.project().rings.get(view.ring) else { return };
    let offers = offers(shown, view);
    let names: Vec<String> = offers.iter().map(|offer| offer.words.clone()).collect();
    let chosen = offers.iter().position(|offer| offer.wanted == ring.wanted && offer.source == ring.source);
    let choice = DropDown {
        id: Id::unique("duty of ring"),
        name: "Wanted gap by duty",
        shown: chosen.and_then(|i| names.get(i)).map_or("by duty …", String::as_str),
        options: &names,
        chosen,
        tooltip: "What builders use, to begin from; the maker's figure, typed in the line above, rules",
    };
    let rect = place(ui);
    if let Some(offer) = choice.show(ui, rect, shown.t).and_then(|i| offers.get(i)) {
        view.take(shown.project().wanted_gap_edit(view.ring, offer.wanted.clone(), &offer.source), out);
    }
}

/// With which instrument the gaps of the ring in hand are read.
pub(super) fn instrument_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut RingsView,
    out: &mut Vec<Command>,
) {
    let project = shown.project();
    let Some(ring) = project.rings.get(view.ring) else { return };
    let of_length = |kind: Kind| kind == Kind::Length;
    let mut known: Vec<_> =
        project.instruments.iter().filter(|i| of_length(i.step.kind())).cloned().collect();
    // Feeler leaves can be had without a way through the list of instruments.
    let offered = catalogue::tools().iter().find(|tool| tool.id == "feeler");
    let new =
        offered.filter(|tool| !known.iter().any(|i| i.id == tool.id)).and_then(catalogue::Tool::instrument);
    known.extend(new.clone());
    let told = |i: &crate::reading::Instrument| match &i.repeatability {
        Some(good) => format!("{}, ±{good}", i.name),
        None => i.name.clone(),
    };
    let names: Vec<String> = known.iter().map(told).collect();
    let id = ring.fitted.iter().find_map(|fitted| fitted.instrument.as_deref());
    let chosen = id.and_then(|id| known.iter().position(|i| i.id == id));
    let choice = DropDown {
        id: Id::unique("instrument of ring"),
        name: "Gaps read with",
        shown: chosen.and_then(|i| names.get(i)).map_or("read with …", String::as_str),
        options: &names,
        chosen,
        tooltip: "Its step and its ± make the doubt of the gap; without it none is told",
    };
    let rect = place(ui);
    let Some(picked) = choice.show(ui, rect, shown.t).and_then(|i| known.get(i)) else { return };
    view.fault = None;
    if new.as_ref() == Some(picked) {
        let all = project.instruments.iter().cloned().chain([picked.clone()]).collect();
        out.push(Command::Edit(Edit::SetInstruments(all), Some(shown.gesture)));
    }
    let edit = project.gap_instrument_edit(view.ring, Some(picked.id.clone()));
    out.extend(edit.map(|edit| Command::Edit(edit, Some(shown.gesture))));
}
