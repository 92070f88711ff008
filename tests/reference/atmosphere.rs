//! The standard atmosphere, against its own numbers.

use trimsheet_physics::atmosphere::{Air, air};
use trimsheet_quantity::Unit;

use crate::rows::{half_of_last_digit, numbers, row, table};

/// ISO 2533:1975 and ICAO Doc 7488. Recomputed from the defining constants.
#[test]
fn reference_pf_01_density_of_the_standard_atmosphere() {
    let row = row("PF-01");
    let (_, heights) = row.text("inputs").split_once('=').unwrap();
    let heights = numbers(&heights.replace('/', " "));
    let densities = row.numbers("expected");
    assert_eq!((heights.len(), densities.len()), (6, 6));
    for (height, density) in heights.into_iter().zip(densities) {
        let found = air(height, None).unwrap().density;
        row.assert(&format!("density at {height} m"), found, density, row.tolerance());
    }
}

/// A table of the standard atmosphere, its column of densities. Read.
#[test]
fn reference_pf_03_density_ratio_of_the_standard_atmosphere() {
    let row = row("PF-03");
    let foot = Unit::read("ft").unwrap();
    let (feet, ratios) = (row.numbers("inputs"), row.numbers("expected"));
    assert_eq!((feet.len(), ratios.len()), (3, 3));
    let sea_level = air(0.0, None).unwrap().density;
    for (feet, ratio) in feet.into_iter().zip(ratios) {
        let found = air(foot.to_si(feet), None).unwrap().density / sea_level;
        row.assert(&format!("ratio at {feet} ft"), found, ratio, row.tolerance());
    }
}

/// The whole table, as PF-01: every column to the digits that it prints.
#[test]
fn reference_pf_01_every_row_of_the_table() {
    let rows = table("isa.csv", include_str!("isa.csv"));
    assert!(!rows.is_empty());
    let sea_level = air(0.0, None).unwrap().density;
    for row in rows {
        let cell = |column: &str| -> f64 { row.text(column).parse().unwrap() };
        let Air { temperature, pressure, density, speed_of_sound, viscosity } =
            air(cell("H_geopotential_m"), None).unwrap();
        row.assert("T_K", temperature, cell("T_K"), 1e-9);
        row.assert("p_Pa", pressure, cell("p_Pa"), 0.051);
        row.assert("rho_kg_m3", density, cell("rho_kg_m3"), 5.1e-6);
        row.assert("sigma", density / sea_level, cell("sigma"), 5.1e-6);
        row.assert("a_m_s", speed_of_sound, cell("a_m_s"), 5.1e-4);
        let column = cell("mu_Pa_s");
        row.assert("mu_Pa_s", viscosity, column, half_of_last_digit(column, 5.0));
        let column = cell("nu_m2_s");
        row.assert(
            "nu_m2_s",
            viscosity / density,
            column,
            half_of_last_digit(column, 5.0),
        );
    }
}
