//! How much of the script language a script has, and how far it goes; the build script of
//! this crate, which compiles the shipped scripts, keeps to the same.

use rhai::{Engine, OptimizationLevel};

/// The most operations of one call: a loop over two hundred parts takes a few thousand.
pub(crate) const OPERATIONS: u64 = 100_000;
/// How deep functions may call each other.
pub(crate) const CALLS: usize = 24;
/// How deep an expression may be.
pub(crate) const EXPRESSION: usize = 48;
/// The longest text, in bytes.
pub(crate) const TEXT: usize = 10_000;
/// The most values in a list, those in lists inside it included.
pub(crate) const LIST: usize = 2_000;
/// The most names in a map.
pub(crate) const MAP: usize = 100;
/// The most names at one time.
pub(crate) const NAMES: usize = 100;
/// The most functions of one script.
pub(crate) const FUNCTIONS: usize = 30;

/// Words of the script language that a rule has no use for, and that could hurt.
const FORBIDDEN: &[&str] = &[
    "eval",
    "print",
    "debug",
    "import",
    "export",
    "Fn",
    "curry",
    "call",
    "sleep",
    "is_shared",
    "type_of",
];

/// An engine within these bounds, which knows no function yet.
pub(crate) fn engine() -> Engine {
    let mut engine = Engine::new_raw();
    for word in FORBIDDEN {
        engine.disable_symbol(*word);
    }
    engine.set_strict_variables(true);
    engine.set_fail_on_invalid_map_property(true);
    // A closure could hold another and so on, and dropping the chain would be deep.
    engine.set_allow_anonymous_fn(false);
    // Built-in operators compare unlike things, and say false.
    engine.set_fast_operators(false);
    engine.set_optimization_level(OptimizationLevel::None);
    engine.set_max_operations(OPERATIONS);
    engine.set_max_call_levels(CALLS);
    engine.set_max_expr_depths(EXPRESSION, EXPRESSION);
    engine.set_max_string_size(TEXT);
    engine.set_max_array_size(LIST);
    engine.set_max_map_size(MAP);
    engine.set_max_variables(NAMES);
    engine.set_max_functions(FUNCTIONS);
    engine
}
