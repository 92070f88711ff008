//! Direct currents in a net of leads, packs, regulators and whatever draws.
//!
//! Volts are above the common return, which carries back what every part takes: a lead
//! is given with the resistance of both its ways. The net is solved by its nodes, with
//! the current of each source and each regulator as a further unknown.
//!
//! A regulator holds its output whatever is drawn: its droop and its own small draw are
//! neglected, and a motor is a draw of steady amps. Source of the method: nodal analysis,
//! in any text on circuits.

use std::fmt;

use nalgebra::{DMatrix, DVector, Dyn, LU};

/// A point of the net at which things meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Node(usize);

/// A thing of the net, in the order in which it was put in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Part(usize);

/// How a regulator makes its volts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Regulating {
    /// It burns what is too much: as many amps go in as come out.
    Linear,
    /// It changes amps into volts and keeps this share of the power, above 0, up to 1.
    Switching(f64),
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    Lead { from: Node, to: Node, resistance: f64 },
    Source { at: Node, volts: f64, resistance: f64 },
    Draw { at: Node, amps: f64 },
    Regulator { from: Node, to: Node, volts: f64, regulating: Regulating },
}

/// A net that is being put together.
#[derive(Clone, Debug, Default)]
pub struct Network {
    nodes: usize,
    parts: Vec<Kind>,
}

/// What flows in a net.
#[derive(Clone, Debug, Default)]
pub struct Flow {
    volts: Vec<f64>,
    /// Of a lead, a source and a regulator what comes out, of a draw what goes in, in A.
    amps: Vec<f64>,
    /// What each part makes of heat, or uses, in W.
    watts: Vec<f64>,
    /// The equations whose answer this is, for what answers a little more current.
    solved: Option<LU<f64, Dyn, Dyn>>,
    /// The volts that each regulator is fed with.
    fed: Vec<f64>,
}

/// Why nothing can be said of a net.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoFlow {
    /// A number of this part is none, or not above nought where it must be.
    NotANumber(Part),
    /// A lead without resistance.
    NothingBetween(Part),
    /// A regulator that is fed by its own output.
    FedByItself(Part),
    /// A second source without resistance, or a second regulator, on one point.
    TwoSources(Part),
    /// No source leads here.
    NoSource(Node),
    /// A regulator has fewer volts to work from than it should give.
    TooLow {
        /// The regulator.
        regulator: Part,
        /// What it has, in V.
        has: f64,
    },
    /// Another source presses current into the output of this regulator.
    Backwards(Part),
    /// More is asked for than the sources can bring through what lies between.
    Collapses,
}

impl fmt::Display for NoFlow {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        let says = match self {
            NoFlow::NotANumber(_) => "a number of it is none",
            NoFlow::NothingBetween(_) => "it is a lead without resistance",
            NoFlow::TwoSources(_) => "another source already holds the volts here",
            NoFlow::NoSource(_) => "no source leads here",
            NoFlow::FedByItself(_) => "it is fed by its own output",
            NoFlow::TooLow { .. } => "it has fewer volts than it should give",
            NoFlow::Backwards(_) => "another source presses current into its output",
            NoFlow::Collapses => "more is asked for than can be brought",
        };
        to.write_str(says)
    }
}

impl std::error::Error for NoFlow {}

/// Passes of the solution; each works out the volts that regulators are fed with.
const PASSES: usize = 200;

/// How near two passes must come, in V; and what is no current backwards, in A.
const NEAR: f64 = 1e-9;

impl Network {
    /// A point to which things can be joined.
    pub fn node(&mut self) -> Node {
        self.nodes += 1;
        Node(self.nodes - 1)
    }

    fn part(&mut self, kind: Kind) -> Part {
        self.parts.push(kind);
        Part(self.parts.len() - 1)
    }

    /// A lead of some Ω, both ways together, above nought.
    pub fn lead(&mut self, from: Node, to: Node, resistance: f64) -> Part {
        self.part(Kind::Lead { from, to, resistance })
    }

