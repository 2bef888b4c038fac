# Calls for attention. Those about a foot follow its name and a colon, with a small first letter.
call-birth-date-missing = The day of birth is not recorded.

# A number with decimals.
decimal = { $whole }.{ $tenths }

# A problem that is not settled. $whose is a foot or call-the-child.
call-the-child = The child
call-problem = { $whose }: { $problem }, noted on { $day }.
call-problem-advice = { $whose }: { $problem }, noted on { $day }; the advice given did not help.
call-problem-seen = { $whose }: { $problem }, noted on { $day }; seen on { $seen }, but it is not recorded whether it is settled.

# Casts. $why is one of those that begin with removal.
call-cast-on-too-long = cast { $n } on since { $since }; it was due off by { $due }.
call-no-cast-since = no cast since the last one came off on { $day } ({ $why }).
call-casts-unscored = { $n } casts without a score; last scored on { $day }.
call-casts-never-scored = { $n } casts without a score; never scored.
call-not-held = cast off on { $day }, with neither cast nor brace since.
call-untreated = on record as a clubfoot but not treated, while the { $foot ->
    [left] left foot
   *[right] right foot
} has been treated since { $day }.
call-other-in-brace = { $phase } since { $day }, while the { $foot ->
    [left] left foot
   *[right] right foot
} is in { $other }.
call-still-in-correction = still in correction after { $n } casts, on { $day }.
call-relapse-still-in-correction = still in correction after { $n } casts for a relapse, on { $day }.
removal-planned = as planned
removal-slipped = slipped
removal-sore = sore skin
removal-circulation = swelling or toes of a bad colour
removal-damaged = wet or broken
removal-by-family = taken off by the family
removal-other = another reason

# The tenotomy.
call-no-cast-after-tenotomy = tenotomy on { $day }; no cast is recorded on that day or since.
call-ready-for-tenotomy = ready for tenotomy on { $day }; none is booked.
call-tenotomy-not-done = tenotomy booked for { $day }; not recorded as done.
call-tenotomy-without-day = tenotomy booked on { $day } without a day.
call-tenotomy-waits-ready = ready for tenotomy since { $since }, booked for { $day }; { $n } casts since then.
call-tenotomy-waits-booked = booked for tenotomy since { $since }, booked for { $day }; { $n } casts since then.
call-short-after-tenotomy = Dorsiflexion { $deg } on { $day }, after the tenotomy of { $cut }. Incomplete tenotomy, or stiffness that more casts may stretch?

# Scores and angles. $findings is one of the four below it, $score a score with its day.
call-contradiction = findings contradict each other. { $findings }
call-contradiction-dorsiflexion = { $score }. Dorsiflexion { $deg }.
call-contradiction-abduction = { $score }. Abduction { $deg }.
call-contradiction-equinus = Rigid equinus { $points } ({ $meaning }) and dorsiflexion { $deg } on { $day }.
call-contradiction-total = Total { $stated } recorded on { $day }; the six signs add up to { $sum }.
score-total = Pirani { $total } on { $day }: hindfoot { $hindfoot }, midfoot { $midfoot }
score-incomplete = Pirani incomplete on { $day }: hindfoot { $hindfoot }, midfoot { $midfoot }
score-part-incomplete = incomplete
score-without = { $score }; not assessed: { $signs }
sign-lateral-border = curved lateral border
sign-medial-crease = medial crease
sign-talar-head = lateral head of talus
sign-posterior-crease = posterior crease
sign-rigid-equinus = rigid equinus
sign-empty-heel = empty heel
equinus-zero = well past neutral
equinus-half = to neutral or just past
equinus-one = short of neutral
call-casts-slipped = { $n } casts have slipped, the last on { $day }. It may be a complex foot.
call-signs-unchanged = medial crease, posterior crease and equinus still score 1 after { $n } casts, on { $day }. It may be a complex foot.
call-midfoot-unchanged = midfoot score unchanged over { $n } casts, until { $day }.
call-total-unchanged = Pirani total unchanged over { $n } casts, until { $day }.
call-score-worse = Pirani total { $now } on { $day }, { $was } on { $before }.
call-dorsiflexion = dorsiflexion { $deg } on { $day }.
call-dorsiflexion-fallen = dorsiflexion { $deg } on { $day }, { $best } on { $before }.
call-walking-score-low = walking-age score { $n } of 12 on { $day }.

# Relapse. $signs are those that begin with relapse-sign.
call-relapse-signs = { $signs }.
call-relapse-signs-graded = { $signs }. Together: grade { $grade }.
relapse-sign-equinus = equinus, corrects by hand
relapse-sign-equinus-fixed = equinus, fixed
relapse-sign-heel-rise = early heel rise
relapse-sign-heel-varus = heel turned in, corrects by hand
relapse-sign-heel-varus-fixed = heel turned in, fixed
relapse-sign-adductus = forefoot turned in, corrects by hand
relapse-sign-adductus-fixed = forefoot turned in, fixed
relapse-sign-supination = supination in swing
relapse-sign-evertors-weak = evertors weak
relapse-sign-evertors-not-working = evertors not working
relapse-sign-cavus = high arch, corrects by hand
relapse-sign-cavus-fixed = high arch, fixed
relapse-grade-ia = IA: dorsiflexion lost to neutral, flexible
relapse-grade-ib = IB: dynamic adduction or supination, flexible
relapse-grade-iia = IIA: rigid equinus
relapse-grade-iib = IIB: rigid adduction
relapse-grade-iii = III: two or more fixed deformities

