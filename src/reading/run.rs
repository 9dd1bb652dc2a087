//! Runs of readings: the same thing, with the same instrument, the parts held
//! in the same way, with the same shim; their mean and its uncertainty.

use super::component::{ComponentError, Origin, Shape, Shared, UncertaintyComponent};
use super::record::{DeckPlace, State, Subject};
use super::scale::Scale;
use super::stats::{Sum, count, mean, squares, standard_deviation};

/// Largest error of the position of a barrel that is only held by hand, mm,
/// either way from clamped: it floats on its seal (common practice).
pub(super) const NOT_CLAMPED_MM: f64 = 0.05;

/// Largest error of a deck read at one edge, mm, while the rock of the piston
/// is not known (common practice: 0.03 to 0.15).
pub(super) const ONE_EDGE_MM: f64 = 0.15;

/// Largest distance from the pin axis of a reading "on the pin axis", as a part
/// of the distance to the edge: what the rock at the edge does to it, it does
/// there in this proportion (common practice; 4 mm on a bore of 80 mm).
pub(super) const BESIDE_PIN_AXIS: f64 = 0.1;

/// The values of one place that count.
#[derive(Clone, Debug)]
pub(super) struct AtPlace {
    pub place: Option<DeckPlace>,
    pub values: Vec<f64>,
}

/// Readings that belong together.
#[derive(Clone, Debug)]
pub(super) struct Run {
    pub scale: Scale,
    pub state: Option<State>,
    /// All base shims together, mm, where that was noted.
    pub shim: Option<f64>,
    pub places: Vec<AtPlace>,
}

/// Returns whether a subject is read above a piston that can rock, under a
/// barrel that can float.
pub(super) fn above_piston(of: &Subject) -> bool {
    matches!(of, Subject::Deck | Subject::Squish)
}

/// Returns whether the parts were held in a way that leaves the barrel
/// floating.
pub(super) fn floats(state: Option<State>) -> bool {
    matches!(state, Some(State::HeldByHand | State::Loose))
}

/// The direction of a place across the piston.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Axis {
    /// Along the pin, where rock has no effect.
    Pin,
    /// At the edge that rocks up or down.
    Edge,
}

pub(super) fn axis(place: Option<&DeckPlace>) -> Axis {
    match place {
        Some(DeckPlace::Thrust | DeckPlace::Antithrust | DeckPlace::ThrustAxis) => Axis::Edge,
        _ => Axis::Pin,
    }
}

/// A mean with its uncertainty components.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mean {
    pub value: f64,
    pub doubts: Vec<UncertaintyComponent>,
}

/// Returns the places that the mean of a run is taken from: on the pin axis
/// where there is one above a piston, else all.
pub(super) fn counted<'a>(of: &Subject, run: &'a Run) -> Vec<&'a AtPlace> {
    let filled: Vec<&AtPlace> = run.places.iter().filter(|p| !p.values.is_empty()).collect();
    if above_piston(of) {
        let on_pin: Vec<&AtPlace> =
            filled.iter().copied().filter(|p| axis(p.place.as_ref()) == Axis::Pin).collect();
        if !on_pin.is_empty() {
            return on_pin;
        }
    }
    filled
}

/// Returns whether the run has only one edge of the piston to go by.
pub(super) fn one_edge(of: &Subject, places: &[&AtPlace]) -> bool {
    let sides: usize = places
        .iter()
        .map(|p| match p.place {
            Some(DeckPlace::ThrustAxis) => p.values.len().min(2),
            _ => 1,
        })
        .sum();
    above_piston(of) && sides == 1 && places.iter().all(|p| axis(p.place.as_ref()) == Axis::Edge)
}

