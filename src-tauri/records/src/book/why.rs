//! The reasons for which an entry does not count, and their words.
//!
//! Which one holds is found in the book itself.

/// Why an entry does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Its device's earlier entries are not here.
    EarlierMissing,
    /// No signature proves it yet.
    NotProven,
    /// The rest of its act is not here.
    ActOpen,
    /// An entry that it rests on is not here.
    BasisMissing,
    /// Its device is not admitted.
    NotAdmitted,
    /// It follows the end of its device.
    AfterEnd,
    /// Its person is not listed for the device.
    NotListed,
    /// It names another crew.
    OtherCrew,
    /// A newer version made it.
    NotUnderstood,
    /// Its values do not fit its kind.
    Unfit,
}

impl Why {
    /// In words, for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Why::EarlierMissing => "earlier entries of this device are still missing",
            Why::NotProven => "no signature proves it",
            Why::ActOpen => "the rest of the same act is still missing",
            Why::BasisMissing => "an entry that it rests on is still missing",
            Why::NotAdmitted => "its device is not admitted to the crew",
            Why::AfterEnd => "its device had been ended",
            Why::NotListed => "its person is not listed for that device",
            Why::OtherCrew => "it belongs to another crew",
            Why::NotUnderstood => "a newer version made it; update the program",
            Why::Unfit => {
                "its values do not fit its kind: a faulty program made it, or a newer version"
            }
        }
    }

    /// As other programs read it: fixed, whatever the words become.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Why::EarlierMissing => "earlierMissing",
            Why::NotProven => "notProven",
            Why::ActOpen => "actOpen",
            Why::BasisMissing => "basisMissing",
            Why::NotAdmitted => "notAdmitted",
            Why::AfterEnd => "afterEnd",
            Why::NotListed => "notListed",
            Why::OtherCrew => "otherCrew",
            Why::NotUnderstood => "notUnderstood",
            Why::Unfit => "unfit",
        }
    }

    /// Whether it may still come to count by itself.
    #[must_use]
    pub fn pending(self) -> bool {
        !matches!(self, Why::AfterEnd | Why::NotListed | Why::OtherCrew)
    }
}