# Visits. $since is one of those that begin with since, $born one of those that begin with born-on.
call-attended = The child attended on { $day }; nothing else about the visit is recorded.
call-missed = The child did not attend on { $day } ({ $purpose }); no other appointment is booked.
call-missed-next = The child did not attend on { $day } ({ $purpose }); the next is { $next }.
call-passed = The child was expected on { $day } ({ $purpose }); nothing is recorded.
call-none-booked = { $since }; no next appointment is booked.
call-none-booked-cancelled = { $since }; the appointment for { $day } was cancelled and no other is booked.
since-last-seen = Last seen on { $day }
since-referred = Referred on { $day }, not yet seen
since-referred-again = Referred again on { $day }, not seen since
call-early-review-overdue = Brace review at { $weeks } was due on { $day }; the child has not been seen.
call-review-overdue = Last seen on { $seen }; the review due on { $day } is overdue.
call-never-seen = Treatment usually starts at this age. Referred on { $day }, { $born }; not seen yet.
call-never-seen-late = The usual time to start treatment has passed. Referred on { $day }, { $born }; not seen yet.
born-on = born on { $day }
born-on-unknown = day of birth not recorded

# Families who do not come. $span is a time without a visit, $visit a planned visit.
call-declared-lost = Declared lost to follow-up on { $day }.
call-lost = Last seen on { $seen }: counts as lost to follow-up after { $ended } ({ $span }).
call-lost-appointment = Last seen on { $seen }: counts as lost to follow-up if the child does not attend on { $day }; the { $span } ended on { $ended }.
call-lost-planned = Last seen on { $seen }: counts as lost to follow-up after { $day }, the last day for the { $visit }; the published { $span } ended on { $ended }.
lost-span-casting = { $n } days in casting
lost-span-tenotomy = { $n } days around the tenotomy
lost-span-bracing = { $n } months in bracing
lost-visit-booked = booked visit
lost-visit-cast-end = end of the tenotomy cast
lost-visit-cast = next cast
lost-visit-review = planned review
call-tried = { $n ->
    [one] Tried once.
   *[other] Tried { $n } times.
}
call-next-way = Next: { $way }, from { $day }.
call-every-way-tried = Every way was tried: from { $day } try once more, or close the record with a discharge.
way-telephone = telephone
way-message = message
way-letter = letter
way-home-visit = home visit
way-through = through somebody else

# Boots and bar. $window is one of those that begin with outgrown.
boot-right = Right boot
boot-left = Left boot
call-bar-too-narrow = The bar of { $mm } mm is too narrow: { $window }.
call-boot-outgrown = { $boot }, { $mm } mm inside: { $window }.
call-boot-too-small = { $boot }, { $mm } mm inside, is too small: the foot was { $length } mm on { $day }.
call-order-boots = Order the next boots by { $day }. { $boot }, { $mm } mm inside: { $window }.
outgrown-already = already outgrown on { $day }
outgrown-between = 90 % interval { $from } to { $to }
outgrown-between-likely = most likely by { $likely } (90 % interval { $from } to { $to })
outgrown-not-before = unlikely before { $from }
outgrown-not-before-likely = most likely by { $likely }, unlikely before { $from }

# Settings of the brace. $reached is one of those that begin with reached; $clubfoot and $other are feet.
call-outward-beyond = { $boot } turned out { $deg }: the foot { $reached }.
call-bend-beyond = { $boot } bent up { $deg }: dorsiflexion { $reached }.
reached-cast = reached { $deg } in its cast of { $day }
reached-measured = reached { $deg } as measured on { $day }
reached-tenotomy = reached { $deg } after the tenotomy of { $day }
call-wide-complex = { $boot } turned out { $deg }: the { $foot ->
    [left] left foot
   *[right] right foot
} is complex.
call-wide-unaffected = { $boot } turned out { $deg }: the { $foot ->
    [left] left foot
   *[right] right foot
} is not on record as a clubfoot.
call-wide-bar-unknown = { $boot } turned out { $deg }: the { $foot ->
    [left] left foot
   *[right] right foot
} is not on record as a clubfoot. Record whether the bar can be set for each side: if it cannot, this is the usual setting.
call-exchanged = The { $clubfoot }, the clubfoot, is turned out { $own } and the { $other } { $deg }: the two settings look exchanged.
call-one-boot-right = A boot is recorded for the right foot only, none for the left.
call-one-boot-left = A boot is recorded for the left foot only, none for the right.
call-bar-length = The bar is { $bar } mm: the shoulders were { $mm } mm on { $day }, { $width }.
width-biacromial = bone to bone: outer edge of one acromion to the other
width-bideltoid = over the upper arms at their widest, arms at the sides

# The course of bracing.
call-stopped = Bracing was stopped on { $day }; it was planned until { $end }.
call-stopped-unknown = Bracing was stopped on { $day }; without a day of birth it is not known whether that was early.
call-full-time-ended = Full-time bracing ended on { $day } after { $lasted } of { $n } days: is this intended?
call-night-time-due = In the brace full time since { $since }: { $n } weeks end on { $day }.
call-end-due = Bracing is due to end on { $day }, at the age of { $n }.

# Hours in the brace. $how is one of the first two.
how-reported = reported by the family
how-logged = logged
call-not-worn = Not worn on { $n } days in a row, { $from } to { $to }, { $how }.
call-wear-fell = Wear { $how } fell from { $before } to { $after } hours a day in the week of { $day }.
call-wear-low = Wear { $how } is low: { $hours } of { $prescribed } hours a day prescribed ({ $percent } %), { $from } to { $to }.
call-below-reported = On { $n } days the family reported { $reported } hours a day and the logger found { $logged }: { $times } times as many.
call-nothing-logged = On { $n } days the family reported { $reported } hours a day and the logger found { $logged }: nothing logged.
call-wear-known-until = No hours of wear are recorded: hours of wear known until { $day }.
call-wear-never-recorded = No hours of wear are recorded: in the brace since { $day }.