/// Returns the mean of a run with its uncertainty; `None` where no value
/// counts. `rock` is the rock of the edge of the piston either way, mm, where
/// it was read.
///
/// The mean is that of the means of its places, so that a place read often does
/// not outweigh the others. Its uncertainty components, each named by its
/// [`Origin`]:
///
/// - scatter (type A, JCGM 100, 4.2): the standard deviation pooled over the
///   places (4.2.4), s² = Σ(x − x̄ₚ)²/Σ(nₚ − 1), which gives the mean of P
///   places s·√(Σ 1/nₚ)/P with ν = Σ(nₚ − 1);
/// - where no place has two values there is no type A: the instrument's ±, read
///   as a rectangle, takes its place; without one, the scatter between places;
/// - the step of the scale, a rectangle of half a step (4.3.7);
/// - the instrument's ± once more, as a rectangle, for what repeating does
///   not show: its zero, the set-up, the feel of the hand. It is the same in
///   all readings of one thing with it, and marked so (common practice);
/// - above a piston, a barrel that floats and a piston that rocks.
pub(super) fn mean_of(of: &Subject, run: &Run, rock: Option<f64>) -> Result<Option<Mean>, ComponentError> {
    let places = counted(of, run);
    let means: Vec<f64> = places.iter().filter_map(|p| mean(&p.values)).collect();
    let Some(value) = mean(&means) else { return Ok(None) };
    let mut doubts = Vec::new();
    let n_places = count(places.len());
    let inverse: f64 = places.iter().map(|p| 1.0 / count(p.values.len())).sum();
    let spread_of_mean = inverse.sqrt() / n_places;
    let dof: usize = places.iter().map(|p| p.values.len() - 1).sum();
    if dof > 0 {
        let all: Sum = places.iter().filter_map(|p| squares(&p.values)).collect();
        let s = (all.value() / count(dof)).sqrt();
        doubts.push(UncertaintyComponent::new(
            Origin::Scatter,
            Shape::Normal,
            s * spread_of_mean,
            count(dof),
        )?);
    } else if let Some(half) = run.scale.repeatability {
        let one = UncertaintyComponent::within(Origin::Repeatability, half)?;
        let shape = if places.len() == 1 { one.shape() } else { Shape::Normal };
        doubts.push(UncertaintyComponent::new(
            Origin::Repeatability,
            shape,
            one.u() * spread_of_mean,
            f64::INFINITY,
        )?);
    } else if let Some(s) = standard_deviation(&means) {
        let dof = n_places - 1.0;
        doubts.push(UncertaintyComponent::new(Origin::Scatter, Shape::Normal, s / n_places.sqrt(), dof)?);
    }
    if let Some(step) = run.scale.step.filter(|step| *step > 0.0) {
        doubts.push(UncertaintyComponent::within(Origin::Step, step / 2.0)?);
    }
    if let (Some(id), Some(half)) = (&run.scale.id, run.scale.repeatability.filter(|r| *r > 0.0)) {
        let shared = Shared { instrument: id.clone(), of: of.name() };
        doubts.push(UncertaintyComponent::within(Origin::Instrument, half)?.shared_as(shared));
    }
    if above_piston(of) {
        if floats(run.state) {
            doubts.push(UncertaintyComponent::within(Origin::NotClamped, NOT_CLAMPED_MM)?);
        }
        let beside = match rock {
            _ if one_edge(of, &places) => rock.map_or(ONE_EDGE_MM, f64::abs),
            Some(rock) if places.iter().all(|p| axis(p.place.as_ref()) == Axis::Pin) => {
                rock.abs() * BESIDE_PIN_AXIS
            }
            _ => 0.0,
        };
        if beside > 0.0 {
            doubts.push(UncertaintyComponent::within(Origin::Rock, beside)?);
        }
    }
    Ok(Some(Mean { value, doubts }))
}

