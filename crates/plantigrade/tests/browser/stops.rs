//! Every page of the program, how to come to it in the invented clinic, and what it must say there.

mod bringing_in;
mod child_pages;
mod clinic_pages;
mod coming;
mod outside;

pub use child_pages::{of_a_child, of_adding, of_documents};
pub use clinic_pages::of_the_clinic;
pub use coming::{child, choose, close_again, open_all};
pub use outside::{first_start, of_a_coordinator, of_the_network, one_time_password, outside, second_step};

/// A page to look at.
pub struct Stop {
    /// Its name in reports and files.
    pub name: &'static str,
    /// How to come there.
    pub way: Way,
    /// The status with which it comes.
    pub status: u16,
    /// What it says, so that no error page is taken for it.
    pub says: &'static str,
}

/// How to come to a page.
pub enum Way {
    /// By a path.
    Path(&'static str),
    /// By a path below the page of the child with this number in the invented clinic.
    Child(u32, &'static str),
    /// To the entry of a child whose line on the child's page says this.
    Entry(u32, &'static str),
    /// By a path, and then by sending a form of it: the button says this, after these fields are filled.
    Sent(&'static str, &'static [(&'static str, &'static str)], &'static str),
    /// By a path below the page of a child, and then by sending a form of it, as with [`Way::Sent`]; the first field
    /// is pressed and not typed into.
    ChildSent(u32, &'static str, &'static str, &'static [(&'static str, &'static str)], &'static str),
    /// By a path, and then by sending a form of it, as with [`Way::Sent`], after this is pressed.
    Pressed(&'static str, &'static str, &'static [(&'static str, &'static str)], &'static str),
    /// By sending the visit form of a child.
    Visit(u32, &'static [(&'static str, &'static str)], &'static str),
    /// To the first page below the children whose number begins so, out of those whose address is made from
    /// the address of an entry by this replacement, that answers with 200 and does not lead elsewhere.
    OfSomeEntry(&'static str, &'static str),
    /// By choosing the file of a logger for this child.
    LoggerFile(u32),
    /// By choosing a file of this name and contents to bring in.
    File(&'static str, &'static str),
    /// By choosing a file of very many children who may be the same, and asking for more of them.
    Pairs,
    /// By confirming it.
    Confirm,
    /// By showing a preview again with what is chosen in it.
    ShowAgain,
    /// By a path, and then by the first link of this kind on its page.
    Link(&'static str, &'static str),
    /// By a path below the page of a child, and then by the first of each of these on each page.
    ChildLinks(u32, &'static str, &'static [&'static str]),
    /// By a path below the page of a child, by typing this into the search there and sending it, and then by the first
    /// of each of these.
    ChildFound(u32, &'static str, &'static str, &'static [&'static str]),
    /// By locking the device.
    Locked,
    /// By filling in this field of a form until it is saved as a draft, and opening the form again.
    Draft(&'static str, &'static str, &'static str),
    /// To the page that moves the first appointment of the day that can be moved.
    MoveAppointment,
}

pub const fn stop(name: &'static str, way: Way, says: &'static str) -> Stop {
    Stop { name, way, status: 200, says }
}

pub const fn refused(name: &'static str, way: Way, says: &'static str) -> Stop {
    Stop { name, way, status: 422, says }
}
