//! Tests of the meaning of expressions, and of what is refused where.

use super::*;

#[test]
fn products_bind_before_sums_before_comparisons_before_and_before_or() {
    let expr = Expr::parse("1 + 2 × 3 < 8 and true or false", &[]).unwrap();
    let Node::Either(left, _) = expr.node else { panic!("or comes last") };
    let Node::Both(left, _) = left.node else { panic!("and before or") };
    let Node::Compared(Compare::Less, sum, _) = left.node else { panic!("a comparison") };
    assert!(matches!(sum.node, Node::Joined(Join::Plus, ..)));
}

#[test]
fn units_are_checked_and_a_gap_less_a_gap_has_no_side() {
    let sort = |text: &str| Expr::parse(text, &[]).unwrap().sort;
    assert_eq!(sort("deck_clearance"), Sort::Gap);
    assert_eq!(sort("deck_clearance + 0.2 mm"), Sort::Gap);
    assert_eq!(sort("deck_clearance − start(deck_clearance)"), Sort::Length);
    assert_eq!(sort("abs(deck_clearance)"), Sort::Length);
    assert_eq!(sort("chamber_volume ÷ clearance_volume"), Sort::Plain);
    assert_eq!(sort("2 × bore"), Sort::Length);
    assert_eq!(sort("static_ratio − 1"), Sort::Ratio);
    assert_eq!(sort("with(base_shim, 0, static_ratio)"), Sort::Ratio);
    assert_eq!(sort("all(level ≤ level_max)"), Sort::Truth);
}

#[test]
fn what_is_wrong_is_told_with_its_column() {
    for (text, column, what) in [
        ("bore > 3", 8, "a number without unit stands against a length"),
        ("bore × stroke", 8, "a length and a length can't be taken together so"),
        ("bore and true", 1, "a truth is wanted here, and this is a length"),
        ("shim > 0", 1, "‘shim’ is not known; a fact is one of bore, stroke"),
        ("abs(bore", 9, "‘)’ is wanted here, not the end"),
        ("bore >", 7, "the expression ends too early"),
        ("bore bore", 6, "‘bore’ is one too many"),
        ("cylinder(5, bore)", 10, "the label of a cylinder in quotes is wanted here: '5'"),
        ("sin(bore)", 1, "there is no function ‘sin’"),
        ("shows(kitchen)", 7, "‘kitchen’ is not known; a view is one of section"),
        ("with(base_shim, 1 cc, bore)", 17, "a volume stands against a length"),
        ("not bore", 5, "a truth is wanted here"),
    ] {
        let error = Expr::parse(text, &[]).unwrap_err();
        assert_eq!(error.column, column, "{text}: {error}");
        assert!(error.what.starts_with(what), "{text}: {error}");
    }
    let deep = format!("{}1{}", "(".repeat(100), ")".repeat(100));
    assert!(Expr::parse(&deep, &[]).unwrap_err().what.contains("deeper"));
}

#[test]
fn a_name_stands_for_its_expression() {
    let aim = Expr::parse("start(base_shim) + 0.2 mm", &[]).unwrap();
    let names = [("aim".to_owned(), aim.clone())];
    assert_eq!(Expr::parse("aim", &names).unwrap(), aim);
}
