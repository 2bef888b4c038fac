# Letters to colleagues: in English only.
clinic-said = { $text }
clinic-referrer-title = About { $name }
clinic-summary-title = Summary: { $name }
clinic-transfer-title = Transfer of { $name }

clinic-dear = Dear { $colleague },
clinic-dear-colleague = Dear colleague,
clinic-thanks = Thank you for sending us { $name }.
clinic-thanks-received = Thank you for sending us { $name }. We received your letter on { $day }.
clinic-below = Each foot is described by itself below.
clinic-please-send = Please send the child to us if you are worried about anything. No new letter is needed.
clinic-transfer-why = This child’s treatment continues with you. The file of the record that goes with this summary has every entry.

# What is in doubt.
clinic-doubt-head = In doubt: please check before you rely on it
clinic-doubt = { $day }: { $text }
clinic-doubt-foot = { $foot ->
    [left] Left foot
   *[right] Right foot
  }, { $day }: { $text }
clinic-doubt-more = { $count ->
    [one] One more question is open in the record.
   *[other] { $count } more questions are open in the record.
  }

# Where care has ended.
clinic-discharged = The child was discharged on { $day }.
clinic-transferred = Care was transferred to another clinic on { $day }.
clinic-died = The child died on { $day }.
clinic-lost = We have lost contact with the family. The child was declared lost to follow-up on { $day }.

# Each foot.
clinic-foot = { $foot ->
    [left] Left foot
   *[right] Right foot
  }
clinic-not-affected = Not recorded as affected.
clinic-row-nature = Type
clinic-row-earlier = Before this clinic
clinic-row-first-score = First score
clinic-row-last-score = Last score
clinic-row-dorsiflexion = Dorsiflexion
clinic-row-abduction = Abduction
clinic-row-casts = Casts
clinic-row-casts-again = Casts again
clinic-row-tenotomy = Tenotomy
clinic-row-relapse = Relapse
clinic-row-surgery = Other surgery
clinic-row-now = Now
clinic-row-cast-on = Cast on
clinic-row-booked = Tenotomy booked
clinic-score = Pirani { $total } of 6 (midfoot { $midfoot }, hindfoot { $hindfoot }) on { $day }
clinic-score-incomplete = Pirani incomplete, { $signs } of 6 signs, on { $day }
clinic-no-score = no Pirani score recorded
clinic-angle = { $angle } on { $day }
clinic-no-casts = none recorded
clinic-casts-until = { $casts ->
    [one] { $casts } cast
   *[other] { $casts } casts
  } for correction, { $all } in all, { $from } to { $until }
clinic-casts-since = { $casts ->
    [one] { $casts } cast
   *[other] { $casts } casts
  } for correction, { $all } in all, since { $from }
clinic-tenotomy = heel cord cut on { $day }
clinic-tenotomy-after = heel cord cut on { $day }, dorsiflexion just after { $angle }
clinic-relapse = noted on { $day }
clinic-relapse-grade = { $grade }, noted on { $day }
clinic-surgery = { $what } on { $day }
clinic-phase-since = { $phase } since { $day }
clinic-cast-on = cast { $number }, { $purpose }, since { $day }
clinic-booked-for = for { $day }
clinic-booked-open = no day is fixed yet

# What comes next.
clinic-next-head = What comes next
clinic-no-step = Nothing is due.
clinic-step-child = Child: { $step }, { $from } to { $to }
clinic-step-child-day = Child: { $step }, on { $from }
clinic-step-child-open = Child: { $step }
clinic-step-foot = { $foot ->
    [left] Left foot
   *[right] Right foot
  }: { $step }, { $from } to { $to }
clinic-step-foot-day = { $foot ->
    [left] Left foot
   *[right] Right foot
  }: { $step }, on { $from }
clinic-step-foot-open = { $foot ->
    [left] Left foot
   *[right] Right foot
  }: { $step }
clinic-reason = Because: { $fact } { $rule } Source: { $source }
clinic-caution = Caution: { $text }
clinic-caution-foot = Caution, { $foot ->
    [left] left foot
   *[right] right foot
  }: { $text }
clinic-dates-head = Planned visits

# What to watch for: common practice, no source.
clinic-watch-head = Please look for
clinic-watch-cast = toes that are dark, white, cold or swollen, or that have gone into the cast: the child must be seen the same day
clinic-watch-brace = a brace that is not worn as prescribed, or a heel that slips out of its boot: tell us within days, because the foot can relapse
clinic-watch-skin = broken skin under the boot: leave the boot off and tell us the same day
clinic-watch-relapse = less dorsiflexion than before, a heel that does not reach the floor, or a forefoot that turns in: these are early signs of relapse

# The tables of the transfer summary.
clinic-course = Course of the { $foot ->
    [left] left
   *[right] right
  } foot
clinic-course-shortened = Course of the { $foot ->
    [left] left
   *[right] right
  } foot: the first and last days; { $left ->
    [one] one day is
   *[other] { $left } days are
  } left out here and are in the file
clinic-col-day = Day
clinic-col-pirani = Pirani
clinic-col-parts = Midfoot + hindfoot
clinic-col-abduction = Abduction
clinic-col-dorsiflexion = Dorsiflexion
clinic-col-done = What was done
clinic-col-from = From
clinic-col-until = Until
clinic-col-regime = Worn
clinic-col-settings = Settings, as last set
clinic-col-hours = Hours
clinic-col-how = How known
clinic-braces = Brace
clinic-braces-shortened = Brace: the last spells; { $left } earlier ones are in the file
clinic-wear = Wear
clinic-wear-shortened = Wear: the last reports; { $left } earlier ones are in the file
clinic-screening-head = Screening
clinic-not-screened = No screening of hips, spine, nerve and muscle is recorded.
clinic-row-hips = Hips
clinic-row-spine = Spine
clinic-row-nerve = Nerve and muscle
clinic-row-found = Findings
clinic-family-head = Family
clinic-row-carer = Carer
clinic-row-lives = Lives
clinic-row-reached = Last reached
clinic-reached = { $day }, { $way }
clinic-no-family = No telephone number and no address are recorded.

# Photographs, behind the letter.
clinic-photographs-head = Photographs
clinic-photograph = Photograph: { $what }, { $day }
clinic-photographs-no-measure = These are photographs, not measurements. Distance and direction may differ: look at the foot, not at its size.
clinic-photographs-consent = The family consents to photographs in letters to colleagues. Do not pass them on, and do not use them for anything else.

# Closing.
clinic-regards = With kind regards
