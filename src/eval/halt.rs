//! What evaluating an expression gives, or why it gives nothing.

use crate::fault::Fault;
use crate::value::cause::Cause;
use crate::value::data::Value;

/// Why an expression gave no value.
#[derive(Debug)]
pub enum Halt {
    /// Something is wrong here.
    Fault(Box<Fault>),
    /// It depends on something that went wrong before and was reported there.
    Silent,
}

impl Halt {
    /// The fault that is to be told.
    pub fn fault(self) -> Option<Fault> {
        match self {
            Halt::Fault(fault) => Some(*fault),
            Halt::Silent => None,
        }
    }
}

impl From<Fault> for Halt {
    fn from(fault: Fault) -> Halt {
        Halt::Fault(Box::new(fault))
    }
}

/// What working an expression gives.
pub type Worked = Result<Value, Halt>;

impl From<Cause> for Halt {
    fn from(cause: Cause) -> Halt {
        Fault::from(cause).into()
    }
}