    /// A source of some V behind its own Ω, which may be none.
    pub fn source(&mut self, at: Node, volts: f64, resistance: f64) -> Part {
        self.part(Kind::Source { at, volts, resistance })
    }

    /// Something that takes some A, nought or more, whatever the volts.
    pub fn draw(&mut self, at: Node, amps: f64) -> Part {
        self.part(Kind::Draw { at, amps })
    }

    /// A regulator that gives some V from a point with more.
    pub fn regulator(
        &mut self,
        from: Node,
        to: Node,
        volts: f64,
        regulating: Regulating,
    ) -> Part {
        self.part(Kind::Regulator { from, to, volts, regulating })
    }

    /// What flows.
    ///
    /// # Errors
    ///
    /// The first [`NoFlow`] that is found.
    pub fn solve(&self) -> Result<Flow, NoFlow> {
        self.numbers()?;
        self.reached()?;
        let mut fed: Vec<f64> = vec![self.highest(); self.parts.len()];
        for _ in 0..PASSES {
            let flow = self.pass(&fed)?;
            let mut change: f64 = 0.0;
            for (at, part) in self.parts.iter().enumerate() {
                let Kind::Regulator { from, .. } = part else { continue };
                let (Some(has), Some(fed)) = (flow.volts.get(from.0), fed.get_mut(at))
                else {
                    continue;
                };
                // What asks for all of the volts has no answer, and would jump over it.
                if *has <= 0.0 {
                    return Err(NoFlow::Collapses);
                }
                change = change.max((*has - *fed).abs());
                *fed = *has;
            }
            if change <= NEAR {
                return self.checked(flow);
            }
        }
        Err(NoFlow::Collapses)
    }

    fn parts(&self) -> impl Iterator<Item = (Part, &Kind)> {
        self.parts.iter().enumerate().map(|(at, kind)| (Part(at), kind))
    }

    fn numbers(&self) -> Result<(), NoFlow> {
        for (part, kind) in self.parts() {
            let is_above = |number: f64| 0.0 < number && number.is_finite();
            let is_whole = match kind {
                Kind::Lead { resistance, .. } if *resistance == 0.0 => {
                    return Err(NoFlow::NothingBetween(part));
                }
                Kind::Lead { resistance, .. } => is_above(*resistance),
                Kind::Source { volts, resistance, .. } => {
                    is_above(*volts) && (*resistance == 0.0 || is_above(*resistance))
                }
                Kind::Draw { amps, .. } => *amps == 0.0 || is_above(*amps),
                Kind::Regulator { volts, regulating, .. } => {
                    let share = match regulating {
                        Regulating::Linear => 1.0,
                        Regulating::Switching(share) => *share,
                    };
                    is_above(*volts) && is_above(share) && share <= 1.0
                }
            };
            if !is_whole {
                return Err(NoFlow::NotANumber(part));
            }
        }
        Ok(())
    }

    /// The most volts of any source.
    fn highest(&self) -> f64 {
        let volts = self.parts.iter().filter_map(|part| match part {
            Kind::Source { volts, .. } => Some(*volts),
            Kind::Lead { .. } | Kind::Draw { .. } | Kind::Regulator { .. } => None,
        });
        volts.fold(0.0, f64::max)
    }

    /// Whether no regulator feeds itself, one thing at most holds the volts of a point,
    /// and a source leads to each.
    fn reached(&self) -> Result<(), NoFlow> {
        for (part, kind) in self.parts() {
            if let Kind::Regulator { from, to, .. } = kind
                && self.leads(*to, *from)
            {
                return Err(NoFlow::FedByItself(part));
            }
        }
        let mut held = vec![false; self.nodes];
        for (part, at, _) in self.holding() {
            match held.get_mut(at.0) {
                Some(is_held) if *is_held => return Err(NoFlow::TwoSources(part)),
                Some(is_held) => *is_held = true,
                None => {}
            }
        }
        let sources = self.parts.iter().filter_map(|part| match part {
            Kind::Source { at, .. } => Some(*at),
            Kind::Lead { .. } | Kind::Draw { .. } | Kind::Regulator { .. } => None,
        });
        let lost = self.spread(sources).iter().position(|is_reached| !is_reached);
        lost.map_or(Ok(()), |lost| Err(NoFlow::NoSource(Node(lost))))
    }

