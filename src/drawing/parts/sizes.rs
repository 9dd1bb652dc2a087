//! Positions of the measured parts, and the proportions of everything that was
//! never measured.
//!
//! Assumed sizes are fractions of the bore after common practice (from
//! memory; nobody may take a size from them). Where a fraction would let two
//! parts run into each other, the assumed one gives way.

use super::Construction;
use super::PartsInput;
use super::outline::{Corner, half_chord};
use crate::engine::Key;
use crate::engine::num::{PI, sin_cos};
use crate::engine::solid::Chamber;
use kurbo::{Point, Rect, Vec2};

/// All sizes of the drawn parts, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sizes {
    pub bore: f64,
    pub half: f64,
    pub throw: f64,
    /// Rod length, centre to centre.
    pub rod: f64,
    /// Crank angle from the bore axis, radians.
    pub theta: f64,
    pub crankpin: Point,
    /// Centre of the piston pin.
    pub pin: Point,
    /// Highest and lowest position of the piston pin's centre.
    pub pin_travel: (f64, f64),
    /// Height of the crown's rim.
    pub rim_y: f64,
    /// Height of the rim at the far dead centre.
    pub other_rim_y: f64,
    /// Heights of the rim at the top and at the bottom.
    pub rim_travel: (f64, f64),
    /// Height of the barrel seat or block deck.
    pub seat_y: f64,
    /// Thickness of the base gasket.
    pub base_gasket: f64,
    /// The foils of the base shim, from below.
    pub foils: Vec<f64>,
    /// Height of the barrel's foot.
    pub foot_y: f64,
    /// Height of the barrel's own top face, on which other parts may lie.
    pub barrel_top_y: f64,
    /// Height of the cylinder's top face.
    pub top_y: f64,
    /// Height of the head's joint face.
    pub joint_y: f64,
    /// Half of the head gasket's hole.
    pub gasket_x: f64,
    /// Half of the top land's diameter.
    pub land_x: f64,
    /// Height of the top land.
    pub land_height: f64,
    /// Heights at which the two-stroke's ports open, measured along the bore
    /// from the rim at top dead centre.
    pub ports: Ports,

    /// Radius of the piston pin.
    pub pin_r: f64,
    /// Radius of the rod's small end.
    pub small_end_r: f64,
    /// Radius of the crankpin.
    pub crankpin_r: f64,
    /// Radius of the rod's big end.
    pub big_end_r: f64,
    /// Radius of the web's far end.
    pub web_r: f64,
    /// Length of the piston's skirt below the pin.
    pub skirt_below: f64,
    pub crown_thickness: f64,
    /// Thickness of the cylinder's wall.
    pub wall: f64,
    /// Distance from the axis to the outside of the barrel's foot or of the
    /// block.
    pub foot_x: f64,
    /// Distance from the axis to the outside of the joint between barrel and
    /// head.
    pub joint_x: f64,
    /// Distance from the axis to the tips of the longest fins.
    pub fin_x: f64,
    /// Lowest point of the cylinder's wall: spigot or bore of the block.
    pub wall_low_y: f64,
    /// Height below which the wall is cut back inside, to let the rod pass.
    pub relief_y: f64,
    /// Radius of the hole for the plug.
    pub plug_r: f64,
    pub construction: Construction,
}

/// The space that rod and web sweep while the crank turns.
struct Swing {
    throw: f64,
    rod: f64,
    pin_x: f64,
    big_end_r: f64,
    small_end_r: f64,
    web_r: f64,
}

impl Swing {
    /// Returns the highest point that rod or web come to at the distance `x`
    /// from the bore axis or further out, on either side. The rod is sampled at
    /// 60 crank angles; between two of them it passes on by less than the play
    /// that its neighbours are given.
    fn height_beyond(&self, x: f64) -> f64 {
        let (big, small) = (self.big_end_r, self.small_end_r);
        let shank = self.rod - 1.75 * small - 1.6 * big;
        // Half widths of the rod along it, from the crankpin upward.
        let outline = [
            (-0.34 * big, 1.13 * big),
            (0.46 * big, 1.13 * big),
            (0.85 * big, 0.96 * big),
            (1.25 * big, 0.76 * big),
            (1.6 * big, 0.68 * big),
            (1.6 * big + 0.25 * shank, 0.68 * big),
            (1.6 * big + 0.5 * shank, (0.68 * big).max(0.66 * small)),
            (1.6 * big + 0.75 * shank, (0.68 * big).max(0.66 * small)),
        ];
        let mut highest = half_chord(self.web_r.max(self.throw + big), x);
        for step in 0..60 {
            let (sin, cos) = sin_cos(f64::from(step) * PI / 30.0);
            let crankpin = Point::new(self.throw * sin, self.throw * cos);
            let across = self.pin_x - crankpin.x;
            let up = half_chord(self.rod, across);
            let along = Vec2::new(across, up) / self.rod;
            let beside = Vec2::new(along.y, -along.x);
            for side in [1.0, -1.0] {
                let mut last: Option<Point> = None;
                for (reach, width) in outline {
                    let p = crankpin + along * reach + beside * (side * width);
                    if p.x.abs() >= x {
                        highest = highest.max(p.y);
                    }
                    // Where the edge between two points comes back in.
                    if let Some(q) = last.filter(|q| (q.x.abs() >= x) != (p.x.abs() >= x)) {
                        let t = (x - q.x.abs()) / (p.x.abs() - q.x.abs());
                        highest = highest.max(q.y + (p.y - q.y) * t);
                    }
                    last = Some(p);
                }
            }
        }
        highest
    }
}

