//! The engine: what a script may do, within [`bounds`].

use std::cell::RefCell;
use std::rc::Rc;

use rhai::Engine;
use rhai::packages::{
    ArithmeticPackage, BasicArrayPackage, BasicIteratorPackage, BasicStringPackage,
    MoreStringPackage, Package,
};

use crate::draft::Draft;
use crate::{bounds, functions, operators};

/// The largest script, in bytes: the longest of the core pack takes four thousand.
pub(crate) const SCRIPT: usize = 64_000;

/// Makes an engine whose findings go into `drafts`.
pub(crate) fn engine(drafts: &Rc<RefCell<Vec<Draft>>>) -> Engine {
    let mut engine = bounds::engine();
    // What the language's own packages bring, and no more: no time, no maths of its own.
    ArithmeticPackage::new().register_into_engine(&mut engine);
    BasicIteratorPackage::new().register_into_engine(&mut engine);
    BasicStringPackage::new().register_into_engine(&mut engine);
    MoreStringPackage::new().register_into_engine(&mut engine);
    BasicArrayPackage::new().register_into_engine(&mut engine);
    operators::register(&mut engine);
    functions::register(&mut engine, drafts);
    engine
}
