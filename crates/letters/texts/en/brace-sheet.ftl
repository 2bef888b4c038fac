brace-title = { $name } and the brace
brace-what = The brace is two boots on a bar. It does not move the foot. It holds what the casts have done, while the foot grows.
brace-both-feet = Both feet go into it, also a foot that was never turned in: the bar needs both to hold the one.

brace-on-knee = Bend the knee. Then the heel comes down more easily.
brace-on-heel = Push the foot back until the heel is down. You can see the heel at the back of the boot.
brace-on-middle = Close the middle strap first, over the ankle, and close it firmly. It is the one that holds the heel.
brace-on-others = Then close the other straps. They only need to be snug.
brace-on-check = Pull gently on the leg. If the heel comes up, open the straps and begin again.

brace-settings-head = How it is set for your child
brace-hours = Hours
brace-hours-yours = { $hours ->
    [one] { $hours } hour a day
   *[other] { $hours } hours a day
  }
brace-hours-usual = { $hours ->
    [one] { $hours } hour a day, as is usual here
   *[other] { $hours } hours a day, as is usual here
  }
brace-bar = Bar
brace-bar-mm = { $mm } mm
brace-turned-out = { $foot ->
    [left] Left boot turned out
   *[right] Right boot turned out
  }
brace-degrees = { $deg }°
brace-size = { $foot ->
    [left] Left boot
   *[right] Right boot
  }
brace-size-is = size { $size }
brace-size-mm = { $mm } mm long inside
brace-settings-leave = Please leave the bar and the turn of the boots as we have set them. If something seems wrong, ring us: a wrong setting can hurt the foot.

brace-every-day-head = Every day
brace-day-routine = Put the brace on at the same time each day, with the same song or story. Children settle best with what they know.
brace-day-socks = Use smooth cotton socks without folds, because folds rub.
brace-day-skin = Look at the skin when the boots come off. Light red marks that fade are usual.
brace-day-no-cream = Put no cream on red skin: it makes the skin soft, and then it opens more easily.
brace-day-together = Move the legs together, and play with the bar. Then your child learns to kick with both legs at once.
brace-day-no-walker = Keep the brace out of baby walkers and bouncers, because they push the toes down.

brace-first-head = The first days
brace-first-days = Most children are cross for a day or two. They are not in pain: they have to learn to move both legs at once. Look at the skin, comfort your child, and leave the brace on.
brace-first-hold = Every time it stays on, it gets easier. If the nights stay hard, ring us. You do not have to manage this alone.

# What the drawing shows, for those who hear the page.
drawing-heel-and-straps = Drawing: a boot from the side, the heel down at the back, and three straps of which the middle one is closed first
