//! The first rows of the clinic's own sheet, with a menu above each column for what it means.

use crate::words;
use maud::{Markup, html};

/// A menu with one answer chosen.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Menu {
    /// Name of the form field.
    pub name: String,
    /// What it asks, such as "Foot".
    pub label: String,
    /// The answers.
    pub options: Vec<MenuOption>,
    /// Key of the chosen answer.
    pub chosen: String,
}

/// An answer in a menu.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MenuOption {
    /// The value sent.
    pub key: String,
    /// The words shown.
    pub words: String,
}

/// Answers under one heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MenuGroup {
    /// The heading, such as "The child".
    pub head: String,
    /// The answers.
    pub options: Vec<MenuOption>,
}

/// A column with its menus.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ColumnMenus {
    /// Its place in the sheet, counted from 0; names of fields and ids are made from it.
    pub index: usize,
    /// Its letter in a spreadsheet program.
    pub letter: String,
    /// Its heading; empty if it has none.
    pub header: String,
    /// Key of its meaning; empty while it has none.
    pub meaning: String,
    /// The reason for the meaning, or why there is none, in one line.
    pub why: String,
    /// Further menus that its meaning asks for: foot, unit or coding, order of dates.
    pub menus: Vec<Menu>,
    /// Whether it holds anything. An empty column needs no meaning.
    pub filled: bool,
}

impl ColumnMenus {
    /// Whether it holds something and nothing of it would be imported, though nobody decided that.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.meaning.is_empty() && self.filled
    }

    /// Its heading, or "column C" if it has none.
    #[must_use]
    pub fn shown(&self) -> String {
        if self.header.trim().is_empty() {
            format!("column {}", self.letter)
        } else {
            format!("“{}”", self.header)
        }
    }

    /// The id of its menu of meanings.
    #[must_use]
    pub fn anchor(&self) -> String {
        format!("meaning-{}", self.index)
    }
}

/// A row of the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetRow {
    /// Its number in the file; row 1 is the first.
    pub row: usize,
    /// Its cells under the columns shown.
    pub cells: Vec<String>,
}

/// The sheet with its menus.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SheetMenus {
    /// Menus about the file as a whole: the sheet of a workbook, the row of the headings.
    pub whole: Vec<Menu>,
    /// What a column can mean, under plain headings.
    pub meanings: Vec<MenuGroup>,
    /// The columns shown.
    pub columns: Vec<ColumnMenus>,
    /// Place of the first column shown, counted from 0.
    pub from: usize,
    /// Number of columns in the sheet.
    pub columns_in_all: usize,
    /// The first rows.
    pub rows: Vec<SheetRow>,
    /// Columns of the whole sheet that hold something and have no meaning: heading and place.
    pub open: Vec<(String, usize)>,
}

impl SheetMenus {
    fn shows(&self, index: usize) -> bool {
        self.columns.iter().any(|column| column.index == index)
    }
}

/// The section with the sheet.
pub(super) fn sheet(view: &SheetMenus) -> Markup {
    html! {
        @if !view.columns.is_empty() { section.import-sheet aria-labelledby="sheet-head" {
            h2 id="sheet-head" { "Your sheet" }
            p { "The first rows, with what each column is taken to mean. Change it in the menu above the column." }
            (open_columns(view))
            @if !view.whole.is_empty() { div.sheet-whole { @for menu in &view.whole { div.pick-field { (menu_field(menu, "")) } } } }
            div.scroll.sheet-box id="sheet-box" tabindex="0" role="region" aria-label="Table: the first rows of your sheet" {
                table.sheet {
                    thead {
                        tr { th.row-no scope="col" { "Row" } @for column in &view.columns { (heading(column)) } }
                        tr.menus { td.row-no {} @for column in &view.columns { (menus(column, &view.meanings)) } }
                    }
                    tbody { @for row in &view.rows { tr {
                        th.row-no scope="row" { (row.row) }
                        @for cell in &row.cells { td dir="auto" { (cell) } }
                    } } }
                }
            }
            (other_columns(view))
        } }
    }
}

/// Columns whose contents nobody has given a meaning, each with a link to its menu.
fn open_columns(view: &SheetMenus) -> Markup {
    html! {
        @if !view.open.is_empty() {
            p.open-columns {
                strong { (words::count(view.open.len() as i64, "column has", "columns have")) " no meaning yet:" }
                @for (heading, index) in &view.open {
                    " " @if view.shows(*index) { a href={ "#meaning-" (index) } { bdi { (heading) } } } @else { bdi { (heading) } }
                }
            }
        }
    }
}

fn heading(column: &ColumnMenus) -> Markup {
    html! {
        th.open[column.is_open()].left-out[column.meaning == "ignore"] scope="col" {
            span.letter { (column.letter) } " "
            @if column.header.trim().is_empty() { span.hint { "no heading" } } @else { bdi { (column.header) } }
        }
    }
}

fn menus(column: &ColumnMenus, meanings: &[MenuGroup]) -> Markup {
    let of = format!(" of {}", column.shown());
    let (id, why) = (column.anchor(), format!("why-{}", column.index));
    html! {
        td.open[column.is_open()].left-out[column.meaning == "ignore"] {
            div.pick-field {
                label for=(id) { "Meaning" span.sr { (of) } }
                select id=(id) name=(id) aria-describedby=(why) {
                    @if column.meaning.is_empty() { option value="" selected { "– choose –" } }
                    @for group in meanings { optgroup label=(group.head) {
                        @for option in &group.options { (choice(option, &column.meaning)) }
                    } }
                }
            }
            @for menu in &column.menus { div.pick-field { (menu_field(menu, &of)) } }
            p.why-line id=(why) { @if column.is_open() { strong { "Not understood: " } } (column.why) }
        }
    }
}

fn choice(option: &MenuOption, chosen: &str) -> Markup {
    html! { option value=(option.key) selected[option.key == chosen] { (option.words) } }
}

fn menu_field(menu: &Menu, of: &str) -> Markup {
    html! {
        label for=(menu.name) { (menu.label) @if !of.is_empty() { span.sr { (of) } } }
        select id=(menu.name) name=(menu.name) { @for option in &menu.options { (choice(option, &menu.chosen)) } }
    }
}

/// Buttons to the columns that are not shown. Each shows the page again with what is chosen so far.
fn other_columns(view: &SheetMenus) -> Markup {
    let step = view.columns.len();
    let last = view.from + step;
    html! {
        @if step < view.columns_in_all {
            p.actions {
                "Columns " (view.from + 1) " to " (last) " of " (view.columns_in_all) " are shown. "
                @if view.from > 0 { button type="submit" formaction="/import/settle" formnovalidate name="from" value=(view.from.saturating_sub(step)) { "Earlier columns" } }
                @if last < view.columns_in_all { button type="submit" formaction="/import/settle" formnovalidate name="from" value=(last) { "Further columns" } }
            }
        }
    }
}