    /// Which points can be reached from some, along leads both ways and through
    /// regulators from input to output.
    fn spread(&self, begin: impl IntoIterator<Item = Node>) -> Vec<bool> {
        let mut reached = vec![false; self.nodes];
        let mut next: Vec<Node> = begin.into_iter().collect();
        while let Some(node) = next.pop() {
            match reached.get_mut(node.0) {
                Some(is_reached) if !*is_reached => *is_reached = true,
                Some(_) | None => continue,
            }
            next.extend(self.parts.iter().filter_map(|part| match part {
                Kind::Lead { from, to, .. } if *from == node => Some(*to),
                Kind::Lead { from, to, .. } if *to == node => Some(*from),
                Kind::Regulator { from, to, .. } if *from == node => Some(*to),
                Kind::Lead { .. }
                | Kind::Source { .. }
                | Kind::Draw { .. }
                | Kind::Regulator { .. } => None,
            }));
        }
        reached
    }

    /// Whether what comes out at one point can reach another.
    fn leads(&self, from: Node, to: Node) -> bool {
        self.spread([from]).get(to.0).copied().unwrap_or(false)
    }

    /// The parts that hold the volts of a point, each with that point and those volts.
    fn holding(&self) -> impl Iterator<Item = (Part, Node, f64)> {
        self.parts().filter_map(|(part, kind)| match kind {
            Kind::Source { at, volts, resistance } if *resistance == 0.0 => {
                Some((part, *at, *volts))
            }
            Kind::Regulator { to, volts, .. } => Some((part, *to, *volts)),
            Kind::Source { .. } | Kind::Lead { .. } | Kind::Draw { .. } => None,
        })
    }

    /// The flow if each regulator were fed with these volts.
    fn pass(&self, fed: &[f64]) -> Result<Flow, NoFlow> {
        let holding: Vec<(Part, Node, f64)> = self.holding().collect();
        let size = self.nodes + holding.len();
        let mut flows = Equations {
            leaving: DMatrix::zeros(size, size),
            brought: DVector::zeros(size),
        };
        for kind in &self.parts {
            match kind {
                Kind::Lead { from, to, resistance } => {
                    flows.resists(*from, Some(*to), *resistance);
                }
                Kind::Source { at, volts, resistance } if *resistance != 0.0 => {
                    flows.resists(*at, None, *resistance);
                    flows.brings(at.0, volts / resistance);
                }
                Kind::Draw { at, amps } => flows.brings(at.0, -amps),
                Kind::Source { .. } | Kind::Regulator { .. } => {}
            }
        }
        for (at, (part, node, volts)) in holding.iter().enumerate() {
            let unknown = self.nodes + at;
            flows.adds(node.0, unknown, -1.0);
            flows.adds(unknown, node.0, 1.0);
            flows.brings(unknown, *volts);
            if let Some((from, ratio)) = self.taken(*part, fed) {
                flows.adds(from.0, unknown, ratio);
            }
        }
        let solved = flows.leaving.lu();
        // A net without a point has nothing to be solved, and nothing that flows.
        let found = match flows.brought.is_empty() {
            true => Some(flows.brought),
            false => solved.solve(&flows.brought),
        };
        let found = found.filter(|found| found.iter().all(|one| one.is_finite()));
        let found = found.ok_or(NoFlow::Collapses)?;
        let of = |at: usize| found.get(at).copied().unwrap_or(0.0);
        let held =
            |part: Part| held(&holding, part).map_or(0.0, |at| of(self.nodes + at));
        let all = self.parts().map(|(part, kind)| match kind {
            Kind::Lead { from, to, resistance } => {
                let amps = (of(from.0) - of(to.0)) / resistance;
                (amps, amps * amps * resistance)
            }
            Kind::Source { at, volts, resistance } if *resistance != 0.0 => {
                let amps = (volts - of(at.0)) / resistance;
                (amps, amps * amps * resistance)
            }
            Kind::Source { .. } => (held(part), 0.0),
            Kind::Draw { at, amps } => (*amps, amps * of(at.0)),
            Kind::Regulator { from, volts, .. } => {
                let (amps, ratio) =
                    (held(part), self.taken(part, fed).map_or(0.0, |(_, ratio)| ratio));
                (amps, amps * (ratio * of(from.0) - volts))
            }
        });
        let (amps, watts) = all.unzip();
        let volts = found.iter().copied().take(self.nodes).collect();
        Ok(Flow { volts, amps, watts, solved: Some(solved), fed: fed.to_vec() })
    }