/// Combines several means of one thing: weighted by 1/u² (the least squares
/// mean), or alike where one of them has no uncertainty at all. Returns `None`
/// for no means.
pub(super) fn joined(means: &[Mean]) -> Result<Option<Mean>, ComponentError> {
    if means.len() < 2 {
        return Ok(means.first().cloned());
    }
    let u = |mean: &Mean| {
        let mut all = super::combine::Combined::new();
        all.add(1.0, &mean.doubts);
        all.u()
    };
    let least = means.iter().map(&u).fold(f64::INFINITY, f64::min);
    let weight = |mean: &Mean| if least > 0.0 { (least / u(mean)) * (least / u(mean)) } else { 1.0 };
    let total: f64 = means.iter().map(&weight).sum();
    let mut value = Sum::default();
    let mut doubts = Vec::new();
    let Some(first) = means.first().map(|mean| mean.value) else { return Ok(None) };
    for mean in means {
        let part = weight(mean) / total;
        value.add((mean.value - first) * part);
        for doubt in &mean.doubts {
            doubts.push(doubt.times(part)?);
        }
    }
    Ok(Some(Mean { value: first + value.value(), doubts }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::combine::Combined;

    fn run(places: &[(Option<DeckPlace>, &[f64])], repeatability: Option<f64>) -> Run {
        let scale = Scale { id: Some("indicator".into()), step: Some(0.01), repeatability };
        let places =
            places.iter().map(|(place, values)| AtPlace { place: place.clone(), values: values.to_vec() });
        Run { scale, state: Some(State::Clamped), shim: None, places: places.collect() }
    }

    fn u_of(mean: &Mean, origin: Origin) -> Option<f64> {
        mean.doubts.iter().find(|d| d.origin() == origin).map(UncertaintyComponent::u)
    }

    fn near(actual: f64, expected: f64) {
        assert!((actual - expected).abs() < 1e-12, "{actual} against {expected}");
    }

    /// By hand: front 1.21 1.20 1.19 and rear 1.19 1.21 1.21 have squares
    /// 0.0002 and 0.000 266 7, s² = 0.000 466 7/4, and the mean of both
    /// u = s·√(1/3 + 1/3)/2.
    #[test]
    fn front_and_rear_are_averaged_with_a_pooled_scatter() {
        let front = (Some(DeckPlace::PinAxisFront), &[1.21, 1.20, 1.19][..]);
        let rear = (Some(DeckPlace::PinAxisRear), &[1.19, 1.21, 1.21][..]);
        let edge = (Some(DeckPlace::Thrust), &[1.13][..]);
        let mean =
            mean_of(&Subject::Deck, &run(&[front, rear, edge], Some(0.01)), Some(0.065)).unwrap().unwrap();
        near(mean.value, (1.2 + 3.61 / 3.0) / 2.0);
        let s2 = (0.0002 + 0.000_8 / 3.0) / 4.0;
        near(u_of(&mean, Origin::Scatter).unwrap(), (s2 * 2.0 / 3.0_f64).sqrt() / 2.0);
        assert_eq!(mean.doubts[0].dof(), 4.0);
        near(u_of(&mean, Origin::Step).unwrap(), 0.005 / 3.0_f64.sqrt());
        near(u_of(&mean, Origin::Instrument).unwrap(), 0.01 / 3.0_f64.sqrt());
        near(u_of(&mean, Origin::Rock).unwrap(), 0.0065 / 3.0_f64.sqrt());
        assert!(mean.doubts[2].shared().is_some());
    }

    #[test]
    fn a_single_value_has_no_type_a() {
        let single = run(&[(None, &[1.2])], Some(0.01));
        let mean = mean_of(&Subject::Deck, &single, None).unwrap().unwrap();
        assert_eq!(u_of(&mean, Origin::Scatter), None);
        near(u_of(&mean, Origin::Repeatability).unwrap(), 0.01 / 3.0_f64.sqrt());
        // Six places of a bore, read once each with an unknown instrument.
        let values = [86.0, 86.01, 86.02, 86.0, 86.01, 86.02];
        let places: Vec<_> =
            values.iter().map(|v| (Some(DeckPlace::Other(v.to_string())), std::slice::from_ref(v))).collect();
        let mut bore = run(&places, None);
        bore.scale.id = None;
        let mean = mean_of(&Subject::Dimension(crate::engine::Key::Bore), &bore, None).unwrap().unwrap();
        near(u_of(&mean, Origin::Scatter).unwrap(), standard_deviation(&values).unwrap() / 6.0_f64.sqrt());
    }

    #[test]
    fn an_edge_alone_carries_the_rock_and_a_hand_does_not_hold() {
        let edge = [(Some(DeckPlace::Thrust), &[1.13][..])];
        let mean = mean_of(&Subject::Deck, &run(&edge, None), None).unwrap().unwrap();
        near(u_of(&mean, Origin::Rock).unwrap(), ONE_EDGE_MM / 3.0_f64.sqrt());
        let both = [(Some(DeckPlace::Thrust), &[1.13][..]), (Some(DeckPlace::Antithrust), &[1.26][..])];
        let mean = mean_of(&Subject::Deck, &run(&both, None), Some(0.065)).unwrap().unwrap();
        near(mean.value, 1.195);
        assert_eq!(u_of(&mean, Origin::Rock), None);
        let mut by_hand = run(&[(None, &[1.2])], None);
        by_hand.state = Some(State::HeldByHand);
        let mean = mean_of(&Subject::Deck, &by_hand, None).unwrap().unwrap();
        near(u_of(&mean, Origin::NotClamped).unwrap(), 0.05 / 3.0_f64.sqrt());
    }

    #[test]
    fn two_runs_are_joined_by_their_weight() {
        let of = |value, u: f64| Mean {
            value,
            doubts: vec![UncertaintyComponent::stated(Shape::Normal, u).unwrap()],
        };
        let mean = joined(&[of(1.0, 0.01), of(1.2, 0.02)]).unwrap().unwrap();
        near(mean.value, 1.04);
        let mut all = Combined::new();
        all.add(1.0, &mean.doubts);
        near(all.u(), 1.0 / (1.0 / 0.0001_f64 + 1.0 / 0.0004).sqrt());
        near(joined(&[of(1.0, 0.0), of(1.2, 0.02)]).unwrap().unwrap().value, 1.1);
        assert_eq!(joined(&[]).unwrap(), None);
    }
}
