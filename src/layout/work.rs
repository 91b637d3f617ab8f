//! Work that may still be done: counted in steps, never timed, so that every machine gives the same plan.

use std::fmt;

use super::job::Kind;

/// Steps between two looks at whether to stop.
const UNASKED: u64 = 50_000;

/// Steps of a first look among layouts of any kind.
const FIRST_LOOK: u64 = 100_000;

/// Steps of search that are left, until they are used up or someone asks to stop.
#[derive(Clone, Copy)]
pub(super) struct Work<'s> {
    left: u64,
    /// Steps spent beyond what there were.
    over: u64,
    /// Steps since it was last asked whether to stop.
    unasked: u64,
    stop: &'s dyn Fn() -> bool,
}

impl<'s> Work<'s> {
    /// So many steps, none once `stop` says so.
    pub fn new(steps: u64, stop: &'s dyn Fn() -> bool) -> Work<'s> {
        Work { left: if stop() { 0 } else { steps }, over: 0, unasked: 0, stop }
    }

    /// Steps that are left.
    pub fn left(&self) -> u64 {
        self.left
    }

    /// Whether none is left.
    pub fn out(&self) -> bool {
        self.left == 0
    }

    /// Takes so many steps; whether there were as many.
    pub fn spend(&mut self, steps: u64) -> bool {
        let enough = self.left >= steps;
        self.over = self.over.saturating_add(steps.saturating_sub(self.left));
        self.left = self.left.saturating_sub(steps);
        self.unasked = self.unasked.saturating_add(steps);
        if self.unasked >= UNASKED {
            self.unasked = 0;
            if (self.stop)() {
                self.left = 0;
            }
        }
        enough
    }

    /// Takes off at most so many steps for something else.
    pub fn part(&mut self, most: u64) -> Work<'s> {
        let left = self.left.min(most);
        self.left -= left;
        Work { left, over: 0, ..*self }
    }

    /// So many steps beside these, until someone asks to stop.
    pub fn beside(&self, steps: u64) -> Work<'s> {
        Work::new(steps, self.stop)
    }

    /// Does what takes so many steps at most, and pays for it: it comes out the same however few are left, unless
    /// none is.
    pub fn whole<T>(&mut self, most: u64, does: impl FnOnce(&mut Work<'_>) -> T) -> T {
        let mut some = self.beside(if self.out() { 0 } else { most });
        let given = some.left;
        let done = does(&mut some);
        self.spend((given - some.left).saturating_add(some.over));
        done
    }

    /// Takes back what is left of a part, and pays what it spent beyond its own.
    pub fn back(&mut self, part: Work<'_>) {
        let left = self.left.saturating_add(part.left);
        self.over = self.over.saturating_add(part.over.saturating_sub(left));
        self.left = left.saturating_sub(part.over);
        // A part that was stopped leaves nothing; the next step here asks again.
        self.unasked = self.unasked.max(UNASKED - 1);
    }
}

/// Work for plans of each kind, the plainest first.
pub(super) struct Shares<'s> {
    given: u64,
    left: Work<'s>,
}

impl<'s> Shares<'s> {
    /// All of the work.
    pub fn of(work: Work<'s>) -> Shares<'s> {
        Shares { given: work.left, left: work }
    }

    /// Half for strips, which often leave most of it, and the rest for cuts from edge to edge; layouts of
    /// any kind get a quarter as much again, or what a first look takes.
    pub fn of_kind(&mut self, kind: Kind) -> Work<'s> {
        match kind {
            Kind::Strips => self.left.part(self.given / 2),
            Kind::EdgeToEdge => self.left.part(u64::MAX),
            Kind::Any => self.left.beside((self.given / 4).max(FIRST_LOOK.min(self.given / 2))),
        }
    }

    /// Takes back what is left of a share.
    pub fn back(&mut self, share: Work<'_>) {
        self.left.back(share);
    }

    /// What is left of all.
    pub fn rest(self) -> Work<'s> {
        self.left
    }
}

impl fmt::Debug for Work<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} steps", self.left)
    }
}
