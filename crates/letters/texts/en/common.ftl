# Whose it is.
whose-name = { $name }
whose-born = Born { $day }
whose-number = Number { $number }
whose-made = Made on { $day }, { $clinic }

# The steps on the way.
stage-first-visit = First visit
stage-casts = Casts
stage-heel-cord = Heel cord
stage-last-cast = Last cast
stage-brace-day-and-night = Brace day and night
stage-brace-at-night = Brace at night
stage-after-brace = Check-ups

you-are-here = { $feet ->
    [left] You are here: left foot
    [right] You are here: right foot
   *[both] You are here
}

# Headings and labels that every document has.
emergency-head = Come to emergency care today if
emergency-why = These signs can be serious, so do not wait for the next visit.
ring-head = Ring us if
telephone-label = Our telephone
telephone-blank = Write the number here:
dates-day = Day
dates-time = Time
dates-what = What for

# Signs for which the child is brought in at once.
emergency-toes = the toes are dark, white, cold or swollen
emergency-hidden-toes = you can no longer see the toes
emergency-skin = the skin is open or has a blister
emergency-fever = your child has a fever
emergency-blood = a blood stain on the cast keeps growing
emergency-crying = your child cries and nothing calms them

# When to ring.
ring-cast-wet = the cast is wet, cracked or soft, because it can no longer hold the foot
ring-cast-loose = the cast slides down or turns, because it can rub and the foot can turn back
ring-cast-smell = the cast smells bad or the skin at its edge is sore
ring-red = red skin does not fade, because it can turn into a sore
ring-heel = the heel does not stay down in the boot, because then the brace does not hold the foot
ring-toes-over = the toes curl over the end of the boot, because it is time for a bigger one
ring-brace-off = the brace has been off for a night, because the foot can turn back fast
ring-brace-broken = a strap, a screw or the bar is broken
ring-foot-turns = the foot looks as if it turns in again, or the heel no longer touches the floor
ring-cannot-come = you cannot come on the day: we will find another day soon

language-name = English

# Named by the clinic, below the plan.
talk-to-head = People you can talk to
talk-to-line = { $text }