    /// How many amps more flow through each part for one more that is drawn at a point,
    /// while what feeds the regulators keeps its volts; in the order of the parts, of a
    /// draw nothing. `None` if this flow is of another net.
    #[must_use]
    pub fn answers(&self, flow: &Flow, at: Node) -> Option<Vec<f64>> {
        let holding: Vec<(Part, Node, f64)> = self.holding().collect();
        let mut drawn = DVector::zeros(self.nodes + holding.len());
        *drawn.get_mut(at.0)? = -1.0;
        let found = flow.solved.as_ref()?.solve(&drawn)?;
        let of = |at: usize| found.get(at).copied().unwrap_or(0.0);
        let held =
            |part: Part| held(&holding, part).map_or(0.0, |at| of(self.nodes + at));
        let all = self.parts().map(|(part, kind)| match kind {
            Kind::Lead { from, to, resistance } => (of(from.0) - of(to.0)) / resistance,
            Kind::Source { at, resistance, .. } if *resistance != 0.0 => {
                -of(at.0) / resistance
            }
            Kind::Source { .. } | Kind::Regulator { .. } => held(part),
            Kind::Draw { .. } => 0.0,
        });
        (flow.fed.len() == self.parts.len()).then(|| all.collect())
    }

    /// The answer of one part, out of those of all of them.
    #[must_use]
    pub fn answer(answers: &[f64], of: Part) -> f64 {
        answers.get(of.0).copied().unwrap_or(0.0)
    }

    /// Where a regulator takes its current, and how many amps for each that it gives.
    fn taken(&self, part: Part, fed: &[f64]) -> Option<(Node, f64)> {
        let Some(Kind::Regulator { from, volts, regulating, .. }) =
            self.parts.get(part.0)
        else {
            return None;
        };
        let ratio = match regulating {
            Regulating::Linear => 1.0,
            Regulating::Switching(share) => volts / (share * fed.get(part.0)?),
        };
        Some((*from, ratio))
    }

    /// A flow in which nothing goes where it cannot.
    fn checked(&self, flow: Flow) -> Result<Flow, NoFlow> {
        if flow.volts.iter().any(|volts| *volts < 0.0) {
            return Err(NoFlow::Collapses);
        }
        for (part, kind) in self.parts() {
            let Kind::Regulator { from, volts, .. } = kind else { continue };
            let has = flow.volts(*from);
            if has < *volts {
                return Err(NoFlow::TooLow { regulator: part, has });
            }
            if flow.amps(part) < -NEAR {
                return Err(NoFlow::Backwards(part));
            }
        }
        Ok(flow)
    }
}

impl Flow {
    /// The volts of a point of the net.
    #[must_use]
    pub fn volts(&self, node: Node) -> f64 {
        self.volts.get(node.0).copied().unwrap_or(0.0)
    }

    /// The current that comes out of a source or a regulator, goes into a draw, or goes
    /// along a lead the way it was put in, in A; a pack that is charged has it below nought.
    #[must_use]
    pub fn amps(&self, part: Part) -> f64 {
        self.amps.get(part.0).copied().unwrap_or(0.0)
    }

