#![doc = include_str!("README.md")]

mod finite_horizon;
mod kernel;
pub mod occupancy;
mod policy;
mod proper;
pub mod total_cost;
mod value_iteration;

#[cfg(test)]
mod tests;

pub use finite_horizon::{Chosen, FiniteHorizon, Layer, Utility};
pub use kernel::{
    ActionId, Builder, ChoiceNode, Kernel, Malformed, NodeId, Outcome, StateId, Successor,
    Terminal, Transitions,
};
pub use policy::Policy;
pub use proper::Proper;
pub use total_cost::After;
pub use value_iteration::{Bounds, Solution, ValueIteration};
