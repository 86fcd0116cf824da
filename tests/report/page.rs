//! The page: nothing of an input is obeyed as markup, long tables say where they end, and the charts and
//! filters hold what the audit holds.

use yokecheck::audit::Audit;
use yokecheck::mapping::account::Account;
use yokecheck::outlet::{Field, Kind, facts};
use yokecheck::report::html::{self, Limits};
use yokecheck::report::{Context, Report};
use yokecheck::statistics::Statistics;

use super::example::{Schedule, account, context, schedule};

const HOSTILE: &str = "<script>alert('x')</script> \"Q\" & <img src=x onerror=alert(1)>";

fn page(audit: &Audit, account: &Account, context: &Context, limits: Limits) -> String {
    let statistics = Statistics::of(audit).unwrap();
    let report = Report {
        audit,
        account,
        statistics: &statistics,
        context,
        rulings: &yokecheck::rulings::Ruled::default(),
    };
    let mut out = Vec::new();
    html::write(&report, limits, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn usual() -> String {
    page(&schedule().audit(false), &account(), &context(), Limits::default())
}

/// An audit whose every text field, file name, sheet, fault, header, option and project is hostile.
fn hostile() -> String {
    let mut schedule = Schedule::default();
    for row in 3..6 {
        schedule.row(0, 0, row).sound().fact(facts::TERMINALS_EXPOSED, true);
    }
    schedule.row(0, 0, 6).sound().unreadable(facts::TERMINALS_EXPOSED);
    let countertop = yokecheck::outlet::words::MountingLocation::Countertop;
    schedule.row(0, 0, 7).sound().fact(facts::MOUNTING_LOCATION, countertop);
    for (place, outlet) in schedule.outlets.iter_mut().enumerate() {
        for field in Field::ALL.iter().filter(|field| field.kind() == Kind::Text) {
            let text = schedule.texts.intern(&format!("{HOSTILE} {} {place}", field.name()));
            let raw = yokecheck::outlet::Value::raw(text);
            outlet.set_raw(*field, yokecheck::outlet::Fact::Known(raw));
        }
    }
    let mut account = account();
    account.inputs[0].path = HOSTILE.into();
    account.problems.push(HOSTILE.to_owned());
    account.remarks.push(HOSTILE.to_owned());
    let sheet = &mut account.inputs[0].sheets[0];
    sheet.name = Some(HOSTILE.to_owned());
    sheet.faults[0].text = HOSTILE.into();
    sheet.columns[8].header = HOSTILE.into();
    let context =
        Context { project: HOSTILE.to_owned(), options: vec![HOSTILE.to_owned()], ..context() };
    page(&schedule.audit(false), &account, &context, Limits::default())
}

#[test]
fn no_text_of_an_input_is_obeyed() {
    let page = hostile();
    let shown = "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &quot;Q&quot; &amp; &lt;img src=x";
    for field in ["building 0", "floor 0", "room 0", "outlet_id 0", "trade 0", "evidence 0"] {
        let text = format!("onerror=alert(1)&gt; {field}");
        assert!(page.contains(&text), "{field}");
    }
    assert!(page.matches(shown).count() > 60, "{}", page.matches(shown).count());
    // One script and no picture: those of the page itself.
    assert_eq!(page.matches("<script").count(), 1);
    assert_eq!(page.matches("</script").count(), 1);
    assert_eq!(page.matches("<img").count(), 0);
    assert!(!page.contains("alert('x')"));
    // Without the page's own script and style, no quote of the hostile text stands bare.
    assert!(!page.contains("\"Q\""));
}

#[test]
fn evidence_is_a_link_only_when_it_is_of_the_web() {
    let mut schedule = Schedule::default();
    for (row, link) in [(3, "https://photos.example/a?b=1&c='2'"), (4, "javascript:alert(1)")] {
        schedule
            .row(0, 0, row)
            .at("A", "North", "1", "1")
            .sound()
            .fact(facts::TERMINALS_EXPOSED, true)
            .text(facts::EVIDENCE, link);
    }
    let page = page(&schedule.audit(false), &account(), &context(), Limits::default());
    assert!(page.contains("href=\"https://photos.example/a?b=1&amp;c=&#39;2&#39;\""));
    assert!(page.contains("javascript:alert(1)"));
    assert!(!page.contains("href=\"javascript"));
}

#[test]
fn the_page_asks_the_network_for_nothing() {
    let page = usual();
    for attribute in ["src=\"", "url(", "@import", "http-equiv=\"refresh\""] {
        assert!(!page.contains(attribute), "{attribute}");
    }
    // The one request that a browser makes unasked, for a picture of the tab, is answered in the page.
    assert!(page.contains("<link rel=\"icon\" href=\"data:,\">"));
    assert!(page.contains("default-src 'none'"));
}

#[test]
fn every_header_says_of_what_and_the_cautions_stand_at_both_ends() {
    let page = usual();
    assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en-GB\">"));
    let headers = page.matches("<th ").count();
    let scoped =
        page.matches("<th scope=\"col\"").count() + page.matches("<th scope=\"row\"").count();
    assert!(headers > 50);
    assert_eq!(headers, scoped);
    assert_eq!(page.matches("<th>").count(), 0);
    for caution in yokecheck::report::cautions::ALL {
        assert_eq!(page.matches(caution).count(), 2, "{caution}");
    }
}

#[test]
fn rows_beyond_the_bound_are_told_and_not_shown() {
    let audit = schedule().audit(false);
    let all = audit.violation_count();
    assert!(all > 2);
    let page = page(&audit, &account(), &context(), Limits { violations: 2, rows: 3 });
    assert!(page.contains(&format!("The first 2 of {all} rows. The workbook holds all.")));
    let (_, violations) = page.split_once("<section id=\"violations\"").unwrap();
    let (violations, _) = violations.split_once("</section>").unwrap();
    assert_eq!(violations.matches("<tr><td>").count(), 2);
    assert!(page.contains("The first 3 of "));
}

#[test]
fn an_audit_without_a_violation_says_so() {
    let mut schedule = Schedule::default();
    schedule.row(0, 0, 3).at("A", "North", "1", "1").sound();
    let page = page(&schedule.audit(false), &account(), &context(), Limits::default());
    assert!(page.contains("No violation was found among the verdicts that could be decided."));
    assert!(!page.contains("<form"));
}
