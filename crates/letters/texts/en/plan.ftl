plan-title = Plan for { $name }
plan-urgent = We need to see your child now. Please come as soon as you can, and ring us if you cannot.
plan-way-head = Where we are on the way
plan-after-operation = Your child has had an operation. What comes next is planned for your child alone; we will go through it with you.

# What a step means.
here-first-visit = At the first visit we look at { $feet ->
    [left] the left foot
    [right] the right foot
   *[both] both feet
  } and talk with you. Most often the first cast is put on that day.
here-casts = { $feet ->
    [left] The left foot is
    [right] The right foot is
   *[both] Both feet are
  } in casts. Each new cast holds the foot a little nearer to its right place.
here-casts-again = { $feet ->
    [left] The left foot has
    [right] The right foot has
   *[both] Both feet have
  } turned back a little. This happens to many children. A few casts bring the foot back to its place.
here-heel-cord = The heel cord of { $feet ->
    [left] the left foot
    [right] the right foot
   *[both] both feet
  } is still too short to let the heel come down. A small cut makes it longer. The skin is numbed first, and the cord grows together again in the last cast.
here-last-cast = { $feet ->
    [left] The left foot is
    [right] The right foot is
   *[both] Both feet are
  } in the last cast. The heel cord heals at its new length while the cast is on. The brace comes next.
here-brace-day-and-night = { $feet ->
    [left] The left foot has
    [right] The right foot has
   *[both] Both feet have
  } come to the right place. Now the brace holds what the casts have done. For the first months it is worn day and night.
here-brace-at-night = Your child wears the brace for sleep. The foot still tries to turn back while it grows, so the nights matter as much as before.
here-after-brace = The years with the brace are over. We still look at { $feet ->
    [left] the left foot
    [right] the right foot
   *[both] both feet
  } now and then, because some feet turn back later and are easy to help when we see it early.

plan-dates-head = Next dates
plan-date-between = Your next visit should be between { $from } and { $to }. We will agree the day with you.
plan-date-now = Your child is due for a visit now. Ring us, and we will agree the next free day.
plan-date-open = We will give you the next date before you leave.

visit-first = First visit
visit-cast = New cast
visit-heel-cord = Heel cord
visit-brace-fitting = Cast off, brace fitted
visit-brace-review = Check-up with the brace
visit-review = Check-up

# The next visit.
plan-next-head = At the next visit
next-first = We look at your child and at the feet, explain what we see, and answer your questions. Take all the time you need.
next-cast = We take the cast off, wash the leg, look at the foot and move it gently. Then a new cast goes on. It does not hurt, but your child may not like to be held still.
next-cast-off = Leave the cast on until you are here, unless we have asked you to take it off. A foot without a cast starts to turn back within hours.
next-heel-cord = The skin at the heel is numbed, and the heel cord is cut through a very small hole. That takes a few minutes. It needs no stitch.
next-heel-cord-after = A cast goes on at once. You can hold and feed your child soon after. We watch your child for a while before you go home.
next-brace-fitting = The last cast comes off, and we look at the foot. Then we fit the boots and the bar.
next-brace-learn = You will put the brace on yourself before you leave, so that you know you can do it at home.
next-brace-review = We look at the feet and the skin, see whether boots and bar still fit, and talk about how the nights go.
next-review = We look at how the feet have grown and how your child moves.

bring-feed = Bring a feed: a child who drinks lies still, and the cast is better for it.
bring-papers = Bring the letter from your doctor and the child's health book, so that we know what was done before.
bring-loose-clothes = Bring wide trousers or a blanket that fits over the cast.
bring-feeding-times = Ask us before the day when the last feed may be. It depends on the medicine that is used.
bring-two = Come with a second person if you can: one holds the child, one hears what we say.
bring-socks = Bring two pairs of smooth cotton socks, because seams rub.
bring-everybody = Bring everyone who will put the brace on at home, so that all do it in the same way.
bring-brace = Bring the brace, so that we can check it on the feet.
bring-hours = Bring your note of the hours, also of the bad days. It helps us to help you; nobody is told off.
bring-questions = Write your questions down as they come to you, and bring the list.

# The hours.
hours-head = Hours in the brace
hours-now = { $hours ->
    [one] Now: { $hours } hour a day.
   *[other] Now: { $hours } hours a day.
  }
hours-later-from = Later: { $hours } hours a day, for nights and naps. We plan this from { $day } on, if the foot is well.
hours-later = Later: { $hours } hours a day, for nights and naps. We tell you when.
hours-until = The brace is planned until about { $day }.
hours-why = It is the hours that hold the foot: feet that get their hours seldom turn back.

# What to look at.
plan-daily-head = Look at this every day
daily-toes = Toes: can you see all of them, are they pink and warm? This shows that the cast is not too tight.
daily-cast-dry = Cast: is it dry and clean? A wet cast gets soft and hurts the skin.
daily-cast-soft = Edges: is the skin at the top and at the toes well? Then nothing rubs.
daily-heel = Heel: is it down and at the back of the boot? Only then is the foot held.
daily-skin = Skin: look at both feet each time the boots come off. Light red marks that fade are usual.
daily-toe-edge = Toes: do they reach over the end of the boot? Then it is soon too small.
daily-walk = Walking: does your child walk on the whole foot?
daily-heel-touches = Heel: does it touch the floor when your child squats?

# What is likely.
likely-head = What we expect
likely-casts = { $foot ->
    [left] Left foot
   *[right] Right foot
  }: in about { $children } of 10 children with a foot like this, { $from ->
    [0] no more casts or up to { $to } more are needed.
   *[other] { $from } to { $to } more casts are needed.
  }
likely-heel-cord = { $foot ->
    [left] Left foot
   *[right] Right foot
  }: about { $children } of 10 children with a foot like this need the small cut of the heel cord. It could be { $low } or { $high } of 10; we cannot know it more closely.
likely-not-promise = Every child is different. This is what happened to other children, and no promise.