/// The edges of a two-stroke's ports, mm below the rim at top dead centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ports {
    /// Upper edge of the exhaust port.
    pub exhaust: f64,
    /// Whether that edge comes from the engine's port timing.
    pub timed: bool,
    /// Upper edge of the transfer port (assumed).
    pub transfer: f64,
    /// Lower edge of both: the rim at bottom dead centre.
    pub floor: f64,
}

impl Sizes {
    /// Computes the sizes at a crank angle in radians after piston top dead
    /// centre.
    pub(super) fn of(input: &PartsInput, crank_rad: f64) -> Self {
        let figures = input.engine.figures();
        let crank = figures.crank;
        let given = |key| input.engine.dims().filled(key).unwrap_or(0.0);
        let (bore, throw, rod) = (given(Key::Bore), crank.throw(), crank.rod());
        let (half, height) = (bore / 2.0, given(Key::CompressionHeight));

        let theta = crank.theta_top() + crank_rad;
        let (sin, cos) = sin_cos(theta);
        let position = crank.position(crank_rad);
        let pin = Point::new(crank.pin_path_x(), crank.y_top() - position);

        let seat_y = given(Key::CaseHeight);
        let base_gasket = given(Key::BaseGasket);
        let foils = foils(&input.shim_foils, given(Key::BaseShim));
        let foot_y = seat_y + base_gasket + foils.iter().sum::<f64>();
        let barrel_top_y = foot_y + given(Key::BarrelLength);
        let top_y = barrel_top_y;
        // The rim depends on the deck clearance, which is that of a mock-up reading
        // where there is one.
        let rim_top = top_y - figures.deck_clearance;
        let travel = crank.true_stroke();
        let rim_travel = (rim_top, rim_top - travel);
        let rim_y = rim_top - position;
        let other_rim_y = if position <= travel / 2.0 { rim_travel.1 } else { rim_travel.0 };

        let two_stroke = input.construction == Construction::TwoStroke;
        let land = given(Key::TopLandDiameter);
        let land_x = if land > 0.0 { land / 2.0 } else { half - 0.004 * bore };
        let land_height = match given(Key::TopLandHeight) {
            0.0 => 0.07 * bore,
            measured => measured,
        };

        let pin_r = (0.125 * bore).min(0.42 * height);
        let small_end_r = (1.33 * pin_r).min(0.2 * rod);
        let (pin_part, eye) = if two_stroke { (0.19, 1.45) } else { (0.25, 1.28) };
        let crankpin_r = (pin_part * bore).min(0.25 * rod);
        let big_end_r = eye * crankpin_r;

        // The skirt goes far enough down to guide the piston, in a
        // two-stroke to keep the ports shut at the top; web and skirt share
        // what room there is at the bottom.
        let skirt = if two_stroke { (travel - height + 0.1 * bore).max(0.3 * bore) } else { 0.3 * bore };
        let web = if two_stroke { throw + 1.3 * crankpin_r } else { 1.15 * throw + 0.14 * bore };
        let room = crank.y_bottom() - 0.03 * bore;
        // Where the rod leans most it has to pass inside the skirt.
        let lean = ((throw + crank.pin_path_x().abs()) / rod).min(0.99);
        let upright = f64::sqrt(1.0 - lean * lean);
        let shank = (0.68 * big_end_r).max(0.66 * small_end_r);
        let passes = (half - 0.05 * bore - shank / upright) * upright / lean;
        let skirt_below = skirt.min(passes).min(room - web).max(0.12 * bore);
        let web_r = web.min((room - skirt_below).max(0.3 * throw));

        let depth = input.crown.depth_mm();
        let space = (height - small_end_r - 0.02 * bore - depth).max(0.02 * bore);
        let crown_thickness = (0.075 * bore).min(space);

        let wall = 0.07 * bore;
        let swing = Swing { throw, rod, pin_x: crank.pin_path_x(), big_end_r, small_end_r, web_r };
        let clear = 0.04 * bore;
        let relief_y = swing.height_beyond(half) + clear;
        let outside_y = swing.height_beyond(half + 0.7 * wall) + clear;
        let wall_low_y = match input.construction {
            Construction::Block | Construction::WetLiners => {
                (rim_travel.1 - 0.5 * bore).max(outside_y).min(seat_y - 0.3 * bore)
            }
            _ => (seat_y - 0.22 * bore).max(outside_y).min(seat_y - 0.02 * bore),
        };
        let (foot, joint) = match input.construction {
            Construction::FinnedBarrel => (0.2, 0.19),
            Construction::Block | Construction::WetLiners => (0.26, 0.26),
            Construction::TwoStroke => (0.31, 0.31),
        };
        let joint_y = top_y + given(Key::GasketThickness);
        let joint_x = half + joint * bore;
        Self {
            bore,
            half,
            throw,
            rod,
            theta,
            crankpin: Point::new(throw * sin, throw * cos),
            pin,
            pin_travel: (crank.y_top(), crank.y_bottom()),
            rim_y,
            other_rim_y,
            rim_travel,
            seat_y,
            base_gasket,
            foils,
            foot_y,
            barrel_top_y,
            top_y,
            joint_y,
            gasket_x: (given(Key::GasketBore) / 2.0).min(joint_x - 0.02 * bore),
            land_x,
            land_height,
            ports: Ports::of(input, travel),
            pin_r,
            small_end_r,
            crankpin_r,
            big_end_r,
            web_r,
            skirt_below,
            crown_thickness,
            wall,
            foot_x: half + foot * bore,
            joint_x,
            fin_x: half + 0.28 * bore,
            wall_low_y,
            relief_y,
            plug_r: if two_stroke { 0.13 } else { 0.075 } * bore,
            construction: input.construction,
        }
    }

