//! Files of a class.

use crate::measured::{ClassSheet, read_class};

fn of(text: &str) -> ClassSheet {
    read_class("class.csv", text.as_bytes(), None).unwrap()
}

fn wrong(text: &str, columns: Option<&str>) -> String {
    let all = read_class("class.csv", text.as_bytes(), columns).unwrap_err();
    let all: Vec<String> = all.iter().map(ToString::to_string).collect();
    all.join("\n")
}

#[test]
fn classes_are_read_however_they_are_written() {
    let plain = of("group,value [kJ/mol],u\nA,14.71,0.2\nB,15.02,\nC,,0.1\n");
    assert_eq!(plain.groups.len(), 2);
    assert_eq!(
        (plain.groups[0].value, plain.groups[0].u),
        (14_710.0, Some(200.0))
    );
    assert_eq!(
        (plain.groups[1].u, plain.without.as_slice()),
        (None, &["C".to_owned()][..])
    );
    let comma = of("Team;Result / kJ/mol;U / kJ/mol;Remark\r\n1;14,71;0,4;ok\r\n2;-3,5;1;\r\n");
    assert_eq!(
        (comma.groups[0].value, comma.groups[0].u),
        (14_710.0, Some(200.0))
    );
    assert_eq!(comma.groups[1].value, -3_500.0);
    assert_eq!(comma.groups[0].remark.as_deref(), Some("ok"));
    let tab = of("\u{feff}value (J/mol)\t±\n14710 J/mol\t0.4\n14.9 kJ/mol\t0.3 kJ/mol\n");
    assert_eq!(
        (tab.groups[0].value, tab.groups[1].value),
        (14_710.0, 14_900.0)
    );
    assert_eq!(
        (tab.groups[0].u, tab.groups[1].u),
        (Some(200.0), Some(150.0))
    );
    assert!(
        tab.notes
            .iter()
            .any(|n| n.contains("does not say what it is"))
    );
    let named = read_class(
        "c",
        b"wer;dH;s\nA;1;0.1\n",
        Some("value=dH, u=s, group=wer"),
    );
    let named = named.unwrap().groups.remove(0);
    assert_eq!(
        (named.name.as_str(), named.value, named.u),
        ("A", 1000.0, Some(100.0))
    );
}

#[test]
fn what_cannot_be_read_is_located() {
    let all = wrong("group,value,u\nA,much,0.1\nA,14.7,-1\n", None);
    assert!(
        all.contains("line 2, column \"value\": `much` is not a number"),
        "{all}"
    );
    assert!(all.contains("line 3, column \"u\""), "{all}");
    assert!(all.contains("`A` is in line 2 already"), "{all}");
    assert!(wrong("group,mass [g]\nA,1\n", None).contains("no column `value`"));
    assert!(wrong("value [g]\n1\n", None).contains("not a unit of"));
    assert!(wrong("value,u,U\n1,2,3\n", None).contains("says the same"));
    assert!(wrong("value,u\n1,0\n", None).contains("an uncertainty of zero"));
    assert!(wrong("value\n\n", None).contains("no group"));
    assert!(wrong("", None).contains("nothing in the file"));
    assert!(wrong("value\n1\n", Some("q=x")).contains("no such column"));
    assert!(wrong("value\n1\n", Some("u=x")).contains("no such header"));
    assert!(wrong("a;b\n1,5;2.5\n", Some("value=a, u=b")).contains("decimal mark"));
}
