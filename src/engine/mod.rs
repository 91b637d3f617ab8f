//! Names, evaluation, the embedded library, the session.