    /// The power that a part turns into heat, and of a draw all that it takes, in W.
    #[must_use]
    pub fn watts(&self, part: Part) -> f64 {
        self.watts.get(part.0).copied().unwrap_or(0.0)
    }
}

/// Which of the unknowns behind the volts is the current of a part.
fn held(holding: &[(Part, Node, f64)], part: Part) -> Option<usize> {
    holding.iter().position(|(one, _, _)| *one == part)
}

/// What leaves each point along its leads, and what is brought to it.
struct Equations {
    leaving: DMatrix<f64>,
    brought: DVector<f64>,
}

impl Equations {
    fn adds(&mut self, row: usize, column: usize, what: f64) {
        if let Some(cell) = self.leaving.get_mut((row, column)) {
            *cell += what;
        }
    }

    fn brings(&mut self, row: usize, what: f64) {
        if let Some(cell) = self.brought.get_mut(row) {
            *cell += what;
        }
    }

    /// A resistance between two points, or between one and volts that are brought.
    fn resists(&mut self, from: Node, to: Option<Node>, resistance: f64) {
        let conducts = 1.0 / resistance;
        self.adds(from.0, from.0, conducts);
        if let Some(to) = to {
            self.adds(to.0, to.0, conducts);
            self.adds(from.0, to.0, -conducts);
            self.adds(to.0, from.0, -conducts);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A pack, a lead, and a rail that a regulator makes.
    fn rail(regulating: Regulating, amps: f64) -> (Network, Node, [Part; 4]) {
        let mut net = Network::default();
        let (pack, board, rail) = (net.node(), net.node(), net.node());
        let source = net.source(pack, 12.0, 0.02);
        let lead = net.lead(pack, board, 0.08);
        let regulator = net.regulator(board, rail, 5.0, regulating);
        let draw = net.draw(rail, amps);
        (net, board, [source, lead, regulator, draw])
    }

    #[test]
    fn nothing_flows_in_a_net_without_a_point() {
        assert!(Network::default().solve().is_ok());
    }

    #[test]
    fn a_linear_regulator_takes_as_many_amps_as_it_gives_and_burns_the_rest() {
        let (net, board, [source, _, regulator, draw]) = rail(Regulating::Linear, 2.0);
        let flow = net.solve().unwrap();
        assert!((flow.amps(source) - 2.0).abs() < 1e-12);
        assert!((flow.volts(board) - 11.8).abs() < 1e-12);
        assert!((flow.watts(regulator) - 2.0 * 6.8).abs() < 1e-12);
        assert!((flow.watts(draw) - 10.0).abs() < 1e-12);
    }

    #[test]
    fn a_switching_regulator_keeps_its_share_of_the_power() {
        let (net, board, [source, lead, regulator, draw]) =
            rail(Regulating::Switching(0.8), 2.0);
        let flow = net.solve().unwrap();
        let fed = flow.volts(board) * flow.amps(lead);
        assert!((fed - 10.0 / 0.8).abs() < 1e-9);
        assert!((flow.watts(regulator) - 2.5).abs() < 1e-9);
        let all = [source, lead, regulator, draw].map(|part| flow.watts(part));
        assert!((12.0 * flow.amps(source) - all.iter().sum::<f64>()).abs() < 1e-9);
    }

    #[test]
    fn one_more_amp_is_answered_by_what_lies_upstream() {
        let (net, _, [source, lead, regulator, _]) = rail(Regulating::Linear, 2.0);
        let flow = net.solve().unwrap();
        let answers = net.answers(&flow, Node(2)).unwrap();
        for part in [source, lead, regulator] {
            assert!((answers[part.0] - 1.0).abs() < 1e-12);
        }
        let upstream = net.answers(&flow, Node(1)).unwrap();
        assert!((upstream[lead.0] - 1.0).abs() < 1e-12);
        assert!(upstream[regulator.0].abs() < 1e-12);

        let (net, _, [_, lead, ..]) = rail(Regulating::Switching(0.8), 2.0);
        let flow = net.solve().unwrap();
        let ratio = net.answers(&flow, Node(2)).unwrap()[lead.0];
        assert!((ratio - flow.amps(lead) / 2.0).abs() < 1e-6);
    }

    #[test]
    fn more_than_can_be_brought_collapses() {
        // At most 360 W come through 0.1 Ω from 12 V, and then at 6 V.
        let (net, _, _) = rail(Regulating::Switching(0.8), 40.0);
        assert!(net.solve().is_ok());
        let (net, _, _) = rail(Regulating::Switching(0.8), 70.0);
        assert_eq!(net.solve().unwrap_err(), NoFlow::Collapses);
    }

    #[test]
    fn leads_of_next_to_nothing_are_no_collapse() {
        for resistance in [1e-4, 1e-6, 1e-8] {
            let mut net = Network::default();
            let (pack, board, rail) = (net.node(), net.node(), net.node());
            net.source(pack, 25.2, resistance);
            net.lead(pack, board, resistance);
            net.regulator(board, rail, 5.0, Regulating::Switching(0.9));
            net.draw(rail, 30.0);
            let flow = net.solve().unwrap();
            assert!((flow.volts(board) - 25.2).abs() < 0.01);
        }
    }

    #[test]
    fn what_cannot_be_is_named_with_its_part() {
        let mut net = Network::default();
        let (one, other) = (net.node(), net.node());
        net.source(one, 5.0, 0.0);
        let bare = net.lead(one, other, 0.0);
        assert_eq!(net.solve().unwrap_err(), NoFlow::NothingBetween(bare));

        let mut net = Network::default();
        let one = net.node();
        net.source(one, 5.0, 0.0);
        let second = net.source(one, 5.0, 0.0);
        assert_eq!(net.solve().unwrap_err(), NoFlow::TwoSources(second));

        let mut net = Network::default();
        let (one, other) = (net.node(), net.node());
        net.source(one, 5.0, 0.1);
        net.draw(other, 1.0);
        assert_eq!(net.solve().unwrap_err(), NoFlow::NoSource(other));

        let mut net = Network::default();
        let one = net.node();
        let empty = net.source(one, 0.0, 0.1);
        assert_eq!(net.solve().unwrap_err(), NoFlow::NotANumber(empty));
    }

    #[test]
    fn a_regulator_that_feeds_itself_is_named_with_and_without_another_source() {
        for with_source in [false, true] {
            let mut net = Network::default();
            let (rail, board) = (net.node(), net.node());
            let regulator = net.regulator(board, rail, 5.0, Regulating::Linear);
            net.lead(rail, board, 0.1);
            if with_source {
                net.source(board, 12.0, 0.1);
            }
            assert_eq!(net.solve().unwrap_err(), NoFlow::FedByItself(regulator));
        }
    }

    #[test]
    fn a_regulator_without_enough_volts_and_one_fed_backwards_are_named() {
        let mut net = Network::default();
        let (pack, rail) = (net.node(), net.node());
        net.source(pack, 3.7, 0.1);
        let regulator = net.regulator(pack, rail, 5.0, Regulating::Linear);
        net.draw(rail, 1.0);
        let found = net.solve().unwrap_err();
        assert!(matches!(found, NoFlow::TooLow { regulator: named, has }
            if named == regulator && (has - 3.6).abs() < 1e-9));

        let mut net = Network::default();
        let (pack, low, high) = (net.node(), net.node(), net.node());
        net.source(pack, 12.0, 0.1);
        let backwards = net.regulator(pack, low, 5.0, Regulating::Linear);
        net.regulator(pack, high, 5.2, Regulating::Linear);
        net.lead(low, high, 0.05);
        net.draw(low, 1.0);
        assert_eq!(net.solve().unwrap_err(), NoFlow::Backwards(backwards));
    }
}
