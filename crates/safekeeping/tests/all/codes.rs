use proptest::prelude::*;
use safekeeping::{RecoveryCode, RecoverySheetText, SafekeepingError, read_sheet_text};

#[test]
fn a_code_is_eight_groups_of_five_and_reads_back_however_it_is_typed() {
    let code = RecoveryCode::new();
    let text = code.to_string();
    assert_eq!(text.len(), 8 * 5 + 7);
    for typed in
        [text.clone(), text.to_uppercase(), text.replace('-', " "), format!("  {}\n", text.replace('-', ""))]
    {
        assert_eq!(typed.parse::<RecoveryCode>().unwrap(), code);
    }
}

#[test]
fn two_halves_make_the_code_and_one_does_not() {
    let code = RecoveryCode::new();
    let (first, second) = code.halves();
    assert_eq!(RecoveryCode::of_halves(&second, &first).unwrap(), code);
    assert!(matches!(RecoveryCode::of_halves(&first, &first.clone()), Err(SafekeepingError::Halves(_))));
    assert_eq!(read_sheet_text(&first.to_string()).unwrap(), RecoverySheetText::Half(first.clone()));
    assert_eq!(read_sheet_text(&second.to_string()).unwrap(), RecoverySheetText::Half(second.clone()));
    assert!(matches!(first.to_string().parse::<RecoveryCode>(), Err(SafekeepingError::Halves(_))));
    let (again, _) = code.halves();
    assert_ne!(again, first);
}

#[test]
fn what_is_wrong_with_a_typed_code_is_named() {
    let text = RecoveryCode::new().to_string();
    let error = |text: &str| text.parse::<RecoveryCode>().unwrap_err();
    assert_eq!(
        error(&text.replace('-', "").replacen(|_: char| true, "l", 1)),
        SafekeepingError::NotInCode('l')
    );
    let expected = SafekeepingError::CodeLength { expected: 8, letters: 39 };
    assert_eq!(error(&text[..text.len() - 1]), expected);
    let mut groups: Vec<&str> = text.split('-').collect();
    let other = if groups[5].starts_with('a') { "b" } else { "a" };
    let sixth = format!("{other}{}", &groups[5][1..]);
    groups[5] = &sixth;
    assert_eq!(error(&groups.join("-")), SafekeepingError::CodeGroup(6));
}

proptest! {
    /// Two groups exchanged are found, because each check letter knows its place.
    #[test]
    fn exchanged_groups_are_found(one in 0usize..8, other in 0usize..8) {
        prop_assume!(one != other);
        let text = RecoveryCode::new().to_string();
        let mut groups: Vec<&str> = text.split('-').collect();
        prop_assume!(groups[one] != groups[other]);
        groups.swap(one, other);
        prop_assert!(groups.join("-").parse::<RecoveryCode>().is_err());
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,80}") {
        let _ = read_sheet_text(&text);
    }
}
