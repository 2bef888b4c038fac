//! The sentences of the guide for the first day as steps: what a person types, presses and sees. A numbered step may
//! hold nothing else; what is in brackets is an explanation.

/// One step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Lines typed in a terminal window.
    Commands(Vec<String>),
    /// The window shows this.
    WindowShows(String),
    /// The link of the window is opened.
    OpenLink,
    /// A link or a fold is opened.
    Open(String),
    /// A button is pressed.
    Press(String),
    /// Text is typed into a field.
    Type { text: String, field: String },
    /// What the page shows once is written down under this name.
    WriteDown(String),
    /// What was written down is typed into a field.
    TypeNoted { what: String, field: String },
    /// A file is chosen in a field.
    ChooseFile { file: String, field: String },
    /// An answer is chosen.
    Choose { question: String, answer: String },
    /// The page shows this.
    See(String),
    /// The program is ended as a person ends it.
    End,
    /// It is started again.
    StartAgain,
    /// The lines that follow are saved under this name.
    Save { file: String, lines: String },
    /// The records are copied to this folder.
    CopyRecords(String),
}

/// The steps of a guide in their order, each with the number of its line, and the names in its other text.
#[derive(Debug, Default)]
pub struct Guide {
    pub steps: Vec<(usize, Step)>,
    pub names: Vec<(usize, String)>,
}

/// A sentence with its marks taken out: `Type “” in **`, and what the marks held.
#[derive(Debug, Default, PartialEq, Eq)]
struct Sentence {
    shape: String,
    marked: Vec<String>,
}

impl Guide {
    /// Reads a guide.
    pub fn read(text: &str) -> Result<Self, String> {
        let mut guide = Self::default();
        let mut lines = text.lines().enumerate().map(|(place, line)| (place + 1, line.trim()));
        while let Some((number, line)) = lines.next() {
            if let Some(kind) = line.strip_prefix("```") {
                let block: Vec<String> = lines
                    .by_ref()
                    .map(|(_, line)| line.to_owned())
                    .take_while(|line| line != "```")
                    .collect();
                guide.block(number, kind, block)?;
            } else if let Some(step) = numbered(line) {
                let (told, explained) = without_brackets(step);
                for sentence in sentences(&told) {
                    let steps = steps_of(&sentence)
                        .ok_or_else(|| format!("line {number}: {sentence:?} is no step"))?;
                    guide.steps.extend(steps.into_iter().map(|step| (number, step)));
                }
                guide.prose(number, &explained);
            } else {
                guide.prose(number, line);
            }
        }
        Ok(guide)
    }

    fn prose(&mut self, number: usize, text: &str) {
        let names = text.split('*').skip(1).step_by(2).filter(|name| !name.is_empty());
        self.names.extend(names.map(|name| (number, name.to_owned())));
    }

    /// A box of lines: commands, or the contents of the file named in the step before it.
    fn block(&mut self, number: usize, kind: &str, block: Vec<String>) -> Result<(), String> {
        match (kind, self.steps.last_mut()) {
            ("sh", _) => self.steps.push((number, Step::Commands(block))),
            ("toml", Some((_, Step::Save { lines, .. }))) if lines.is_empty() => {
                *lines = block.join("\n") + "\n"
            }
            _ => return Err(format!("line {number}: nothing says what to do with this box")),
        }
        Ok(())
    }
}

/// The text of a numbered step.
fn numbered(line: &str) -> Option<&str> {
    let (number, text) = line.split_once(". ")?;
    (!number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit())).then_some(text)
}

/// A step without its explanations, and these.
fn without_brackets(step: &str) -> (String, String) {
    let (mut told, mut explained, mut depth) = (String::new(), String::new(), 0_u32);
    for letter in step.chars() {
        match letter {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ if depth > 0 => explained.push(letter),
            _ => told.push(letter),
        }
    }
    (told, explained)
}

/// The sentences of a step. A full stop within a mark ends none.
fn sentences(text: &str) -> Vec<Sentence> {
    let mut all = Vec::new();
    let mut now = Sentence::default();
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        let end = match letter {
            '*' => '*',
            '“' => '”',
            '`' => '`',
            '.' => {
                all.push(std::mem::take(&mut now));
                continue;
            }
            plain => {
                now.shape.push(plain);
                continue;
            }
        };
        now.shape.extend([letter, end]);
        now.marked.push(letters.by_ref().take_while(|letter| *letter != end).collect());
    }
    all.push(now);
    for sentence in &mut all {
        sentence.shape = sentence.shape.trim().to_owned();
    }
    all.retain(|sentence| !sentence.shape.is_empty());
    all
}

/// What a sentence asks for; `None` for one that is not understood.
fn steps_of(Sentence { shape, marked }: &Sentence) -> Option<Vec<Step>> {
    let one = |place: usize| marked.get(place).cloned().unwrap_or_default();
    let step = match shape.as_str() {
        "Open **" | "Open **, then **" | "Open **, then **, then **" => {
            return Some(marked.iter().cloned().map(Step::Open).collect());
        }
        "You see **" | "You see “”" | "You see ** and “”" | "You see “” and “”" | "You see ** and **" =>
        {
            return Some(marked.iter().cloned().map(Step::See).collect());
        }
        "Press **" => Step::Press(one(0)),
        "Type “” in **" => Step::Type { text: one(0), field: one(1) },
        "Write down “”" => Step::WriteDown(one(0)),
        "Type in ** what you wrote down as “”" => Step::TypeNoted { what: one(1), field: one(0) },
        "Choose the file `` in **" => Step::ChooseFile { file: one(0), field: one(1) },
        "For ** choose **" => Step::Choose { question: one(0), answer: one(1) },
        "The window shows “”" => Step::WindowShows(one(0)),
        "Open the link that the window shows" => Step::OpenLink,
        "End the program with Ctrl-C in its window" => Step::End,
        "Start the program again" => Step::StartAgain,
        "Save these lines as `` in the records folder" => Step::Save { file: one(0), lines: String::new() },
        "Copy the records folder to ``" => Step::CopyRecords(one(0)),
        _ => return None,
    };
    Some(vec![step])
}

#[test]
fn sentences_become_steps() {
    let text = "Text with *a name*.\n\n1. Open *A*, then *B*. (Not *C*. Really.) You see “Saved.” and “4 of 6”.\n2. Type “x. y” in *F*.\n\n```sh\nplantigrade\n```\n";
    let guide = Guide::read(text).unwrap();
    let steps: Vec<Step> = guide.steps.into_iter().map(|(_, step)| step).collect();
    assert_eq!(
        steps,
        [
            Step::Open("A".into()),
            Step::Open("B".into()),
            Step::See("Saved.".into()),
            Step::See("4 of 6".into()),
            Step::Type { text: "x. y".into(), field: "F".into() },
            Step::Commands(vec!["plantigrade".into()]),
        ]
    );
    assert_eq!(guide.names, [(1, "a name".to_owned()), (3, "C".to_owned())]);
}

#[test]
fn a_sentence_that_nobody_follows_is_refused() {
    for text in
        ["1. Press the button.", "1. Press *A* twice.", "1. Wait. Press *A*.", "```toml\nname = 1\n```"]
    {
        assert!(Guide::read(text).is_err(), "{text}");
    }
}
