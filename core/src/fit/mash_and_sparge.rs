//! A value for the mash and one for the sparge liquor: the two samples whose pH can be a target.

/// Something of the mash, and the same of the sparge liquor.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct MashAndSparge<T> {
    pub mash: T,
    pub sparge: T,
}

impl<T> MashAndSparge<T> {
    pub fn map<U>(self, f: impl Fn(T) -> U) -> MashAndSparge<U> {
        MashAndSparge {
            mash: f(self.mash),
            sparge: f(self.sparge),
        }
    }

    pub fn iter(&self) -> impl Iterator<Item = &T> {
        [&self.mash, &self.sparge].into_iter()
    }

    pub fn iter_mut(&mut self) -> impl Iterator<Item = &mut T> {
        [&mut self.mash, &mut self.sparge].into_iter()
    }
}
