//! The children who are due on a day, and those who wait: one list per day, one queue per service and class.
//!
//! A calendar by day of linked entries in one arena: adding a child to a day and taking the next one change a
//! few numbers, and nothing is allocated once the arena has grown. An outdated entry (the tenotomy place came
//! before the holding cast) is not searched for; its stamp no longer matches, and it is skipped when its turn
//! comes.

const NONE: u32 = u32::MAX;

/// A child due for a service.
#[derive(Debug, Clone, Copy)]
pub(super) struct Entry {
    pub child: u32,
    /// The entry is valid while this is the child's stamp for the service.
    pub stamp: u16,
    /// 0 goes before 1.
    pub class: u8,
    /// Whether the wait begins when the child is due.
    pub begins_wait: bool,
    next: u32,
}

#[derive(Debug, Clone, Copy)]
struct List {
    head: u32,
    tail: u32,
}

const EMPTY: List = List { head: NONE, tail: NONE };

/// The lists of one service.
#[derive(Debug, Default)]
pub(super) struct Queue {
    entries: Vec<Entry>,
    free: Vec<u32>,
    days: Vec<List>,
    lines: [Option<List>; 2],
}

impl Queue {
    /// Empties the lists for a run of `days`.
    pub fn clear(&mut self, days: usize) {
        self.entries.clear();
        self.free.clear();
        self.days.clear();
        self.days.resize(days, EMPTY);
        self.lines = [None; 2];
    }

    /// Adds a child to the list of a day; ignored beyond the last day.
    pub fn put(&mut self, day: i32, child: u32, stamp: u16, class: u8, begins_wait: bool) {
        let Some(index) = usize::try_from(day).ok().filter(|&index| index < self.days.len()) else { return };
        let entry = Entry { child, stamp, class, begins_wait, next: NONE };
        let at = match self.free.pop() {
            Some(at) => {
                self.entries[at as usize] = entry;
                at
            }
            None => {
                self.entries.push(entry);
                (self.entries.len() - 1) as u32
            }
        };
        let mut list = self.days[index];
        self.append(&mut list, at);
        self.days[index] = list;
    }

    /// Takes the first entry off the list of a day.
    pub fn due(&mut self, day: i32) -> Option<(u32, Entry)> {
        let list = self.days.get_mut(usize::try_from(day).ok()?)?;
        if list.head == NONE {
            return None;
        }
        let at = list.head;
        let entry = self.entries[at as usize];
        list.head = entry.next;
        if list.head == NONE {
            list.tail = NONE;
        }
        Some((at, entry))
    }

    /// Moves an entry taken by [`Queue::due`] to the end of its queue.
    pub fn line_up(&mut self, at: u32) {
        let class = usize::from(self.entries[at as usize].class.min(1));
        let mut list = self.lines[class].unwrap_or(EMPTY);
        self.append(&mut list, at);
        self.lines[class] = Some(list);
    }

    /// Discards an entry taken by [`Queue::due`].
    pub fn drop_entry(&mut self, at: u32) {
        self.free.push(at);
    }

    /// The next entry of the queues, class 0 first.
    pub fn next(&mut self) -> Option<Entry> {
        for line in &mut self.lines {
            if let Some(list) = line.as_mut().filter(|list| list.head != NONE) {
                let at = list.head;
                let entry = self.entries[at as usize];
                list.head = entry.next;
                if list.head == NONE {
                    list.tail = NONE;
                }
                self.free.push(at);
                return Some(entry);
            }
        }
        None
    }

    fn append(&mut self, list: &mut List, at: u32) {
        self.entries[at as usize].next = NONE;
        if list.tail == NONE {
            list.head = at;
        } else {
            self.entries[list.tail as usize].next = at;
        }
        list.tail = at;
    }
}
