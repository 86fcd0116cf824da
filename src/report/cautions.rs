//! The cautions that every report and the command line show.

/// The one that stands first, wherever there is room for one only.
pub const FIRST: &str = "Electricity kills. Before a cover or an enclosure is opened, qualified persons de-energise the circuit, lock it out and verify that it is dead.";

/// All of them, in order.
pub const ALL: [&str; 5] = [
    FIRST,
    "The code as adopted where the building stands, with its local amendments, and the authority having jurisdiction decide. Where this report differs from them, it is wrong.",
    "Corrections are designed and made by persons licensed to do so. This report is no licence to practise, no inspection and no approval.",
    "The program holds no text of the code: only section numbers and checks written in its own words. Marks beside the sections tell how well each number is confirmed. Read the adopted book before you act.",
    "An answer is only as good as the schedule it was read from. A fact that is not recorded is not judged: no violation found in a thin schedule is no pass.",
];
