# Next steps. A step may stand by itself or, with a small first letter, after “Right foot: ”.
step-first-visit = First visit
step-first-visit-and-cast = First visit, score and cast 1
step-wait-for-term = Wait until term, then first visit and cast 1 from { $day }
step-positional = Examine the foot again: positional, it corrects by hand
step-see-again = See the child again: examine and score the foot, and make a new plan
step-appointment = appointment

# Casts. $cast is the message step-cast or step-cast-of-episode, $first one of those that begin with measure.
step-cast = Cast { $n }
step-cast-of-episode = Cast { $n } of episode { $episode }
step-cast-first = { $cast }; first { $first }
step-cast-until-tenotomy = { $cast }, to hold the foot until the tenotomy
step-cast-and-review = { $cast }, and review the plan: progress has stalled
measure-rest-of-score = complete the score
measure-score = score the six signs
measure-movement = measure dorsiflexion and abduction
measure-dorsiflexion = measure dorsiflexion
measure-abduction = measure abduction

# At once.
step-see-the-same-day = See the child the same day: { $problem }
step-missed-in-cast = See the child at once: visit missed with a cast on
step-cast-after-tenotomy = Today: record the cast after the tenotomy, or cast the foot
step-cast-off-too-soon = See the child at once: out of the tenotomy cast too soon

# The tenotomy.
step-tenotomy-book = Tenotomy: book it or do it
step-tenotomy-booked = Tenotomy as booked for { $day }
step-tenotomy-day = Tenotomy: choose a date
step-tenotomy-second-book = Second tenotomy: book it or do it
step-tenotomy-second-booked = Second tenotomy as booked for { $day }
step-tenotomy-second-day = Second tenotomy: choose a date
step-brace-without-tenotomy = Corrected without tenotomy: remove the cast and fit the brace the same day
step-cast-off-and-brace = Remove the cast and fit the brace the same day
step-brace-out-of-cast = Fit the brace: out of the cast without a brace
step-assess-after-tenotomy = Assess today: incomplete tenotomy, or stiffness that more casts may stretch?
step-hold-after-tenotomy = Change the tenotomy cast for a holding cast: the brace waits for the { $foot ->
    [left] left foot
   *[right] right foot
}
step-hold = Change the holding cast: the brace waits for the { $foot ->
    [left] left foot
   *[right] right foot
}
step-watch-while = Monitor this foot while the { $foot ->
    [left] left foot
   *[right] right foot
} is cast again; then brace both feet

# The brace. $weeks is a number of weeks after the fitting.
step-early-review = Brace review at { $weeks }
step-early-review-nights = Brace review at { $weeks }, and change to nights and naps
step-early-review-little = Brace review at { $weeks }; continue full time: worn too little so far
step-brace-review = Brace review
step-brace-review-little = Brace review; continue full time: worn too little so far
step-brace-review-decide = Brace review, and decide whether to continue bracing
step-nights-and-naps = Change to nights and naps
step-end-of-bracing = End of bracing: review and decide from { $day }
step-resume-bracing = Resume bracing: it was stopped early
step-review-after-bracing = Review after bracing
step-review-after-surgery = Review after surgery
step-relapse = Relapse: assess and begin casting again

# The record or the findings stop the advice.
step-check-record = Check the record first: the side of an entry is in doubt
step-look-again = Examine the foot again before continuing: these findings contradict each other; a rocker-bottom foot is one possible reason

# Nothing is due.
step-nothing = Nothing
step-nothing-discharged = Nothing: discharged
step-nothing-transferred = Nothing here: passed to another clinic
step-nothing-lost = Nothing is planned: declared lost to follow-up
step-nothing-no-foot = Nothing: no foot on record as a clubfoot

# Before the words of a call for attention.
step-today = Today:
step-brought-forward = { $step }, brought forward:

# Problems with a cast or a brace.
problem-cast-slipped = cast slipped
problem-toes-not-seen = toes not seen
problem-toes-colour = toes dark, white or cold
problem-swelling = swelling
problem-skin-broken = skin sore or broken
problem-skin-red = skin red
problem-blister = blister
problem-bleeding = bleeding
problem-fever = fever or signs of infection
problem-crying = crying without another cause
problem-heel-slips-out = heel slips out of the boot
problem-outgrown = boots or bar outgrown
problem-brace-broken = brace broken
problem-not-tolerated = brace not tolerated
problem-family = family circumstances
problem-other = another problem
