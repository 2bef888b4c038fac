# Appointment letter
appointment-title = Next visit for { $name }
appointment-when = Please come on { $day }.
appointment-when-time = Please come on { $day } at { $time }.
appointment-more-head = Further dates
appointment-change = If you cannot come on that day, ring us, and we find another day soon. Even a few days make a difference to the foot.
appointment-late = If you are late, come all the same. We find a way.

# Missed-visit letter
missed-title = We missed { $name }
missed-day = You had a date with us on { $day }, and we did not see you.
missed-why = There may be good reasons: a sick child, no bus, no money for the journey, work. Tell us what makes it hard, and we look for a way with you.
missed-cast = A cast should not stay on much longer than a week. If it is still on, ring us today, so that we can change it soon.
missed-brace = The foot still grows and tries to turn back. We would like to look at it and at the brace. If the brace is not worn any more, come all the same: nobody is told off.
missed-other = We would like to see how the feet are doing.
missed-do = Ring us or come on any clinic day. You need no new letter from your doctor.

# Letter to the nursery
nursery-title = { $name } wears a brace
nursery-to = To the people who look after { $name }
nursery-why = { $name } was born with a foot that was turned in. Casts have turned it to its place. The brace holds it while the foot grows.
nursery-hours-day = The brace is worn nearly all day, { $hours ->
    [one] { $hours } hour
   *[other] { $hours } hours
  } in all. It comes off only for washing and a little free kicking.
nursery-hours-naps = The brace is worn for sleep, { $hours ->
    [one] { $hours } hour
   *[other] { $hours } hours
  } a day in all. So please put it on for the nap too.
nursery-on-head = How it goes on
nursery-normal = Apart from this { $name } can do everything that the other children do. Children in a brace sit, crawl and play in it.
nursery-check = After each nap look at the skin. Light red marks that fade are usual. If the skin is open, leave the boot off and call the parents at once.
nursery-note = Please write down when it was on, and tell the parents in the evening.

# Diary of the hours
diary-title = Hours in the brace of { $name }
diary-how = For each day put a cross into the box with the hours that the brace was on. Cross 0 if it was not on, and leave the row empty if you do not know.
diary-wrong = A wrong cross? Fill that box completely, and cross the right one.
diary-example = Example: { $hours } hours
diary-why = The true hours help us to help you. Nobody is told off for a bad week.
diary-week = Week from { $day }
diary-hours = Hours
diary-skin = Skin well?
diary-bring = Bring this page to the next visit, or send us a photo of it.
