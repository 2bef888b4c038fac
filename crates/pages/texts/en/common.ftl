# What several pages say.
language-name = English
print = Print
as-pdf = as PDF

# At the foot of every page of a paper that the clinic prints.
paper-made = Made on { $day }
paper-records = records { $mark }

# The caution.
caution = This supports, but does not replace, the judgement of a qualified clinician. The local protocol and the treating clinician always take precedence.

# Before the message at the top of a page.
message-done = Done
message-note = Note
message-warning = Warning

# Numbers of days, weeks, months and years.
count-days = { $n ->
    [one] { $n } day
   *[other] { $n } days
}
count-weeks = { $n ->
    [one] { $n } week
   *[other] { $n } weeks
}
count-months = { $n ->
    [one] { $n } month
   *[other] { $n } months
}
count-years = { $n ->
    [one] { $n } year
   *[other] { $n } years
}

# A day beside today; $span is a number of days, weeks or months.
relative-today = today
relative-tomorrow = tomorrow
relative-yesterday = yesterday
relative-in = in { $span }
relative-ago = { $span } ago

# The days within which something is due. In one month $from is a number; otherwise a day with its month.
range-in-month = { $from }–{ $to }
range = { $from } – { $to }
window-opens = opens { $when }
window-past = { $span } past
window-today = due today
window-from-today = due from today, { $span } left
window-now = due now, { $span } left

# Ages. The corrected age of a child born early stands in brackets.
age-unborn = not yet born
age-unknown = age unknown
age-about = about { $age }
age-years-months = { $years } { $months }
age-before-term = { $span } before term
age-corrected = { $span } corrected

# Who a child is.
who-born = born
who-born-about = born about
who-number = no. { $number }
who-no-number = no number
who-no-name = No name, number { $number }
who-no-name-no-number = No name, no number
who-restricted = Restricted record
who-restricted-hint = age and feet are not shown to you
who-twin = Twin, { $own }. The other twin: { $others }.
who-twins = Twin, { $own }. The others: { $others }.
born-first = born first
born-second = born second
born-third = born third
born-fourth = born fourth
born-order-unknown = birth order not recorded

# Whom a step is about: before a colon.
scope-right = Right foot
scope-left = Left foot
scope-both = Both feet
scope-child = Child

# The feet of a child.
feet-right = right foot
feet-left = left foot
feet-both = both feet
feet-none = no affected foot recorded

# The phase of a foot.
phase-referred = referred
phase-in-correction = in correction
phase-waiting-for-tenotomy = waiting for tenotomy
phase-tenotomy-cast = in the tenotomy cast
phase-full-time-bracing = full-time bracing
phase-night-time-bracing = night-time bracing
phase-after-bracing = after bracing
phase-after-surgery = after surgery
phase-discharged = discharged
phase-transferred = transferred
phase-lost = lost to follow-up
phase-died = died

# What an appointment is for.
purpose-first = first visit
purpose-cast = cast
purpose-tenotomy = tenotomy
purpose-brace-fitting = cast off and brace fitting
purpose-brace-review = brace review
purpose-review = review
purpose-other = other

# How soon the clinic must act on a call for attention.
urgency-today = today
urgency-this-week = this week
urgency-soon = soon
urgency-watch = to watch
