# The page of a day of the clinic.
day-title = The day
day-closed = The clinic is closed.
day-closed-why = The clinic is closed: { $why }.
day-places = { $n } places
day-nobody = Nobody is expected on this day.
day-nobody-made = Appointments are made on each child's page.
day-nobody-find = Find a child
day-nobody-came = to record one who came without an appointment.

# The children of the day by what became of them: the heading, and the count at the top.
day-here = Here now
day-expected = Expected
day-seen = Seen
day-missed = Missed
day-cancelled = Cancelled
day-count-here = { $n } here now
day-count-expected = { $n } expected
day-count-seen = { $n } seen
day-count-missed = { $n } missed
day-count-cancelled = { $n } cancelled

# From day to day.
day-days = Days
day-previous = Previous day
day-today = Today
day-next = Next day
day-call-list = Call list
day-tenotomies = Tenotomies of the day
day-go-to = Go to a day
day-go = Go
day-near = Clinics near this day:

# One child.
day-paper-time = Time
day-paper-child = Child
day-paper-feet = Feet, and what comes next
day-no-time = no time
day-no-purpose = purpose not recorded
day-without-appointment = without appointment
day-calls = { $n ->
    [one] { $n } call for attention
   *[other] { $n } calls for attention
}
day-next-steps = Next steps

# What can be done.
day-record-visit = Record visit
day-add-to-visit = Add to visit
day-open-visit = Open visit
day-arrived = Arrived
day-did-not-come = Did not come
day-came-after-all = Came after all
day-undo-here = Undo: not here
day-undo-missed = Undo: still expected
day-new-appointment = New appointment
day-move = Move to another day
day-call-family = Call the family
day-checklist = Tenotomy checklist
day-more = More
day-second-score = Second score, { $foot ->
    [left] left foot
   *[right] right foot
}
day-score-twice = Feet scored today can be scored blind by a second person.
day-scoring-together = Which feet this month

# What was just done.
day-done-called = The call is saved.
day-done-moved = The appointment is moved.
day-done-undone = The mark is taken back.
day-left-out = { $n } more children are expected on this day than are shown here. Find them by name.
