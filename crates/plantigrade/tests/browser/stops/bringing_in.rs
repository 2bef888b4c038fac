//! Pages about encryption, of bringing in a sheet, and of what the clinic prints.

use super::{Stop, Way, refused, stop};

/// A spreadsheet with a row of every fate. Invented.
const SHEET: &str = "\
number,name,date of birth,side,date,lateral border,medial crease,talar head,posterior crease,rigid equinus,empty heel,total
H901,Ottoline Farrow,02/03/2024,R,25/03/2024,1,1,0.5,1,1,1,5.5
H901,Ottoline Farrow,02/03/2024,R,01/04/2024,0.5,0.5,0.5,1,1,1,4.5
H902,Bram Tolliver,14/03/2024,L,25/03/2024,1,1,1,1,1,1,4
H903,Sunniva Okafor-Lund,20/03/2024,both,02/04/2024,0.5,1,1,1,1,1,
H904,Ignatius Vane,20/03/2024,R,02/04/2024,3,1,1,1,1,1,
H905,Ottoline Farow,02/03/2024,R,31/02/2024,1,1,1,1,1,1,6
";

/// A spreadsheet in words that must be asked about. Invented.
const OTHER_WORDS: &str = "\
Dossier;Nom;Né le;Visite;Pied;Xa;Pirani;Geste;حالة
H951;Farrow Ottoline;02/03/2024;25/03/2024;D;1;5,5;plâtre;جيد
H951;Farrow Ottoline;02/03/2024;28/03/2024;D;0,5;4,5;zinzolin;جيد
H952;Tolliver Bram;14/03/2024;25/03/2024;G;1;sain;plâtre;
H953;Okafor-Lund Sunniva;20/03/2024;02/04/2024;D;0,5;5;plâtre;جيد
";

/// They are in the order in which a person meets them.
pub fn of_imports() -> Vec<Stop> {
    vec![
        stop("encryption", Way::Path("/settings/encryption"), "Encryption"),
        stop("first-steps-encryption", Way::Path("/first-steps/encryption"), "Encrypt the records?"),
        stop("import", Way::Path("/import"), "What happens next"),
        refused("import-refused", Way::File("letter.xlsx", "Dear colleague,"), "letter.xlsx"),
        stop("import-pairs", Way::Pairs, "pairs 51 to 60 of 60"),
        stop("import-preview", Way::File("clinic-sheet.csv", SHEET), "nothing is saved yet"),
        stop("import-done", Way::Confirm, "Import finished"),
        stop(
            "import-questions",
            Way::File("other-words.csv", OTHER_WORDS),
            "Import without what is still open?",
        ),
        stop("import-look", Way::ShowAgain, "Each answer counts for every row"),
        stop("import-maps", Way::Path("/settings/maps"), "Import maps"),
        stop("document-languages", Way::Path("/documents/languages"), "Languages of documents"),
        stop(
            "document-texts",
            Way::Path("/documents/texts?lang=sw&group=plan"),
            "Every sentence that a family reads",
        ),
        stop("document-text", Way::Path("/documents/texts/en/you-are-here"), "As it is printed"),
        stop("letterhead", Way::Path("/settings/letterhead"), "People families may talk to"),
        stop("sheets", Way::Path("/sheets"), "When the power is back"),
        stop("past-imports", Way::Path("/import/past"), "clinic-sheet.csv"),
        stop("undo-import", Way::Link("/import/past", "tbody a"), "What would happen"),
    ]
}
