//! Rulings of the authority: their file, and what they do to an audit.

use std::path::Path;

use jiff::civil::Date;

use crate::audit::Audit;
use crate::mapping::Account;
use crate::mapping::rulings::{self as file, RulingLine, RulingsError, RulingsFile};
use crate::outlet::Date as Day;
use crate::rules::RULES;
use crate::rulings::{self, Answer, Ruled, Ruling};

/// Reads a file of rulings.
pub(super) fn open(path: &Path) -> Result<RulingsFile, RulingsError> {
    let rules: Vec<&str> = RULES.iter().map(|rule| rule.name).collect();
    file::open(path, &rules)
}

/// Applies the rulings of a file to an audit; what they left over is a remark in the account.
pub(super) fn apply(
    file: RulingsFile,
    audit: &mut Audit,
    account: &mut Account,
    as_of: Date,
) -> Ruled {
    let RulingsFile { path, lines, other_headers } = file;
    let rulings = lines.into_iter().map(ruling).collect();
    if !other_headers.is_empty() {
        let headers = other_headers.join(", ");
        account
            .remarks
            .push(format!("{path}: these columns mean nothing in a file of rulings: {headers}"));
    }
    let ruled = rulings::apply(audit, path, rulings, as_of);
    account.remarks.extend(ruled.unused().into_iter().map(|place| {
        let ruling = &ruled.rulings[place];
        format!(
            "{}, line {}: this ruling on {} is about nothing that the audit found",
            ruled.path, ruling.line, ruling.rule
        )
    }));
    ruled
}

fn ruling(line: RulingLine) -> Ruling {
    Ruling {
        line: line.line,
        rule: line.rule,
        outlet_id: line.outlet_id,
        building: line.building,
        floor: line.floor,
        room: line.room,
        trade: line.trade,
        answer: Answer::ALL[line.ruling],
        by: line.by,
        reference: line.reference,
        date: line.date.and_then(Day::civil),
        until: line.until.and_then(Day::civil),
    }
}
