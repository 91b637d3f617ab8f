//! What variables stand for, and the way back.

/// Variables by number, what each was bound to, and in which order.
#[derive(Debug)]
pub(crate) struct Bindings<T> {
    bound: Vec<Option<T>>,
    trail: Vec<u32>,
}

impl<T> Default for Bindings<T> {
    fn default() -> Bindings<T> {
        Bindings { bound: Vec::new(), trail: Vec::new() }
    }
}

impl<T> Bindings<T> {
    /// A new variable.
    pub fn fresh(&mut self) -> u32 {
        self.bound.push(None);
        u32::try_from(self.bound.len().saturating_sub(1)).unwrap_or(u32::MAX)
    }

    /// What a variable stands for.
    pub fn get(&self, var: u32) -> Option<&T> {
        self.bound.get(var as usize).and_then(Option::as_ref)
    }

    /// From here on a variable stands for this.
    pub fn bind(&mut self, var: u32, to: T) {
        if let Some(place) = self.bound.get_mut(var as usize) {
            *place = Some(to);
            self.trail.push(var);
        }
    }

    /// How much is bound.
    pub fn mark(&self) -> usize {
        self.trail.len()
    }

    /// Takes back what was bound since a mark.
    pub fn undo(&mut self, mark: usize) {
        for var in self.trail.drain(mark.min(self.trail.len())..) {
            if let Some(place) = self.bound.get_mut(var as usize) {
                *place = None;
            }
        }
    }
}
