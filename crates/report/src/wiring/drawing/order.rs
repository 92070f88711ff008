//! In which order boxes stand in their columns, so that few lines cross.
//!
//! The library orders the layers of a graph by the mean place of their neighbours, sweep
//! by sweep. It is given a graph whose lines each lead from one column to the next, and
//! nothing of its coordinates is kept but the order, so that its answer does not depend
//! on how it rounds.

use rust_sugiyama::configure::{Config, CrossingMinimization, RankingType};
use rust_sugiyama::from_vertices_and_edges;

/// Where each vertex stands among those of its column: less is further up.
///
/// `edges` lead from one column to the next; a vertex comes before those that its edges
/// lead to. What no edge touches comes last.
pub(super) fn order(heights: &[f64], edges: &[(u32, u32)]) -> Vec<(usize, f64)> {
    let config = Config {
        minimum_length: 1,
        vertex_spacing: 1.0,
        dummy_vertices: true,
        ranking_type: RankingType::Up,
        c_minimization: CrossingMinimization::Barycenter,
        transpose: true,
        ..Config::default()
    };
    let is_joined = |id: u32| edges.iter().any(|(from, to)| *from == id || *to == id);
    let vertices: Vec<(u32, (f64, f64))> = (0..)
        .zip(heights)
        .filter(|(id, _)| is_joined(*id))
        .map(|(id, height)| (id, (*height, 1.0)))
        .collect();
    let mut places = vec![(usize::MAX, 0.0); heights.len()];
    if vertices.is_empty() {
        return places;
    }
    let components = from_vertices_and_edges(&vertices, edges, &config);
    for (at, (component, ..)) in components.into_iter().enumerate() {
        for (id, (x, _)) in component {
            if let Some(place) = places.get_mut(id) {
                *place = (at, x);
            }
        }
    }
    places
}