    /// Returns a fraction of the bore, mm.
    pub(super) fn part(&self, fraction: f64) -> f64 {
        fraction * self.bore
    }

    /// Returns the box that rod and web sweep over a turn of the crank.
    pub(super) fn swept(&self) -> Rect {
        let reach = (self.throw + 1.23 * self.big_end_r).max(self.web_r);
        Rect::new(-reach, -reach, reach, reach)
    }

    /// Returns half of the spigot's outer diameter.
    pub(super) fn spigot_x(&self) -> f64 {
        self.half + self.wall
    }

    /// Returns the two corners at the lower end of the bore's wall, from the
    /// outside inward: a small chamfer, or where the rod needs it a deeper
    /// relief. The second one is where the bore ends.
    pub(super) fn bore_end(&self, low: f64) -> [Corner; 2] {
        let plain = low + self.part(0.03);
        if self.relief_y <= plain {
            return [(self.half + self.part(0.02), low, 0.0), (self.half, plain, 0.0)];
        }
        let end = self.relief_y.min(self.top_y - self.part(0.2)).max(plain);
        [(self.half + 0.7 * self.wall, low, 0.0), (self.half, end, 0.0)]
    }

    /// Returns the highest point of the roof above the joint face within
    /// `from..to` of the axis, on both sides.
    pub(super) fn roof_over(&self, chamber: &Chamber, from: f64, to: f64) -> f64 {
        let right = chamber.roof().between(from, to).top();
        right.max(chamber.roof().between(-to, -from).top()).max(0.0)
    }
}

impl Ports {
    fn of(input: &PartsInput, travel: f64) -> Self {
        let closing = input.engine.dims().get(Key::PortClosing);
        let timed = closing.map(|deg| input.engine.figures().crank.position(-deg.to_radians()));
        let exhaust = timed.unwrap_or(0.56 * travel).min(0.97 * travel);
        Self { exhaust, timed: timed.is_some(), transfer: exhaust + 0.36 * (travel - exhaust), floor: travel }
    }
}

/// Returns the foils as given where they make up the shim, else one foil.
fn foils(given: &[f64], shim: f64) -> Vec<f64> {
    let sum: f64 = given.iter().sum();
    if given.iter().all(|t| *t > 0.0) && !given.is_empty() && (sum - shim).abs() <= 1e-9 * shim {
        return given.to_vec();
    }
    if shim > 0.0 { vec![shim] } else { Vec::new() }
}
